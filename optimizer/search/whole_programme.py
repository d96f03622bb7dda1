"""The integer programme: the best whole counts over the columns so far.

It ends when the watch says so. No count is open to above: the solver looks at all that a count may
be, up to a thousand, which can take longer than the linear optimum.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from math import ceil

import highspy
import numpy as np

from optimizer.search.answers import Attempt, Pending, Sum, Whole
from optimizer.search.first_rows import Entries, Floats
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.relaxation import Relaxation
from optimizer.search.solver import Running
from optimizer.search.watch import Watch

MANY_NODES = 20_000
FEW_NODES = 10
FEW_CUTS, MANY_CUTS = 100, 10_000
"""Where there are few nodes, cuts take most of the time: the solver keeps few, of the root."""

BLANKS_AT_LEAST = (1, 2)
"""Of a kind of blank, on a board."""

_COMPLETE = (
    highspy.HighsModelStatus.kOptimal,
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kObjectiveBound,
)


class WholeProgramme(Programme):
    """The programme with whole counts, sums in cents, and lots."""

    whole = True

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem)
        self._cents: Floats | None = None

    def _most(self, columns: Sequence[Column]) -> Sequence[float]:
        """No more than give a blank that may be of use, where more do not pay for themselves."""
        return [
            self._most_useful(column.counts) if column.cost >= 0 else highspy.kHighsInf
            for column in columns
        ]

    def _most_useful(self, blanks: Iterable[tuple[int, int]]) -> int:
        """So many times blanks, by kind and how many, are sawn, and no time is for nothing."""
        return max((ceil(self.first.useful[kind] / n) for kind, n in blanks if n), default=0)

    def solve_whole(
        self, watch: Watch, *, below: float | None = None, nodes: int = MANY_NODES
    ) -> Attempt:
        """The best whole counts over the columns so far, and a bound."""
        return self.begin_whole(watch, below=below, nodes=nodes).wait()

    def begin_whole(
        self,
        watch: Watch,
        *,
        below: float | None = None,
        enough: float | None = None,
        nodes: int = MANY_NODES,
        within: float = 0.0,
        seed: int = 0,
        quickly: bool = False,
    ) -> Pending:
        """Begin to look for the best whole counts, beside other work.

        Only what costs less than ``below`` cents is of interest. Ends with a plan of ``enough``
        cents or less, or ``within`` a share of the best, after ``nodes`` nodes, or when ``watch``
        says so. Another ``seed`` looks in another order. ``quickly`` where any plan below will do:
        the solver makes the programme smaller first, which costs proofs time, and does not search
        by reduced costs.
        """
        highs, few = self._highs, nodes <= FEW_NODES
        highs.setOptionValue("random_seed", seed)
        highs.setOptionValue("mip_rel_gap", within)
        highs.setOptionValue("mip_max_nodes", nodes)
        highs.setOptionValue("mip_pool_soft_limit", FEW_CUTS if few else MANY_CUTS)
        highs.setOptionValue("mip_allow_cut_separation_at_nodes", not few)
        highs.setOptionValue("objective_target", -highspy.kHighsInf if enough is None else enough)
        highs.setOptionValue("objective_bound", highspy.kHighsInf if below is None else below)
        highs.setOptionValue("mip_heuristic_run_root_reduced_cost", not quickly)
        highs.setOptionValue("presolve", "choose" if below is None or quickly else "off")
        running = Running(highs, watch)

        @cache
        def attempt() -> Attempt:
            running.wait()
            return self._attempt(below, within)

        return Pending(wait=attempt, stop=running.stop)

    def _attempt(self, below: float | None, within: float) -> Attempt:
        """What the solver came to, where it was to be below so many cents or within a share."""
        highs = self._highs
        info, status = highs.getInfo(), highs.getModelStatus()
        found = info.primal_solution_status == 2  # a feasible point
        found &= below is None or info.objective_function_value < below
        complete = status in _COMPLETE and not (found and within)
        bound = info.mip_dual_bound
        if complete and not found:
            bound = highspy.kHighsInf if below is None else below
        whole = None
        if found:
            whole = self.whole_of(highs.getSolution().col_value, info.objective_function_value)
        return Attempt(whole=whole, bound=bound, complete=complete)

    def relaxed(self) -> Relaxation:
        """The same with counts that need not be whole; from now on no column or row joins. Beside
        boards it counts blanks: what many patterns share moves the optimum more than one of them.
        """
        first = self._highs.getNumRow()
        counted = [*self._blanks_counted()]
        self._require(np.zeros(len(counted)), counted)
        of_blanks = range(first, self._highs.getNumRow())
        return Relaxation(self._highs, [*self._board_rows().values(), *of_blanks])

    def _blanks_counted(self) -> Iterator[Entries]:
        """Columns, and how much with each: how many blanks of a kind are sawn, and how many boards
        give at least so many of it.
        """
        of_kinds = defaultdict[int, list[tuple[int, int]]](list)
        for at, column in enumerate(self.columns, self._first_column):
            for kind, n in column.counts:
                of_kinds[kind].append((at, n))
        for of_kind in of_kinds.values():
            columns, counts = np.array(of_kind, dtype=np.int32).T
            yield columns, counts.astype(float)
            for least in BLANKS_AT_LEAST if counts.max() > 1 else ():
                enough = columns[counts >= least]
                yield enough, np.ones(len(enough))

    def begin_with(self, whole: Whole) -> None:
        """Look for whole counts from these on; their columns are among the programme's, or others
        with the same blanks from the same supply.
        """
        counts = dict.fromkeys(range(self._first_column, self._highs.getNumCol()), 0)
        counts |= {self._first_column + i: n for i, n in self._cuts(whole).items()}
        counts |= {index: whole.made.get(way, 0) for way, index in self._made.items()}
        counts |= dict(zip(self._missing, whole.missing, strict=True))
        counts |= dict(zip(self._lots, whole.lots, strict=True))
        at_columns = np.array(list(counts), dtype=np.int32)
        self._highs.setSolution(len(counts), at_columns, np.array([*counts.values()], dtype=float))

    def _cuts(self, whole: Whole) -> Counter[int]:
        """How often whole counts cut by each column."""
        found: Counter[int] = Counter()
        at = {column.key: i for i, column in enumerate(self.columns)}
        for column, count in whole.boards:
            found[at[column.key]] += count
        return found

    def _boards(self, counts: Sequence[int]) -> dict[Column, int]:
        """The boards where the columns have such counts."""
        return {column: n for column, n in zip(self.columns, counts, strict=True) if n}

    def keep_within(self, most: float, what: Sum | None = None) -> None:
        """No plan whose sum (of cents, if none is named) is more than ``most``."""
        amounts = self._amounts(what)
        at = np.flatnonzero(amounts).astype(np.int32)
        self._highs.addRow(-highspy.kHighsInf, most, len(at), at, amounts[at])

    def minimise(self, what: Sum | None) -> None:
        """Ask for the least sum of another kind; of cents, if none is named."""
        amounts = self._amounts(what)
        self._highs.changeColsCost(len(amounts), np.arange(len(amounts), dtype=np.int32), amounts)

    def _amounts(self, what: Sum | None) -> Floats:
        """Of each of the solver's columns; its cents stand from before the first other sum."""
        if self._cents is None:
            self._cents = np.array(self._highs.getLp().col_cost_)
        if what is None:
            return self._cents
        amounts = np.zeros(len(self._cents))
        amounts[[self._made[way] for way in what.ways]] = list(what.ways.values())
        amounts[self._lots] = what.lots
        amounts[self._first_column :] = what.columns
        return amounts

    def whole_of(self, values: Sequence[float], cost: float) -> Whole:
        """The whole counts that the solver's columns have so, but for its tolerance."""
        counts = [round(value) for value in values]
        return Whole(
            boards=tuple(self._boards(counts[self._first_column :]).items()),
            made={way: counts[index] for way, index in self._made.items() if counts[index]},
            missing=tuple(counts[part] for part in self._missing),
            lots=tuple(counts[lot] for lot in self._lots),
            cost=cost,
        )
