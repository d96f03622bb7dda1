"""A plan carried out: what the rack and its journal say afterwards, and once it is taken back."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimizer.plan.happened import Happened, Piece, happened_from
from optimizer.plan.settle import settle, undo
from stock.errors import RackfirstError
from tests.making_plans import inches
from tests.settled_shop import NOW, books, journal_in, planned, rack_in, stock_in, told
from tests.typed_books import workbook

AS_PLANNED = Happened()


def test_pieces_go_out_boards_come_and_go_leftovers_come_back(tmp_path: Path) -> None:
    # The cheapest: two rails of 31 1/4 from R001 (33), one rail of R002 … the rest from one 8'.
    book = books(tmp_path)
    plan = planned(tmp_path)
    bought = [board.id for board in plan.boards if not board.from_rack]
    pulled = [board.tag for board in plan.boards if board.from_rack]
    left = [piece for board in plan.boards for piece in board.leftovers]
    assert bought
    assert pulled

    settled = settle(plan, book, AS_PLANNED, NOW)

    counted = [("counted", "R001", 2), ("counted", "R002", 1), ("counted", "R003", 1)]
    sawn = [("sawn", tag, -pulled.count(tag)) for tag in dict.fromkeys(pulled)]
    came = [(what, name, n) for name in bought for what, n in (("bought", 1), ("sawn", -1))]
    kept = [("kept", piece.tag, 1) for piece in left]
    assert told(settled.written.lines) == [*counted, *sawn, *came, *kept]
    assert told(journal_in(book)) == told(settled.written.lines)
    rack = rack_in(book)
    assert {piece.tag: (piece.length, 1) for piece in left}.items() <= rack.items()
    assert rack["R003"] == (15, 1)
    assert all(
        rack.get(tag, (0, 0))[1] == n - pulled.count(tag) for tag, n in (("R001", 2), ("R002", 1))
    )


def test_a_second_time_nothing_happens(tmp_path: Path) -> None:
    book = books(tmp_path)
    plan = planned(tmp_path)
    settle(plan, book, AS_PLANNED, NOW)
    before = book.read_bytes()
    again = settle(plan, book, AS_PLANNED, NOW)
    assert again.written.lines == ()
    assert again.written.backup is None
    assert "was settled on 2026-05-04 already" in again.remarks[0]
    assert book.read_bytes() == before


def test_undone_the_rack_is_as_it_was_notes_and_all(tmp_path: Path) -> None:
    book = books(tmp_path)
    plan = planned(tmp_path)
    before = {piece.tag: piece for piece in stock_in(book).rack}
    settle(plan, book, AS_PLANNED, NOW)
    undo(plan, book, NOW)
    assert {piece.tag: piece for piece in stock_in(book).rack} == before
    assert undo(plan, book, NOW).remarks == (
        f"{journal_in(book)[-1].plan} is not settled in stock.xlsx: nothing is changed",
    )


def test_what_was_undone_may_be_settled_again(tmp_path: Path) -> None:
    book = books(tmp_path)
    plan = planned(tmp_path)
    settle(plan, book, AS_PLANNED, NOW)
    after = rack_in(book)
    undo(plan, book, NOW)
    assert settle(plan, book, AS_PLANNED, NOW).written.lines
    assert rack_in(book) == after


def test_a_plan_whose_leftover_went_into_another_is_not_undone(tmp_path: Path) -> None:
    book = books(
        tmp_path,
        rack="Size | Length | Tag\n2x4 | 96 | R001",
        parts="Part | Count | Length | Size\nRail | 1 | 40 | 2x4",
    )
    first = planned(tmp_path)
    settle(first, book, AS_PLANNED, NOW)
    workbook(tmp_path / "next.xlsx", Parts="Part | Count | Length | Size\nStop | 1 | 50 | 2x4")
    second = planned(tmp_path, "next")
    assert [board.tag for board in second.boards] == ["R002"]
    settle(second, book, AS_PLANNED, NOW)
    with pytest.raises(RackfirstError, match=r"its leftover R002 went into next \w+; undo that"):
        undo(first, book, NOW)
    undo(second, book, NOW)
    undo(first, book, NOW)
    assert rack_in(book) == {"R001": (96, 1)}


def test_a_piece_that_is_no_longer_there_stops_it(tmp_path: Path) -> None:
    book = books(tmp_path)
    plan = planned(tmp_path)
    books(tmp_path, rack="Size | Length | Tag\n2x4 | 70 1/2 | R002\n2x4 | 15 | R003")
    with pytest.raises(RackfirstError, match=r"R001 .* is not on the rack of stock.xlsx"):
        settle(plan, book, AS_PLANNED, NOW)
    books(tmp_path, rack="Size | Length | Tag\n2x4 | 32 | R001\n2x4 | 70 1/2 | R002")
    with pytest.raises(RackfirstError, match=r"the rack has 1 of R001|R001 is 3 1/2 x 32 on the"):
        settle(plan, book, AS_PLANNED, NOW)


def test_what_is_said_to_do_about_one_of_several_pieces_works(tmp_path: Path) -> None:
    parts = "Part | Count | Length | Size\nRail | 3 | 32 | 2x4"
    rack = "Size | Length | Tag | Count\n2x4 | 33 | R001 | {}"
    book = books(tmp_path, rack=rack.format(3), parts=parts)
    plan = planned(tmp_path)
    books(tmp_path, rack=rack.format(1), parts=parts)
    with pytest.raises(RackfirstError, match="the rack has 1 of R001") as raised:
        settle(plan, book, AS_PLANNED, NOW)
    _, _, typed = str(raised.value).partition("--not-sawn ")
    assert typed == '"R001 (2),R001 (3)"'
    happened = happened_from(plan, None, not_sawn=typed.strip('"'))
    assert settle(plan, book, happened, NOW).written.lines
    with pytest.raises(RackfirstError, match=r"it has R001 \(1\), R001 \(2\), R001 \(3\)"):
        happened_from(plan, None, not_sawn="R001")


def test_a_tag_that_was_given_meanwhile_is_not_given_twice(tmp_path: Path) -> None:
    rack = "Size | Length | Tag\n2x4 | 96 | R001"
    book = books(tmp_path, rack=rack, parts="Part | Count | Length | Size\nRail | 1 | 40 | 2x4")
    plan = planned(tmp_path)
    assert [left.tag for board in plan.boards for left in board.leftovers] == ["R002"]
    books(tmp_path, rack=f"{rack}\n2x4 | 20 | R002")
    settled = settle(plan, book, AS_PLANNED, NOW)
    assert rack_in(book) == {"R002": (20, 1), "R003": (plan.boards[0].leftovers[0].length, 1)}
    assert settled.remarks == (
        "write R003 on the leftover 3 1/2 x 55 7/8 of R001, for R002 is on the rack already",
    )


# --- what really happened ------------------------------------------------------------------------


def test_a_board_that_was_not_sawn_lies_on_the_rack_as_long_as_it_is_usable(tmp_path: Path) -> None:
    book = books(tmp_path)
    plan = planned(tmp_path)
    bought = next(board.id for board in plan.boards if not board.from_rack)
    settled = settle(plan, book, happened_from(plan, None, not_sawn=bought, bay="C4"), NOW)
    (line,) = [each for each in settled.written.lines if each.what == "bought"]
    assert (line.piece.length, line.piece.bay) == (95, "C4")  # 96 less half an inch at each end
    assert rack_in(book)[line.piece.tag] == (95, 1)
    assert f"{bought} was not sawn: write {line.piece.tag} on it" in settled.remarks


def test_a_board_that_was_never_bought_leaves_no_line(tmp_path: Path) -> None:
    book = books(tmp_path)
    plan = planned(tmp_path)
    bought = next(board.id for board in plan.boards if not board.from_rack)
    settled = settle(plan, book, happened_from(plan, None, not_bought=bought), NOW)
    assert "bought" not in {what for what, _, _ in told(settled.written.lines)}


def test_leftovers_are_as_they_really_are(tmp_path: Path) -> None:
    book = books(
        tmp_path,
        rack="Size | Length | Tag\n2x4 | 96 | R001",
        parts="Part | Count | Length | Size\nRail | 1 | 40 | 2x4",
    )
    plan = planned(tmp_path)
    happened = happened_from(
        plan, None, not_kept="R002", kept=["R001: 30 x 3 1/2", "R001: 24 x 2"], spoiled="b1"
    )
    settled = settle(plan, book, happened, NOW)
    assert rack_in(book) == {"R003": (30, 1), "R004": (24, 1)}
    assert [line.note for line in settled.written.lines if line.what == "sawn"] == ["spoiled: b1"]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"not_sawn": "B99"}, "B99: the plan has no such board"),
        ({"spoiled": "b99"}, "b99: the plan has no such blank"),
        ({"not_kept": "R099"}, "R099: the plan has no such leftover"),
        ({"not_bought": "R001"}, "R001 is from the rack"),
        ({"not_sawn": "R001", "spoiled": "b1"}, "board B1 was not sawn"),
        ({"kept": ["R001: 97 x 2"]}, "does not come out of board B1"),
        ({"kept": ["R001: 50 x 3 1/2"]}, "board B1 is too small for its blanks and"),
        ({"kept": ["R001: a foot"]}, "type board, length and width like"),
    ],
)
def test_what_cannot_have_happened_is_refused(
    tmp_path: Path, said: dict[str, str], why: str
) -> None:
    book = books(
        tmp_path,
        rack="Size | Length | Tag\n2x4 | 96 | R001",
        parts="Part | Count | Length | Size\nRail | 1 | 40 | 2x4",
    )
    plan = planned(tmp_path)
    before = book.read_bytes()
    with pytest.raises(RackfirstError, match=why):
        settle(plan, book, happened_from(plan, None, **said), NOW)  # type: ignore[arg-type]
    assert book.read_bytes() == before


def test_a_tag_that_was_on_wood_once_is_not_given_again(tmp_path: Path) -> None:
    book = books(
        tmp_path,
        rack="Size | Length | Tag\n2x4 | 96 | R001",
        parts="Part | Count | Length | Size\nRail | 1 | 40 | 2x4",
    )
    settle(planned(tmp_path), book, AS_PLANNED, NOW)
    workbook(tmp_path / "next.xlsx", Parts="Part | Count | Length | Size\nStop | 1 | 20 | 2x4")
    second = planned(tmp_path, "next")
    assert [board.tag for board in second.boards] == ["R002"]
    settle(second, book, AS_PLANNED, NOW)
    assert list(rack_in(book)) == ["R003"]


FAULTY = """
    Size | Length | Tag  | Wood | Grade | Moisture | Crook | Bad stretches      | Note
    2x6  | 90     | R001 | pine | No. 1 | 12       | 1     |                    |
    2x4  | 61     | R002 | oak  | No. 2 |          |       |                    |
    2x8  | 80     | R003 | ash  |       |          |       | 30 to 32; 70 to 71 |
