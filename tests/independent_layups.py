"""Every way of making a part, restated from the trade's rules: the second opinion on lay-ups.

Solid as bought or planed, face glue-ups of equal plies, edge glue-ups of equal strips. Lengths are
inches, money is cents, both exact. Nothing here imports ``optimizer``; treated wood is left out.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil
from typing import NamedTuple, Protocol

from stock.pieces import Lumber
from stock.shop import Shop
from tests.independent_sawing import Blank


class PartLike(Protocol):
    """The attributes of a part that are read here; measures finished, in inches."""

    @property
    def copies(self) -> int: ...
    @property
    def length_with_tenons(self) -> Fraction: ...
    @property
    def width(self) -> Fraction: ...
    @property
    def thickness(self) -> Fraction: ...
    @property
    def thickness_at_least(self) -> Fraction | None: ...
    @property
    def wood(self) -> str: ...
    @property
    def make(self) -> str: ...
    @property
    def faces(self) -> str: ...


class Board(NamedTuple):
    """Equal boards: usable length, cost in cents (tax and trims included), how many there are.

    One that is bought in a lot has its name there, and costs here what it is worth unsawn.
    """

    lumber: Lumber
    width: Fraction
    length: Fraction
    cost: Fraction
    limit: int | None
    store: str = ""
    in_lot: str = ""


class LayUp(NamedTuple):
    """One way of making one copy of a part: ``number`` equal blanks, glue and time in cents."""

    lumber: Lumber
    blank: Blank
    number: int
    cost: Fraction
    over_planed: bool = False


def layups(part: PartLike, shop: Shop, boards: Iterable[Board]) -> list[LayUp]:
    """Every way of making the part; over-planed ones only where nothing else can make it."""
    widths: dict[Lumber, set[Fraction]] = defaultdict(set)
    for board in boards:
        if not board.lumber.treated and part.wood.casefold() in ("", board.lumber.wood.casefold()):
            widths[board.lumber].add(board.width)
    found: list[LayUp] = []
    for lumber in sorted(widths):
        if part.make != "glued":
            found += solid(part, shop, lumber, widths[lumber])
        if part.make != "solid":
            found += face_glued(part, shop, lumber)
            found += edge_glued(part, shop, lumber, widths[lumber])
    fitting = [
        way
        for way in found
        if any(
            way.lumber == b.lumber and way.blank.length <= b.length and way.blank.width <= b.width
            for b in boards
        )
    ]
    return [way for way in fitting if not way.over_planed] or fitting


def solid(part: PartLike, shop: Shop, lumber: Lumber, own_widths: set[Fraction]) -> Iterator[LayUp]:
    thick = lumber.thickness
    wanted = part.thickness
    if part.faces != "planed" and (
        abs(thick - wanted) <= shop.as_bought_within
        or (part.thickness_at_least is not None and part.thickness_at_least <= thick <= wanted)
    ):
        rips = shop.shortest_to_rip <= part.length_with_tenons <= shop.longest_to_rip
        own_edges = not rips or part.width < shop.narrowest_rip
        blank = Blank(part.length_with_tenons, part.width, own_edges)
        yield LayUp(lumber, blank, 1, Fraction(0))
    length = round_up(part.length_with_tenons + shop.extra_length, shop)
    enough = thick - 2 * (shop.skim_per_face + shop.last_pass_per_face) >= wanted
    if part.faces == "as bought" or not enough or not planes(length, part.width, shop):
        return
    cost = glue_and_time(shop, faces=2, lines=0, line_area=Fraction(0))
    width = round_up(part.width + 2 * shop.jointing_per_edge, shop)
    if planes(length, width, shop):
        yield LayUp(lumber, Blank(length, width), 1, cost)
    if part.width in own_widths:
        yield LayUp(lumber, Blank(length, part.width, own_edges=True), 1, cost)


def face_glued(part: PartLike, shop: Shop, lumber: Lumber) -> Iterator[LayUp]:
    thick = lumber.thickness
    length = round_up(part.length_with_tenons + shop.extra_length, shop)
    width = round_up(part.width + 2 * shop.jointing_per_edge + shop.slip, shop)
    if part.faces == "as bought":
        for plies in range(2, shop.most_plies + 1):
            if abs(plies * thick - part.thickness) <= shop.as_bought_within:
                cost = glue_and_time(shop, faces=0, lines=plies - 1, line_area=length * width)
                yield LayUp(lumber, Blank(length, width), plies, cost)
        return
    ply = thick - 2 * shop.skim_per_face
    if ply <= 0 or not planes(length, width, shop):
        return
    plies = ceil((part.thickness + 2 * shop.last_pass_per_face) / ply)
    if 2 <= plies <= shop.most_plies:
        over = plies * ply - 2 * shop.last_pass_per_face - part.thickness
        cost = glue_and_time(shop, faces=2 * plies + 2, lines=plies - 1, line_area=length * width)
        yield LayUp(lumber, Blank(length, width), plies, cost, over > shop.most_planed_away)


def edge_glued(
    part: PartLike, shop: Shop, lumber: Lumber, own_widths: set[Fraction]
) -> Iterator[LayUp]:
    length = round_up(part.length_with_tenons + shop.extra_length, shop)
    planed = 2 * (shop.skim_per_face + shop.last_pass_per_face)
    if part.faces == "as bought" or lumber.thickness - planed < part.thickness:
        return
    panel = part.width + 2 * shop.jointing_per_edge
    sawn = {
        (n, round_up(panel / n + 2 * shop.jointing_per_edge, shop))
        for n in range(2, shop.most_strips + 1)
    }
    own = {
        (ceil(panel / (width - 2 * shop.jointing_per_edge)), width)
        for width in own_widths
        if width > 2 * shop.jointing_per_edge
    }
    for strips, width in sorted(sawn | own):
        in_range = shop.narrowest_strip <= width <= shop.widest_strip
        if 2 <= strips <= shop.most_strips and in_range and planes(length, width, shop):
            area = lumber.thickness * length
            cost = glue_and_time(shop, faces=2 * strips + 2, lines=strips - 1, line_area=area)
            yield LayUp(lumber, Blank(length, width), strips, cost)


def planes(length: Fraction, width: Fraction, shop: Shop) -> bool:
    return length >= shop.shortest_to_plane and width <= shop.widest_to_plane


def round_up(length: Fraction, shop: Shop) -> Fraction:
    """Up to what a person sets on a tape: 1/16 in, or a whole millimetre (5/127 in)."""
    step = Fraction(5, 127) if shop.unit == "mm" else Fraction(1, 16)
    return ceil(length / step) * step


def glue_and_time(shop: Shop, *, faces: int, lines: int, line_area: Fraction) -> Fraction:
    """Cents for planing ``faces`` and gluing ``lines`` of ``line_area`` square inches each."""
    minutes = faces * shop.minutes_per_planed_face + lines * shop.minutes_per_glue_line
    gallons = lines * line_area / 144 / Fraction(shop.glue_spread)
    gallons *= 1 + Fraction(shop.glue_waste) / 100
    return Fraction(minutes) * pay_per_minute(shop) + gallons * Fraction(shop.glue_price) * 100


def pay_per_minute(shop: Shop) -> Fraction:
    return Fraction(shop.pay) * 100 / 60
