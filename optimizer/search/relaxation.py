"""An integer programme whose counts need not be whole, but are held in a box.

The box says what each count is at least and at most: the columns, then the rows. It is solved over
and over in other boxes, each time from where another one ended. Of most columns a box soon holds
none: the solver, whose time goes by how many there are, forgets these.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import compress

import highspy
import numpy as np

from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints
from optimizer.search.solver import NOTHING, Basis, is_solved, run_linear

BASIC = highspy.HighsBasisStatus.kBasic


@dataclass(frozen=True, slots=True)
class Box:
    """What each of so many ``columns``, and then each row, is at least and at most."""

    least: Floats
    most: Floats
    columns: int

    def within(self, ranges: Mapping[int, tuple[float, float]]) -> Box:
        """The same with some counts held in ranges."""
        box = Box(self.least.copy(), self.most.copy(), self.columns)
        for at, (least, most) in ranges.items():
            box.least[at], box.most[at] = least, most
        return box

    def of_only(self, columns: Ints) -> Box:
        """The same with none of the other columns."""
        box = Box(self.least, self.most.copy(), self.columns)
        box.most[: self.columns] = 0
        box.most[columns] = self.most[columns]
        return box

    def tightened(self, optimum: Optimum, gap: float) -> Box:
        """Without counts that cost more than the gap beyond the optimum, by their reduced costs."""
        room = np.floor(gap / np.maximum(np.abs(optimum.reduced), 1e-6) + 1e-9)
        box = Box(self.least.copy(), self.most.copy(), self.columns)
        least, most = box.least[: self.columns], box.most[: self.columns]  # views
        values = optimum.values[: self.columns]
        dear = (optimum.reduced > 1e-6) & (values <= least + 1e-9)
        most[dear] = np.minimum(most[dear], least[dear] + room[dear])
        cheap = (optimum.reduced < -1e-6) & (values >= most - 1e-9)
        least[cheap] = np.maximum(least[cheap], most[cheap] - room[cheap])
        return box


@dataclass(frozen=True, slots=True, eq=False)
class Start:
    """Where an optimum stands, to begin another one from that knows its ``columns`` only."""

    columns: Ints
    basis: Basis

    def within(self, box: Box) -> Start:
        """Without columns of which a box holds none, but for those that the basis needs."""
        statuses = self.basis.col_status
        kept = box.most[self.columns] > 0
        kept |= np.fromiter((status == BASIC for status in statuses), bool)
        basis = highspy.HighsBasis()
        basis.col_status, basis.row_status = [*compress(statuses, kept)], self.basis.row_status
        basis.valid, basis.alien = True, False
        return Start(self.columns[kept], basis)


@dataclass(frozen=True, slots=True)
class Optimum:
    """``values`` of columns, then rows; ``reduced`` costs of columns; where to begin from it."""

    values: Floats
    reduced: Floats
    start: Start


class Relaxation:
    """The solver, which knows the columns of the last start, or all; ``rows`` are counts too."""

    def __init__(self, highs: highspy.Highs, rows: Iterable[int]) -> None:
        self._highs = highs
        highs.setOptionValue("solve_relaxation", True)
        highs.setOptionValue("presolve", "off")
        highs.setOptionValue("simplex_scale_strategy", 0)
        highs.ensureColwise()  # type: ignore[attr-defined]
        lp = highs.getLp()
        self._costs, matrix = np.array(lp.col_cost_), lp.a_matrix_
        self._starts = np.array(matrix.start_, dtype=np.int64)
        self._rows, self._entries = np.array(matrix.index_), np.array(matrix.value_)
        self.columns = len(self._costs)
        self.counted = np.concatenate([np.arange(self.columns), self.columns + np.array([*rows])])
        """Columns and rows that are whole in a plan, by their place in a box."""
        self.all = Box(
            np.concatenate([lp.col_lower_, lp.row_lower_]),
            np.concatenate([lp.col_upper_, lp.row_upper_]),
            self.columns,
        )
        self._now = self.all
        self._every = self._known = np.arange(self.columns)

    def cost(self, box: Box, start: Start | None, below: float) -> float:
        """What the optimum in a box costs, which holds none but the columns of the start:
        ``NOTHING``, if that is not ``below``; ``-NOTHING``, if the solver does not come to an end.
        """
        columns = self._every if start is None else start.columns
        if columns is not self._known:
            self._know(columns, box)
        self._hold(box)
        self._highs.setOptionValue("objective_bound", below)
        value = run_linear(self._highs, None if start is None else start.basis)
        if not is_solved(self._highs):
            return -NOTHING
        return value if value < below else NOTHING

    def start(self) -> Start:
        """Where the last optimum stands."""
        return Start(self._known, self._highs.getBasis())

    def optimum(self) -> Optimum:
        """The last optimum."""
        solution = self._highs.getSolution()
        values, reduced = np.zeros(self.columns), np.zeros(self.columns)
        values[self._known], reduced[self._known] = solution.col_value, solution.col_dual
        return Optimum(
            values=np.concatenate([values, solution.row_value]),
            reduced=reduced,
            start=self.start(),
        )

    def _know(self, columns: Ints, box: Box) -> None:
        """Let the solver know these columns only, held in a box."""
        known = np.arange(len(self._known), dtype=np.int32)
        self._highs.deleteCols(len(known), known)
        starts, sizes = self._starts[columns], np.diff(self._starts)[columns]
        new_starts = np.cumsum(sizes) - sizes
        at = np.arange(sizes.sum()) + np.repeat(starts - new_starts, sizes)
        least, most = box.least[columns], box.most[columns]
        self._highs.addCols(
            len(columns),
            self._costs[columns],
            least,
            most,
            len(at),
            new_starts.astype(np.int32),
            self._rows[at],
            self._entries[at],
        )
        self._known, now = columns, self._now
        rows = slice(self.columns, None)
        self._now = Box(
            np.concatenate([box.least[: self.columns], now.least[rows]]),
            np.concatenate([box.most[: self.columns], now.most[rows]]),
            self.columns,
        )

    def _hold(self, box: Box) -> None:
        of_known = (box.least != self._now.least)[self._known]
        of_known |= (box.most != self._now.most)[self._known]
        at = np.flatnonzero(of_known).astype(np.int32)
        columns = self._known[at]
        self._highs.changeColsBounds(len(at), at, box.least[columns], box.most[columns])
        rows = slice(self.columns, None)
        new = (box.least[rows] != self._now.least[rows]) | (box.most[rows] != self._now.most[rows])
        for row in np.flatnonzero(new).tolist():
            place = self.columns + row
            self._highs.changeRowBounds(row, box.least[place], box.most[place])
        self._now = box
