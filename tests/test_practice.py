"""What the pages need of the shop travels with the plan."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.plan.json_node import PlanFileError
from optimizer.plan.plan_file import plan_from_json, plan_to_json
from optimizer.plan.practice import practice_of, practice_settings, usual_practice
from stock.lengths import Unit
from stock.shop import ReadTo, default_shop
from tests.damage import refused
from tests.sound_plans import boat_rack, metric_post


def test_it_is_that_of_the_shop() -> None:
    shop = replace(default_shop(Unit.IN), clamps=7, read_to=ReadTo.SIXTEENTHS)
    practice = practice_of(shop)
    assert (practice.clamps, practice.read_to) == (7, ReadTo.SIXTEENTHS)
    assert len(practice_settings()) == 22


def test_it_stands_in_plan_json_under_the_names_of_the_settings() -> None:
    written = json.loads(plan_to_json(boat_rack().plan))["practice"]
    assert (written["clamps"], written["read to"]) == (16, "32nds")
    assert (written["clamp force"], written["skim per face"]) == ("1000", "1/32")


@pytest.mark.parametrize("case", [boat_rack, metric_post])
def test_a_plan_without_it_has_the_usual_one(case: object) -> None:
    plan = case().plan  # type: ignore[operator]
    document = json.loads(plan_to_json(plan))
    del document["practice"]
    assert plan_from_json(json.dumps(document)).practice == usual_practice(plan.unit)
    document["practice"] = {"clamps": 3}
    read = plan_from_json(json.dumps(document)).practice
    assert read == replace(usual_practice(plan.unit), clamps=3)


@pytest.mark.parametrize(
    ("setting", "value"),
    [
        ("clamps", "many"),
        ("clamps", 0),
        ("clamp force", "-3"),
        ("clamp force", "0"),
        ("clamp spacing", "10.5"),
        ("read to", "64ths"),
        ("read to", "mm"),
        ("working day", "0"),
    ],
)
def test_nonsense_in_the_file_is_named(setting: str, value: object) -> None:
    document = json.loads(plan_to_json(boat_rack().plan))
    document["practice"][setting] = value
    with pytest.raises(PlanFileError):
        plan_from_json(json.dumps(document))


def test_the_audit_compares_it_with_the_books() -> None:
    case = boat_rack()
    off = replace(case.plan.practice, clamp_spacing=Fraction(12), clamp_force=Decimal(500))
    other = replace(case, plan=replace(case.plan, practice=off))
    refused(other, "the clamp spacing is 12 in the plan and 10 in the books")
    refused(other, "the clamp force is 500 in the plan and 1000 in the books")
