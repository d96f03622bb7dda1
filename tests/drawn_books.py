"""Whole books drawn by hypothesis: any shop, rack, stores and parts; most of the jobs can be made.

All woods, stores and prices are invented; sizes are dry sizes of PS 20-20.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from hypothesis import strategies as st

from optimizer.job.parts import Faces, Job, Make, Part, Treatment
from stock.lengths import Length, Unit
from stock.pieces import Lumber, RackPiece
from stock.prices import Offer, Store
from stock.shop import Sawing, Shop
from stock.stock_book import StockBook
from tests.making_plans import inches
from tests.shop_floor import JOB, shop

SIZES = {  # thickness, width
    "1x4": ("3/4", "3 1/2"),
    "1x6": ("3/4", "5 1/2"),
    "2x4": ("1 1/2", "3 1/2"),
    "2x6": ("1 1/2", "5 1/2"),
    "2x10": ("1 1/2", "9 1/4"),
    "4x4": ("3 1/2", "3 1/2"),
}
WOODS = ("pine", "white oak")
STORES = ("Weir Yard", "Old Lock Yard")


class Books(NamedTuple):
    stock: StockBook
    job: Job


@st.composite
def books(draw: st.DrawFn) -> Books:
    sizes = draw(st.lists(st.sampled_from(sorted(SIZES)), min_size=1, max_size=3, unique=True))
    sold = [draw(offers(size, number)) for number, size in enumerate(sizes)]
    rack = [draw(offcuts(sizes, f"R{n:03}")) for n in range(draw(st.integers(0, 3)))]
    stores = [Store(name=name, tax_percent=draw(taxes)) for name in STORES]
    job = Job(
        name=JOB,
        parts=tuple(draw(parts(sold, f"Part {n}")) for n in range(draw(st.integers(1, 3)))),
    )
    stock = StockBook(
        name="stock.xlsx",
        shop=draw(shops()),
        rack=tuple(rack),
        offers=tuple(sold),
        stores=tuple(stores),
    )
    return Books(stock, job)


taxes = st.sampled_from([Decimal(0), Decimal(5), Decimal("8.25")])
grades = st.sampled_from(("", "", "Clear", "No. 2"))
rarely = st.sampled_from((False, False, False, True))
quarters = st.integers(0, 3).map(lambda n: Fraction(n, 4))


@st.composite
def shops(draw: st.DrawFn) -> Shop:
    return shop(
        draw(st.sampled_from(Unit)),
        end_trim=draw(st.sampled_from(("0", "1/2"))),
        crosscut_kerf=draw(st.sampled_from(("0", "1/8"))),
        rip_kerf=draw(st.sampled_from(("0", "1/8"))),
        longest_to_rip=draw(st.sampled_from((60, 120))),
        pay=draw(st.sampled_from((Decimal(0), Decimal(25)))),
        glue_price=draw(st.sampled_from((Decimal(0), Decimal(36)))),
        offcut_value=draw(st.sampled_from((Decimal(0), Decimal(30), Decimal(90)))),
        deepest_rip=draw(st.sampled_from(("1", "2", "3 1/8"))),
        room_humidity=draw(st.sampled_from((Decimal(0), Decimal(40)))),
        heaviest_load=draw(st.sampled_from((0, 50))),
        sawing=draw(st.sampled_from(Sawing)),
        pith_width=draw(st.sampled_from((0, 0, 0, 0, 1))),
        pith_from=draw(st.sampled_from((5, 8))),
    )


@st.composite
def lumber(draw: st.DrawFn, size: str) -> Lumber:
    return Lumber(
        wood=draw(st.sampled_from(WOODS)),
        treated=draw(st.sampled_from((False, False, False, False, True))),
        thickness=inches(SIZES[size][0]),
        grade=draw(grades),
    )


@st.composite
def offers(draw: st.DrawFn, size: str, number: int) -> Offer:
    feet = draw(st.sampled_from((6, 8, 10, 12)))
    return Offer(
        store=draw(st.sampled_from(STORES)),
        lumber=draw(lumber(size)),
        width=inches(SIZES[size][1]),
        length=Length(12 * feet),
        name=f"{size} x {feet}' ({number})",
        price=Decimal(draw(st.integers(50, 3000))).scaleb(-2),
        size=size,
        in_stock=draw(st.sampled_from((None, None, None, 4))),
    )


@st.composite
def offcuts(draw: st.DrawFn, sizes: Sequence[str], tag: str) -> RackPiece:
    size = draw(st.sampled_from(sizes))
    return RackPiece(
        tag=tag,
        lumber=draw(lumber(size)),
        width=inches(SIZES[size][1]) / draw(st.sampled_from((1, 1, 2))),
        length=draw(st.integers(12, 60)) + draw(quarters),
        count=draw(st.integers(1, 2)),
        held_for=draw(st.sampled_from(("", "", "", "club house"))),
        crook=draw(st.sampled_from(("0", "0", "1/8", "1/2")).map(inches)),
        bad=draw(st.sampled_from(((), (), ((Length(0), Length(2)), (Length(9), Length(10)))))),
        moisture=draw(st.sampled_from((None, Decimal(12)))),
    )


@st.composite
def parts(draw: st.DrawFn, sold: Sequence[Offer], name: str) -> Part:
    """A part that mostly can be made from one of the boards ``sold``, in one way or another."""
    board = draw(st.sampled_from(sold))
    thick, wide = board.lumber.thickness, board.width
    treated = board.lumber.treated
    part = Part(
        name=name,
        count=draw(st.integers(1, 4)),
        spare=draw(st.sampled_from((0, 0, 1))),
        length=draw(st.integers(12, 56) | st.integers(2, 11)) + draw(quarters),
        width=draw(st.sampled_from((wide, wide / 2, Fraction(5, 4)))),
        thickness=thick,
        wood=draw(st.sampled_from(("", board.lumber.wood))),
        treated=Treatment.YES if treated else Treatment.NO,
        tenons=draw(st.sampled_from(((), (Fraction(3, 4), Fraction(3, 4))))),
    )
    wishes = draw(st.sampled_from(("", "", "knots_ok", "same_board", "pairs", "butt_joints")))
    if wishes:
        part = replace(part, **{wishes: True})
    part = replace(
        part,
        grade=draw(st.sampled_from(("", board.lumber.grade))),
        carries_load=wishes != "butt_joints" and draw(rarely),
        own=(("slip", Length(1, 16)),) if draw(rarely) else (),
    )
    if treated:
        return replace(part, width=wide, faces=Faces.AS_BOUGHT)
    planed_to = thick - Fraction(1, 4)
    return draw(
        st.sampled_from(
            (
                part,
                replace(part, make=Make.SOLID, thickness=planed_to, width=wide),
                replace(part, thickness=2 * thick - Fraction(1, 4), width=wide / 2),
                replace(part, thickness=3 * thick - Fraction(1, 2), width=wide / 2),
                replace(part, thickness=2 * thick, width=wide / 2, faces=Faces.AS_BOUGHT),
                replace(part, thickness=planed_to, width=wide * 7 / 4),
            )
        )
    )
