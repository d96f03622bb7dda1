"""Patterns taken apart: boards, their segments, the strips of these; and put together anew.

A segment does for every place of its length on a board of its width, a strip for every place of its
width in a segment of its length. So the pieces of some patterns can be put together to many others,
at the sum of their costs: each piece bears the pay of the cuts that divide it, less the worth of
what it leaves beside its places; a board its price as well.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import NEVER, Ints
from optimizer.search.patterns import Pattern, Segment, Strip
from stock.lengths import Length

Place: TypeAlias = tuple[str, int, int, Length]
"""("board", 0, supply, its length), ("segment", lumber, board width, length), ("strip", lumber,
strip width, length of its segment) or ("blank", 0, kind, its length), by their numbers.
"""


@dataclass(frozen=True, slots=True)
class Piece:
    """What fills a ``place``, and the ``places`` it is divided into, in order; its cost in search
    units, what it was taken from.
    """

    place: Place
    places: tuple[Place, ...]
    cost: int
    like: Pattern | Segment | Strip


class Apart:
    """Takes patterns of one lumber, by its number, apart."""

    def __init__(self, lumber: int, table: CuttingTables) -> None:
        self.lumber, self.table = lumber, table
        self._supplies = {s: n for n, s in enumerate(table.supplies)}
        self._kinds = {kind: n for n, kind in enumerate(table.kinds)}
        self._strips = {width: n for n, width in enumerate(table.strips)}

    def pieces(self, pattern: Pattern) -> Iterator[Piece]:
        """All pieces of a pattern."""
        table, s = self.table, self._supplies[pattern.supply]
        board, usable = int(table.board_of_supply[s]), table.problem.supplies[pattern.supply].usable
        for segment in pattern.segments:
            yield from self._pieces_of(segment, board)
        lengths = [segment.length for segment in pattern.segments]
        cost = int(table.cost[s])
        if lengths != [usable]:
            items = [table.lengths.index(length) for length in lengths]
            room = int(table.room_of_supply[s] - table.board_table.sizes[items].sum())
            cost += len(items) * table.crosscut_pay - int(table.board_table.terminal[board, room])
        places = tuple(self._segment_place(board, length) for length in lengths)
        yield Piece(("board", 0, pattern.supply, usable), places, cost, pattern)

    def _pieces_of(self, segment: Segment, board: int) -> Iterator[Piece]:
        """A segment, and its strips if it is ripped."""
        table, place = self.table, self._segment_place(board, segment.length)
        if (kind := self._at_full_width(segment, board)) is not None:
            cost = -int(table.in_boards[board, self._kinds[kind]]) - table.crosscut_pay
            yield Piece(place, (self._blank(kind),), cost, segment)
            return
        row, rooms = table.rows.index(segment.length), table.rooms
        strips = [self._strip(strip, row) for strip in segment.all_strips]
        yield from strips
        cost = int(rooms.freed[row, board]) + len(strips) * table.rip_pay
        sides = [(rooms.below, segment.strips)]
        if rooms.two[row, board]:
            sides.append((rooms.above, segment.above))
        for room, side in sides:
            items = [self._strips[strip.width] for strip in side]
            left = int(room[row, board] - table.segment_table.sizes[items].sum())
            cost -= int(table.segment_table.terminal[row, left])
        yield Piece(place, tuple(strip.place for strip in strips), cost, segment)

    def _at_full_width(self, segment: Segment, board: int) -> int | None:
        """The kind of the one blank that a segment is, as wide as it comes."""
        strip = segment.all_strips[0]
        if len(segment.all_strips) > 1 or strip.width != self.table.boards[board]:
            return None
        kind = strip.blanks[0]
        single = self.table.problem.kinds[kind].length == segment.length
        return kind if single and self.table.in_boards[board, self._kinds[kind]] > NEVER else None

    def _strip(self, strip: Strip, row: int) -> Piece:
        table, width = self.table, self._strips[strip.width]
        kinds = [self._kinds[kind] for kind in strip.blanks]
        sizes = table.strip_table.sizes[table.item_of_kind[kinds]]
        left = int(table.row_rooms[row] - sizes.sum())
        worth = table.in_strips[width, kinds].sum() + table.strip_table.terminal[width, left]
        place = ("strip", self.lumber, width, table.rows[row])
        return Piece(place, tuple(map(self._blank, strip.blanks)), -int(worth), strip)

    def strips_beside(self, places: Iterable[Place], values: Ints) -> list[tuple[int, Piece]]:
        """For each place of a strip, and each length of blanks, the best strip with such a blank at
        ``values`` (by kind, search units): by how much the best one in this place betters it.
        """
        table, found = self.table, list[tuple[int, Piece]]()
        table.price(values)
        for _, _, width, length in places:
            row = table.rows.index(length)
            room = table.row_rooms[row]
            worths = table.strip_table.with_each_item(np.array(width), room)
            for first in np.flatnonzero(worths > NEVER // 2).tolist():
                strip = table.strip(width, row, first)
                found.append((int(worths.max() - worths[first]), self._strip(strip, row)))
        return found

    def _segment_place(self, board: int, length: Length) -> Place:
        return ("segment", self.lumber, board, length)

    def _blank(self, kind: int) -> Place:
        return ("blank", 0, kind, self.table.problem.kinds[kind].length)


def put_together(pieces: Iterable[tuple[Piece, int]]) -> Counter[Pattern]:
    """Boards out of so many of each piece. Where pieces lack, a place is not cut out."""
    waiting = defaultdict[Place, list[Piece]](list)
    for piece, count in pieces:
        waiting[piece.place] += count * [piece]

    def strip(at: Place) -> Strip | None:
        like = waiting[at].pop().like if waiting[at] else None
        return like if isinstance(like, Strip) else None

    def segment(at: Place) -> Segment | None:
        piece = waiting[at].pop() if waiting[at] else None
        if piece is None or not isinstance(piece.like, Segment):
            return None
        if piece.places[0][0] == "blank":
            return piece.like
        strips, below = list(map(strip, piece.places)), len(piece.like.strips)
        sides = (tuple(filter(None, side)) for side in (strips[:below], strips[below:]))
        return Segment(piece.like.length, *sides) if any(strips) else None

    boards: Counter[Pattern] = Counter()
    for at in [at for at in waiting if at[0] == "board"]:
        for board in waiting[at]:
            segments = tuple(filter(None, map(segment, board.places)))
            boards[Pattern(at[2], segments)] += bool(segments)
    return +boards
