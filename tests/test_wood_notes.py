"""What the maker is told beside the cuts: the load, and how the wood will dry. Prices invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from optimizer.job.parts import Make, Part
from optimizer.output.words import load
from optimizer.plan.audit import AuditError, audit
from optimizer.plan.beside import Load
from optimizer.plan.plan import Plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.stock_book import StockBook
from tests.shop_floor import book, job, on_rack, part, shop, sold

DRY_ROOM = shop(room_humidity=Decimal(40))
RAIL = part("1 3/8 x 3 x 40", make=Make.SOLID)
STUD = sold("1 1/2 x 3 1/2 x 96", "4.00", wood="SPF")


def planned(what: Part, stock: StockBook) -> Plan:
    return solve(stock, job(what), Watch())


def test_a_part_that_dry_boards_no_longer_give_is_told_with_the_thickness_that_they_do() -> None:
    # 19 -> 7.7 % by 1 % for 4 points: 1 1/2 becomes 1.4576, less 1/8: 1.333, so 1 5/16.
    plan = planned(RAIL, book(STUD, shop=DRY_ROOM))
    (remark,) = plan.parts[0].remarks
    assert remark == "once its boards are as dry as the room it planes to 1 5/16, not 1 3/8"
    assert "up to 19 % moisture, the room takes them to 7.7 %" in plan.remarks[0]
    assert "plies within 5 points of each other" in plan.remarks[0]


def test_nothing_is_told_where_the_part_still_comes_out_or_the_wood_is_dry() -> None:
    thin = planned(part("1 5/16 x 3 x 40", make=Make.SOLID), book(STUD, shop=DRY_ROOM))
    assert thin.parts[0].remarks == ()
    offcut = on_rack("R001", "1 1/2 x 3 1/2 x 42", wood="SPF")
    dry = planned(RAIL, book(STUD, offcut, shop=DRY_ROOM))
    assert dry.parts[0].remarks == dry.remarks == ()
    wet = planned(RAIL, book(STUD, replace(offcut, moisture=Decimal(19)), shop=DRY_ROOM))
    assert wet.parts[0].remarks
    assert planned(RAIL, book(STUD, shop=shop())).remarks == ()


def test_a_plan_that_keeps_it_to_itself_is_refused() -> None:
    stock = book(STUD, shop=DRY_ROOM)
    plan = planned(RAIL, stock)
    silent = replace(plan, parts=tuple(replace(made, remarks=()) for made in plan.parts))
    with pytest.raises(AuditError, match="is too thin once dry, and the maker is not told"):
        audit(silent, stock, job(RAIL))


def test_the_load_is_told_with_the_limit_of_the_car() -> None:
    # A 2x4 of 8 ft is 504 in³: at 29.1 lb/ft³ (SPF, 19 %, NDS) 8.5 lb; twelve are 102.
    many = replace(RAIL, count=24)
    plan = planned(many, book(STUD, shop=shop(heaviest_load=60)))
    assert plan.load == Load(weight=102, limit=60)
    assert load(plan) == ("some 102 lb; the car may carry 60: 2 trips, or have them delivered")
    plum = replace(STUD, lumber=replace(STUD.lumber, wood="our own plum"))
    unknown = planned(RAIL, book(plum, shop=shop()))
    assert unknown.load == Load(unknown=1)


def test_a_load_that_weighs_something_else_is_refused() -> None:
    stock = book(STUD, shop=shop())
    plan = planned(RAIL, stock)
    with pytest.raises(AuditError, match="the load weighs 8, and the plan says 3"):
        audit(replace(plan, load=Load(weight=3)), stock, job(RAIL))
