"""Every way to saw one board, by naive recursion: the second opinion on patterns.

A board is crosscut into segments, each as long as one blank (or left whole), a segment is ripped
into strips, each as wide as one blank, and a strip is crosscut into blanks; a blank narrower than
its strip is ripped to width last. A segment is not ripped where it is one blank; a whole board need
not be. Where a board loses its pith, every segment of which anything is sawn is ripped in two
first, and each half into strips as wide as one blank.
Nothing here imports ``optimizer``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, partial
from itertools import product
from math import floor
from typing import NamedTuple

Number = int | Fraction
Counts = tuple[int, ...]
Costs = dict[Counts, Number]  # how many blanks of each kind -> the least a piece sawn so costs


class Blank(NamedTuple):
    """A blank's rough length and width; with its own edges it comes from a board just as wide."""

    length: Number
    width: Number
    own_edges: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Saw:
    """Kerfs and limits of the saws, what a cut costs, and what a leftover length × width is worth.

    All lengths are in one unit and all money is in one unit; both are the caller's choice.
    """

    crosscut_kerf: Number
    rip_kerf: Number
    shortest_to_rip: Number
    longest_to_rip: Number
    narrowest_rip: Number
    sawing: str = "free"
    pay_per_crosscut: Number = 0
    pay_per_rip: Number = 0
    worth: Callable[[Number, Number], Number] = lambda _length, _width: 0

    def rips(self, length: Number, width: Number) -> bool:
        """May a strip or blank this long and wide be ripped off a wider piece?"""
        return self.shortest_to_rip <= length <= self.longest_to_rip and width >= self.narrowest_rip


class Piece(NamedTuple):
    """Something sawn off: how much of the room it takes, the blanks in it, what sawing it costs."""

    size: Number
    counts: Counts
    cost: Number


def side_by_side(
    room: Number,
    pieces: Iterable[Piece],
    kerf: Number,
    pay: Number,
    worth: Callable[[Number], Number],
    most: Counts,
) -> Costs:
    """Every way to saw pieces off one after another, until no room or no wish is left.

    A cut is paid for, and its kerf lost, wherever wood remains beyond it; what remains at the end
    is a leftover. Of two ways to the same blanks the cheaper one is kept: nothing else matters.
    """
    ways: dict[tuple[Counts, Number], Number] = {((0,) * len(most), room): 0}
    for size, counts, cost in pieces:
        fresh = dict(ways)
        while fresh:
            grown: dict[tuple[Counts, Number], Number] = {}
            for (held, left), spent in fresh.items():
                total = tuple(map(int.__add__, held, counts))
                if size > left or any(map(int.__gt__, total, most)):
                    continue
                beyond = left - size
                way = total, max(beyond - kerf, 0)
                price = spent + cost + (pay if beyond else 0)
                if way not in ways or price < ways[way]:
                    grown[way] = ways[way] = price
            fresh = grown
    costs: Costs = {}
    for (held, left), spent in ways.items():
        net = spent - worth(left) if left else spent
        if any(held) and (held not in costs or net < costs[held]):
            costs[held] = net
    return costs


def without_pith(
    length: Number,
    halves: tuple[Number, ...],
    blanks: Sequence[Blank],
    strip: Callable[[Number, Number], Costs],
    most: Counts,
    saw: Saw,
) -> Costs:
    """A segment ripped in two beside its pith, and each half into strips, or kept as it is."""
    if not saw.shortest_to_rip <= length <= saw.longest_to_rip:
        return {}

    def half(room: Number) -> Costs:
        ripped = {b.width for b in blanks if not b.own_edges and b.width >= saw.narrowest_rip}
        strips = [
            Piece(width, *way)
            for width in sorted(ripped)
            if width <= room
            for way in strip(length, width).items()
        ]
        kept = partial(saw.worth, length)
        found = side_by_side(room, strips, saw.rip_kerf, saw.pay_per_rip, kept, most)
        return {(0,) * len(most): -saw.worth(length, room), **found}

    costs: Costs = {}
    for (one, spent), (other, more) in product(*(half(room).items() for room in halves)):
        counts = tuple(map(int.__add__, one, other))
        cost = spent + more + 2 * saw.pay_per_rip
        if any(counts) and all(map(int.__le__, counts, most)):
            costs[counts] = min(cost, costs.get(counts, cost))
    return costs


