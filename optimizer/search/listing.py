"""Lists all patterns that a better plan could use.

At the worths of the linear optimum every pattern costs more than its blanks bring, by its *reduced
cost*; a plan that uses it costs at least the bound and that. So patterns whose reduced cost exceeds
the gap between the best plan and the bound need not be looked at, and often few remain (the nested
form of the reduced-cost enumeration that Baldacci, Christofides and Mingozzi used for vehicle
routes, Mathematical Programming 115, 2008).

Each step of a table has a *deficit*: the table's value less what is achieved by this step. Boards
whose deficits sum to at most the gap are listed out of segments, these out of strips; how much of
the gap is left inside a segment or a strip is known from the tables beforehand. At each level a
piece is dropped that another from the same room betters: as many useful blanks of each kind, and a
rest worth as much. Nothing is added that brings only blanks of which the job has enough.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import TypeVar

import numpy as np

from optimizer.search.both_sides import segments_of
from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import Company, Fillings, TooManyError
from optimizer.search.first_rows import Floats
from optimizer.search.gap_inside import left_in_segments, left_in_strips
from optimizer.search.knapsack import NEVER, Ints, Knapsack
from optimizer.search.listed import Listed
from optimizer.search.patterns import Segment, Strip
from optimizer.search.room_pieces import Pieces, T, joined
from optimizer.search.watch import Watch
from optimizer.search.yielding import YieldingFillings
from stock.lengths import Length

S = TypeVar("S")

STEPS_EACH, FEWER_STEPS = 10, 4
"""Steps of the lists for each pattern that may come out of them; and of those that yield."""


class Listing:
    """All patterns of one lumber near the best at ``values``; at most ``most`` at each level. In a
    ``beam`` so wide only the most promising of them. A ``yielding`` one has no more because all
    budgets shrink, by ``yielded``.
    """

    def __init__(
        self,
        table: CuttingTables,
        values: Ints,
        caps: Ints,
        most: int,
        watch: Watch,
        company: Company | None = None,
        beam: int | None = None,
        yielding: bool = False,
    ) -> None:
        self.company, self.beam = company, beam
        self.yielding, self.yielded = yielding, 0
        self.table, self.watch = table, watch
        self.most = most * (FEWER_STEPS if yielding else STEPS_EACH)
        self.best = table.price(values)
        self.values, self.caps = values[list(table.kinds)], caps[list(table.kinds)]

    def lists(self, budgets: Ints) -> Iterator[Listed]:
        """Patterns of each supply whose deficit is at most its budget (negative: none), less all
        that is ``yielded`` in the end.

        Raises TooManyError.
        """
        table = self.table
        wanted = [s for s, b in enumerate(budgets) if b >= 0 and self.best[s] > NEVER // 2]
        pieces = left_in_segments(table, self.best, wanted, budgets)
        strips = self._list_strips(left_in_strips(table, pieces))
        ripped = self._list_segments(pieces, strips)
        yield from self._list_boards(wanted, budgets, ripped)

    # lists --------------------------------------------------------------------------------------

    def _list_strips(self, budgets: dict[int, dict[int, int]]) -> dict[int, list[Pieces[Strip]]]:
        """For each row: strips of each width from a segment of it, crosscut into blanks."""
        table, found = self.table, defaultdict[int, list[Pieces[Strip]]](list)
        sides = [(strip, row, left) for strip in budgets for row, left in budgets[strip].items()]
        if not sides:
            return found
        strips, rows, left = np.array(sides).T
        sizes, blanks = table.strip_table.sizes, list[Pieces[int]]()
        for strip in budgets:
            fitting = np.flatnonzero(table.in_strips[strip] > NEVER // 2)
            what = partial(_kind, table.kinds, fitting)
            blanks.append(self._blanks(fitting, sizes, table.in_strips[strip], what))
        lists = self._fillings(
            table.strip_table,
            strips,
            table.row_rooms[rows],
            left,
            dict(zip(budgets, blanks, strict=True)),
        )
        size = table.segment_table.sizes[strips[lists.room]]
        of_width = partial(_strip, [table.strips[strip] for strip in strips], lists)
        pieces = Pieces(size, lists.values - table.rip_pay, lists.counts, of_width)
        best = self._best_of_rooms(pieces, lists.room, len(rows))
        for row, each in zip(rows.tolist(), best, strict=True):
            found[row].append(each)
        return found

    def _list_segments(
        self, budgets: dict[tuple[int, int], int], strips: dict[int, list[Pieces[Strip]]]
    ) -> dict[tuple[int, int], Pieces[Segment]]:
        """For each (row, board width): segments of it, ripped into strips."""
        table, found = self.table, dict[tuple[int, int], Pieces[Segment]]()
        sides = [
            (row, board, room, budget - beside)
            for (row, board), budget in budgets.items()
            for room, beside in table.rooms.sides(table.segment_table, row, board)
            if row in strips
        ]
        if not sides:
            return found
        rows, boards, rooms, left = np.array(sides).T
        lists = self._fillings(
            table.segment_table,
            rows,
            rooms,
            left,
            {row: joined(strips[row]) for row in np.unique(rows).tolist()},
            None if self.company is None else self.company.enough_of(rows, boards),
        )
        best = self._best_of_rooms(_filled(lists), lists.room, len(rooms))
        filled = defaultdict[tuple[int, int], list[Pieces[tuple[Strip, ...]]]](list)
        for (row, board, *_), side in zip(sides, best, strict=True):
            filled[row, board].append(side)
        for (row, board), each in filled.items():
            segments = self._segments(row, board, each, budgets[row, board])
            found[row, board] = self._best_of(segments) if len(each) > 1 else segments
        return found

    def _segments(
        self, row: int, board: int, sides: Sequence[Pieces[tuple[Strip, ...]]], budget: int
    ) -> Pieces[Segment]:
        """Segments of a row and board; where too many, half the budget is yielded until they are
        not.
        """
        while True:
            left = budget - self.yielded
            try:
                return segments_of(self.table, row, board, sides, left, self.most)
            except TooManyError:
                if not self.yielding or left < 0:
                    raise
                self.yielded += left // 2 + 1

    def _crosscut_segments(
        self, board: int, ripped: dict[tuple[int, int], Pieces[Segment]]
    ) -> Pieces[Segment]:
        """Segments as long as one blank: the blank at full width, or strips."""
        table, pieces = self.table, list[Pieces[Segment]]()
        worths, sizes = table.in_boards[board], table.board_table.sizes
        of_length = table.item_of_kind
        for item, row in enumerate(table.row_of_length):
            fitting = np.flatnonzero((of_length == item) & (worths > NEVER // 2))
            length, width = table.lengths[item], table.boards[board]
            what = partial(_whole_width, length, width, partial(_kind, table.kinds, fitting))
            pieces.append(self._blanks(fitting, sizes, worths, what))
            if table.crosscut_into_segments and (row, board) in ripped:
                strips = ripped[row, board]
                size = np.full(len(strips), sizes[item])
                values = strips.values - table.crosscut_pay
                pieces.append(Pieces(size, values, strips.counts, strips.what))
        every, of_lengths = joined(pieces), np.sort(sizes)
        lengths = np.searchsorted(of_lengths, every.sizes)
        return joined(self._best_of_rooms(every, lengths, len(of_lengths)))

    def _list_boards(
        self,
        wanted: list[int],
        budgets: Ints,
        ripped: dict[tuple[int, int], Pieces[Segment]],
    ) -> Iterator[Listed]:
        table = self.table
        supplies = sorted(wanted, key=lambda s: table.board_of_supply[s])
        if not supplies:
            return
        boards, rooms = table.board_of_supply[supplies], table.room_of_supply[supplies]
        tops = table.board_table.with_an_item(boards, rooms)
        lists = self._fillings(
            table.board_table,
            boards,
            rooms,
            tops - (self.best - budgets)[supplies],
            {board: self._crosscut_segments(board, ripped) for board in np.unique(boards).tolist()},
            None if self.company is None else self.company.enough[supplies],
        )
        every, of_supply = [_filled(lists)], [lists.room]
        least = (self.best - budgets)[supplies] + self.yielded
        for n, s in enumerate(supplies):
            row, board = int(table.row_of_supply[s]), int(boards[n])
            if (row, board) in ripped:
                whole = ripped[row, board]
                whole = whole.chosen(np.flatnonzero(whole.values >= least[n]))
                alone = partial(_alone, whole.what)
                every.append(Pieces(whole.sizes, whole.values, whole.counts, alone))
                of_supply.append(np.full(len(whole), n))
        best = self._best_of_rooms(joined(every), np.concatenate(of_supply), len(supplies))
        for s, pieces in zip(supplies, best, strict=True):
            costs = table.cost[s] - pieces.rests(self.values)
            yield Listed(table.supplies[s], table.kinds, pieces.counts, costs, pieces)

    def _fillings(
        self,
        table: Knapsack,
        rows: Ints,
        rooms: Ints,
        budgets: Ints,
        pieces: dict[int, Pieces[S]],
        enough: Floats | None = None,
    ) -> Fillings[S]:
        """Of rooms of rows, by the pieces of each row; in company, if it is said what is enough."""
        of_rows = np.repeat([*pieces], [len(each) for each in pieces.values()])
        every = joined([*pieces.values()])
        if self.yielding:
            left = budgets - self.yielded
            fillings = YieldingFillings(
                table, rows, rooms, left, every, of_rows, self.caps, self.most, self.watch
            )
            self.yielded += fillings.yielded
            return fillings
        company = None if enough is None else self.company
        return Fillings(
            table,
            rows,
            rooms,
            budgets,
            every,
            of_rows,
            self.caps,
            self.most,
            self.watch,
            company,
            enough,
            self.beam,
        )

    # pieces -------------------------------------------------------------------------------------

    def _blanks(
        self, fitting: Ints, sizes: Ints, worths: Ints, what: Callable[[int], T]
    ) -> Pieces[T]:
        """The kinds that fit, each as one blank."""
        counts = np.zeros((len(fitting), len(self.values)), dtype=np.int16)
        counts[np.arange(len(fitting)), fitting] = 1
        size = sizes[self.table.item_of_kind[fitting]]
        return Pieces(size, worths[fitting] + self.values[fitting], counts, what)

    def _best_of(self, pieces: Pieces[T]) -> Pieces[T]:
        return pieces.undominated(self.values, self.caps)

    def _best_of_rooms(self, pieces: Pieces[T], rooms: Ints, count: int) -> list[Pieces[T]]:
        return pieces.undominated_of(rooms, count, self.values, self.caps)


def _kind(kinds: tuple[int, ...], fitting: Ints, i: int) -> int:
    return kinds[int(fitting[i])]


def _strip(widths: Sequence[Length], lists: Fillings[int], i: int) -> Strip:
    return Strip(widths[int(lists.room[i])], lists.what(i))


def _whole_width(length: Length, width: Length, kind: Callable[[int], int], i: int) -> Segment:
    return Segment(length, (Strip(width, (kind(i),)),))


def _filled(lists: Fillings[S]) -> Pieces[tuple[S, ...]]:
    """Fillings as pieces; which room they fill is known, so no size."""
    none = np.zeros(len(lists.values), dtype=np.int64)
    return Pieces(none, lists.values, lists.counts, lists.what)


def _alone(segment: Callable[[int], Segment], i: int) -> tuple[Segment]:
    return (segment(i),)
