"""Glue, finish and hardware. Prices are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.job.parts import Hardware
from optimizer.plan.beside import Consumable
from optimizer.plan.consumables import consumables, finished_area, glue_area
from optimizer.plan.plan import Plan
from stock.lengths import Unit
from tests.sample_plan import in_unit
from tests.sound_plans import boat_rack

CASE = boat_rack()


def listed(plan: Plan = CASE.plan, **settings: object) -> dict[str, Consumable]:
    shop = replace(CASE.stock.shop, **settings)  # type: ignore[arg-type]
    hardware = (Hardware(item="Dowel", count=24, price=Decimal("0.12")),)
    return {each.item: each for each in consumables(plan, shop, hardware)}


def test_glue_lines_meet_on_the_smaller_face_or_edge() -> None:
    # The post's plies meet on 31 x 3, the shelf's strips on 31 x 1 1/2.
    assert glue_area(CASE.plan) == Fraction(31 * 3 + 31 * Fraction(3, 2)) / 144


def test_glue_is_in_the_cash_and_costs_what_the_bill_says() -> None:
    glue = listed()["Glue"]
    assert (glue.sum, glue.in_cash) == (CASE.plan.cost.glue, True)
    # 0.96875 square feet at 250 a gallon are 0.496 fl oz, which is never rounded down.
    assert glue.amount == "0.5 fl oz"
    assert "1.0 square feet of glue line at 250 a gallon" in glue.how


@pytest.mark.parametrize(("waste", "amount"), [("0", "0.5 fl oz"), ("25", "0.7 fl oz")])
def test_what_is_squeezed_out_is_added(waste: str, amount: str) -> None:
    assert listed(glue_waste=Decimal(waste))["Glue"].amount == amount


def test_finish_goes_on_every_face_as_often_as_there_are_coats() -> None:
    faces = [
        (40, Fraction(5, 2), Fraction(5, 4)),
        (30, Fraction(11, 4), Fraction(11, 4)),
        (30, 8, Fraction(9, 8)),
        *[(20, Fraction(7, 2), Fraction(3, 4))] * 3,
    ]
    area = sum(2 * (a * b + b * c + a * c) for a, b, c in faces) / Fraction(144)
    assert finished_area(CASE.plan) == area
    finish = listed(finish_coats=2, finish_price=Decimal(40), finish_spread=Decimal(100))["Finish"]
    assert finish.sum == round(Decimal(float(area * 2 / 100 * 40)), 2)
    assert not finish.in_cash


def test_treated_parts_get_none() -> None:
    treated = tuple(replace(board, treated=True) for board in CASE.plan.boards)
    assert finished_area(replace(CASE.plan, boards=treated)) == 0


def test_litres_in_a_metric_book() -> None:
    glue = listed(in_unit(CASE.plan, Unit.MM))["Glue"]
    assert glue.amount == "0.02 l"
    # 0.96875 square feet are 0.09; 250 of them a gallon are 6.136 a litre.
    assert glue.how == "0.09 square metres of glue line at 6.1 a litre"


def test_hardware_costs_its_count() -> None:
    assert listed()["Dowel"] == Consumable(
        item="Dowel", amount="24", sum=Decimal("2.88"), how="24 at 0.12"
    )
    assert "Finish" not in listed()
