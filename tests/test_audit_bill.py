"""Each worth, tax and sum of the bill is added up again from the boards."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.plan.audit_bill import worth_of
from stock.lengths import Length
from stock.worth import Worth
from tests.damage import changed, holds, refused
from tests.making_plans import inches
from tests.sound_plans import THICK, THIN, boat_rack

CENT = Decimal("0.01")


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("cost.glue", "0.13", "glue: the plan has 0.13, it comes to 0.12"),
        ("cost.time", "35.34", "time: the plan has 35.34, it comes to 35.33"),
        ("cost.rack_used", "0.44", "rack used: the plan has 0.44, it comes to 0.43"),
        ("cost.leftovers", "0.82", "leftovers: the plan has 0.82, it comes to 0.83"),
        ("cost.trips", "5.00", "trips: the plan has 5.00, it comes to 0.00"),
        ("cost.yard_cuts", "5.00", "yard cuts: the plan has 5.00, it comes to 0.00"),
        ("boards.0.cost", "0.44", "rack piece R001 is worth 0.43, and the plan says 0.44"),
        ("boards.1.leftovers.0.worth", "0.33", "leftover R003 is worth 0.32, and the plan says"),
        ("taxes.0.percent", "8", "tax at Landing is not 8 %"),
    ],
)
def test_an_amount_off_by_a_cent_is_refused(path: str, value: str, finding: str) -> None:
    refused(changed(boat_rack(), f"plan.{path}", Decimal(value)), finding)


def test_a_cent_of_tax_moved_to_another_store_is_refused() -> None:
    def moved(taxes: tuple[Any, ...]) -> tuple[Any, ...]:
        landing, slip = taxes
        return replace(landing, tax=landing.tax + CENT), replace(slip, tax=slip.tax - CENT)

    finding = "tax at Landing is 0.35, and the plan has 0.36"
    refused(changed(boat_rack(), "plan.taxes", moved), finding)


def test_a_tax_of_a_store_that_nothing_is_bought_from_is_refused() -> None:
    def listed(taxes: tuple[Any, ...]) -> tuple[Any, ...]:
        return (*taxes, replace(taxes[0], store="Quay", tax=Decimal("0.00")))

    refused(changed(boat_rack(), "plan.taxes", listed), "tax at Quay is not 8.25 %")


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("buy.0.size", "2x6", "buy 2x4 x 8' at Landing: 1 on the list, 0 in the plan"),
        ("buy.0.wood", "oak", "buy 2x4 x 8' at Landing: 0 on the list, 1 in the plan"),
        ("buy.0.length", inches("120"), "buy 2x4 x 8' at Landing: 1 on the list, 0 in the plan"),
    ],
)
def test_a_shopping_list_of_other_boards_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), f"plan.{path}", value), finding)


def test_one_kind_of_board_is_one_line_to_buy() -> None:
    def halved(buy: tuple[Any, ...]) -> tuple[Any, ...]:
        return (*buy, buy[0])

    case = boat_rack()
    twice = replace(
        case.plan,
        buy=halved(case.plan.buy),
        cost=replace(case.plan.cost, boards=case.plan.cost.boards + case.plan.buy[0].each),
    )
    refused(replace(case, plan=twice), "the list to buy has two lines for the same boards")


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("stores.0.tax_percent", Decimal(9), "tax at Landing is 0.38, and the plan has 0.35"),
        ("stores", (), "tax at Slip is 0.00, and the plan has 0.70"),
        (
            "offers.0.price",
            Decimal("8.40"),
            "rack piece R001 is worth 0.52, and the plan says 0.43",
        ),
        ("shop.glue_spread", Decimal(125), "glue: the plan has 0.12, it comes to 0.23"),
        ("shop.glue_price", Decimal(60), "glue: the plan has 0.12, it comes to 0.23"),
        ("shop.pay", Decimal(0), "time: the plan has 35.33, it comes to 0.00"),
        ("shop.minutes_per_crosscut", Decimal(3), "time: the plan has 35.33, it comes to 40.00"),
        ("shop.minutes_per_rip", Decimal(5), "time: the plan has 35.33, it comes to 37.00"),
        ("shop.minutes_per_planed_face", Decimal(1), "time: the plan has 35.33, it comes to 30.67"),
        ("shop.minutes_per_glue_line", Decimal(0), "time: the plan has 35.33, it comes to 25.33"),
        ("shop.offcut_value", Decimal(0), "rack piece R001 is worth 0.00, and the plan says 0.43"),
        ("shop.shortest_kept", inches("33"), "leftover R003 is worth 0.00, and the plan says 0.32"),
        ("shop.narrowest_kept", inches("4"), "leftover R003 is worth 0.00, and the plan says 0.32"),
    ],
)
def test_a_bill_from_another_stock_book_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), f"stock.{path}", value), finding)


def test_a_lower_bound_is_still_a_bound() -> None:
    holds(changed(boat_rack(), "plan.bound", Decimal("40.00")))


@given(
    length=st.fractions(min_value=1, max_value=200, max_denominator=64),
    width=st.fractions(min_value=Fraction(1, 4), max_value=12, max_denominator=64),
    share=st.integers(min_value=0, max_value=90),
)
def test_worth_is_what_planning_takes_it_for(length: Length, width: Length, share: int) -> None:
    case = changed(boat_rack(), "stock.shop.offcut_value", Decimal(share))
    planning = Worth(case.stock.shop, case.stock.offers)
    for board, lumber in ((case.plan.boards[1], THICK), (case.plan.boards[3], THIN)):
        audited = worth_of(board, length, width, case.stock)
        assert audited == planning.of(lumber, length, width)
