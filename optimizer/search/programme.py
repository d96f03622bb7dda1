"""The linear programme.

Built once, and then grown: patterns join as columns, rounded sums of rows as rows, and the last
solution is a start for the next. The integer programme is the same with whole counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

import highspy
import numpy as np

from optimizer.search.answers import Linear
from optimizer.search.counts import Count, Range, Ranges, boards, bought, in_lots, made
from optimizer.search.first_rows import Entries, FirstRows, Floats
from optimizer.search.knapsack import Ints
from optimizer.search.model import model_of
from optimizer.search.money import CENT_PARTS, cents, money_units
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.rounded_rows import RoundedRows
from optimizer.search.solver import Basis, copy_of, run_linear

HALVED = 0.005
"""A count so far from whole is halved."""

AT_ONCE = 2_000
"""Columns whose entries in rounded rows are reckoned at once."""

MULTIPLES = tuple(sign * n for n in range(1, 8) for sign in (1, -1))
"""Multiples of the tableau's rows whose shares are tried."""


class Programme:
    """The linear programme of one problem; with ``lots`` it buys these and not their boards.

    ``lacking``: blanks may be lacking, at the price of a missing part, so that lay-ups can be held
    for which no pattern is known yet.
    """

    whole: ClassVar[bool] = False
    """Whether all counts are whole, sums are in cents, and lots are bought."""

    def __init__(self, problem: Problem, *, lots: bool = False, lacking: bool = False) -> None:
        self.problem, whole = problem, self.whole
        self.columns: list[Column] = []
        model = model_of(problem, whole=whole, lots=whole or lots)
        self._row, self._stores, self._lumber = model.row, model.stores, model.lumber
        self._held: dict[Count, Range] = {}
        self._kept: dict[int, int] = {}
        self.first = FirstRows(problem)
        self._stretches = problem.stretches
        self.rounded = RoundedRows(self.first.least)
        self._highs = copy_of(model.solver)
        self._made = {way: x.index for way, x in model.made.items()}
        self._missing = [part.index for part in model.missing]
        self._lots = [count.index for _, count in model.lots]
        if lacking:
            penalty = self._highs.getLp().col_cost_[self._missing[0]]
            kinds = range(len(problem.kinds))
            blanks = [{self._row["blank", kind, 0]: 1.0} for kind in kinds]
            self._append([penalty] * len(blanks), blanks, [highspy.kHighsInf] * len(blanks))
        self._first_column = self._highs.getNumCol()

    def add(self, columns: Sequence[Column]) -> None:
        """Let boards be cut by these patterns too; the last solution stays a start for the next."""
        rounded = (
            self.rounded.coefficients(self.first.of_columns(columns)) if len(self.rounded) else None
        )
        costs: list[float] = []
        entries: list[dict[int, float]] = []
        of_boards = {s: self._of_board(s) for s in {column.pattern.supply for column in columns}}
        for i, column in enumerate(columns):
            of_board, paid = of_boards[column.pattern.supply]
            blanks = {self._row["blank", kind, 0]: float(n) for kind, n in column.counts}
            entries.append(blanks | of_board)
            if rounded is not None:
                at = np.flatnonzero(rounded[:, i])
                entries[-1] |= dict(
                    zip((at + len(self._row)).tolist(), rounded[at, i].tolist(), strict=True)
                )
            costs.append(column.cost / CENT_PARTS - paid)
        self._append(costs, entries, self._most(columns))
        self.columns += columns

    def _most(self, columns: Sequence[Column]) -> Sequence[float]:
        """How many boards are cut by each at the most."""
        return [highspy.kHighsInf] * len(columns)

    def _of_board(self, s: int) -> tuple[dict[int, float], float]:
        """The rows beside blanks in which a board of a supply counts; what is paid for it there and
        not as its own cost (cents).
        """
        supply, paid = self.problem.supplies[s], 0.0
        entries = {self._row[boards(each)]: 1.0 for each in (s, *self._stretches.get(s, ()))}
        if supply.bought:
            entries[self._row[bought(self._lumber[supply.lumber])]] = 1.0
        if self._lots and supply.in_lots:
            entries[self._row["lot", s, 0]] = 1.0
            paid += cents(supply.share - supply.kept)
        if self.whole and supply.tax:
            entries[self._row["tax", self._stores.index(supply.store), 0]] = -cents(supply.tax)
            paid += cents(supply.tax)
        return entries, paid

    def _require(self, least: Floats, rows: Sequence[Entries]) -> None:
        """Rows that must each reach ``least``."""
        if not rows:
            return
        columns, amounts = (np.concatenate(each) for each in zip(*rows, strict=True))
        starts = np.cumsum([0, *(len(columns) for columns, _ in rows[:-1])])
        most = np.full(len(rows), highspy.kHighsInf)
        self._highs.addRows(len(rows), least, most, len(columns), starts, columns, amounts)

    def _append(
        self,
        costs: Sequence[float],
        entries: Sequence[Mapping[int, float]],
        most: Sequence[float],
    ) -> None:
        """Columns at these costs (cents), with their entries by row, and how often each at most."""
        first, count = self._highs.getNumCol(), len(costs)
        if not count:
            return
        sizes = [len(of_column) for of_column in entries]
        self._highs.addCols(
            count,
            np.array(costs),
            np.zeros(count),
            np.array(most),
            sum(sizes),
            np.cumsum([0, *sizes[:-1]]).astype(np.int32),
            np.array([row for of_column in entries for row in of_column], dtype=np.int32),
            np.array([n for of_column in entries for n in of_column.values()]),
        )
        if self.whole:
            new = np.arange(first, first + count, dtype=np.int32)
            whole = np.full(count, highspy.HighsVarType.kInteger)
            self._highs.changeColsIntegrality(count, new, whole)

    def hold(self, ranges: Ranges) -> None:
        """Hold counts in these ranges, and all others as the job does."""
        for count in self._held.keys() - ranges.keys():
            self._bound(count, self.free(count))
        for count, span in ranges.items():
            if self._held.get(count) != span:
                self._bound(count, span)
        self._held = dict(ranges)

    def free(self, count: Count) -> Range:
        """The range in which the job itself holds a count."""
        of_supply = count[0] == "boards"
        return Range(0, self.problem.supplies[count[1]].limit if of_supply else None)

    def _bound(self, count: Count, span: Range) -> None:
        most = highspy.kHighsInf if span.most is None else span.most
        if count[0] == "made":
            self._highs.changeColBounds(self._made[count[1:]], span.least, most)
        elif count[0] == "lots":
            self._highs.changeColBounds(self._lots[count[1]], span.least, most)
        else:
            self._highs.changeRowBounds(self._row[count], span.least, most)

    def keep(self, least: Mapping[int, int]) -> None:
        """Cut boards by these columns at least so often; by all others as often as serves."""
        for column in self._kept.keys() | least.keys():
            most = highspy.kHighsInf
            self._highs.changeColBounds(self._first_column + column, least.get(column, 0), most)
        self._kept = dict(least)

    def cut(self) -> Floats:
        """How many boards the last linear optimum cuts by each column."""
        return np.array(self._highs.getSolution().col_value)[self._first_column :]

    def solve_linear(self) -> Linear:
        """The linear optimum over the columns so far, warm from the last one."""
        cost = run_linear(self._highs)
        solution = self._highs.getSolution()
        duals, activity = np.array(solution.row_dual) * CENT_PARTS, solution.row_value
        value = solution.col_value
        rows = self._board_rows()
        counts = {count: activity[row] for count, row in rows.items()}
        counts |= {made(*way): value[index] for way, index in self._made.items()}
        counts |= {in_lots(n): value[index] for n, index in enumerate(self._lots)}
        asked = np.maximum(np.floor(self._of_rows(duals[None, :].copy())[0]), 0).astype(np.int64)
        extra = {count: int(duals[row]) for count, row in rows.items()}
        for whole, stretches in self._stretches.items():
            extra[boards(whole)] += sum(extra[boards(s)] for s in stretches)
        pays: dict[int, int] = {}
        for s, supply in enumerate(self.problem.supplies if self._lots else ()):
            if supply.in_lots:  # it pays what one more of the lot would save, not its share
                pays[s] = max(-int(duals[self._row["lot", s, 0]]), 0)
                extra[boards(s)] += money_units(supply.share - supply.kept) - pays[s]
        return Linear(
            value=cost,
            rows=asked[: len(self.first)],
            rounded=asked[len(self.first) :],
            blanks=asked[self.first.of_kinds],
            extra=extra,
            counts=counts,
            missing=any(value[part] > 1e-6 for part in self._missing),
            pays=pays,
            fees={row[1]: int(duals[n]) for row, n in self._row.items() if row[0] == "cuts"},
        )

    def _board_rows(self) -> dict[Count, int]:
        """The rows that count boards, of a supply or bought of a lumber."""
        return {count: row for count, row in self._row.items() if count[0] in ("boards", "lumber")}

    def basis(self) -> Basis:
        """Where the last optimum stands."""
        return self._highs.getBasis()

    def try_ranges(self, ranges: Ranges, start: Basis) -> float:
        """What the optimum over the columns so far costs with counts in ranges."""
        self.hold(ranges)
        return run_linear(self._highs, start)

    def nearest(self, most: int) -> list[Column]:
        """The columns, at most so many, whose reduced costs at the last optimum are least."""
        costs = np.array(self._highs.getSolution().col_dual)[self._first_column :]
        return [self.columns[i] for i in np.argsort(costs, kind="stable")[:most]]

    # rounded rows -------------------------------------------------------------------------------

    def round_off(self, most: int) -> int:
        """Add rounded rows, at most ``most``, of which the last linear optimum falls short."""
        value = np.array(self._highs.getSolution().col_value)
        used = np.flatnonzero(value > 1e-9)
        basic = np.asarray(self._highs.getBasicVariables()[1])  # type: ignore[attr-defined]
        far = np.where(basic >= 0, np.abs(value[np.maximum(basic, 0)] % 1 - 0.5), 1)
        tableau = [
            np.asarray(self._highs.getBasisInverseRow(int(row))[1])  # type: ignore[attr-defined]
            for row in np.argsort(far, kind="stable")
            if far[row] < 0.5 - HALVED
        ]
        if not tableau:
            return 0
        shares = self._of_rows(np.array(tableau))
        multiples = np.concatenate([n * shares for n in MULTIPLES])
        added = self.rounded.extend(multiples, self._entries(used), value[used], most)
        self._require_last(added)
        return added

    def lift(self, rounded: RoundedRows) -> None:
        """Let these rows, found over other patterns of the problem or on another way, hold too."""
        self.rounded.join(rounded)
        self._require_last(len(rounded))

    def _require_last(self, added: int) -> None:
        """The last rounded rows, so many, over all columns."""
        if not added:
            return
        new = slice(len(self.rounded) - added, len(self.rounded))
        every = np.arange(self._highs.getNumCol())
        blocks = (every[start : start + AT_ONCE] for start in range(0, len(every), AT_ONCE))
        rows = np.hstack([self.rounded.coefficients(self._entries(b))[new] for b in blocks])
        entries = [(np.flatnonzero(row), row[row != 0]) for row in rows]
        self._require(self.rounded.least()[new], entries)

    def round_off_beside(self, most: int, chance: np.random.Generator, spread: float) -> int:
        """Rounded rows of which the optimum at slightly wrong costs falls short."""
        right = np.array(self._highs.getLp().col_cost_)
        self.mistake(chance, spread)
        self._highs.run()
        added = self.round_off(most)
        self._highs.changeColsCost(len(right), np.arange(len(right), dtype=np.int32), right)
        return added

    def mistake(self, chance: np.random.Generator, spread: float) -> None:
        """Take all costs wrongly, by a share of each up to so large."""
        right = np.array(self._highs.getLp().col_cost_)
        wrong = right * chance.uniform(1 - spread, 1 + spread, len(right))
        self._highs.changeColsCost(len(wrong), np.arange(len(wrong), dtype=np.int32), wrong)

    def _of_rows(self, multipliers: Floats) -> Floats:
        """Of the solver's rows the first ones, as ``>=``, and the rounded ones."""
        multipliers[:, self.first.of_supplies] *= np.where(self.first.limited, -1, 0)
        return np.delete(multipliers, slice(len(self.first), len(self._row)), axis=1)

    def _entries(self, which: Ints) -> Floats:
        """``[first row, column]`` of some of the solver's columns, in order."""
        own = np.zeros((len(self.first), self._first_column))
        own[:, [self._made[way] for way in self.first.makings]] = self.first.of_makings
        own[:, self._missing] = self.first.of_missing()
        patterns = which[which >= self._first_column] - self._first_column
        of_patterns = self.first.of_columns([self.columns[i] for i in patterns.tolist()])
        return np.hstack([own[:, which[which < self._first_column]], of_patterns])

    def forget_slack(self) -> None:
        """Forget rounded rows that cost nothing at the linear optimum."""
        run_linear(self._highs)
        duals = np.array(self._highs.getSolution().row_dual)[len(self._row) :]
        kept = self.rounded.keep(duals > 1e-6)
        gone = (np.flatnonzero(~kept) + len(self._row)).astype(np.int32)
        if gone.size:
            self._highs.deleteRows(gone.size, gone)
