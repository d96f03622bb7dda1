"""Where a board stands in the middle of the sawing, followed with a pencil.

An 8 ft 2x4: half an inch off each end, a blank of 30, one of 40 ripped to 1 3/4 and one more out of
the other half of its strip, and 23 3/4 left. Kerfs are 1/8.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from optimizer.plan.midway import standing
from optimizer.plan.plan import Board, CutKind, Plan
from tests.making_plans import blank, cuts, inches, leftover
from tests.sound_plans import boat_rack

BOARD = Board(
    id="B1",
    wood="SPF",
    treated=False,
    thickness=Fraction(3, 2),
    width=inches("3 1/2"),
    length=Fraction(96),
    cost=Fraction(0),
    store="Landing",
    offer="2x4 x 8'",
    blanks=(
        blank("b1", "1/2", "0", "30", "3 1/2"),
        blank("b2", "30 5/8", "0", "40", "1 5/8"),
        blank("b3", "30 5/8", "1 3/4", "40", "1 3/4"),
    ),
    leftovers=(leftover("R009", "70 3/4", "0", "24 3/4", "3 1/2", "1.00"),),
    cuts=cuts(
        "trim B1 at 3/8 gives - B1.1",
        "trim B1.1 at 95 gives B1.2 -",
        "crosscut B1.2 at 30 gives b1 B1.3",
        "crosscut B1.3 at 40 gives B1.4 R009",
        "rip B1.4 at 1 5/8 gives b2 b3",
    ),
)
PLAN: Plan = replace(boat_rack().plan, rip_kerf=Fraction(1, 8), crosscut_kerf=Fraction(1, 8))


def rests(cut: str = "", spoiled: str = "") -> dict[str, tuple[Fraction, ...]]:
    stands = standing(PLAN, BOARD, cut.split(), spoiled.split())
    return {rest.name: (rest.x, rest.y, rest.length, rest.width) for rest in stands.rests}


def test_nothing_cut_is_untouched() -> None:
    stands = standing(PLAN, BOARD, (), ())
    assert stands.untouched
    assert stands.cuts == ()


def test_a_blank_that_is_cut_means_every_cut_on_its_way() -> None:
    stands = standing(PLAN, BOARD, ["b1"], ())
    assert [cut.n for cut in stands.cuts] == [1, 2, 3]
    assert [each.id for each in stands.blanks] == ["b1"]
    assert rests("b1") == {"B1.3": (inches("30 5/8"), 0, inches("64 7/8"), inches("3 1/2"))}


def test_what_a_cut_sets_free_is_cut_too() -> None:
    stands = standing(PLAN, BOARD, ["b2"], ())
    assert [each.id for each in stands.blanks] == ["b1", "b2", "b3"]
    assert list(rests("b2")) == ["R009"]


def test_a_spoiled_blank_is_neither_a_blank_nor_a_rest() -> None:
    stands = standing(PLAN, BOARD, (), ["b3"])
    assert [each.id for each in stands.blanks] == ["b1", "b2"]
    assert stands.spoiled == ("b3",)
    assert list(rests(spoiled="b3")) == ["R009"]


def test_cuts_made_before_an_earlier_change_of_plan_stay_made() -> None:
    board = replace(BOARD, made=3)
    stands = standing(PLAN, board, (), ())
    assert [cut.kind for cut in stands.cuts] == [CutKind.TRIM, CutKind.TRIM, CutKind.CROSSCUT]
    assert [each.id for each in stands.blanks] == ["b1"]


@pytest.mark.parametrize(("cut", "spoiled", "blanks"), [("b1", "", 1), ("", "b1", 0)])
def test_a_board_used_whole_is_cut_when_its_blank_is(cut: str, spoiled: str, blanks: int) -> None:
    whole = replace(BOARD, blanks=(blank("b1", "0", "0", "96", "3 1/2"),), leftovers=(), cuts=())
    stands = standing(PLAN, whole, cut.split(), spoiled.split())
    assert not stands.untouched
    assert (len(stands.blanks), stands.rests) == (blanks, ())
