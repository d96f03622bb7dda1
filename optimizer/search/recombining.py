"""Whole counts of pieces: patterns are taken apart, and put together anew.

How many boards are crosscut into which segments, how many of these are ripped into which strips,
how many of these are crosscut into which blanks: no more of each sort than there are places for. A
few hundred patterns so stand for very many, and plans are found that none of them is part of (the
two stages of Gilmore and Gomory, Multistage cutting stock problems of two and more dimensions,
Operations Research 13, 1965, with whole counts and one stage more).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from operator import itemgetter

import numpy as np

from optimizer.search.answers import Pending, Whole
from optimizer.search.apart import Apart, Piece, Place, put_together
from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import Ints
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, Pattern
from optimizer.search.problem import Problem
from optimizer.search.standing import Standing
from optimizer.search.whole_programme import WholeProgramme
from stock.shop import Sawing

MANY_BESIDE = 1_000
"""Strips near the best ones that join those of all patterns."""

NODES, NODES_NEAR_BOUND, NODES_QUICKLY = 1, 100, 10


class Recombined(WholeProgramme):
    """The integer programme over pieces."""

    def __init__(self, problem: Problem, tables: Sequence[CuttingTables]) -> None:
        super().__init__(problem)
        self._apart = [Apart(lumber, table) for lumber, table in enumerate(tables)]
        self._of_supply = {s: apart for apart in self._apart for s in apart.table.supplies}
        self._pieces: list[Piece] = []
        self._at: dict[tuple[Place, frozenset[tuple[Place, int]]], int] = {}
        self._rows: dict[Place, int] = {}

    def add(self, columns: Sequence[Column]) -> None:
        """Let boards, segments and strips be cut as in these patterns."""
        self._join(piece for column in columns for piece in self._taken_apart(column.pattern))

    def add_beside(self, values: Ints, most: int) -> None:
        """Strips that are hardly worse than the best of their widths and lengths at ``values`` (by
        kind, search units), the ``most`` that lose least.
        """
        beside = list[tuple[int, Piece]]()
        for apart in self._apart:
            places = (p for p in self._rows if p[:2] == ("strip", apart.lumber))
            beside += apart.strips_beside(places, values)
        beside = [each for each in beside if self._key(each[1]) not in self._at]
        self._join(piece for _, piece in sorted(beside, key=itemgetter(0))[:most])

    def _join(self, pieces: Iterable[Piece]) -> None:
        fresh = dict[object, Piece]()
        for piece in pieces:
            if (key := self._key(piece)) not in self._at:
                self._at[key] = len(self._at)
                fresh[key] = piece
        costs, entries, most = list[float](), list[dict[int, float]](), list[float]()
        for piece in fresh.values():
            sort, _, number, _ = piece.place
            filled: dict[int, float] = {}
            paid = 0.0
            if sort == "board":
                filled, paid = self._of_board(number)
            else:
                filled[self._row_of(piece.place)] = -1.0
            cut_out = Counter(map(self._row_of, piece.places))
            entries.append(filled | {row: float(n) for row, n in cut_out.items()})
            costs.append(piece.cost / CENT_PARTS - paid)
            most.append(self._most_of(piece))
        self._append(costs, entries, most)
        self._pieces += fresh.values()

    def _most_of(self, piece: Piece) -> int:
        """How many of a piece give a blank that may be of use: of strips just as many, of others no
        more.
        """
        if piece.place[0] == "strip":
            return self._most_useful(Counter(kind for _, _, kind, _ in piece.places).items())
        return int(self.first.useful.sum())

    def _row_of(self, place: Place) -> int:
        """The row of a place, at least as many of which are cut out as are filled."""
        sort, _, number, _ = place
        if sort == "blank":
            return self._row["blank", number, 0]
        if place not in self._rows:
            self._rows[place] = self._highs.getNumRow()
            self._require(np.zeros(1), [(np.zeros(0, dtype=np.int64), np.zeros(0))])
        return self._rows[place]

    def _key(self, piece: Piece) -> tuple[Place, frozenset[tuple[Place, int]]]:
        return piece.place, frozenset(Counter(piece.places).items())

    def _taken_apart(self, pattern: Pattern) -> Iterable[Piece]:
        return self._of_supply[pattern.supply].pieces(pattern)

    def _cuts(self, whole: Whole) -> Counter[int]:
        found: Counter[int] = Counter()
        for column, count in whole.boards:
            for piece in self._taken_apart(column.pattern):
                found[self._at[self._key(piece)]] += count
        return found

    def _boards(self, counts: Sequence[int]) -> dict[Column, int]:
        found: dict[Column, int] = {}
        for pattern, count in put_together(zip(self._pieces, counts, strict=True)).items():
            cost = sum(piece.cost for piece in self._taken_apart(pattern))
            found[Column(pattern, pattern.counts(), cost)] = count
        return found


class Recombining:
    """Better plans out of the pieces of patterns."""

    def __init__(
        self, problem: Problem, tables: Sequence[CuttingTables], standing: Standing
    ) -> None:
        self.problem, self.tables, self.standing = problem, tables, standing
        self._places = all(table.along.exact_blanks for table in tables)

    def run(self, columns: Sequence[Column], worths: Ints, *, beside: int, seed: int) -> None:
        """Better plans near the best one, out of the pieces of these patterns, and out of strips
        ``beside``, at most so many, near the best ones at ``worths`` (by kind, search units). With
        another ``seed`` the solver looks in another order.
        """
        for pending in self.begin(columns, worths, beside=beside, seed=seed):
            pending.wait()

    def begin(
        self, columns: Sequence[Column], worths: Ints, *, beside: int, seed: int
    ) -> Iterator[Pending]:
        """Begin to, beside other work, if there are pieces."""
        if self._places and ripped(columns):
            programme = self._programme(columns, worths, beside)
            yield self.standing.begin_to_improve_by(programme, nodes=NODES, seed=seed)

    def run_near_bound(self, columns: Sequence[Column], worths: Ints) -> None:
        """The same where few costs lie between plan and bound, with strips near the best ones at
        ``worths`` (by kind, search units): first quickly a plan that meets the bound, then longer
        too where boards are ripped first, for there it is mostly met; else any better one.
        """
        if not (self._places and ripped(columns)):
            return
        programme = self._programme(columns, worths, MANY_BESIDE)
        self.standing.meet_bound(programme, nodes=NODES_QUICKLY, quickly=True)
        if not self.standing.open:
            return
        if self.problem.shop.sawing is Sawing.RIP_FIRST:
            self.standing.meet_bound(programme, nodes=NODES_NEAR_BOUND)
        else:
            self.standing.improve_by(programme, nodes=NODES_NEAR_BOUND)

    def _programme(self, columns: Sequence[Column], worths: Ints, beside: int) -> Recombined:
        assert self.standing.whole is not None
        programme = Recombined(self.problem, self.tables)
        programme.add([*columns, *(column for column, _ in self.standing.whole.boards)])
        programme.add_beside(worths, beside)
        return programme


def ripped(columns: Iterable[Column]) -> bool:
    """Whether any board is ripped into several strips. If none is, its pieces are no more than
    patterns.
    """
    segments = (segment for column in columns for segment in column.pattern.segments)
    return any(len(segment.all_strips) > 1 for segment in segments)
