"""The best way to cut one board, given what each blank is worth.

A board is crosscut into segments, each segment is ripped into strips, each strip is crosscut into
blanks, and a blank narrower than its strip is ripped once more. A segment is as long as one blank,
or is the whole board (rip first). So three knapsacks, one inside the other: the best strip of each
width for every length, the best segment of each length for every width, the best board. Gilmore and
Gomory (Multistage cutting stock problems of two and more dimensions, Operations Research 13, 1965)
price the patterns of the linear programme so.

Kerf by the usual trick: each item is a kerf longer, and so is the board. What remains of a strip, a
segment or a board may be kept, and enters as the terminal value of its table; the offcut beside a
narrower blank is part of that blank's value. Each item pays for the cut that frees it, and a piece
used up to the last tick gets its last cut back. All values are whole search units, all lengths
whole ticks, so the tables are exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache, partial

import numpy as np

from optimizer.search.board_widths import BoardWidths, Rooms
from optimizer.search.grid import Grid, Rounding, fit_grid
from optimizer.search.knapsack import NEVER, Ints, Knapsack
from optimizer.search.leftover_worths import LeftoverWorths
from optimizer.search.money import money_units
from optimizer.search.patterns import Column, Pattern, Segment, Segments, Strip
from optimizer.search.problem import Problem
from stock.lengths import Length, tape_step
from stock.pieces import Lumber
from stock.shop import Sawing

MOST_TICKS_ALONG = 60_000
MOST_TICKS_ACROSS = 24_000


class CuttingTables:
    """The tables of one lumber. ``price`` fills them for given values of the blank kinds.

    Rows and items: ``lengths`` are those of the blanks (segments and blanks end there), ``strips``
    the widths to which segments are ripped, ``boards`` the widths of the boards themselves.
    """

    def __init__(self, problem: Problem, lumber: Lumber, rounding: Rounding) -> None:
        self.problem, self.shop, self.lumber = problem, problem.shop, lumber
        self.supplies, self.kinds = problem.by_lumber[lumber]
        shop = self.shop
        kinds = [problem.kinds[k] for k in self.kinds]
        supplies = self._supplies = [problem.supplies[s] for s in self.supplies]
        self.lengths = sorted({kind.length for kind in kinds})
        self.strips = sorted(
            {k.width for k in kinds if not k.own_edges and k.width >= shop.narrowest_rip}
        )
        self.widths = BoardWidths(supplies)
        self.boards = self.widths.full
        self.item_of_kind = np.array([self.lengths.index(kind.length) for kind in kinds])
        self._by_length = np.argsort(self.item_of_kind, kind="stable")
        _, self._first_of_length = np.unique(np.sort(self.item_of_kind), return_index=True)
        self._of_length = np.split(self._by_length, self._first_of_length[1:])
        self.crosscut_into_segments = shop.sawing is not Sawing.RIP_FIRST
        whole = supplies if shop.sawing is not Sawing.CROSSCUT_FIRST else []
        self._whole = {s.usable for s in whole if self._may_be_ripped(s.usable)}
        of_blanks = filter(self._may_be_ripped, self.lengths)
        self.rows = sorted(self._whole.union(of_blanks if self.crosscut_into_segments else ()))

        marks = [tape_step(shop.unit)] if shop.offcut_value else []
        fit = partial(fit_grid, marks=marks, rounding=rounding, bits=bool(shop.pay))
        taken, given = [*self.lengths, shop.crosscut_kerf], [s.usable for s in supplies]
        self.along = fit(taken, given, most=MOST_TICKS_ALONG)
        taken = [*(kind.width for kind in kinds), shop.rip_kerf]
        given = [*self.boards, *self.widths.of_odd([*self.rows, *self.lengths])]
        self.across = fit(taken, given, most=MOST_TICKS_ACROSS)
        self.crosscut_kerf = self.along.taken(shop.crosscut_kerf)
        self.rip_kerf = self.across.taken(shop.rip_kerf)
        self._worths = LeftoverWorths(problem, lumber, self.along, self.across)
        a_minute = Fraction(shop.pay) / 60
        self.crosscut_pay = money_units(a_minute * Fraction(shop.minutes_per_crosscut))
        self.rip_pay = money_units(a_minute * Fraction(shop.minutes_per_rip))
        self.cost = np.array([money_units(s.cost) for s in supplies])
        self._lay_out_tables()
        self._values = np.full(len(kinds), NEVER)

    # what does not change from one pricing to the next ------------------------------------------

    def _lay_out_tables(self) -> None:
        along, across, supplies = self.along, self.across, self._supplies
        rooms = np.array([along.given(s.usable) for s in supplies]) + self.crosscut_kerf
        self.room_of_supply = rooms
        self.board_of_supply = np.array([self.widths.number(s) for s in supplies])
        of_board = np.zeros(len(self.boards), dtype=np.int64)
        np.maximum.at(of_board, self.board_of_supply, rooms)
        # As an item of its board a segment is taken, as the room of its strips it is given: on a
        # coarse grid for bounds these are not the same ticks.
        given = self.rows if along.rounding is Rounding.FOR_BOUNDS else self._whole
        ends = [along.given(ell) if ell in given else along.taken(ell) for ell in self.rows]
        longest = rooms.max()  # what is longer fits no board
        self.row_rooms = np.minimum(np.array(ends) + self.crosscut_kerf, longest).astype(np.int64)

        room_along = np.arange(longest + 1)
        in_row = slice(self.row_rooms.max(initial=0) + 1)
        room_across = np.arange(max(map(across.given, self.boards)) + self.rip_kerf + 1)
        rest_along = np.maximum(room_along - self.crosscut_kerf, 0)
        rest_across = np.maximum(room_across - self.rip_kerf, 0)
        of_strips = self._worths.of(rest_along[in_row], _column(map(across.given, self.strips)))
        of_segments = self._worths.of(_column(map(along.given, self.rows)), rest_across)
        of_boards = self._worths.of(rest_along, _column(map(across.given, self.boards)))
        lengths = np.array([along.taken(ell) for ell in self.lengths]) + self.crosscut_kerf
        widths = np.array([across.taken(w) for w in self.strips], dtype=np.int64) + self.rip_kerf
        # Where nothing remains the last cut is not made.
        of_strips[:, _nothing(along, room_along[in_row], lengths)] += self.crosscut_pay
        of_segments[:, _nothing(across, room_across, widths)] += self.rip_pay
        of_boards[:, _nothing(along, room_along, lengths)] += self.crosscut_pay
        self.strip_table = Knapsack(lengths, of_strips)
        self.segment_table = Knapsack(widths, of_segments)
        self.board_table = Knapsack(lengths, of_boards, of_board)

        ends_at = self.segment_lengths = [self._segment_length(length) for length in self.rows]
        self.rooms = Rooms(self.widths, ends_at, across.given, self.rip_kerf, self.rip_pay)
        row_of = {length: row for row, length in enumerate(self.rows)}
        self.row_of_length = [row_of.get(length, -1) for length in self.lengths]
        self.row_of_supply = np.array(
            [row_of[s.usable] if s.usable in self._whole else -1 for s in supplies]
        )
        self.in_strips = self._blank_values(self.strips, own_edges=False)
        self.in_boards = self._blank_values(self.boards, own_edges=True)

    def _may_be_ripped(self, length: Length) -> bool:
        shop = self.shop
        if self.lumber.thickness > 2 * shop.deepest_rip:
            return False
        return shop.shortest_to_rip <= length <= shop.longest_to_rip

    def _blank_values(self, widths: Sequence[Length], *, own_edges: bool) -> Ints:
        """``[strip width, kind]``: what a blank brings beside its own value, or NEVER.

        It pays its crosscut; narrower than its strip, it pays a rip too and leaves an offcut.
        """
        values = np.full((len(widths), len(self.kinds)), NEVER)
        narrower = list[tuple[int, int, int, int]]()
        for column, index in enumerate(self.kinds):
            kind = self.problem.kinds[index]
            rippable = kind.width >= self.shop.narrowest_rip and not kind.own_edges
            rippable = rippable and self._may_be_ripped(kind.length)
            length, least = self.along.given(kind.length), kind.width + self.shop.rip_kerf
            for row, full in enumerate(widths):
                width = self.widths.straight(row, kind.length) if own_edges else full
                straightened = own_edges and width < full
                if kind.width == width and not (kind.own_edges and (straightened or not own_edges)):
                    values[row, column] = -self.crosscut_pay
                elif rippable and kind.width < width:
                    beside = max(self.across.given(width - least), 0)
                    narrower.append((row, column, length, beside))
        rows, columns, lengths, besides = np.array(narrower, dtype=np.int64).reshape(-1, 4).T
        values[rows, columns] = self._worths.of(lengths, besides) - self.crosscut_pay - self.rip_pay
        return values

    # pricing -----------------------------------------------------------------------------------

    def price(self, values: Ints) -> Ints:
        """The best value of a board of each supply, blanks of kind k being worth ``values[k]``.

        ``values`` is indexed as ``problem.kinds``, the result as ``self.supplies``; search units.
        """
        own = values[list(self.kinds)]
        if not np.array_equal(own, self._values):  # else they are filled
            self._fill(own)
        return np.maximum(self._crosscut, self._ripped)

    def _fill(self, own: Ints) -> None:
        self._values = own
        self._of_strips, self._of_boards = self.in_strips + own, self.in_boards + own
        self._full = self._best_of_length(self._of_boards)
        self.strip_table.fill(self._best_of_length(self._of_strips))
        strips = np.arange(len(self.strips))
        ripped = self.strip_table.with_an_item(strips, self.row_rooms[:, None])
        self.segment_table.fill(np.maximum(ripped - self.rip_pay, NEVER))
        self.segment_best = self.rooms.best(self.segment_table)
        self.board_table.fill(np.maximum(self._full, self._ripped_segments()))
        by_item = self.board_table.with_each_item(self.board_of_supply, self.room_of_supply)
        self._first = by_item.argmax(axis=1)
        self._crosscut: Ints = by_item.max(axis=1)
        self._ripped = np.full(len(self.supplies), NEVER)
        whole = self.row_of_supply >= 0
        rows, boards = self.row_of_supply[whole], self.board_of_supply[whole]
        self._ripped[whole] = self.segment_best[rows, boards]
        # Boards have strips and segments in common.
        self.strip, self._crosscut_segment = cache(self._strip), cache(self._segment_of_length)

    def _best_of_length(self, values: Ints) -> Ints:
        """``[row, length]``: the best value among the kinds of a length."""
        by_length = values[:, self._by_length]
        return np.maximum(np.maximum.reduceat(by_length, self._first_of_length, axis=1), NEVER)

    def _best_kind(self, values: Ints, item: int) -> int:
        """The kind that brings the most, of those as long as ``lengths[item]``."""
        kinds = self._of_length[item]
        return self.kinds[int(kinds[values[kinds].argmax()])]

    def _ripped_segments(self) -> Ints:
        """``[board width, length]``: a segment as long as one blank, ripped into strips."""
        ripped = np.full((len(self.boards), len(self.lengths)), NEVER)
        if self.crosscut_into_segments:
            for item, row in enumerate(self.row_of_length):
                if row >= 0:
                    ripped[:, item] = self.segment_best[row] - self.crosscut_pay
        return np.maximum(ripped, NEVER)

    def column(self, s: int, values: Ints) -> Column:
        """The best pattern for supply ``self.supplies[s]`` at the last pricing, with its cost."""
        board = int(self.board_of_supply[s])
        if self._ripped[s] >= self._crosscut[s]:
            segment = self._segment(int(self.row_of_supply[s]), board)
            return self._costed(s, (segment,), int(self._ripped[s]), values)
        items = self.board_table.items(board, int(self.room_of_supply[s]), int(self._first[s]))
        return self._costed(s, self._crosscut_into(board, items), int(self._crosscut[s]), values)

    def columns(self, s: int, values: Ints, most: int) -> list[Column]:
        """Good patterns for the same, the ``most`` that are worth most: of the best with each
        length, or in a shop that rips first with each strip (where the pith comes out, only one).
        """
        board, row = int(self.board_of_supply[s]), int(self.row_of_supply[s])
        if self.crosscut_into_segments or self._ripped[s] < self._crosscut[s]:
            table, at, room = self.board_table, board, int(self.room_of_supply[s])
        elif self.rooms.two[row, board]:
            return [self.column(s, values)]
        else:
            table, at, room = self.segment_table, row, int(self.rooms.below[row, board])

        def segments(items: list[int]) -> Segments:
            if table is self.board_table:
                return self._crosscut_into(board, items)
            strips = tuple(self.strip(item, row) for item in items)
            return (Segment(self.segment_lengths[row], strips),)

        columns, worths = [], table.with_each_item(np.array(at), np.array(room))
        for first in np.argsort(-worths, kind="stable")[:most].tolist():
            if worths[first] > NEVER // 2:
                cut = segments(table.items(at, room, first))
                columns.append(self._costed(s, cut, int(worths[first]), values))
        return columns

    def _costed(self, s: int, segments: Segments, value: int, values: Ints) -> Column:
        """A column that is worth ``value``, where blanks are worth ``values``."""
        pattern = Pattern(self.supplies[s], segments)
        counts = pattern.counts()
        brought = sum(n * int(values[kind]) for kind, n in counts)
        return Column(pattern, counts, int(self.cost[s]) - (value - brought))

    def _crosscut_into(self, board: int, items: list[int]) -> Segments:
        return tuple(self._crosscut_segment(board, item) for item in items)

    def _segment_of_length(self, board: int, item: int) -> Segment:
        if self._full[board, item] < self.board_table.values[board, item]:
            return self._segment(self.row_of_length[item], board)
        kind = self._best_kind(self._of_boards[board], item)
        return Segment(self.lengths[item], (Strip(self.boards[board], (kind,)),))

    def _segment_length(self, length: Length) -> Length:
        """Of a segment that is ripped; on a coarse grid a little longer than its blank."""
        return length if length in self._whole else self.along.taken(length) * self.along.tick

    def _segment(self, row: int, board: int) -> Segment:
        sides = self.rooms.strips(self.segment_table, row, board)
        below, above = (tuple(self.strip(strip, row) for strip in side) for side in sides)
        return Segment(self.segment_lengths[row], below, above)

    def _strip(self, strip: int, row: int, first: int | None = None) -> Strip:
        """The best strip of a width in a row at the last pricing, or the best with a length."""
        items = self.strip_table.items(strip, int(self.row_rooms[row]), first)
        blanks = (self._best_kind(self._of_strips[strip], item) for item in items)
        return Strip(self.strips[strip], tuple(blanks))


def _nothing(grid: Grid, rooms: Ints, sizes: Ints) -> slice:
    """The rooms in which nothing may remain. For bounds each item off the grid, its kerf too, seems
    to leave up to a tick, and so does the board.
    """
    if grid.exact_blanks or grid.rounding is Rounding.FOR_PLANS or not len(sizes):
        return slice(1)
    return slice(2 * int(rooms[-1] // sizes.min()) + 1)


def _column(ticks: Iterable[int]) -> Ints:
    return np.array(list(ticks), dtype=np.int64)[:, None]
