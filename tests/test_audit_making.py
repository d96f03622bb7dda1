"""Each part comes out of its blanks at its finished size, as often and as built as drawn.

Allowances and machine limits are settings of the shop; their defaults are common practice, no
source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from optimizer.job.parts import Faces, Make, Treatment
from tests.damage import changed, holds, refused
from tests.making_plans import blank, cuts, inches, part_of
from tests.rack_plans import (
    off_cut,
    off_the_rack,
    short_parts_share_a_blank,
    stack_as_bought,
    treated_post,
    whole_boards_side_by_side,
)
from tests.sound_plans import THICK, boat_rack


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("plan.parts", lambda parts: parts[1:], "Rail, copy 1: is not made"),
        ("plan.parts", lambda parts: (*parts, parts[0]), "Rail, copy 1: is made, and not asked"),
        ("plan.parts.5.copy", 4, "Slat, copy 3 (spare): is not made"),
        ("plan.parts.5.spare", False, "Slat, copy 3: is made, and not asked for"),
        ("job.parts.0.count", 2, "Rail, copy 2: is not made"),
        ("plan.parts.4.layup", ((("b6",),),), "blank b6 holds 1 and stands in 2 parts"),
        ("plan.parts.4.layup", ((("b99",),),), "blank b99 stands in a part, and no board gives it"),
        ("plan.parts.0.layup", ((("b6",),),), "blank b6 stands in copies of 2 parts"),
        ("plan.parts.0.layup", ((("b2",),),), "blank b1 holds 1 and stands in 0 parts"),
    ],
)
def test_a_part_or_blank_too_many_or_too_few_is_refused(
    path: str, value: Any, finding: str
) -> None:
    refused(changed(boat_rack(), path, value), finding)


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("plan.parts.0.length", inches("41"), "Rail, copy 1: has another finished size"),
        ("plan.parts.0.glued", True, "Rail, copy 1: is glued of 1 blanks"),
        ("job.parts.1.tenons", (), "Post, copy 1: has another finished size than the drawing"),
        ("job.parts.0.wood", "oak", "Rail, copy 1: board B1 is SPF, not oak"),
        ("job.parts.0.treated", Treatment.YES, "Rail, copy 1: treated wood: yes on the drawing"),
        ("plan.boards.0.treated", True, "Rail, copy 1: treated wood: no on the drawing"),
        ("plan.boards.0.treated", True, "Rail, copy 1: treated wood is not planed or glued"),
        ("job.parts.0.make", Make.GLUED, "Rail, copy 1: is to be glued"),
        ("job.parts.1.make", Make.SOLID, "Post, copy 1: is to be solid"),
        ("job.parts.0.faces", Faces.AS_BOUGHT, "Rail, copy 1: is to have its faces as bought"),
        ("job.parts.3.faces", Faces.PLANED, "Slat, copy 1: is to have its faces planed"),
    ],
)
def test_a_part_not_as_drawn_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(boat_rack(), path, value), finding)


@pytest.mark.parametrize("wanted", [Treatment.NO, Treatment.YES, Treatment.EITHER])
def test_treated_wood_serves_where_it_is_asked_for_or_either_will_do(wanted: Treatment) -> None:
    case = changed(treated_post(), "job.parts.0.treated", wanted)
    if wanted is Treatment.NO:
        refused(case, "Post, copy 1: treated wood: no on the drawing")
    else:
        holds(case)


# All but the slats, which stay as bought, are out of 1 1/2 lumber. Rail: 41 × 2 5/8, planed to
# 40 × 2 1/2 × 1 1/4. Post: two plies 31 × 3 for 30 × 2 3/4 × 2 3/4. Shelf: two strips 31 × 4 5/16
# for 30 × 8 × 1 1/8.


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("job.parts.3.length", inches("19 63/64"), "Slat, copy 1: length 20 is over the 1279/64"),
        ("job.parts.3.length", inches("20 1/64"), "Slat, copy 1: length 20 is under the 1281/64"),
        ("job.parts.3.width", inches("3"), "Slat, copy 1: width 7/2 is over the 3 that it needs"),
        ("job.parts.3.thickness", inches("1"), "Slat, copy 1: is 3/4 thick as bought, and should"),
        ("job.parts.0.thickness", inches("1 7/16"), "Rail, copy 1: is too thin: 11/8 is left"),
        ("plan.parts.1.layup", ((("b2",), ("b3",)),), "Post, copy 1: is too thin: 11/8 is left"),
        ("plan.boards.0.blanks.0.length", inches("42"), "Rail, copy 1: length 42 is over the 41"),
        ("plan.boards.0.blanks.0.width", inches("3"), "Rail, copy 1: width 3 is over the 21/8"),
        ("plan.boards.2.blanks.0.width", inches("4"), "Shelf, copy 1: width 125/16 is under the"),
    ],
)
def test_a_part_that_would_not_come_out_at_its_size_is_refused(
    path: str, value: Any, finding: str
) -> None:
    refused(changed(boat_rack(), path, value), finding)


@pytest.mark.parametrize(
    ("setting", "value", "finding"),
    [
        ("skim_per_face", "1/8", "Rail, copy 1: is too thin: 19/16 is left for 5/4"),
        ("last_pass_per_face", "1/8", "Rail, copy 1: is too thin: 19/16 is left for 5/4"),
        ("jointing_per_edge", "1/8", "Rail, copy 1: width 21/8 is under the 11/4 that it needs"),
        ("jointing_per_edge", "1/8", "Shelf, copy 1: width 65/8 is under the 33/4 that it needs"),
        ("edge_trim", "3/16", "Shelf, copy 1: width 63/8 is under the 65/8 that it needs"),
        ("slip", "3/16", "Post, copy 1: width 3 is under the 49/16 that it needs"),
        ("edge_trim", "3/16", "Post, copy 1: width 3 is under the 25/8 that it needs"),
        ("extra_length", "2", "Rail, copy 1: length 41 is under the 42 that it needs"),
        ("extra_length", "15/16", "Rail, copy 1: length 41 is over the 655/16 that it needs"),
        ("shortest_to_plane", "32", "Post, copy 1: blank b2 is shorter than the shortest to plane"),
        ("widest_to_plane", "4", "Shelf, copy 1: blank b4 is wider than the widest to plane"),
        ("narrowest_strip", "4 3/8", "Shelf, copy 1: a strip 69/16 wide is too narrow or too wide"),
        ("widest_strip", "4 1/8", "Shelf, copy 1: a strip 69/16 wide is too narrow or too wide"),
        ("most_planed_away", "1/32", "Post, copy 1: loses more than the most planed away"),
    ],
)
def test_parts_for_another_shop_are_refused(setting: str, value: str, finding: str) -> None:
    refused(changed(boat_rack(), f"stock.shop.{setting}", inches(value)), finding)


@pytest.mark.parametrize(
    ("setting", "finding"),
    [
        ("most_plies", "Post, copy 1: has 2 plies, more than the most plies"),
        ("most_strips", "Shelf, copy 1: has 2 strips, more than the most strips"),
    ],
)
def test_more_members_than_the_shop_glues_are_refused(setting: str, finding: str) -> None:
    refused(changed(boat_rack(), f"stock.shop.{setting}", 1), finding)


def test_rounding_up_to_the_tape_is_not_overlong() -> None:
    holds(changed(boat_rack(), "stock.shop.extra_length", inches("61/64")))


def test_more_planed_away_than_the_shop_likes_is_allowed_where_it_is_said() -> None:
    strict = changed(boat_rack(), "stock.shop.most_planed_away", inches("1/32"))
    holds(changed(strict, "plan.parts.1.remarks", ("1/16 is planed away",)))


def test_thickness_at_least_lets_a_board_be_thinner() -> None:
    case = boat_rack()
    for path in ("job.parts.3", "plan.parts.3", "plan.parts.4", "plan.parts.5"):
        case = changed(case, f"{path}.thickness", inches("1"))
    refused(case, "Slat, copy 1: is 3/4 thick as bought, and should be 1")
    holds(changed(case, "job.parts.3.thickness_at_least", inches("3/4")))


def test_faces_as_bought_are_glued_only_where_that_is_typed() -> None:
    finding = "Block, copy 1: is glued with its faces as bought, which is not typed"
    refused(changed(stack_as_bought(), "job.parts.0.faces", Faces.ANY), finding)


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("plan.boards.1.wood", "oak", "is glued of unlike woods"),
        ("plan.boards.1.thickness", inches("2"), "has strips of unlike thickness"),
        (
            "plan.parts.0.layup",
            ((("b1", "b2"),),),
            "is joined end to end elsewhere than once in an inner ply",
        ),
        ("plan.parts.0.layup", ((("b1",), ("b2",)), (("b1",),)), "width 7/2 is under the"),
        ("plan.parts.0.layup", (), "has no blanks"),
        ("plan.parts.0.planed", False, "is glued of strips with its faces as bought"),
    ],
)
def test_a_panel_built_otherwise_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(whole_boards_side_by_side(), path, value), f"Panel, copy 1: {finding}")


def test_a_strip_that_is_not_needed_is_refused() -> None:
    panel, names = part_of("Panel", "30", "6 3/8", "1 3/8"), ("1", "2", "3")
    strips = (off_cut(f"B{n}", THICK, "3 1/2", "31") for n in names)
    three = off_the_rack(panel, [[[f"b{n}" for n in names]]], *strips, planed=True)
    refused(three, "Panel, copy 1: width 39/4 is over the 13/2 that it needs")


def test_a_strip_may_be_wider_than_needed_only_where_boards_come_so_wide() -> None:
    panel = part_of("Panel", "30", "6 1/4", "1 3/8")
    strips = (
        off_cut(
            f"B{n}",
            THICK,
            "5 1/2",
            "31",
            blanks=(blank(f"b{n}", "0", "0", "31", "3 1/2"),),
            cuts=cuts(f"rip B{n} at 3 1/2 gives b{n} -"),
        )
        for n in (1, 2)
    )
    ripped = off_the_rack(panel, [[["b1", "b2"]]], *strips, planed=True)
    refused(ripped, "Panel, copy 1: width 13/2 is over the 51/8 that it needs")
    (row,) = ripped.stock.rack
    narrow = replace(row, tag="R002", width=inches("3 1/2"))
    holds(changed(ripped, "stock.rack", (row, narrow)))


@pytest.mark.parametrize(
    ("length", "finding"),
    [
        ("11", "length 11 is under the 89/8 that it needs"),  # 5 + 1/8 + 5 + 1
        ("12 1/16", "length 193/16 is over the 89/8 that it needs"),  # 12 is the shortest to plane
    ],
)
def test_a_shared_blank_too_short_or_overlong_is_refused(length: str, finding: str) -> None:
    case = short_parts_share_a_blank()
    refused(
        changed(case, "plan.boards.0.blanks.0.length", inches(length)), f"Peg, copy 1: {finding}"
    )
