"""Each cut knows where the tape reads, how it is set, and what comes off."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from optimizer.plan.marks import piece_marks
from optimizer.plan.plan import Plan
from optimizer.work.saw_cuts import Fate, SawCut, Setup, saw_cuts
from stock.errors import RackfirstError
from tests.making_plans import cuts
from tests.sound_plans import boat_rack
from tests.thin_strips import thin_strips


def board_cuts(plan: Plan, board: int) -> list[SawCut]:
    return saw_cuts(plan, plan.boards[board], piece_marks(plan))


def test_tape_readings_run_from_the_left_end_of_the_whole_board() -> None:
    """trim 3/8, 95 from 1/2; then 31 from 1/2, 3 up; 31 from 31 5/8, 3 up."""
    found = board_cuts(boat_rack().plan, 1)
    assert [cut.tape for cut in found] == [
        Fraction(each) for each in ("3/8", "191/2", "63/2", "3", "501/8", "3")
    ]


def test_the_stop_holds_the_length_and_the_fence_the_width() -> None:
    found = board_cuts(boat_rack().plan, 1)
    assert [(cut.setup, cut.setting) for cut in found] == [
        (Setup.TAPE, None),
        (Setup.TAPE, None),
        (Setup.STOP, 31),
        (Setup.FENCE, 3),
        (Setup.STOP, 31),
        (Setup.FENCE, 3),
    ]


def test_what_comes_off_and_what_remains() -> None:
    *_, third, fourth, fifth, _ = board_cuts(boat_rack().plan, 1)
    assert [(side.mark, side.fate, side.length) for side in third.sides] == [
        ("B2.1", Fate.WORK, 31),
        ("B2", Fate.WORK, Fraction(511, 8)),
    ]
    assert [(side.mark, side.fate, side.width) for side in fourth.sides] == [
        ("C1a", Fate.BLANK, 3),
        ("", Fate.SCRAP, Fraction(3, 8)),
    ]
    assert fifth.sides[1].mark == "R003"
    assert fifth.sides[1].fate is Fate.LEFTOVER


def test_a_cut_waits_for_the_one_that_gives_its_piece() -> None:
    assert [cut.after for cut in board_cuts(boat_rack().plan, 1)] == [None, 1, 2, 3, 3, 5]


def test_a_kerf_may_run_off_the_end() -> None:
    plan = boat_rack().plan
    board = replace(plan.boards[0], length=Fraction(329, 8))  # 41 1/8: the kerf takes the rest
    first, _ = saw_cuts(plan, board, piece_marks(plan))
    assert first.far is None
    assert first.kerf_place == (41, 0, Fraction(1, 8), Fraction(7, 2))


# --- thin strips ---------------------------------------------------------------------------------


def test_a_strip_under_three_quarters_comes_off_the_outer_edge() -> None:
    """3 1/2 less 1/2 and a kerf of 1/8: the fence holds 2 7/8, then 2 1/4, then 1 5/8."""
    rips = board_cuts(thin_strips(), 0)[2:]
    assert [(cut.setup, cut.setting) for cut in rips] == [
        (Setup.OUTER, Fraction(23, 8)),
        (Setup.OUTER, Fraction(9, 4)),
        (Setup.OUTER, Fraction(13, 8)),
        (Setup.FENCE, Fraction(3, 2)),
    ]


@pytest.mark.parametrize(
    ("at", "setup"), [("11/16", Setup.OUTER), ("3/4", Setup.FENCE), ("95/127", Setup.FENCE)]
)
def test_three_quarters_or_nineteen_millimetres_run_against_the_fence(
    at: str, setup: Setup
) -> None:
    plan = thin_strips()
    rip = replace(cuts("rip B1 at 1/2 gives b11 -")[0], at=Fraction(at))
    (cut,) = saw_cuts(plan, replace(plan.boards[0], cuts=(rip,)), piece_marks(plan))
    assert cut.setup is setup


# --- a plan that was tampered with ---------------------------------------------------------------


def test_a_cut_of_a_piece_that_is_not_there_is_named() -> None:
    plan = boat_rack().plan
    board = replace(plan.boards[0], cuts=plan.boards[0].cuts[1:])
    with pytest.raises(RackfirstError, match=r"board B1, cut 2: there is no piece 'B1\.1' to cut"):
        saw_cuts(plan, board, piece_marks(plan))
