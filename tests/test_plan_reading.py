"""Every fault in a plan file is named by its key."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from optimizer.plan.beside import Load
from optimizer.plan.plan_file import (
    PlanFileError,
    plan_from_json,
    plan_to_json,
)
from tests.damage import at
from tests.sound_plans import boat_rack


@pytest.mark.parametrize(
    ("place", "value", "message"),
    [
        ("format", "rackfirst-plan/2", 'format: it says "rackfirst-plan/2", and must be'),
        ("unit", "ft", "unit: it says \"ft\", and must be 'in' or 'mm'"),
        ("status", "optimal", "status: it says \"optimal\", and must be 'proven' or 'within gap'"),
        ("kerf", None, "kerf: it says null, and must be an object"),
        ("kerf.rip", "0.125", 'kerf.rip: it says "0.125", and must be an exact length'),
        ("kerf.rip", "1/0", 'kerf.rip: it says "1/0"'),
        ("kerf.rip", 1, "kerf.rip: it says 1, and must be a text"),
        ("boards", {}, "boards: it says {}, and must be a list"),
        (
            "boards.1.from",
            "wood",
            "boards[1].from: it says \"wood\", and must be 'store' or 'rack'",
        ),
        ("boards.1.offer", "", "not a sound plan: board B2 is neither"),
        ("boards.1.treated", 0, "boards[1].treated: it says 0, and must be true or false"),
        ("boards.1.price", "4.2", 'boards[1].price: it says "4.2", and must be money'),
        ("boards.1.price", "٤.20", "boards[1].price"),
        ("boards.1.length", "11 1/4", 'boards[1].length: it says "11 1/4"'),
        ("boards.1.length", "9" * 5000, "boards[1].length: it says"),
        ("boards.1.blanks.0.holds", True, "boards[1].blanks[0].holds: it says true"),
        ("boards.1.cuts.0.kind", "chop", 'boards[1].cuts[0].kind: it says "chop"'),
        ("boards.1.cuts.0.gives", ["b1"], 'boards[1].cuts[0].gives: it says ["b1"]'),
        ("parts.0.make", "nailed", "parts[0].make: it says \"nailed\", and must be 'glued' or"),
        ("parts.1.blanks", ["b3", "b2"], 'parts[1].blanks: it says ["b3", "b2"], and must be'),
        ("buy.0.count", 1.5, "buy[0].count: it says 1.5, and must be a whole number"),
        ("buy.0.sum", "4.21", 'buy[0].sum: it says "4.21", and must be "4.20"'),
        ("taxes.0.percent", "8,25", 'taxes[0].percent: it says "8,25", and must be a percentage'),
        ("cost.boards", "15.91", "not a sound plan: the shopping list does not add up"),
        ("cost.cash", "17.08", 'cost.cash: it says "17.08", and must be "17.07"'),
        ("cost.net", "51.99", 'cost.net: it says "51.99", and must be "52.00"'),
        ("bound", "52.01", "not a sound plan: bound 52.01 is above the plan's net 52.00"),
        ("gap", 0.02, "gap: it says 0.02, and must be (net - bound) / net"),
        ("gap", float("nan"), "gap: it says NaN"),
        ("gap", False, "gap: it says false"),
    ],
)
def test_a_wrong_value_is_named_by_its_key(place: str, value: Any, message: str) -> None:
    document = json.loads(plan_to_json(boat_rack().plan))
    before, _, key = place.rpartition(".")
    at(document, before)[key] = value
    with pytest.raises(PlanFileError) as fault:
        plan_from_json(json.dumps(document, ensure_ascii=False))
    assert message in str(fault.value)


@pytest.mark.parametrize("place", ["job", "cost.net", "boards.1.cuts.0.at", "parts.0.layup"])
def test_a_missing_key_is_named(place: str) -> None:
    document = json.loads(plan_to_json(boat_rack().plan))
    before, _, key = place.rpartition(".")
    del at(document, before)[key]
    with pytest.raises(PlanFileError, match=rf"{key}: this key is missing"):
        plan_from_json(json.dumps(document))


def test_a_key_more_is_let_be() -> None:
    document = json.loads(plan_to_json(boat_rack().plan))
    document["weather"] = "fair"
    assert plan_from_json(json.dumps(document)) == boat_rack().plan


@pytest.mark.parametrize("text", ["", "{", "[]", "7", "[" * 100_000, "1" * 5000, '{"format": 1}'])
def test_what_is_no_plan_is_refused(text: str) -> None:
    with pytest.raises(PlanFileError):
        plan_from_json(text)


def test_a_plan_with_half_a_cent_is_not_written() -> None:
    plan = replace(boat_rack().plan, bound=Decimal("51.505"))
    with pytest.raises(ValueError, match=r"51\.505 is not whole cents"):
        plan_to_json(plan)


def test_a_file_from_before_trips_and_consumables_is_read() -> None:
    document = json.loads(plan_to_json(boat_rack().plan))
    for key in ("remarks", "load", "consumables"):
        del document[key]
    for line in document["buy"]:
        del line["priced_on"]
    for line in document["taxes"]:
        del line["cuts"], line["trip"]
    assert plan_from_json(json.dumps(document)) == replace(boat_rack().plan, load=Load())
