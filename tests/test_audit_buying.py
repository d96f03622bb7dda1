"""The audit at the stores: a sound plan against books by which it could not be carried out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from optimizer.plan.audit import AuditError, audit
from optimizer.plan.beside import Consumable, Load
from optimizer.plan.plan import CutKind, Plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.prices import Store
from stock.stock_book import StockBook
from tests.shop_floor import book, job, on_rack, shop
from tests.test_lots import CAR, LONG, PACK, rails

JOB = job(rails("118", 1), replace(rails("71", 1), name="Short"))


@cache
def cut_by_the_yard() -> tuple[Plan, StockBook]:
    """A board of 192 in two pieces, for one cut of 0.50 and a trip of 3.00."""
    stock = book(LONG, shop=shop(**CAR))
    store = Store(name=LONG.store, fee_per_cut=Decimal("0.50"), trip_cost=Decimal(3))
    stock = replace(stock, stores=(store,))
    return solve(stock, JOB, Watch()), stock


def with_shop(**settings: Any) -> Callable[[StockBook], StockBook]:
    return lambda stock: replace(stock, shop=replace(stock.shop, **settings))


def with_store(**values: Any) -> Callable[[StockBook], StockBook]:
    return lambda stock: replace(stock, stores=(replace(stock.stores[0], **values),))


def findings(plan: Plan, stock: StockBook) -> str:
    with pytest.raises(AuditError) as refusal:
        audit(plan, stock, JOB)
    return "\n".join(refusal.value.findings)


# The yard may cut at either blank: both are as good.
CARRY = "board B1: the car does not carry 957/8|board B1: the car does not carry 477/4"
SAWS = "board B1: the yard saws no piece of 289/4|board B1: the yard saws no piece of 581/8"


@pytest.mark.parametrize(
    ("other", "finding"),
    [
        (with_shop(longest_carried=Fraction(119)), CARRY),
        (with_shop(longest_carried=Fraction(192)), "board B1: the car carries it uncut"),
        (with_shop(longest_carried=None), "board B1: the car carries it uncut"),
        (with_shop(least_yard_piece=Fraction(73)), SAWS),
        (with_shop(yard_tolerance=Fraction(1)), "a trim, and no other cut, takes the end trim off"),
        (with_store(fee_per_cut=None), "board B1: Weir Yard does not cut"),
        (with_store(fee_per_cut=Decimal("0.75")), "yard cuts: the plan has 0.50, it comes to 0.75"),
        (with_store(free_cuts=1), "yard cuts: the plan has 0.50, it comes to 0.00"),
        (with_store(trip_cost=Decimal(4)), "trips: the plan has 3.00, it comes to 4.00"),
        (with_shop(most_stores=0), "1 stores are visited, and the most is 0"),
    ],
)
def test_a_plan_for_another_car_or_store_is_refused(
    other: Callable[[StockBook], StockBook], finding: str
) -> None:
    plan, stock = cut_by_the_yard()
    audit(plan, stock, JOB)
    found = findings(plan, other(stock))
    assert any(either in found for either in finding.split("|"))


def test_the_yard_cuts_before_the_shop_does() -> None:
    plan, stock = cut_by_the_yard()
    (board,) = plan.boards
    yard, trim, *others = board.cuts
    assert (yard.kind, trim.kind) == (CutKind.YARD, CutKind.TRIM)
    swapped = (replace(yard, kind=CutKind.TRIM), replace(trim, kind=CutKind.YARD), *others)
    changed = replace(plan, boards=(replace(board, cuts=swapped),))
    assert "cut 2 is the yard's, and comes after cuts of the shop" in findings(changed, stock)


def test_packs_are_whole_and_none_is_bought_for_nothing() -> None:
    stock = book(PACK, shop=shop(offcut_value=Decimal(0)))
    plan = solve(stock, job(rails("90", 3)), Watch())
    three = replace(stock, offers=(replace(PACK, pack=3),))
    assert "comes in packs of 3" in findings(plan, three)
    singly = replace(stock, offers=(replace(PACK, pack=1),))
    assert "1 of 1 1/2 x 3 1/2 x 96 at Weir Yard are bought, and no blank" in findings(plan, singly)


@pytest.mark.parametrize(
    ("said", "finding"),
    [
        ({"load": Load(weight=1)}, "and the plan says 1"),
        (
            {"consumables": (Consumable(item="Dowel", amount="1", sum=Decimal(0)),)},
            "glue, finish and hardware are not those of this plan",
        ),
    ],
)
def test_what_stands_beside_the_plan_follows_from_it(said: dict[str, Any], finding: str) -> None:
    plan, stock = cut_by_the_yard()
    assert finding in findings(replace(plan, **said), stock)


def test_a_price_has_the_day_of_the_book() -> None:
    plan, stock = cut_by_the_yard()
    dated = tuple(replace(line, priced_on="2026-03-28") for line in plan.buy)
    assert "is not priced on 2026-03-28" in findings(replace(plan, buy=dated), stock)


def test_a_rack_piece_is_pulled_to_be_sawn() -> None:
    stock = book(on_rack("R001", "1 1/2 x 3 1/2 x 130"), shop=shop())
    plan = solve(stock, job(rails("118", 1)), Watch())
    (board,) = plan.boards
    idle = replace(plan, boards=(replace(board, blanks=(), leftovers=(), cuts=()),))
    assert f"board {board.id}: no blank is sawn from it" in findings(idle, stock)
