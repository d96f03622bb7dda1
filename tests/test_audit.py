"""The audit lets sound plans through, and no other; boards are what the stock book says.

``tests/sound_plans.py`` holds plans whose numbers were worked out on paper.
"""

from __future__ import annotations

import ast
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from optimizer.plan import audit as audit_module
from optimizer.plan.audit import AuditError
from optimizer.plan.plan import CutKind
from tests import rack_plans
from tests.damage import changed, holds, leaves, refused
from tests.making_plans import Case, inches
from tests.sound_plans import boat_rack, metric_post

CENT = Decimal("0.01")
MITE = Fraction(1, 64)


@pytest.mark.parametrize("case", [boat_rack, metric_post, *rack_plans.ALL])
def test_a_sound_plan_passes(case: Callable[[], Case]) -> None:
    holds(case())


def test_nothing_but_bound_and_status_can_be_changed_unnoticed() -> None:
    sound = boat_rack()

    def unnoticed(path: str, other: Any) -> bool:
        try:
            holds(changed(sound, f"plan.{path}", other))
        except (AuditError, ValueError):  # a plan refuses by itself sums that do not add up
            return False
        return True

    found = {
        path
        for path, value in leaves(sound.plan).items()
        for other in _other_values(value)
        if unnoticed(path, other)
    }
    assert found == {"bound", "status"}


def _other_values(value: Any) -> list[Any]:
    match value:
        case bool():
            return [not value]
        case int():
            return [value - 1, value + 1]
        case Fraction():
            return [value - MITE, value + MITE]
        case Decimal():
            return [value - CENT, value + CENT]
        case CutKind():
            return [kind for kind in CutKind if kind is not value]
        case _:
            return [f"{value}x"]


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("plan.job", "oar stand", "the job is oar stand in the plan and boat rack in the books"),
        ("plan.rip_kerf", MITE, "the rip kerf is 1/64 in the plan and 1/8 in the books"),
        ("plan.boards.1.length", inches("120"), "Landing sells 2x4 x 8' with another length"),
        ("plan.boards.1.thickness", inches("1"), "Landing sells 2x4 x 8' with another thickness"),
        ("plan.boards.1.wood", "oak", "Landing sells 2x4 x 8' with another wood"),
        ("plan.boards.1.treated", True, "Landing sells 2x4 x 8' with another treatment"),
        ("plan.boards.1.cost", Decimal("4.21"), "Landing sells 2x4 x 8' with another price"),
        ("plan.boards.1.store", "Slip", "Slip sells no 2x4 x 8'"),
        ("stock.offers.1.price", Decimal("8.00"), "Slip sells 2x6 x 8' with another price"),
        ("stock.offers.1.in_stock", 0, "Slip has 0 of 2x6 x 8', and the plan buys 1"),
    ],
)
def test_a_board_that_no_store_sells_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), path, value), finding)


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("plan.boards.0.tag", "R009", "no piece R009 is on the rack"),
        ("plan.boards.0.tag", "R002", "rack piece R002 is held for oar stand"),
        ("plan.boards.0.width", inches("5 1/2"), "rack piece R001 has another width"),
        ("plan.boards.0.bay", "A3", "rack piece R001 has another bay"),
        ("stock.rack.0.held_for", "oar stand", "rack piece R001 is held for oar stand"),
        ("stock.rack.0.count", 0, "the rack has 0 of R001, and the plan pulls 1"),
    ],
)
def test_a_board_that_is_not_free_on_the_rack_is_refused(
    path: str, value: Any, finding: str
) -> None:
    refused(changed(boat_rack(), path, value), finding)


def test_a_piece_held_for_this_very_job_may_be_pulled() -> None:
    holds(changed(boat_rack(), "stock.rack.0.held_for", "Boat Rack"))


def test_a_piece_of_the_rack_used_twice_is_refused() -> None:
    two_plies_of_one_row = rack_plans.stack_as_bought()
    too_few = changed(two_plies_of_one_row, "stock.rack.0.count", 1)
    refused(too_few, "the rack has 1 of R001, and the plan pulls 2")


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("plan.boards.1.id", "B1", "the name 'B1' stands on 2 boards"),
        ("plan.boards.2.blanks.0.id", "b2", "the name 'b2' stands on 2 blanks"),
        ("plan.boards.1.leftovers.0.tag", "r004", "the name 'r004' stands on 2 leftovers"),
        ("plan.boards.1.leftovers.0.tag", "r001", "the tag R001, which is on the rack already"),
    ],
)
def test_a_name_on_two_pieces_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), path, value), finding)


def test_the_audit_shares_no_code_with_planning() -> None:
    folder = Path(audit_module.__file__).parent
    imported = {
        node.module or ""
        for file in folder.glob("audit*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.ImportFrom)
    }
    planning = ("optimizer.search", "optimizer.job.layups", "optimizer.job.blanks", "stock.worth")
    assert "optimizer.plan.audit_bill" in imported
    assert not {module for module in imported if module.startswith(planning)}
