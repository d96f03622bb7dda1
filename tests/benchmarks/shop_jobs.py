"""Shop jobs made by number: the same seed gives the same job. All prices and parts are invented.

Family A: parts 8–90 in long, up to 8 copies; family B: 6–40 in, up to 16 copies. A third of the
lines choose between lay-ups: square posts from a 4x4 or from plies. The others are solid, as bought
and ripped to width. Of families AP and BP half of the lines that choose are panels instead: of one
board, or of two to four strips of many widths, in either thickness, each in some dozen ways. Sizes
are dry sizes of PS 20-20; prices do not grow evenly with length, as in retail. Short parts are
allowed here (``shortest to rip`` and ``to plane`` are 6 in): what is measured is the search, not
the machines.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from optimizer.job.parts import Faces, Job, Make, Part
from stock.lengths import Unit
from stock.pieces import Lumber, RackPiece
from stock.prices import Offer, Store, to_cent
from stock.shop import Sawing, Shop, default_shop
from stock.stock_book import StockBook

# Thickness, width, and an invented price per foot.
SIZES = {
    "1x4": (Fraction(3, 4), Fraction(7, 2), "0.95"),
    "1x6": (Fraction(3, 4), Fraction(11, 2), "1.60"),
    "1x8": (Fraction(3, 4), Fraction(29, 4), "2.15"),
    "1x10": (Fraction(3, 4), Fraction(37, 4), "2.90"),
    "1x12": (Fraction(3, 4), Fraction(45, 4), "3.70"),
    "2x4": (Fraction(3, 2), Fraction(7, 2), "0.68"),
    "2x6": (Fraction(3, 2), Fraction(11, 2), "1.05"),
    "2x8": (Fraction(3, 2), Fraction(29, 4), "1.45"),
    "2x10": (Fraction(3, 2), Fraction(37, 4), "1.95"),
    "2x12": (Fraction(3, 2), Fraction(45, 4), "2.55"),
    "4x4": (Fraction(7, 2), Fraction(7, 2), "2.10"),
}
LENGTHS = (8, 10, 12, 16)
STORES = ("Weir Yard", "Millrace Boards")


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """How long parts are (inches), how many copies a line has at the most, if any are panels."""

    name: str
    shortest: int
    longest: int
    copies: int
    panels: bool = False


FAMILY_A = Family(name="A", shortest=8, longest=90, copies=8)
FAMILY_B = Family(name="B", shortest=6, longest=40, copies=16)
FAMILIES = {
    family.name: family
    for family in (
        FAMILY_A,
        FAMILY_B,
        replace(FAMILY_A, name="AP", panels=True),
        replace(FAMILY_B, name="BP", panels=True),
    )
}


def shop_job(
    family: Family, seed: int, *, lines: int = 15, boards: int = 70, sawing: Sawing = Sawing.FREE
) -> tuple[StockBook, Job]:
    """A stock book of ``boards`` kinds of boards and a job of ``lines`` part lines."""
    chance = random.Random(f"{family.name[0]} {seed} {lines} {boards}")
    shop = _shop(sawing)
    stores = STORES[: 1 if boards < 150 else 2]
    offers = [
        _offer(chance, store, size, feet) for store in stores for size in SIZES for feet in LENGTHS
    ]
    rack = [_offcut(chance, n, family) for n in range(boards - len(offers))]
    parts = tuple(_part(chance, family, n, lines) for n in range(lines))
    stock = StockBook(
        name="stock.xlsx",
        shop=shop,
        rack=tuple(rack),
        offers=tuple(offers),
        stores=tuple(Store(name=store, tax_percent=Decimal("8.25")) for store in stores),
    )
    return stock, Job(name=f"{family.name}{seed}", parts=parts)


def _shop(sawing: Sawing) -> Shop:
    six = Fraction(6)
    return replace(
        default_shop(Unit.IN),
        shortest_to_rip=six,
        shortest_to_plane=six,
        most_strips=4,
        sawing=sawing,
    )


def _offer(chance: random.Random, store: str, size: str, feet: int) -> Offer:
    thickness, width, per_foot = SIZES[size]
    price = to_cent(Fraction(per_foot) * feet * Fraction(chance.randint(88, 116), 100))
    return Offer(
        store=store,
        lumber=Lumber(wood="SPF", treated=False, thickness=thickness),
        width=width,
        length=Fraction(12 * feet),
        name=f"{size} x {feet}'",
        price=price,
        size=size,
    )


def _offcut(chance: random.Random, n: int, family: Family) -> RackPiece:
    size = chance.choice(list(SIZES))
    thickness, width, _ = SIZES[size]
    if chance.random() < 0.35 and width > 4:  # ripped once already
        width = Fraction(chance.randint(24, int(width * 16) - 8), 16)
    return RackPiece(
        tag=f"R{n + 1:03}",
        lumber=Lumber(wood="SPF", treated=False, thickness=thickness),
        width=width,
        length=Fraction(chance.randint(14 * 8, 60 * 8), 8),
    )


def _part(chance: random.Random, family: Family, n: int, lines: int) -> Part:
    length = Fraction(chance.randint(family.shortest * 8, family.longest * 8), 8)
    count = chance.randint(1, family.copies)
    name = f"Part {n + 1}"
    if n * 3 >= lines:  # two thirds: solid, as bought, ripped to width
        thickness = chance.choice((Fraction(3, 4), Fraction(3, 2), Fraction(3, 2)))
        width = Fraction(chance.randint(24, 140), 16)
        return Part(
            name=name,
            count=count,
            length=length,
            width=width,
            thickness=thickness,
            make=Make.SOLID,
            faces=Faces.AS_BOUGHT,
        )
    if not family.panels or chance.random() < 0.5:  # a square post: out of a 4x4, or of plies
        side = Fraction(chance.choice((40, 42, 44)), 16)
        return Part(name=name, count=count, length=length, width=side, thickness=side)
    width = Fraction(chance.randint(6 * 16, 11 * 16), 16)  # a panel: one board, or strips
    thickness = Fraction(9, 16)
    faces = Faces.PLANED
    return Part(
        name=name, count=count, length=length, width=width, thickness=thickness, faces=faces
    )
