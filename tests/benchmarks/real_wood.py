"""The same shop jobs with all that boards and machines do not allow: the rules of a real shop.

Nothing shorter than a foot is planed or ripped, as in a new stock book; the pith of the widest
boards is ripped out. Boards are sold by grade. Of the offcuts a quarter is crooked, a quarter has
bad stretches, half promises no grade. Of the parts a third asks for the grade and so for spares, a
third of the solid ones does not mind knots; some have tenons, come in pairs, out of one board or
thinner, or may be butted. How often, is invented.
"""

from __future__ import annotations

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.job.parts import Job, Make, Part
from optimizer.job.spares import with_spares
from stock.lengths import Unit
from stock.pieces import RackPiece, Stretch
from stock.shop import Shop, default_shop
from stock.stock_book import StockBook

GRADE = "No. 2"
ONE_BOARD = 84  # inches; copies that are longer together are not asked out of one board
LONG_POST = 48  # inches; a longer one may have butted plies


def in_real_wood(stock: StockBook, job: Job) -> tuple[StockBook, Job]:
    """The books with all rules on; the same books always give the same."""
    chance = random.Random(f"real wood {job.name} {len(job.parts)} {len(stock.rack)}")
    shop = _shop(stock.shop)
    offers = (replace(offer, lumber=replace(offer.lumber, grade=GRADE)) for offer in stock.offers)
    rack = tuple(_offcut(chance, piece) for piece in stock.rack)
    parts = tuple(with_spares([_part(chance, part) for part in job.parts], shop.rejected))
    return (
        replace(stock, shop=shop, offers=tuple(offers), rack=rack),
        replace(job, parts=parts),
    )


def _shop(shop: Shop) -> Shop:
    usual = default_shop(Unit.IN)
    return replace(
        shop,
        shortest_to_rip=usual.shortest_to_rip,
        shortest_to_plane=usual.shortest_to_plane,
        pith_width=Fraction(1),
        pith_from=Fraction(45, 4),
        rejected=((GRADE, Decimal(5)),),
        room_humidity=Decimal(45),
        heaviest_load=Decimal(900),
    )


def _offcut(chance: random.Random, piece: RackPiece) -> RackPiece:
    fate = chance.random()
    return replace(
        piece,
        lumber=replace(piece.lumber, grade=chance.choice((GRADE, ""))),
        crook=Fraction(chance.randint(2, 8), 32) if fate < 0.25 else Fraction(0),
        bad=_bad(chance, piece.length) if fate > 0.75 else (),
        moisture=chance.choice((None, None, Decimal(9), Decimal(12), Decimal(17))),
    )


def _bad(chance: random.Random, length: Fraction) -> tuple[Stretch, ...]:
    """One stretch or two, apart from each other; in inches, as typed in a book."""
    inches = int(length)
    first = chance.randint(1, inches // 2 - 4)
    bad = [(Fraction(first), Fraction(first + chance.randint(1, 3)))]
    if chance.random() < 0.3:
        second = chance.randint(inches // 2 + 1, inches - 4)
        bad.append((Fraction(second), Fraction(second + chance.randint(1, 3))))
    return tuple(bad)


def _part(chance: random.Random, part: Part) -> Part:
    solid = part.make is Make.SOLID
    graded, fate, one = chance.random() < 1 / 3, chance.random(), chance.random()
    short = part.count * part.length <= ONE_BOARD and not graded  # no spare is added to it
    return replace(
        part,
        grade=GRADE if graded else "",
        knots_ok=solid and not graded and fate < 1 / 3,
        tenons=(Fraction(1), Fraction(1)) if chance.random() < 1 / 6 else (),
        pairs=part.count % 2 == 0 and 2 * part.length <= ONE_BOARD and one < 0.1,
        same_board=solid and short and part.count > 1 and 0.1 <= one < 0.6,
        butt_joints=not solid and part.length > LONG_POST,
        thickness_at_least=part.thickness - Fraction(1, 8) if not solid and one > 0.9 else None,
    )
