"""The cuts are done again one by one; machines and the shop's way of sawing allow each of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from optimizer.job.parts import Treatment
from optimizer.plan.audit_sawing import sawing_findings
from optimizer.plan.plan import Board
from stock.shop import Sawing
from tests.damage import changed, holds, leaves, refused
from tests.making_plans import Case, blank, cuts, inches, part_of
from tests.rack_plans import board_ripped_in_two, off_cut, off_the_rack, segment_ripped_in_two
from tests.sound_plans import THICK, boat_rack, metric_post

# Board B2 of the boat rack is 96 × 3 1/2, usable from 1/2 to 95 1/2: blanks b2 and b3, each 31 × 3,
# at 1/2 and 31 5/8, and the leftover R003 from 62 3/4 on.


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("blanks.0.x", inches("33/64"), "the cuts give b2 at 1/2, 0, 31 long"),
        ("blanks.0.x", inches("31/64"), "b2 does not lie in the usable wood"),
        ("blanks.1.y", inches("1"), "b3 does not lie in the usable wood"),
        ("blanks.1.x", inches("31 39/64"), "b2 and b3 do not lie a kerf apart"),
        ("blanks.0.length", inches("31 1/64"), "b2 and b3 do not lie a kerf apart"),
        ("blanks.0.length", inches("30"), "wood is not conserved: 333 of 336 in²"),
        ("leftovers.0.x", inches("62"), "b3 and R003 do not lie a kerf apart"),
        ("leftovers.0.length", inches("33"), "R003 does not lie in the usable wood"),
        ("leftovers.0.tag", "b2", "two of its blanks and leftovers have one name"),
    ],
)
def test_a_piece_in_another_place_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), f"plan.boards.1.{path}", value), f"board B2: {finding}")


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("cuts", lambda cuts: cuts[:-1], "no cut gives b3"),
        ("cuts", lambda cuts: cuts[1:], "cut 2 is on B2.1, which is not there to be cut"),
        ("cuts", lambda cuts: (*cuts, cuts[0]), "cut 1 is on B2, which is not there to be cut"),
        ("cuts", (), "no cut gives b2"),
        ("cuts.4.piece", "b2", "cut 5 is on b2, which is not there to be cut"),
        ("cuts.2.n", 7, "cut 7 comes as number 3"),
        ("cuts.2.at", inches("30 63/64"), "the cuts give b2 at 1/2, 0, 1983/64 long"),
        ("cuts.2.at", inches("95"), "cut 3 at 95 misses B2.2"),
        ("cuts.0.at", inches("1/2"), "cut 1: a trim, and no other cut, takes the end trim off"),
        ("cuts.2.gives", ("B2.3", "B2.3"), "cut 3 gives a second piece the name B2.3"),
        ("cuts.3.gives", ("b2", "B2.9"), "piece B2.9 ends as neither blank, leftover nor scrap"),
        ("cuts.4.gives", ("B2.5", ""), "no cut gives R003"),
    ],
)
def test_another_cut_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), f"plan.boards.1.{path}", value), f"board B2: {finding}")


def test_a_kerf_that_runs_off_the_board_leaves_nothing_beyond_it() -> None:
    rail = part_of("Rail", "30", "3 1/2", "1 3/8")
    rough = (blank("b1", "0", "0", "31", "3 1/2"),)  # its board is half a kerf longer

    def sawn(*lines: str) -> Case:
        board = off_cut("B1", THICK, "3 1/2", "31 1/16", blanks=rough, cuts=cuts(*lines))
        return off_the_rack(rail, [[["b1"]]], board, planed=True)

    holds(sawn("crosscut B1 at 31 gives b1 -"))
    refused(sawn("crosscut B1 at 31 gives b1 B1.1"), "cut 1 leaves no wood for B1.1")


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("end_trim", inches("1"), "b2 does not lie in the usable wood"),
        ("crosscut_kerf", inches("1/4"), "b2 and b3 do not lie a kerf apart"),
        ("crosscut_kerf", inches("1/16"), "the cuts give b3 at 63/2, 0, 31 long"),
        ("shortest_to_rip", inches("32"), "cut 4 rips B2.3, which is shorter than the shortest"),
        ("longest_to_rip", inches("30"), "cut 4 rips B2.3, which is longer than the longest"),
        ("narrowest_rip", inches("4"), "b2 is ripped 3 wide, under the narrowest rip"),
    ],
)
def test_cuts_for_another_shop_are_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), f"stock.shop.{path}", value), f"board B2: {finding}")


def test_treated_wood_is_not_ripped() -> None:
    case = segment_ripped_in_two()
    for path in ("plan.boards.0.treated", "stock.rack.0.lumber.treated"):
        case = changed(case, path, True)
    case = changed(case, "job.parts.0.treated", Treatment.YES)
    refused(case, "board B1: cut 2 rips B1.1, which is treated")


@pytest.mark.parametrize("sawing", Sawing)
@pytest.mark.parametrize(
    ("case", "refused_by", "finding"),
    [
        (segment_ripped_in_two, Sawing.RIP_FIRST, "has been crosscut, and the shop rips first"),
        (board_ripped_in_two, Sawing.CROSSCUT_FIRST, "not been crosscut, and the shop crosscuts"),
        (metric_post, None, ""),  # one narrower blank to a segment: each way of sawing has that
    ],
)
def test_the_order_of_sawing_is_the_shops(
    sawing: Sawing, case: Callable[[], Case], refused_by: Sawing | None, finding: str
) -> None:
    sawn = changed(changed(case(), "plan.sawing", sawing), "stock.shop.sawing", sawing)
    if sawing is refused_by:
        refused(sawn, finding)
    else:
        holds(sawn)


def test_a_board_like_one_that_can_be_sawn_is_still_held_to_its_own_names_and_places() -> None:
    case = boat_rack()
    first = case.plan.boards[1]
    said = {
        path: value
        for path, value in leaves(first).items()
        if path.startswith(("blanks", "leftovers", "cuts"))
        and not path.endswith(("worth", "holds", "kind"))
    }
    twin = replace(first, id="B2'")
    for path, value in said.items():
        if isinstance(value, str) and value:
            twin = changed(twin, path, f"{value}'")

    def findings(board: Board) -> list[str]:
        return list(sawing_findings(replace(case.plan, boards=(first, board)), case.stock))

    assert not findings(twin)
    for path, value in said.items():
        other = changed(twin, path, "other" if isinstance(value, str) else value + 1)
        assert findings(other), path
        assert all(each.startswith("board B2':") for each in findings(other)), path
