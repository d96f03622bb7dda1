"""Names of boards, blanks and leftovers as a maker types them at the saw."""

from __future__ import annotations

import pytest

from optimizer.plan.happened import blank_ids, blanks_named, board_ids, names
from optimizer.plan.marks import piece_marks
from stock.errors import RackfirstError
from tests.sample_plan import sample_plan
from tests.sound_plans import boat_rack

PLAN = boat_rack().plan


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("", []),
        ("b1", ["b1"]),
        ("b1, B3 ,R010 (2)", ["b1", "B3", "R010 (2)"]),
        ("b9-b11", ["b9", "b10", "b11"]),
        ("R008–010", ["R008", "R009", "R010"]),
        ("b3-b1", []),
    ],
)
def test_names_stand_apart_by_commas_and_ranges_are_counted_out(
    typed: str, meant: list[str]
) -> None:
    assert names(typed) == meant


def test_a_board_goes_by_its_id_or_by_what_is_written_on_it() -> None:
    pulled = next(board for board in PLAN.boards if board.from_rack)
    assert board_ids(PLAN, [pulled.id.lower()]) == {pulled.id}
    assert board_ids(PLAN, [pulled.tag.lower()]) <= {pulled.id}


def test_a_small_letter_is_a_blank_and_a_large_one_a_board() -> None:
    board = next(board for board in PLAN.boards if board.id == "B1")
    assert blanks_named(PLAN, "B1") == {blank.id for blank in board.blanks}
    assert blanks_named(PLAN, "b1") == {"b1"}
    with pytest.raises(
        RackfirstError, match="B99: the plan has no such blank or board; it has A1, "
    ):
        blanks_named(PLAN, "b1,B99")


def test_a_blank_goes_by_its_mark_and_a_part_is_all_of_its_blanks() -> None:
    written = piece_marks(PLAN)
    for blank, mark in written.blanks.items():
        assert blanks_named(PLAN, mark.lower()) == blank_ids(PLAN, [mark]) == {blank}
    for mark, made in zip(written.parts, PLAN.parts, strict=True):
        assert blanks_named(PLAN, mark) == set(made.blanks)


def test_a_range_of_marks_is_counted_out_and_a_dash_may_be_a_hyphen() -> None:
    plan = sample_plan()
    by_mark = {mark: blank for blank, mark in piece_marks(plan).blanks.items()}
    assert blanks_named(plan, "C1-C3") == {by_mark["C1"], by_mark["C2"], by_mark["C3"]}
    for typed in ("D1–3", "D1-3", "D2"):  # one blank for three copies
        assert blanks_named(plan, typed) == {by_mark["D1–3"]}
    assert blank_ids(plan, ["D1-3"]) == {by_mark["D1–3"]}