"""
CROSSCUT_FIRST = "Setting | Value\nsawing | crosscut first"
SAWN_OF_THEM = """
    Part | Count | Length | Size | Wood
    Rail | 1     | 40     | 2x4  | oak
    Foot | 1     | 29     | 2x8  | ash
"""
BENT = """
    Part | Count | Length | Width | Thickness | Wood
    Arm  | 1     | 44 7/8 | 4     | 1 1/2     | pine
"""


def test_a_leftover_keeps_what_is_true_of_it(tmp_path: Path) -> None:
    book = books(tmp_path, rack=FAULTY, parts=SAWN_OF_THEM, Shop=CROSSCUT_FIRST)
    workbook(tmp_path / "bent.xlsx", Parts=BENT)
    for job in ("job", "bent"):
        settle(planned(tmp_path, job), book, Happened(), NOW)
    lies = {(piece.width, piece.length): piece for piece in stock_in(book).rack}
    off_grade = lies[inches("3 1/2"), inches("20 7/8")]
    assert (off_grade.lumber.grade, off_grade.crook, off_grade.bad) == ("No. 2", 0, ())
    # Half as long has a quarter of the crook.
    half = lies[inches("5 1/2"), inches("45")]
    assert (half.lumber.grade, half.moisture, half.crook) == ("No. 1", 12, inches("1/4"))
    assert "left of R001" in half.note
    # A stretch that is sound is sound; what lies on both sides of a fault is none of it.
    sound = [piece for piece in lies.values() if piece.width == inches("7 1/4")]
    assert sound
    assert not any(piece.bad for piece in sound)


def test_what_was_measured_anew_is_not_said_to_be_as_planned(tmp_path: Path) -> None:
    book = books(tmp_path, rack=FAULTY, parts=SAWN_OF_THEM, Shop=CROSSCUT_FIRST)
    workbook(tmp_path / "bent.xlsx", Parts=BENT)
    plan = planned(tmp_path, "bent")
    left = next(x for board in plan.boards for x in board.leftovers if x.length == 45)
    shorter = Piece(board="B1", length=inches("43"), width=left.width, tag=left.tag)
    settled = settle(plan, book, Happened(instead={left.tag: shorter}), NOW)
    (lies,) = [piece for piece in stock_in(book).rack if piece.tag == left.tag]
    assert (lies.lumber.grade, lies.crook) == ("No. 1", 0)
    assert f"{left.tag} is left of a board with faults: measure its own" in settled.remarks


def test_a_bought_board_has_the_grade_that_it_was_sold_with(tmp_path: Path) -> None:
    prices = "Size | Length | Price | Grade\n2x4 | 8' | 4.25 | Select"
    book = books(tmp_path, rack="Size | Length", Prices=prices)
    plan = planned(tmp_path)
    whole = frozenset({plan.boards[-1].id})
    settle(plan, book, Happened(not_sawn=whole), NOW)
    assert [piece.lumber.grade for piece in stock_in(book).rack] == ["Select"]
    undo(plan, book, NOW)
    assert not stock_in(book).rack
