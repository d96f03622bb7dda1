"""The rows of every programme as numbers: parts made, blanks sawn, boards cut; all as ``>=``.

``[row, column]`` stands for: so much of what the row asks for comes with one of the column. A
lay-up makes its copies and takes its blanks (less than nothing); a pattern gives its blanks and
takes one board of those there are (−1 of at least −limit); that of an offcut cut whole, bad wood
and all, takes one of each of its sound stretches too. Rounded rows are sums of these.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from optimizer.search.knapsack import Ints
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from stock.lengths import Length

Floats = NDArray[np.float64]

Entries: TypeAlias = tuple[Ints, Floats]
"""Of a row: its columns, and how much with one of each."""


class FirstRows:
    """Rows of parts (made as often as asked for), kinds (sawn as often as taken), supplies (cut no
    more often than there are), in this order; ``least`` is what each must reach.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.of_parts = slice(0, len(problem.ways))
        self.of_kinds = slice(self.of_parts.stop, self.of_parts.stop + len(problem.kinds))
        self.of_supplies = slice(self.of_kinds.stop, self.of_kinds.stop + len(problem.supplies))
        self.makings = [(p, r) for p, ways in enumerate(problem.ways) for r in range(len(ways))]
        limits = [supply.limit for supply in problem.supplies]
        self.limited = np.array([limit is not None for limit in limits])
        self.limits = np.array([limit or 0 for limit in limits], dtype=np.int64)
        self.takes: NDArray[np.int8] = np.diag(self.limited.astype(np.int8))
        """``[supply, supply]``: of which limited ones a board of a supply takes one away."""
        for whole, stretches in problem.stretches.items():
            self.takes[whole, list(stretches)] = 1
        asked = np.array(problem.copies, dtype=np.float64)
        self.least: Floats = np.concatenate([asked, np.zeros(len(problem.kinds)), -self.limits])
        self.useful = problem.useful_blanks

    @cached_property
    def within(self) -> NDArray[np.bool_]:
        """``[supply, first row]``: in which rows patterns of a supply may have entries."""
        within = np.zeros((len(self.problem.supplies), len(self)), dtype=bool)
        within[:, self.of_supplies] = self.takes > 0
        for supplies, kinds in self.problem.by_lumber.values():
            boards = [self.problem.supplies[s] for s in supplies]
            blanks = [self.problem.kinds[k] for k in kinds]
            fits = _at_most([blank.length for blank in blanks], [b.usable for b in boards])
            fits &= _at_most([blank.width for blank in blanks], [b.width for b in boards])
            within[np.ix_(np.array(supplies), self.of_kinds.start + np.array(kinds))] = fits
        return within

    def __len__(self) -> int:
        return len(self.least)

    @cached_property
    def of_makings(self) -> Floats:
        """Columns of ``makings``, (part, way): its copies made, its blanks taken."""
        entries = np.zeros((len(self), len(self.makings)))
        for column, (part, way) in enumerate(self.makings):
            entries[part, column] = self.problem.ways[part][way].copies
            for kind, count in self.problem.ways[part][way].blanks:
                entries[self.of_kinds.start + kind, column] = -count
        return entries

    def of_missing(self) -> Floats:
        """Columns of parts that stay missing: counted as made."""
        return np.eye(len(self), self.of_parts.stop)

    def of_patterns(self, counts: Ints, supplies: Ints) -> Floats:
        """Columns of patterns: ``counts[pattern, kind]``, as far as useful, from ``supplies``."""
        entries = np.zeros((len(self), len(supplies)))
        entries[self.of_kinds] = np.minimum(counts, self.useful).T
        entries[self.of_supplies] = -self.takes[supplies].T
        return entries

    def of_columns(self, columns: Sequence[Column]) -> Floats:
        """The same of columns."""
        counts = np.zeros((len(columns), len(self.useful)), dtype=np.int64)
        for i, column in enumerate(columns):
            for kind, count in column.counts:
                counts[i, kind] = count
        supplies = np.array([column.pattern.supply for column in columns], dtype=np.int64)
        return self.of_patterns(counts, supplies)


def _at_most(blanks: Sequence[Length], boards: Sequence[Length]) -> NDArray[np.bool_]:
    """``[board, blank]``: whether the one length is no more than the other."""
    rank = {length: n for n, length in enumerate(sorted({*blanks, *boards}))}
    of_blanks, of_boards = (np.array([rank[ell] for ell in each]) for each in (blanks, boards))
    return of_blanks[None, :] <= of_boards[:, None]
