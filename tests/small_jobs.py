"""Small jobs drawn by number: the same seed gives the same job. All prices are invented.

Sizes are dry sizes of PS 20-20 (2x4: 1 1/2 x 3 1/2, 2x8: 1 1/2 x 7 1/4, 1x6: 3/4 x 5 1/2).
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from stock.lengths import Unit
from stock.pieces import Lumber, RackPiece
from stock.prices import CENT, Offer, Store
from stock.shop import Sawing, Shop, default_shop
from stock.stock_book import StockBook

# Thickness, width, and an invented price per foot.
SIZES = {
    "1x4": (Fraction(3, 4), Fraction(7, 2), Decimal("0.90")),
    "1x6": (Fraction(3, 4), Fraction(11, 2), Decimal("1.45")),
    "2x4": (Fraction(3, 2), Fraction(7, 2), Decimal("0.62")),
    "2x6": (Fraction(3, 2), Fraction(11, 2), Decimal("0.98")),
    "2x8": (Fraction(3, 2), Fraction(29, 4), Decimal("1.35")),
    "4x4": (Fraction(7, 2), Fraction(7, 2), Decimal("1.90")),
}
STORES = ("Boathouse Lumber", "Weir Yard")


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPart:
    """A part line as plain values; ``make`` and ``faces`` are spelt as in a job book."""

    name: str
    count: int
    length: Fraction
    width: Fraction
    thickness: Fraction
    wood: str = ""
    make: str = "any"
    faces: str = "any"
    tenons: tuple[Fraction, ...] = ()
    thickness_at_least: Fraction | None = None
    spare: int = 0
    knots_ok: bool = False

    @property
    def copies(self) -> int:
        return self.count + self.spare

    @property
    def length_with_tenons(self) -> Fraction:
        return self.length + sum(self.tenons)


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Parts of one use: in which measures, from which sizes; the last size makes all of them."""

    name: str
    sizes: tuple[str, ...]
    widths: tuple[Fraction, ...]
    thickness: Fraction
    shortest: int
    longest: int
    make: str = "any"
    faces: str = "any"


def inches(*typed: str) -> tuple[Fraction, ...]:
    return tuple(sum(map(Fraction, text.split()), Fraction(0)) for text in typed)


FAMILIES = (
    Family(
        name="Post",  # a 4x4, or two plies
        sizes=("4x4", "2x4", "2x6"),
        widths=inches("2 3/4"),
        thickness=Fraction(11, 4),
        shortest=28,
        longest=66,
    ),
    Family(
        name="Shelf",  # one board, or strips edge to edge
        sizes=("1x4", "1x6"),
        widths=inches("5 1/4", "5 1/2", "6 1/2"),
        thickness=Fraction(5, 8),
        shortest=24,
        longest=44,
        faces="planed",
    ),
    Family(
        name="Rail",
        sizes=("2x4", "2x6", "2x8"),
        widths=inches("2 1/4", "3 1/2", "5"),
        thickness=Fraction(3, 2),
        shortest=20,
        longest=60,
        make="solid",
    ),
    Family(
        name="Slat",
        sizes=("1x4", "1x6"),
        widths=inches("1 3/4", "2 1/2"),
        thickness=Fraction(3, 4),
        shortest=16,
        longest=40,
        make="solid",
        faces="as bought",
    ),
    Family(
        name="Stretcher",
        sizes=("2x4", "2x8"),
        widths=inches("2 3/4", "3 1/2"),
        thickness=Fraction(5, 4),
        shortest=18,
        longest=50,
        make="solid",
        faces="planed",
    ),
    Family(
        name="Cleat",  # too short to rip
        sizes=("1x4",),
        widths=inches("3 1/2"),
        thickness=Fraction(3, 4),
        shortest=6,
        longest=11,
        make="solid",
        faces="as bought",
    ),
    Family(
        name="Beam",  # a stack of boards as they come
        sizes=("2x4", "2x6"),
        widths=inches("3", "3 1/4"),
        thickness=Fraction(3),
        shortest=30,
        longest=60,
        make="glued",
        faces="as bought",
    ),
)
CHOOSING = FAMILIES[:2]  # families that more than one lay-up can make


def small_job(seed: int) -> tuple[StockBook, list[DrawnPart]]:
    """A stock book and 2 to 4 part lines that can be made from it."""
    draw = random.Random(seed)
    families = [draw.choice(CHOOSING if n == 0 and seed % 2 else FAMILIES) for n in range(2)]
    parts = [drawn_part(draw, draw.choice(families), n) for n in range(draw.randint(2, 4))]
    return drawn_stock(draw, families), parts


def drawn_part(draw: random.Random, family: Family, number: int) -> DrawnPart:
    return DrawnPart(
        name=f"{family.name} {number + 1}",
        count=draw.randint(1, 2 if family in CHOOSING else 4),
        spare=draw.choice((0, 0, 0, 0, 0, 1)),
        length=Fraction(draw.randint(4 * family.shortest, 4 * family.longest), 4),
        width=draw.choice(family.widths),
        thickness=family.thickness,
        make=family.make,
        faces=family.faces,
        tenons=draw.choice(((), (), (Fraction(3, 4), Fraction(3, 4)))),
    )


