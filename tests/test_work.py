"""The whole work of a plan hangs together: every blank comes off, and something saves the snipe."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from optimizer.work.saw_cuts import Fate
from optimizer.work.work import work_of
from tests.demo_plan import demo_plan
from tests.sample_plan import sample_plan
from tests.sound_plans import boat_rack


def test_every_blank_and_leftover_of_every_board_comes_off_once() -> None:
    work = work_of(demo_plan())
    for each in work.boards:
        came = sorted(piece.mark for piece in each.pieces if piece.fate is not Fate.SCRAP)
        planned = [work.marks.blanks[blank.id] for blank in each.board.blanks]
        assert came == sorted([*planned, *(left.tag for left in each.board.leftovers)])


def test_the_order_of_work_holds_every_cut_of_every_board() -> None:
    work = work_of(demo_plan())
    in_order = [cut for each in work.passes for cut in each.cuts]
    on_boards = [cut for each in work.boards for cut in each.cuts]
    assert len(in_order) == len(on_boards)
    assert {(cut.board, cut.n) for cut in in_order} == {(cut.board, cut.n) for cut in on_boards}


def test_marks_count_up_in_the_order_in_which_pieces_come() -> None:
    for each in work_of(demo_plan()).boards:
        new = [
            side.mark.removeprefix(each.mark)
            for cut in each.cuts
            for side in cut.sides
            if side.fate is Fate.WORK and side.mark not in (each.mark, cut.piece.mark)
        ]
        assert new == [f".{n}" for n in range(1, len(new) + 1)]


def test_a_plan_with_boards_that_need_no_cut() -> None:
    work = work_of(sample_plan())
    assert [len(each.cuts) for each in work.boards] == [1, 1, 1, 0, 0, 0, 0, 0, 0]
    assert work.settings == 1


# --- what goes through the planer first and last -------------------------------------------------


def test_scrap_goes_before_leftovers_if_it_is_long_enough_and_lies_flat() -> None:
    """The rail's offcut is 44 long: 2 7/8 of it is scrap. Made 60 long, 18 7/8 × 3 1/2 is."""
    plan = boat_rack().plan
    longer = replace(plan.boards[0], length=Fraction(60))
    (run_in,) = work_of(replace(plan, boards=(longer, *plan.boards[1:]))).run_ins
    (board, scrap), (_, left) = run_in.pieces
    assert (board, scrap.fate, scrap.length, scrap.width) == (
        "R001",
        Fate.SCRAP,
        Fraction(151, 8),
        Fraction(7, 2),
    )
    assert left.mark == "R003"


def test_only_thicknesses_that_are_planed_need_any() -> None:
    assert [run_in.thickness for run_in in work_of(boat_rack().plan).run_ins] == [Fraction(3, 2)]
