"""In the middle of a job: what is cut led to blanks, and what is spoiled is used no more."""

from __future__ import annotations

from typing import Any

import pytest

from optimizer.plan.plan import CutKind
from tests.damage import changed, holds, refused
from tests.making_plans import Case, cuts
from tests.rack_plans import board_ripped_in_two, own_edges, segment_ripped_in_two, treated_post

# Two slats out of one board: cut 1 crosscuts a segment off, cut 2 rips b1 off it, cut 3 b2.


@pytest.mark.parametrize("made", [0, 2, 3])
def test_cuts_up_to_a_blank_may_be_made(made: int) -> None:
    holds(changed(segment_ripped_in_two(), "plan.boards.0.made", made))


def test_a_cut_is_not_made_for_nothing() -> None:
    begun = changed(segment_ripped_in_two(), "plan.boards.0.made", 1)
    refused(begun, "board B1: cut 1 is made, and no blank came off by it")


# Here cuts 1 and 2 rip the strips, cut 3 crosscuts b1 off the one, cut 4 b2 off the other.


@pytest.mark.parametrize(
    ("made", "idle"),
    [(1, "cut 1 is made"), (2, "cut 2 is made"), (3, "cut 2 is made")],
)
def test_each_cut_that_is_made_leads_to_a_blank_that_came_off(made: int, idle: str) -> None:
    refused(changed(board_ripped_in_two(), "plan.boards.0.made", made), f"{idle}, and no blank")
    holds(changed(board_ripped_in_two(), "plan.boards.0.made", 4))


def one_slat(*lines: str, **values: Any) -> Case:
    """The second slat alone; the wood of the first came off as scrap."""
    case = segment_ripped_in_two()
    only = case.plan.boards[0].blanks[1]
    case = changed(case, "plan.boards.0.blanks", (only,))
    case = changed(case, "plan.boards.0.cuts", cuts(*lines))
    case = changed(case, "plan.parts", lambda parts: (changed(parts[1], "copy", 1),))
    case = changed(case, "job.parts.0.count", 1)
    for name, value in values.items():
        case = changed(case, f"plan.boards.0.{name}", value)
    return case


RIPPED = (
    "crosscut B1 at 30 gives B1.1 -",
    "rip B1.1 at 2 1/2 gives - B1.2",
    "rip B1.2 at 2 1/2 gives b2 -",
)


def test_what_is_spoiled_came_off_as_scrap() -> None:
    holds(one_slat(*RIPPED))
    holds(one_slat(*RIPPED, spoiled=("b1",), made=2))
    refused(
        one_slat(*RIPPED, spoiled=("b1",)), "1 of its blanks are spoiled, and 0 came off so far"
    )
    many = ("b1", "b3", "b4")
    refused(one_slat(*RIPPED, spoiled=many, made=2), "3 of its blanks are spoiled, and 2 came off")


@pytest.mark.parametrize(
    ("spoiled", "said"),
    [
        (("b2",), "blank b2 is spoiled, and is used"),
        (("b1", "b1"), "blank 'b1' is spoiled 2 times"),
        (("",), "blank '' is spoiled 1 times"),
    ],
)
def test_nothing_spoiled_is_used_or_told_twice(spoiled: tuple[str, ...], said: str) -> None:
    refused(one_slat(*RIPPED, spoiled=spoiled, made=2), said)


def test_a_board_used_as_it_is_has_nothing_to_spoil() -> None:
    spoiled = changed(treated_post(), "plan.boards.0.spoiled", ("b9",))
    refused(spoiled, "board B1: 1 of its blanks are spoiled, and 0 came off so far")
    holds(own_edges())


def test_the_yards_cuts_are_made_before_all_others() -> None:
    case = board_ripped_in_two()
    for n in (0, 1):
        case = changed(case, f"plan.boards.0.cuts.{n}.kind", CutKind.YARD)
    refused(changed(case, "plan.boards.0.made", 1), "1 of its cuts are made, and 2 by the yard")
