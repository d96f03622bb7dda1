"""An integer programme whose counts need not be whole, but are held in a box.

The box says what each count is at least and at most: the columns, then the rows. It is solved over
and over in other boxes, each time from where another one ended. The solver's time goes by how many
columns it knows. Of most a box soon holds none: it forgets these. Of many others it knows those of
least reduced cost, until more cost less than they bring, and join (sifting; Bixby, Gregory, Lustig,
Marsten and Shanno, Very large-scale linear programming, Operations Research 40, 1992; cited from
memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import highspy
import numpy as np

from optimizer.search.box import Box
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints
from optimizer.search.solver import NOTHING, Basis, for_short_runs, run_linear, worths_of

KNOWN = 500
"""Columns that the solver knows at first beside those of the basis, if there are twice as many."""

CHEAP = -1e-6
"""A column of less reduced cost joins."""

AT_LEAST, AT_MOST, BASIC = range(3)
_STATUSES = np.array(
    [
        highspy.HighsBasisStatus.kLower,
        highspy.HighsBasisStatus.kUpper,
        highspy.HighsBasisStatus.kBasic,
    ]
)


@dataclass(frozen=True, slots=True, eq=False)
class Start:
    """Where an optimum stands, to begin another one from: its basis over the ``columns`` that the
    solver knows. It may hold ``others`` too.
    """

    columns: Ints
    others: Ints
    basis: Basis

    @property
    def every(self) -> Ints:
        """The columns of which it may hold some."""
        return np.concatenate([self.columns, self.others]) if len(self.others) else self.columns


@dataclass(frozen=True, eq=False)
class Optimum:
    """An optimum in a ``box``, and where to begin from it. Most are looked at no further: the rest
    is worked out once it is asked for.
    """

    box: Box
    start: Start
    solution: highspy.HighsSolution
    basic: Ints
    whole_rows: Ints
    of_others: Floats

    @cached_property
    def values(self) -> Floats:
        """Of columns, then rows."""
        values = np.zeros(len(self.box.least))
        values[self.start.columns] = self.solution.col_value
        values[self.box.columns :] = self.solution.row_value
        return values

    @cached_property
    def reduced(self) -> Floats:
        """What one more of a column costs, and of a row that is whole where all columns are."""
        reduced = np.zeros(len(self.box.least))
        reduced[self.start.columns] = self.solution.col_dual
        reduced[self.start.others] = self.of_others
        rows = self.whole_rows
        reduced[self.box.columns + rows] = np.array(self.solution.row_dual)[rows]
        return reduced

    @cached_property
    def statuses(self) -> Ints:
        """How each of the columns known there stands."""
        known, least, most = self.start.columns, self.box.least, self.box.most
        at_most = (self.values[known] >= most[known]) & (least[known] < most[known])
        statuses = np.where(at_most, AT_MOST, AT_LEAST)
        statuses[self.basic[self.basic >= 0]] = BASIC
        return statuses

    def start_within(self, box: Box) -> Start:
        """Where to begin from it in a box, without columns of which that holds none, but for those
        that the basis needs. Of many the solver knows those of least reduced cost, and all of which
        the box holds some.
        """
        columns, others, basis = self.start.columns, self.start.others, self.start.basis
        basic = self.statuses == BASIC
        kept = basic | (box.most[columns] > 0)
        others = others[box.most[others] > 0]
        beside = np.flatnonzero(kept & ~basic & (box.least[columns] <= 0))
        if len(beside) > 2 * KNOWN:
            left = beside[np.argsort(self.reduced[columns[beside]], kind="stable")[KNOWN:]]
            kept[left] = False
            others = np.concatenate([others, columns[left]])
        if not kept.all():
            columns = columns[kept]
            basis.col_status = _STATUSES[self.statuses[kept]].tolist()
        return Start(columns, others, basis)


@dataclass(frozen=True, slots=True, eq=False)
class _Matrix:
    """Columns: the ``costs`` of each, its ``entries`` and in which ``rows``, from its start on."""

    costs: Floats
    starts: Ints
    rows: Ints
    entries: Floats
    columns: Ints
    """Of which column each entry is."""

    def chosen(self, index: Ints) -> _Matrix:
        """Those of an index."""
        starts, sizes = self.starts[index], self.starts[index + 1] - self.starts[index]
        ends = np.concatenate([[0], np.cumsum(sizes)])
        columns = np.repeat(np.arange(len(index)), sizes)
        at = np.arange(ends[-1]) + (starts - ends[:-1])[columns]
        return _Matrix(self.costs[index], ends, self.rows[at], self.entries[at], columns)

    def of_rows(self, kept: Ints, place: Ints) -> _Matrix:
        """Only these rows, which from now on have another ``place``."""
        stays = np.isin(self.rows, kept)
        sizes = np.bincount(self.columns[stays], minlength=len(self.costs))
        starts = np.concatenate([[0], np.cumsum(sizes)])
        rows, entries, columns = place[self.rows[stays]], self.entries[stays], self.columns[stays]
        return _Matrix(self.costs, starts, rows, entries, columns)

    def reduced(self, worths: Floats) -> Floats:
        """What each costs beyond what it brings at the worths of the rows."""
        brought = worths[self.rows] * self.entries
        reduced: Floats = self.costs - np.bincount(self.columns, brought, len(self.costs))
        return reduced


class Relaxation:
    """The solver, which knows columns of the last start, or all; ``rows`` are counts too."""

    def __init__(self, highs: highspy.Highs, rows: Iterable[int]) -> None:
        self._highs = highs
        for_short_runs(highs)
        highs.ensureColwise()  # type: ignore[attr-defined]
        lp = highs.getLp()
        costs, of_lp = np.array(lp.col_cost_), lp.a_matrix_
        starts, at = np.array(of_lp.start_, dtype=np.int64), np.array(of_lp.index_, dtype=np.int64)
        of_entries = np.repeat(np.arange(len(costs)), np.diff(starts))
        self._matrix = _Matrix(costs, starts, at, np.array(of_lp.value_), of_entries)
        self.columns = len(costs)
        self.counted = np.concatenate([np.arange(self.columns), self.columns + np.array([*rows])])
        """Columns and rows that are whole in a plan, by their place in a box."""
        self.all = Box(
            np.concatenate([lp.col_lower_, lp.row_lower_]),
            np.concatenate([lp.col_upper_, lp.row_upper_]),
            self.columns,
        )
        in_parts = np.bincount(at, self._matrix.entries % 1 != 0, lp.num_row_) > 0
        for ends in (self.all.least[self.columns :], self.all.most[self.columns :]):
            in_parts |= np.isfinite(ends) & (ends != np.round(ends))
        self._whole_rows = np.flatnonzero(~in_parts)
        """Those that step from their ends by whole amounts."""
        self._now = self.all
        none, every = np.zeros(0, dtype=np.int64), np.arange(self.columns)
        self._known, self._others, self._of_others = every, none, self._matrix.chosen(none)
        self.drop(self._empty_rows())
        self._at_first = Start(every, none, highs.getBasis())
        self._aside = np.zeros(0, dtype=bool)
        """Which of the others have not joined, and may."""
        self._reduced: Floats = np.zeros(0)  # of the others, at the last optimum

    def free_rows(self) -> list[int]:
        """Rows counted that hold nothing by themselves, by their place in a box."""
        rows, of = self.counted[self.counted >= self.columns], self._matrix
        less = np.bincount(of.rows, of.entries < 0, len(self.all.least) - self.columns)
        free = (self.all.least[rows] == 0) & np.isposinf(self.all.most[rows])
        places: list[int] = rows[free & (less[rows - self.columns] == 0)].tolist()
        return places

    def _empty_rows(self) -> list[int]:
        """Rows without entries, as of boards that no column cuts, by their place in a box."""
        least, most = self.all.least[self.columns :], self.all.most[self.columns :]
        empty = np.bincount(self._matrix.rows, minlength=len(least)) == 0
        places: list[int] = (
            self.columns + np.flatnonzero(empty & (least <= 0) & (most >= 0))
        ).tolist()
        return places

    def drop(self, rows: Iterable[int]) -> dict[int, int]:
        """Some free rows are there no more, for the solver's time goes by rows too; where all other
        counts then stand in a box. Boxes and starts from before serve no more.
        """
        old, dropped = len(self.all.least), np.array(sorted(rows), dtype=np.int64)
        kept = np.setdiff1d(np.arange(old), dropped)
        place = np.cumsum(np.isin(np.arange(old), kept)) - 1
        of_rows = kept[self.columns :] - self.columns
        self._highs.deleteRows(len(dropped), (dropped - self.columns).astype(np.int32))
        self._matrix = self._matrix.of_rows(of_rows, place[self.columns :] - self.columns)
        self.counted = place[np.setdiff1d(self.counted, dropped)]
        whole = np.intersect1d(self._whole_rows, of_rows)
        self._whole_rows = place[self.columns + whole] - self.columns
        self.all, self._now = (
            Box(box.least[kept], box.most[kept], box.columns) for box in (self.all, self._now)
        )
        self._of_others = self._matrix.chosen(self._others)
        return dict(zip(kept.tolist(), place[kept].tolist(), strict=True))

    def cost(self, box: Box, start: Start | None, below: float) -> float:
        """What the optimum in a box costs, which holds none but the columns of the start:
        ``NOTHING``, if that is not ``below``; ``-NOTHING``, if the solver does not come to an end.
        """
        basis = None if start is None else start.basis
        start = self._at_first if start is None else start
        if start.columns is not self._known:
            self._highs.deleteCols(len(self._known), np.arange(len(self._known), dtype=np.int32))
            self._know(start.columns, box)
            self._known = start.columns
        if start.others is not self._others:
            self._others, self._of_others = start.others, self._matrix.chosen(start.others)
        self._aside = box.most[self._others] > 0
        self._hold(box)
        self._highs.setOptionValue("objective_bound", below)
        value = run_linear(self._highs, basis)
        while len(joining := self._joining()):
            self._know(self._others[joining], box)
            self._known = np.concatenate([self._known, self._others[joining]])
            self._aside[joining] = False
            value = run_linear(self._highs)
        return value if value < below else NOTHING

    def _joining(self) -> Ints:
        """The index of others that may lower the last optimum: all, if the box holds nothing."""
        if not np.count_nonzero(self._aside) or (worths := worths_of(self._highs)) is None:
            return np.flatnonzero(self._aside)
        self._reduced = reduced = self._of_others.reduced(worths)
        cheap = np.flatnonzero((reduced < CHEAP) & self._aside)
        return cheap[np.argsort(reduced[cheap], kind="stable")[:KNOWN]]

    def optimum(self) -> Optimum:
        """The last optimum."""
        aside = self._aside
        left = np.count_nonzero(aside)
        others = self._others if left == len(aside) else self._others[aside]
        _, basic = self._highs.getBasicVariables()  # type: ignore[attr-defined]
        return Optimum(
            box=self._now,
            start=Start(self._known, others, self._highs.getBasis()),
            solution=self._highs.getSolution(),
            basic=basic,
            whole_rows=self._whole_rows,
            of_others=self._reduced[aside] if left else np.zeros(0),
        )

    def _know(self, columns: Ints, box: Box) -> None:
        """Let the solver know some more columns, held in a box."""
        some = self._matrix.chosen(columns)
        self._highs.addCols(
            len(columns),
            some.costs,
            box.least[columns],
            box.most[columns],
            len(some.entries),
            some.starts[:-1].astype(np.int32),
            some.rows.astype(np.int32),
            some.entries,
        )
        self._now = Box(self._now.least.copy(), self._now.most.copy(), self.columns)
        self._now.least[columns], self._now.most[columns] = box.least[columns], box.most[columns]

    def _hold(self, box: Box) -> None:
        new = (box.least != self._now.least) | (box.most != self._now.most)
        if len(at := np.flatnonzero(new[self._known]).astype(np.int32)):
            columns = self._known[at]
            self._highs.changeColsBounds(len(at), at, box.least[columns], box.most[columns])
        if len(at := np.flatnonzero(new[self.columns :]).astype(np.int32)):
            rows = self.columns + at
            self._highs.changeRowsBounds(  # type: ignore[attr-defined]
                len(at), at, box.least[rows], box.most[rows]
            )
        self._now = box