def patterns(
    length: Number,
    width: Number,
    blanks: Sequence[Blank],
    most: Counts,
    saw: Saw,
    halves: tuple[Number, ...] = (),
) -> Costs:
    """Every useful set of blanks from one board (usable ``length`` × ``width``) and its least cost.

    ``most`` limits the copies of each blank; ``halves`` are what the pith leaves of the width where
    it is ripped out. The board itself and its end trims are not in it.
    """

    @cache
    def blank(number: int, strip_width: Number, ripped: bool) -> Piece | None:
        kind = blanks[number]
        counts = tuple(int(other == number) for other in range(len(blanks)))
        if kind.own_edges and (ripped or not kind.width == strip_width == width):
            return None
        if kind.width == strip_width:
            return Piece(kind.length, counts, 0)
        if kind.width > strip_width or not saw.rips(kind.length, kind.width):
            return None
        offcut = strip_width - kind.width - saw.rip_kerf
        worth = saw.worth(kind.length, offcut) if offcut > 0 else 0
        return Piece(kind.length, counts, saw.pay_per_rip - worth)

    def strip(strip_length: Number, strip_width: Number, ripped: bool = True) -> Costs:
        several = ripped or strip_length == length
        fitting = [
            piece
            for n in range(len(blanks))
            if several or blanks[n].length == strip_length
            if (piece := blank(n, strip_width, ripped)) is not None
        ]
        return side_by_side(
            strip_length,
            fitting,
            saw.crosscut_kerf,
            saw.pay_per_crosscut,
            lambda left: saw.worth(left, strip_width),
            most,
        )

    def segment(segment_length: Number) -> Costs:
        if halves:
            return without_pith(segment_length, halves, blanks, strip, most, saw)
        return whole_segment(segment_length)

    def whole_segment(segment_length: Number) -> Costs:
        widths = {
            b.width
            for b in blanks
            if not b.own_edges and b.width <= width and saw.rips(segment_length, b.width)
        }
        return side_by_side(
            width,
            [
                *(Piece(width, *way) for way in strip(segment_length, width, ripped=False).items()),
                *(
                    Piece(strip_width, *way)
                    for strip_width in sorted(widths)
                    for way in strip(segment_length, strip_width).items()
                ),
            ],
            saw.rip_kerf,
            saw.pay_per_rip,
            lambda left: saw.worth(segment_length, left),
            most,
        )

    whole: Costs = {} if saw.sawing == "crosscut first" else segment(length)
    if saw.sawing == "rip first":
        return whole
    crosscut = side_by_side(
        length,
        [
            Piece(segment_length, *way)
            for segment_length in sorted({b.length for b in blanks if b.length <= length})
            for way in segment(segment_length).items()
        ],
        saw.crosscut_kerf,
        saw.pay_per_crosscut,
        lambda left: saw.worth(left, width),
        most,
    )
    return {
        counts: min(costs[counts] for costs in (whole, crosscut) if counts in costs)
        for counts in whole | crosscut
    }


def best_value(
    length: Number, width: Number, blanks: Sequence[Blank], values: Sequence[Number], saw: Saw
) -> Number:
    """The most that one board can bring: its blanks at ``values`` and leftovers, less pay for cuts.

    At least one blank is sawn; copies are not limited. 0 where no blank fits.
    """
    most = tuple(floor(length / b.length) * floor(width / b.width) for b in blanks)
    return max(
        (
            sum(value * n for value, n in zip(values, counts, strict=True)) - cost
            for counts, cost in patterns(length, width, blanks, most, saw).items()
        ),
        default=0,
    )
