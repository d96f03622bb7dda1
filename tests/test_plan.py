"""A plan refuses sums that do not add up, and says how near to the least possible it is."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from tests.damage import changed
from tests.making_plans import FREE
from tests.sound_plans import boat_rack


@pytest.mark.parametrize(
    ("path", "value", "fault"),
    [
        ("bound", Decimal("52.01"), "bound 52.01 is above the plan's net 52.00"),
        ("cost.boards", Decimal("15.91"), "the shopping list does not add up"),
        ("buy.0.count", 2, "the shopping list does not add up"),
        ("buy.0.count", 0, "0 of 2x4 x 8' on the shopping list"),
        ("cost.tax", Decimal("1.06"), "the stores' taxes do not add up"),
        ("taxes", (), "the stores' taxes do not add up"),
        ("boards.0.offer", "2x4 x 8'", "board B1 is neither from a store nor from the rack"),
        ("boards.0.store", "Slip", "board B1 is neither from a store nor from the rack"),
        ("boards.0.tag", "", "board B1 is neither from a store nor from the rack"),
        ("boards.1.blanks.0.width", 0, "blank b2: 31 x 0"),
        ("boards.1.blanks.0.holds", 0, "holds 0"),
        ("boards.1.leftovers.0.length", 0, "leftover R003: 0 x"),
    ],
)
def test_a_plan_refuses_what_cannot_be(path: str, value: Any, fault: str) -> None:
    with pytest.raises(ValueError, match=fault):
        changed(boat_rack().plan, path, value)


def test_cash_is_what_leaves_the_till_and_net_what_the_job_costs() -> None:
    cost = boat_rack().plan.cost
    assert cost.cash == Decimal("17.07")  # 15.90 boards + 1.05 tax + 0.12 glue
    assert cost.net == Decimal("52.00")  # + 35.33 time + 0.43 off the rack - 0.83 back on it


@pytest.mark.parametrize(
    ("bound", "above_least", "gap"),
    [("52.00", "0.00", 0), ("51.48", "0.52", 0.01), ("0.00", "52.00", 1)],
)
def test_the_gap_is_a_share_of_the_net(bound: str, above_least: str, gap: float) -> None:
    plan = changed(boat_rack().plan, "bound", Decimal(bound))
    assert plan.above_least == Decimal(above_least)
    assert plan.gap == gap


@pytest.mark.parametrize(("bound", "gap"), [("0.00", 0), ("-0.01", 1)])
def test_a_job_that_costs_nothing_has_a_gap_too(bound: str, gap: int) -> None:
    free = replace(boat_rack().plan, cost=FREE, buy=(), taxes=(), bound=Decimal(bound))
    assert free.gap == gap


def test_the_blanks_of_a_part_stand_ply_by_ply() -> None:
    built = changed(boat_rack().plan.parts[1], "layup", ((("b1",), ("b2", "b3")), (("b4",),)))
    assert built.blanks == ("b1", "b2", "b3", "b4")
