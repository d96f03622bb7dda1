"""The audit at the pile: bad stretches, crook and grades, each by a plan that holds and is spoilt.

A board 60 × 5 1/2 × 3/4 off the rack; the slats are 20 × 5 1/2 as bought.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from optimizer.job.parts import Faces
from optimizer.plan.audit import audit
from optimizer.plan.plan import CutKind
from optimizer.search.watch import Watch
from optimizer.solve import solve
from tests.damage import changed, holds, refused
from tests.making_plans import Case, blank, cuts, inches, part_of
from tests.rack_plans import off_cut, off_the_rack
from tests.shop_floor import book, job, part, shop, sold
from tests.sound_plans import THIN


def around_a_knot() -> Case:
    """Two slats out of a board that is bad from 30 to 32: a kerf is lost on both sides of it."""
    board = off_cut(
        "B1",
        THIN,
        "5 1/2",
        "60",
        blanks=(
            blank("b1", "0", "0", "20", "5 1/2"),
            blank("b2", "32 1/8", "0", "20", "5 1/2"),
        ),
        cuts=cuts(
            "trim B1 at 29 7/8 gives B1.1 B1.2",
            "trim B1.2 at 2 gives - B1.3",
            "crosscut B1.1 at 20 gives b1 -",
            "crosscut B1.3 at 20 gives b2 -",
        ),
    )
    slat = replace(part_of("Slat", "20", "5 1/2", "3/4"), count=2)
    case = off_the_rack(slat, [[["b1"]], [["b2"]]], board, planed=False)
    return changed(case, "stock.rack.0.bad", ((inches("30"), inches("32")),))


def out_of_a_crooked_board() -> Case:
    """1/2 over 60 is 0.08 over 24: 1/8 on the tape; a slat of 5 3/8 is left once it is straight."""
    board = off_cut(
        "B1",
        THIN,
        "5 1/2",
        "60",
        blanks=(blank("b1", "0", "0", "24", "5 3/8"),),
        cuts=cuts(
            "crosscut B1 at 24 gives B1.1 -",
            "straighten B1.1 at 5 3/8 gives b1 -",
        ),
    )
    slat = part_of("Slat", "24", "5 3/8", "3/4")
    case = off_the_rack(slat, [[["b1"]]], board, planed=False)
    return changed(case, "stock.rack.0.crook", inches("1/2"))


@pytest.mark.parametrize("sound", [around_a_knot, out_of_a_crooked_board])
def test_the_plan_holds(sound: Any) -> None:
    holds(sound())


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("stock.rack.0.bad", ((inches("29"), inches("32")),), "no other cut, takes the end trim"),
        ("stock.rack.0.bad", ((inches("18"), inches("19")),), "b1 does not lie in the usable wood"),
        ("plan.boards.0.cuts.0.kind", CutKind.CROSSCUT, "a trim, and no other cut"),
        ("plan.boards.0.blanks.1.x", inches("32"), "b2 does not lie in the usable wood"),
    ],
)
def test_wood_from_a_bad_stretch_is_refused(path: str, value: Any, finding: str) -> None:
    refused(changed(around_a_knot(), path, value), finding)


@pytest.mark.parametrize(
    ("path", "value", "finding"),
    [
        ("stock.rack.0.crook", inches("1"), "straightens B1.1 to another width than 85/16"),
        ("plan.boards.0.cuts.1.at", inches("5 1/4"), "straightens B1.1 to another width than 43/8"),
        ("plan.boards.0.cuts.1.kind", CutKind.RIP, "which is crooked: straighten it first"),
    ],
)
def test_a_crooked_edge_is_straightened_by_just_what_it_takes(
    path: str, value: Any, finding: str
) -> None:
    refused(changed(out_of_a_crooked_board(), path, value), finding)


def test_a_piece_that_is_hardly_crooked_is_straight() -> None:
    # 3/16 over 60 is 0.03 over 24: under 1/32.
    refused(
        changed(out_of_a_crooked_board(), "stock.rack.0.crook", inches("3/16")),
        "straightens B1.1 to another width than 11/2",
    )


def test_a_grade_that_is_asked_for_must_be_promised() -> None:
    asked = changed(around_a_knot(), "job.parts.0.grade", "No. 1")
    refused(asked, "Slat, copy 1: board B1 promises no grade, and No. 1 is asked for")
    refused(changed(asked, "stock.rack.0.lumber.grade", "No. 2"), "promises No. 2, and No. 1")
    holds(changed(asked, "stock.rack.0.lumber.grade", "No. 1"))
    holds(changed(asked, "stock.rack.0.lumber.grade", "Clear"))


def test_thin_cuts_are_the_jointers() -> None:
    # A blank of 5 3/8 out of 5 1/2: 1/8 is less than a kerf and 1/16.
    slat = part_of("Slat", "24", "5 3/8", "3/4")
    board = off_cut(
        "B1",
        THIN,
        "5 1/2",
        "24",
        blanks=(blank("b1", "0", "0", "24", "5 3/8"),),
        cuts=cuts("joint B1 at 5 3/8 gives b1 -"),
    )
    case = off_the_rack(slat, [[["b1"]]], board, planed=False)
    audit(case.plan, case.stock, case.job)
    ripped = changed(case, "plan.boards.0.cuts.0.kind", CutKind.RIP)
    refused(ripped, "rips B1 by less than a saw can take: joint it")
    refused(changed(case, "stock.shop.shortest_to_plane", inches("25")), "joints B1, which is too")


def in_a_dry_room() -> Case:
    """Boards at 19 % in a room of 70 degrees and 40 %, where wood comes to 7.7 % (Wood Handbook
    table 4-2).
    """
    stock = book(sold("1 1/2 x 3 1/2 x 96", "4.00"), shop=shop(room_humidity=Decimal(40)))
    drawn = job(part("1 1/2 x 3 1/2 x 44", faces=Faces.AS_BOUGHT))
    return Case(plan=solve(stock, drawn, Watch()), stock=stock, job=drawn)


def test_who_has_wet_boards_is_told_to_rest_them() -> None:
    case = in_a_dry_room()
    holds(case)
    silent = changed(case, "plan.remarks", ())
    refused(silent, "boards come at 19 % moisture, and the maker is not told to rest them")
    other = changed(case, "plan.remarks.0", lambda told: told.replace("19 %", "12 %"))
    refused(other, "the maker is not told to rest them")


def test_nothing_is_said_of_drying_where_nothing_dries() -> None:
    case = in_a_dry_room()
    as_dry = changed(case, "stock.shop.bought_moisture", Decimal(9))
    refused(as_dry, "the maker is told to rest boards that are as dry as the room")
    not_asked = changed(case, "stock.shop.room_humidity", Decimal(0))
    refused(not_asked, "the maker is told how boards dry, and the shop does not ask for it")