def drawn_stock(draw: random.Random, families: list[Family]) -> StockBook:
    """Stores, up to 6 offers that suit the families, and a few offcuts of the same sizes."""
    stores = tuple(
        Store(name=name, tax_percent=draw.choice((Decimal(0), Decimal("6"), Decimal("8.25"))))
        for name in STORES[: draw.randint(1, 2)]
    )
    sizes = sorted({size for family in families for size in family.sizes})
    # The last size of each family makes all its parts: there is plenty of it, 8 or 10 ft long.
    plenty = {(family.sizes[-1], draw.choice((8, 10))) for family in families}
    limited = {(draw.choice(sizes), draw.choice((6, 8, 10))) for _ in range(4)} - plenty
    offers = [drawn_offer(draw, stores, *line, None) for line in sorted(plenty)]
    offers += [
        drawn_offer(draw, stores, *line, draw.choice((None, 1, 3))) for line in sorted(limited)
    ]
    return StockBook(
        name="stock.xlsx",
        shop=drawn_shop(draw),
        rack=tuple(drawn_offcut(draw, sizes, n) for n in range(draw.randint(0, 4))),
        offers=tuple(offers),
        stores=stores,
    )


def drawn_offer(
    draw: random.Random, stores: tuple[Store, ...], size: str, feet: int, in_stock: int | None
) -> Offer:
    thickness, width, per_foot = SIZES[size]
    price = per_foot * feet * draw.randint(85, 125) / 100
    return Offer(
        store=draw.choice(stores).name,
        lumber=Lumber(wood="SPF", treated=False, thickness=thickness),
        width=width,
        length=Fraction(12 * feet),
        name=f"{size} x {feet}'",
        price=price.quantize(Decimal("0.01")),
        size=size,
        in_stock=in_stock,
    )


def drawn_offcut(draw: random.Random, sizes: list[str], number: int) -> RackPiece:
    size = draw.choice(sizes)
    thickness, width, _ = SIZES[size]
    ripped = Fraction(draw.randint(4, 8), 2)
    return RackPiece(
        tag=f"R{number + 1:03}",
        lumber=Lumber(wood="SPF", treated=False, thickness=thickness),
        width=draw.choice((width, width, min(width, ripped))),
        length=Fraction(draw.randint(40, 140), 2),
        size=size,
        count=draw.choice((1, 1, 2)),
    )


def drawn_shop(draw: random.Random) -> Shop:
    """The default allowances; what costs money or decides between ways of sawing is drawn."""
    return replace(
        default_shop(Unit.IN),
        end_trim=draw.choice((Fraction(0), Fraction(1, 2))),
        longest_to_rip=draw.choice((Fraction(72), Fraction(120))),
        most_strips=2,
        glue_price=draw.choice((Decimal(0), Decimal(30))),
        pay=draw.choice((Decimal(0), Decimal(20))),
        offcut_value=draw.choice((Decimal(0), Decimal(30))),
        sawing=draw.choice((Sawing.FREE, Sawing.FREE, Sawing.RIP_FIRST, Sawing.CROSSCUT_FIRST)),
    )


def knotty_job(seed: int) -> tuple[StockBook, list[DrawnPart]]:
    """A small job with offcuts that are bad in places, and parts that do not mind."""
    draw = random.Random(seed)
    stock, parts = small_job(seed)
    sizes = sorted({offer.size for offer in stock.offers})
    rack = []
    for piece in (drawn_offcut(draw, sizes, n) for n in range(2)):
        first, last = draw.randint(6, 18), piece.length - draw.randint(-1, 12)
        bad = ((Fraction(first), Fraction(first + 1)), (last, min(last + 2, piece.length)))
        rack.append(replace(piece, bad=bad if first + 1 < last < piece.length else bad[:1]))
    mind = [replace(part, knots_ok=draw.random() < 0.6) for part in parts]
    return replace(stock, rack=tuple(rack)), mind


def buying_job(seed: int) -> tuple[StockBook, list[DrawnPart]]:
    """A small job with all that makes buying hard: trips, a short car, packs, stock, free cuts."""
    draw = random.Random(seed)
    stock, parts = small_job(seed)
    stores = tuple(
        replace(
            store,
            trip_cost=Decimal(draw.choice((0, 2, 5))),
            fee_per_cut=draw.choice((None, Decimal(0), Decimal("0.75"))),
            free_cuts=draw.choice((0, 0, 1)),
        )
        for store in stock.stores
    )
    offers = list(stock.offers)
    for offer in stock.offers:  # each of them longer too, and perhaps elsewhere or cheaper in packs
        pack = draw.choice((1, 1, 2))
        length = offer.length + 24 * draw.randint(0, 3)
        per_inch = offer.price / offer.length.numerator * draw.randint(70, 115) / 100
        longer = replace(
            offer,
            store=draw.choice(stores).name,
            length=length,
            price=(per_inch * length.numerator / pack).quantize(CENT),
            in_stock=draw.choice((None, 1, 2, 4)),
            pack=pack,
        )
        offers.append(replace(longer, name=f"{offer.size} x {longer.length // 12}' b"))
    shop = replace(
        stock.shop,
        longest_carried=draw.choice((None, Fraction(100), Fraction(97), Fraction(125))),
        most_stores=draw.choice((None, None, 1)),
    )
    return replace(stock, shop=shop, stores=stores, offers=tuple(offers)), parts
