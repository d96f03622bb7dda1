"""Marks are short, no two alike, and warn of parts that are easily mixed up."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from optimizer.plan.marks import near_alike, piece_marks
from optimizer.plan.plan import Plan
from tests.demo_plan import demo_plan
from tests.sample_plan import named, sample_plan
from tests.sound_plans import boat_rack


def test_a_part_is_a_letter_its_copies_numbers_its_blanks_small_letters() -> None:
    marks = piece_marks(sample_plan())
    assert marks.parts == ("A1", "A2", "C1", "C2", "C3", "D1", "D2", "D3", "E1")
    assert [marks.blanks[blank] for blank in ("b1", "b2", "b3", "b4")] == [
        "A1a",
        "A1b",
        "A2a",
        "A2b",
    ]
    assert marks.blanks["b7"] == "C1"


def test_a_blank_that_holds_several_copies_names_them_all() -> None:
    plan = sample_plan()
    assert piece_marks(plan).blanks["b5"] == "D1–3"
    first, second, third = (made for made in plan.parts if made.part == "Pad")
    others = tuple(made for made in plan.parts if made.part != "Pad")
    elsewhere = replace(second, layup=((("b1",),),), glued=False)
    apart = replace(plan, parts=(first, elsewhere, third, *others))
    assert piece_marks(apart).blanks["b5"] == "A1+3"


def test_letters_that_read_like_figures_or_begin_a_board_s_mark_are_left_out() -> None:
    plan = sample_plan()
    many = tuple(replace(plan.parts[0], part=f"Part {n}") for n in range(30))
    letters = list(piece_marks(replace(plan, parts=many)).letters.values())
    assert letters[:6] == ["A", "C", "D", "E", "F", "G"]  # B1 is a board
    assert not {"B", "I", "O", "Q", "R"} & set(letters)  # R10 is a tag
    assert letters[-9:] == ["AA", "AB", "AC", "AD", "AE", "AF", "AG", "AH", "AJ"]
    assert len(set(letters)) == 30
    pulled = tuple(replace(board, tag="R010", store="", offer="") for board in plan.boards)
    letters = list(piece_marks(replace(plan, parts=many, boards=pulled)).letters.values())
    assert "B" not in letters  # B1 is the id of an offcut


def test_no_two_things_carry_one_mark() -> None:
    plan = demo_plan()
    marks = piece_marks(plan)
    tags = [left.tag for board in plan.boards for left in board.leftovers]
    blanks = list(marks.blanks.values())
    parts = zip(marks.parts, plan.parts, strict=True)
    built = [mark for mark, made in parts if len(made.blanks) > 1]
    written = [*marks.boards.values(), *tags, *blanks, *built]
    assert len({mark.casefold() for mark in written}) == len(written)


def test_names_that_are_all_alike_still_give_marks() -> None:
    marks = piece_marks(named(sample_plan(), "A1"))
    assert marks.parts[0] == "C1"  # A1 is a tag now
    assert len(set(marks.parts)) == len(marks.parts)


# --- easily mixed up -----------------------------------------------------------------------------


def with_second(length: str, width: str, thickness: str) -> Plan:
    """The slats of a plan, and beside them a part of this finished size out of the same blank."""
    plan = boat_rack().plan
    slat = next(made for made in plan.parts if made.part == "Slat")
    other = replace(
        slat,
        part="Other",
        length=Fraction(length),
        width=Fraction(width),
        thickness=Fraction(thickness),
    )
    return replace(plan, parts=(slat, other))


def test_a_quarter_inch_apart_is_easily_mixed_up() -> None:
    (pair,) = near_alike(with_second("81/4", "7/2", "3/4"))
    assert (pair.first, pair.second, pair.rough) == ("Slat", "Other", False)
    assert (pair.length, pair.width, pair.thickness) == (Fraction(1, 4), 0, 0)


def test_more_than_a_quarter_inch_apart_is_told_by_eye() -> None:
    assert near_alike(with_second("325/16", "7/2", "3/4")) == []


def test_parts_of_one_size_cannot_be_taken_wrong() -> None:
    assert near_alike(with_second("20", "7/2", "3/4")) == []


def test_blanks_are_looked_at_too() -> None:
    plan = sample_plan()
    longer = replace(plan.boards[1].blanks[0], length=Fraction(245, 4))  # 61 1/4 beside 61
    boards = (plan.boards[0], replace(plan.boards[1], blanks=(longer,)), *plan.boards[2:])
    arm, other, *_ = plan.parts
    rail = replace(other, part="Rail", length=Fraction(50), layup=((("b3",),),))
    (pair,) = near_alike(replace(plan, boards=boards, parts=(arm, rail)))
    assert (pair.rough, pair.length) == (True, Fraction(1, 4))
