"""plan.json holds all of a plan, exactly, as its contract has it."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from optimizer.plan.plan import (
    Plan,
)
from optimizer.plan.plan_file import (
    PlanFileError,
    plan_from_json,
    plan_to_json,
    read_plan,
    write_plan,
)
from stock.errors import RackfirstError
from tests.damage import at
from tests.drawn_plans import plans
from tests.sound_plans import boat_rack, metric_post


@given(plan=plans())
def test_a_plan_read_back_is_the_plan(plan: Plan) -> None:
    text = plan_to_json(plan)
    assert plan_from_json(text) == plan
    assert plan_to_json(plan_from_json(text)) == text
    assert text.endswith("}\n")


def test_equal_plans_give_equal_bytes() -> None:
    plan = boat_rack().plan
    percent = replace(plan.taxes[0], percent=Decimal("8.2500"))
    alike = replace(plan, taxes=(percent, *plan.taxes[1:]), bound=Decimal("51.5"))
    assert alike == plan
    assert plan_to_json(alike) == plan_to_json(plan)


# the contract ------------------------------------------------------------------------------------

# The keys of plan_format, version 1, which other programs read; more are allowed.
CONTRACT = {
    "": "format unit job kerf status cost bound gap boards parts buy",
    "kerf": "rip crosscut",
    "cost": "boards tax trips yard_cuts glue time cash rack_used leftovers net",
    "boards.0": "id from tag worth wood treated thickness width length blanks leftovers cuts",
    "boards.1": "id from store offer price wood treated thickness width length blanks",
    "boards.1.blanks.0": "id x y length width holds",
    "boards.1.leftovers.0": "tag x y length width worth",
    "boards.1.cuts.0": "n kind piece at gives",
    "parts.0": "part copy spare make faces layup blanks",
    "buy.0": "store offer count each sum",
}


@pytest.mark.parametrize(("place", "keys"), CONTRACT.items())
def test_every_key_of_the_contract_is_there(place: str, keys: str) -> None:
    assert set(keys.split()) <= set(at(json.loads(plan_to_json(boat_rack().plan)), place))


@pytest.mark.parametrize(
    ("place", "value"),
    [
        ("format", "rackfirst-plan/1"),
        ("unit", "in"),
        ("kerf", {"rip": "1/8", "crosscut": "1/8"}),
        ("status", "within gap"),
        ("cost.net", "52.00"),
        ("bound", "51.50"),
        ("boards.0.from", "rack"),
        ("boards.1.from", "store"),
        ("boards.1.thickness", "3/2"),
        ("boards.1.length", "96"),
        ("boards.1.blanks.1.x", "253/8"),
        (
            "boards.1.cuts.0",
            {"n": 1, "kind": "trim", "piece": "B2", "at": "3/8", "gives": ["", "B2.1"]},
        ),
        ("parts.1.layup", [[["b2"]], [["b3"]]]),
        ("parts.2.layup", [[["b4"], ["b5"]]]),
        ("parts.2.blanks", ["b4", "b5"]),
        ("parts.2.make", "glued"),
        ("parts.3.faces", "as bought"),
        ("parts.5.spare", True),
        ("buy.0.sum", "4.20"),
    ],
)
def test_values_stand_as_the_contract_has_them(place: str, value: Any) -> None:
    assert at(json.loads(plan_to_json(boat_rack().plan)), place) == value


def test_lengths_of_a_metric_plan_are_millimetres() -> None:
    document = json.loads(plan_to_json(metric_post().plan))
    assert (document["unit"], document["kerf"]["rip"]) == ("mm", "3")
    assert document["boards"][0]["leftovers"][0]["x"] == "1468"


def test_a_job_without_gap_says_zero() -> None:
    assert json.loads(plan_to_json(metric_post().plan))["gap"] == 0


# files -------------------------------------------------------------------------------------------


def test_a_file_written_is_read_and_nothing_else_is_left(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    for case in (metric_post(), boat_rack()):  # the second overwrites the first
        write_plan(case.plan, path)
        assert read_plan(path) == case.plan
    assert path.read_bytes() == plan_to_json(boat_rack().plan).encode()
    assert list(tmp_path.iterdir()) == [path]


def test_where_nothing_can_be_written_the_path_is_named(tmp_path: Path) -> None:
    (tmp_path / "plan.json").mkdir()
    (tmp_path / "note").write_text("not a folder")
    for path in (tmp_path / "plan.json", tmp_path / "none/plan.json", tmp_path / "note/plan.json"):
        with pytest.raises(RackfirstError, match=r"plan\.json (is a folder|cannot be written)"):
            write_plan(boat_rack().plan, path)
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["note", "plan.json"]


def test_an_old_plan_stays_whole_when_the_new_one_cannot_be_written(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    write_plan(metric_post().plan, path)
    with pytest.raises(ValueError, match="not whole cents"):
        write_plan(replace(boat_rack().plan, bound=Decimal("51.505")), path)
    assert read_plan(path) == metric_post().plan


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    with pytest.raises(PlanFileError, match=r"there is no plan .*plan\.json; name the folder"):
        read_plan(path)
    path.write_bytes(b"\xff\xfe{")
    with pytest.raises(
        PlanFileError, match=r"is no plan: it is not written in UTF-8; name plan\.json"
    ):
        read_plan(path)
    path.write_text("{}")
    with pytest.raises(PlanFileError, match=r"plan\.json: format: this key is missing"):
        read_plan(path)
