"""Packs, and boards that the yard cuts for the car: bought whole, sawn as far as they are of use.

Prices are invented; every length and sum can be followed with a pencil.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.job.parts import Faces, Make, Part
from optimizer.job.ways import NoPlanError
from optimizer.plan.plan import CutKind, Plan, Status
from optimizer.search.watch import Watch
from optimizer.search.yard import YardPiece, splits
from optimizer.solve import solve
from stock.prices import Offer, Store
from stock.shop import Shop
from stock.stock_book import StockBook
from tests.making_plans import inches
from tests.shop_floor import book, job, part, shop, sold

PLAIN = {"faces": Faces.AS_BOUGHT, "make": Make.SOLID}
LONG = sold("1 1/2 x 3 1/2 x 192", "20.00")
# Thin allowances: 1/8 of kerf, ends trimmed by 1/2, a yard's ends by 3/4.
CAR = {"longest_carried": 120, "offcut_value": Decimal(0)}


def cutting(
    *offers: Offer, fee: str | None = "0.50", free: int = 0, **settings: object
) -> StockBook:
    stock = book(*offers, shop=shop(**(CAR | settings)))
    paid = None if fee is None else Decimal(fee)
    store = Store(name=offers[0].store, fee_per_cut=paid, free_cuts=free)
    return replace(stock, stores=(store,))


def rails(length: str, count: int) -> Part:
    return part(f"1 1/2 x 3 1/2 x {length}", count=count, **PLAIN)


def planned(stock: StockBook, *parts: Part) -> Plan:
    plan = solve(stock, job(*parts), Watch())
    assert plan.status is Status.PROVEN
    return plan


def yard_cuts(plan: Plan) -> list[Fraction]:
    return [c.at for board in plan.boards for c in board.cuts if c.kind is CutKind.YARD]


# --- the yard ------------------------------------------------------------------------------------


def test_a_board_that_is_too_long_is_cut_where_a_blank_ends() -> None:
    # A rail of 71 takes 1/2 + 71 + 3/4 = 72 1/4; 192 less that and the kerf leave 119 5/8. One of
    # 118 takes 119 1/4 and leaves 72 5/8: as good.
    plan = planned(cutting(LONG), rails("118", 1), replace(rails("71", 1), name="Short"))
    assert [(line.offer, line.count) for line in plan.buy] == [(LONG.name, 1)]
    (at,) = yard_cuts(plan)
    (board,) = plan.boards
    first, second = board.blanks
    assert (first.length, second.length) in [(71, 118), (118, 71)]
    assert at == inches("1/2") + first.length + inches("3/4")
    assert (first.x, second.x) == (inches("1/2"), at + inches("1/8") + inches("3/4"))
    assert (plan.cost.yard_cuts, plan.cost.net) == (Decimal("0.50"), Decimal("20.50"))


def test_without_a_car_it_stays_whole() -> None:
    plan = planned(cutting(LONG, longest_carried=None), rails("118", 1))
    assert (yard_cuts(plan), plan.cost.net) == ([], 20)


def test_a_store_that_does_not_cut_does_not_sell_it() -> None:
    with pytest.raises(NoPlanError):
        solve(cutting(LONG, fee=None), job(rails("118", 1)), Watch())


@pytest.mark.parametrize(("free", "fees"), [(0, "1.50"), (1, "1.00"), (2, "0.50"), (9, "0.00")])
def test_the_first_cuts_of_a_store_may_be_free(free: int, fees: str) -> None:
    plan = planned(cutting(LONG, free=free), rails("90", 6))
    assert len(yard_cuts(plan)) == 3
    assert plan.cost.yard_cuts == Decimal(fees)


def test_a_shorter_board_is_bought_where_the_fee_eats_the_saving() -> None:
    short = sold("1 1/2 x 3 1/2 x 96", "10.20")
    stock = cutting(LONG, short)
    assert [line.offer for line in planned(stock, rails("90", 2)).buy] == [short.name]
    dearer = cutting(LONG, replace(short, price=Decimal("10.26")))
    assert [line.offer for line in planned(dearer, rails("90", 2)).buy] == [LONG.name]


def told(split: tuple[YardPiece, ...]) -> list[str]:
    return [f"{piece.length}" for piece in split]


def car(**settings: object) -> Shop:
    return shop(**(CAR | settings))


def test_a_board_is_cut_at_what_the_car_carries_in_equal_shares_and_at_blanks() -> None:
    # 120 leave 71 7/8; (192 - 1/8) / 2; 70 + 1/2 + 3/4 leave 120 5/8, which does not fit, so the
    # yard cuts again, and saws no piece of 1/2; 80 + 1 1/4 leave 110 5/8.
    assert [
        told(split) for split in splits(Fraction(192), car(), [Fraction(70), Fraction(80)])
    ] == [
        ["120", "575/8"],
        ["1535/16", "1535/16"],
        ["325/4", "885/8"],
    ]


def test_no_piece_is_shorter_than_the_yard_saws() -> None:
    assert [told(s) for s in splits(Fraction(130), car(least_yard_piece=30))] == [
        ["1039/16", "1039/16"]
    ]
    assert splits(Fraction(125), car(least_yard_piece=63)) == []


def test_each_end_that_the_yard_saws_loses_its_tolerance_and_the_trim() -> None:
    first, last = splits(Fraction(192), car())[0]
    assert first.trims(car()) == (inches("1/2"), inches("3/4"))
    assert last.trims(car(end_trim=0, yard_tolerance="1/16")) == (inches("1/8"), 0)


def test_a_part_is_made_even_if_the_cut_costs_far_more_than_the_board() -> None:
    stock = cutting(replace(LONG, price=Decimal("0.10")), fee="1500.00", free=1)
    assert planned(stock, rails("118", 2)).cost.net == Decimal("1500.20")


# --- packs ---------------------------------------------------------------------------------------


PACK = sold("1 1/2 x 3 1/2 x 96", "3.00", pack=4)
SINGLE = sold("1 1/2 x 3 1/2 x 97", "4.10")


@pytest.mark.parametrize(
    ("rails_needed", "bought", "net"),
    [
        (1, {SINGLE.name: 1}, "4.10"),
        (2, {SINGLE.name: 2}, "8.20"),
        (3, {PACK.name: 4}, "12.00"),  # three singles are 12.30
        (5, {PACK.name: 4, SINGLE.name: 1}, "16.10"),
        (7, {PACK.name: 8}, "24.00"),
    ],
)
def test_packs_are_bought_whole(rails_needed: int, bought: dict[str, int], net: str) -> None:
    stock = book(PACK, SINGLE, shop=shop(offcut_value=Decimal(0)))
    plan = planned(stock, rails("90", rails_needed))
    assert {line.offer: line.count for line in plan.buy} == bought
    assert plan.cost.net == Decimal(net)


def test_what_is_left_of_a_pack_goes_on_the_rack_whole_and_counts() -> None:
    stock = book(PACK, shop=shop(offcut_value=Decimal(50)))
    plan = planned(stock, rails("90", 3))
    assert [(len(board.blanks), len(board.cuts)) for board in plan.boards].count((0, 0)) == 1
    (whole,) = [left for board in plan.boards if not board.blanks for left in board.leftovers]
    # Once its ends are trimmed it is 95 long: 3.00 · 95 / 96 · 50 %.
    assert (whole.length, whole.width, whole.worth) == (95, inches("3 1/2"), Decimal("1.48"))
    assert plan.cost.net == Decimal("10.52")


def test_a_part_is_made_even_if_the_pack_costs_far_more_than_its_board() -> None:
    stock = book(replace(PACK, pack=150), shop=shop(offcut_value=Decimal(0)))
    assert planned(stock, rails("90", 1)).cost.net == 450


@pytest.mark.parametrize(("in_stock", "net"), [(3, "16.40"), (4, "12.00"), (7, "12.00")])
def test_a_store_without_a_whole_pack_sells_none(in_stock: int, net: str) -> None:
    stock = book(replace(PACK, in_stock=in_stock), SINGLE, shop=shop(offcut_value=Decimal(0)))
    assert planned(stock, rails("90", 4)).cost.net == Decimal(net)


@pytest.mark.parametrize("pack", [1, 2])
def test_rows_that_are_equal_have_their_stocks_together(pack: int) -> None:
    row = replace(PACK, pack=pack, in_stock=2)
    plan = planned(book(row, row, shop=shop(offcut_value=Decimal(0))), rails("90", 4))
    assert ([line.count for line in plan.buy], plan.cost.net) == ([4], 12)


def test_tax_of_a_pack_is_rounded_with_that_of_its_store() -> None:
    stock = book(PACK, SINGLE, shop=shop(offcut_value=Decimal(0)), tax="8.25")
    plan = planned(stock, rails("90", 5))
    # 8.25 % of 16.10 are 1.328.
    assert (plan.cost.tax, plan.cost.net) == (Decimal("1.33"), Decimal("17.43"))
