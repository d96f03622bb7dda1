"""Every way of making a part, restated from the trade's rules: the second opinion on lay-ups.

Solid as bought or planed, face glue-ups, edge glue-ups of equal strips or of two; short parts
several at once. Lengths are inches, money is cents, both exact. Nothing here imports ``optimizer``;
treated wood and plies of strips are left out.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import combinations_with_replacement
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
    def knots_ok(self) -> bool: ...
    @property
    def wood(self) -> str: ...
    @property
    def make(self) -> str: ...
    @property
    def faces(self) -> str: ...


class Board(NamedTuple):
    """Equal boards: usable length, cost in cents (tax and trims included), how many there are.

    One that is bought in a lot has its name there, and costs here what it is worth unsawn. Of an
    offcut with bad stretches, ``piece`` tells which, and whether it is cut up.
    """

    lumber: Lumber
    width: Fraction
    length: Fraction
    cost: Fraction
    limit: int | None
    store: str = ""
    in_lot: str = ""
    piece: str = ""


class LayUp(NamedTuple):
    """One way of making ``copies`` of a part at once: how many of which blanks, glue and time in
    cents."""

    blanks: tuple[tuple[Lumber, Blank, int], ...]
    cost: Fraction
    copies: int = 1
    over_planed: bool = False


def layups(part: PartLike, shop: Shop, boards: Iterable[Board]) -> list[LayUp]:
    """Every way of making the part; over-planed ones only where nothing else can make it."""
    widths: dict[Lumber, set[Fraction]] = defaultdict(set)
    for board in boards:
        if board.lumber.faulty and not part.knots_ok:
            continue
        if not board.lumber.treated and part.wood.casefold() in ("", board.lumber.wood.casefold()):
            widths[board.lumber].add(board.width)
    found: list[LayUp] = []
    for lumber in sorted(widths):
        if part.make != "glued":
            found += solid(part, shop, lumber, widths[lumber])
        if part.make != "solid":
            found += face_glued_as_bought(part, shop, lumber)
            found += edge_glued(part, shop, lumber, widths[lumber])
    if part.make != "solid":
        found += face_glued(part, shop, sorted(widths))
    fitting = [way for way in found if all(fits(blank, boards) for blank in way.blanks)]
    return [way for way in fitting if not way.over_planed] or fitting


def fits(wanted: tuple[Lumber, Blank, int], boards: Iterable[Board]) -> bool:
    lumber, blank, _ = wanted
    return any(
        lumber == b.lumber
        and blank.length <= b.length
        and (blank.width == b.width if blank.own_edges else blank.width <= b.width)
        for b in boards
    )


def lengths(
    part: PartLike, shop: Shop, least: Fraction, extra: Fraction
) -> Iterator[tuple[int, Fraction]]:
    """Copies and length of blanks no shorter than ``least``: one copy, or several where it is."""
    one = part.length_with_tenons

    def of(copies: int) -> Fraction:
        if one < shop.held_at_crosscut:  # a stub stays in the hand
            kerfs = copies * shop.crosscut_kerf
            return copies * one + kerfs + shop.extra_length + shop.held_at_crosscut
        kerfs = (copies - 1) * shop.crosscut_kerf
        return copies * one + kerfs + (shop.extra_length if copies > 1 else extra)

    if one < shop.held_at_crosscut:
        for copies in (1, 2, 4, 8):
            if copies <= part.copies:
                yield copies, round_up(max(of(copies), least), shop)
        return
    enough = 1
    while of(enough) < least:
        enough += 1
    for copies in range(1, 2 if enough == 1 else min(part.copies, enough + 2) + 1):
        length = max(of(copies), least)
        yield copies, length if length == copies * one else round_up(length, shop)


def solid(part: PartLike, shop: Shop, lumber: Lumber, own_widths: set[Fraction]) -> Iterator[LayUp]:
    yield from solid_as_bought(part, shop, lumber, own_widths)
    yield from solid_planed(part, shop, lumber, own_widths)


def solid_as_bought(
    part: PartLike, shop: Shop, lumber: Lumber, own_widths: set[Fraction]
) -> Iterator[LayUp]:
    thick, wanted, saw = lumber.thickness, part.thickness, shop.shortest_to_rip
    if part.faces != "planed" and (
        abs(thick - wanted) <= shop.as_bought_within
        or (part.thickness_at_least is not None and part.thickness_at_least <= thick <= wanted)
    ):
        nothing = Fraction(0)
        for copies, length in lengths(part, shop, shop.held_at_crosscut, nothing):
            if part.width in own_widths:
                blank = Blank(length, part.width, own_edges=True)
                yield LayUp(((lumber, blank, 1),), nothing, copies)
        for copies, length in lengths(part, shop, max(shop.held_at_crosscut, saw), nothing):
            if length <= shop.longest_to_rip and part.width >= shop.narrowest_rip:
                yield LayUp(((lumber, Blank(length, part.width), 1),), nothing, copies)


def solid_planed(
    part: PartLike, shop: Shop, lumber: Lumber, own_widths: set[Fraction]
) -> Iterator[LayUp]:
    planer, saw = shop.shortest_to_plane, shop.shortest_to_rip
    least = part.thickness_at_least or part.thickness
    enough = lumber.thickness - 2 * (shop.skim_per_face + shop.last_pass_per_face) >= least
    if part.faces == "as bought" or not enough or part.width > shop.widest_to_plane:
        return
    cost = glue_and_time(shop, faces=2, lines=0, line_area=Fraction(0))
    width = round_up(part.width + 2 * shop.jointing_per_edge, shop)
    if width <= shop.widest_to_plane:
        for copies, length in lengths(part, shop, max(planer, saw), shop.extra_length):
            yield LayUp(((lumber, Blank(length, width), 1),), cost, copies)
        if part.width in own_widths:
            for copies, length in lengths(part, shop, planer, shop.extra_length):
                blank = Blank(length, part.width, own_edges=True)
                yield LayUp(((lumber, blank, 1),), cost, copies)


def width_of_plies(part: PartLike, shop: Shop) -> Fraction:
    """What both edges lose after the glue takes off the eased edges of the boards too."""
    lost = max(2 * shop.jointing_per_edge + shop.slip, 2 * shop.edge_trim)
    return round_up(part.width + lost, shop)


def face_glued_as_bought(part: PartLike, shop: Shop, lumber: Lumber) -> Iterator[LayUp]:
    if part.faces != "as bought":
        return
    width = width_of_plies(part, shop)
    for plies in range(2, shop.most_plies + 1):
        if abs(plies * lumber.thickness - part.thickness) <= shop.as_bought_within:
            for copies, length in gluing(part, shop):
                area = length * width
                cost = glue_and_time(shop, faces=0, lines=plies - 1, line_area=area)
                yield LayUp(((lumber, Blank(length, width), plies),), cost, copies)


def gluing(part: PartLike, shop: Shop) -> Iterator[tuple[int, Fraction]]:
    return lengths(part, shop, max(shop.shortest_to_plane, shop.shortest_to_rip), shop.extra_length)


def face_glued(part: PartLike, shop: Shop, lumbers: Sequence[Lumber]) -> Iterator[LayUp]:
    """Stacks of which no ply can be left away and none be swapped for the next thinner lumber."""
    width = width_of_plies(part, shop)
    if part.faces == "as bought" or width > shop.widest_to_plane:
        return
    skims, last = 2 * shop.skim_per_face, 2 * shop.last_pass_per_face
    need = (part.thickness_at_least or part.thickness) + last
    thick = sorted(lumber for lumber in lumbers if lumber.thickness > skims)
    for plies in range(2, shop.most_plies + 1):
        for stack in combinations_with_replacement(thick, plies):
            kept = [lumber.thickness - skims for lumber in stack]
            over = sum(kept) - last - part.thickness
            if sum(kept) < need or sum(kept) - kept[0] >= need:
                continue
            if len(set(stack)) > 1 and (
                over > shop.most_planed_away
                or any(
                    sum(kept) - (lumber.thickness - thinner.thickness) >= need
                    for lumber in stack
                    for thinner in thick
                    if thinner < lumber
                )
            ):
                continue
            for copies, length in gluing(part, shop):
                cost = glue_and_time(
                    shop, faces=2 * plies + 2, lines=plies - 1, line_area=length * width
                )
                blank = Blank(length, width)
                blanks = tuple((each, blank, n) for each, n in Counter(stack).items())
                yield LayUp(blanks, cost, copies, over > shop.most_planed_away)


def edge_glued(
    part: PartLike, shop: Shop, lumber: Lumber, own_widths: set[Fraction]
) -> Iterator[LayUp]:
    """Two strips and more of one width; two of different width, one of them a board's own."""
    planed = 2 * (shop.skim_per_face + shop.last_pass_per_face)
    least = part.thickness_at_least or part.thickness
    if part.faces == "as bought" or lumber.thickness - planed < least:
        return
    panel = part.width + 2 * shop.jointing_per_edge
    lost = 2 * max(shop.jointing_per_edge, shop.edge_trim)
    members = {(round_up(panel / n + lost, shop),) * n for n in range(2, shop.most_strips + 1)}
    for own in own_widths:
        if own > lost:
            members.add((own,) * ceil(panel / (own - lost)))
        for other in own_widths:
            enough = own + other - 2 * lost >= panel > own - lost
            narrower = {own + width for width in own_widths if width < other}
            narrower |= {other + width for width in own_widths if width < own}
            if other < own and enough and all(two - 2 * lost < panel for two in narrower):
                members.add((own, other))
        if own - lost < panel:
            rest = round_up(panel - (own - lost) + lost, shop)
            members.add((max(own, rest), min(own, rest)))
    for widths in sorted(members):
        in_range = all(shop.narrowest_strip <= width <= shop.widest_strip for width in widths)
        if not (2 <= len(widths) <= shop.most_strips and in_range):
            continue
        for copies, length in gluing(part, shop):
            cost = glue_and_time(
                shop,
                faces=2 * len(widths) + 2,
                lines=len(widths) - 1,
                line_area=lumber.thickness * length,
            )
            strips = Counter(Blank(length, width) for width in widths)
            yield LayUp(tuple((lumber, strip, n) for strip, n in strips.items()), cost, copies)


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
