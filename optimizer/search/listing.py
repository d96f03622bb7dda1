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
from dataclasses import dataclass
from functools import partial
from typing import TypeVar

import numpy as np

from optimizer.search.both_sides import segments_of
from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import Company, Fillings
from optimizer.search.first_rows import Floats
from optimizer.search.gap_inside import left_in_segments, left_in_strips
from optimizer.search.knapsack import NEVER, Ints, Knapsack
from optimizer.search.patterns import Column, Pattern, Segment, Strip
from optimizer.search.room_pieces import Counts, Pieces, T, joined
from optimizer.search.watch import Watch
from stock.lengths import Length

S = TypeVar("S")

STEPS_EACH = 10
"""Steps of the lists for each pattern that may come out of them."""


@dataclass(frozen=True, slots=True)
class Listed:
    """Patterns of one supply: ``counts[i, k]`` of ``kinds[k]``, ``costs[i]`` in search units."""

    supply: int
    kinds: tuple[int, ...]
    counts: Counts
    costs: Ints
    segments: Pieces[tuple[Segment, ...]]

    def __len__(self) -> int:
        return len(self.costs)

    def chosen(self, index: Ints) -> Listed:
        """Those of an index."""
        pieces = self.segments.chosen(index)
        return Listed(self.supply, self.kinds, pieces.counts, self.costs[index], pieces)

    def columns(self, index: Ints | None = None) -> Iterator[Column]:
        """All of them, or those of an index, for the programme. What their patterns are is put
        together when it is asked for; until then they hold all lists out of which they are made.
        """
        index = np.arange(len(self)) if index is None else index
        counts = self.counts[index]
        row, at = np.nonzero(counts)
        each = [*zip((self.kinds[k] for k in at.tolist()), counts[row, at].tolist(), strict=True)]
        ends = np.searchsorted(row, np.arange(len(index) + 1)).tolist()
        costs = self.costs[index].tolist()
        for n, i in enumerate(index.tolist()):
            pattern = Pattern(self.supply, partial(self.segments.what, i))
            yield Column(pattern, tuple(each[ends[n] : ends[n + 1]]), costs[n])


class Listing:
    """All patterns of one lumber near the best at ``values``; at most ``most`` at each level. In a
    ``beam`` so wide only the most promising of them.
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
    ) -> None:
        self.company, self.beam = company, beam
        self.table, self.most, self.watch = table, most, watch
        self.best = table.price(values)
        self.values, self.caps = values[list(table.kinds)], caps[list(table.kinds)]

    def lists(self, budgets: Ints) -> Iterator[Listed]:
        """Patterns of each supply whose deficit is at most its budget (negative: none).

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
            most, budget = STEPS_EACH * self.most, budgets[row, board]
            segments = segments_of(table, row, board, each, budget, most)
            found[row, board] = self._best_of(segments) if len(each) > 1 else segments
        return found

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
        tops, least = table.board_table.with_an_item(boards, rooms), (self.best - budgets)[supplies]
        lists = self._fillings(
            table.board_table,
            boards,
            rooms,
            tops - least,
            {board: self._crosscut_segments(board, ripped) for board in np.unique(boards).tolist()},
            None if self.company is None else self.company.enough[supplies],
        )
        every, of_supply = [_filled(lists)], [lists.room]
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
        return Fillings(
            table,
            rows,
            rooms,
            budgets,
            joined([*pieces.values()]),
            of_rows,
            self.caps,
            STEPS_EACH * self.most,
            self.watch,
            None if enough is None else self.company,
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
