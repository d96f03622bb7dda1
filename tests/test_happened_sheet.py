"""The short sheet on which the maker says what really happened."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from optimizer.plan.happened import Happened, Piece, check_happened
from optimizer.plan.happened_sheet import read_happened_sheet, write_happened_sheet
from optimizer.plan.marks import piece_marks
from optimizer.plan.plan import Plan
from stock.errors import BookFaultsError, RackfirstError
from tests.sound_plans import boat_rack

PLAN = boat_rack().plan
BOUGHT = [board for board in PLAN.boards if not board.from_rack]


def filled(plan: Plan, path: Path, *changes: tuple[str, str, str, object]) -> Happened:
    """What is read after cells (sheet, first column, header) were changed; ``+`` adds a row."""
    write_happened_sheet(plan, path)
    opened = openpyxl.load_workbook(path)
    for sheet, first, header, value in changes:
        table = opened[sheet]
        headers = [cell.value for cell in table[1]]
        rows = [r for r in table.iter_rows(min_row=2) if first in {c.value for c in r[:4]}]
        if first == "+":
            table.append(value)
        else:
            rows[0][headers.index(header)].value = value
    opened.save(path)
    return read_happened_sheet(plan, path)


def left(plan: Plan) -> list[Piece]:
    return [
        Piece(board=board.id, length=each.length, width=each.width, tag=each.tag)
        for board in plan.boards
        for each in board.leftovers
    ]


def test_left_as_it_is_all_went_as_planned(tmp_path: Path) -> None:
    happened = filled(PLAN, tmp_path / "h.xlsx")
    assert all(happened.sawn(board) for board in PLAN.boards)
    assert list(happened.kept(PLAN)) == left(PLAN)
    check_happened(PLAN, happened)


def test_what_is_changed_is_taken_over(tmp_path: Path) -> None:
    piece = left(PLAN)[0]
    other = next(board for board in BOUGHT if board.id != piece.board)
    happened = filled(
        PLAN,
        tmp_path / "h.xlsx",
        ("Boards", other.id, "Done", "not sawn"),
        ("Leftovers", piece.tag, "Length", "12 1/2"),
        ("Leftovers", piece.tag, "Bay", "C9"),
        ("Leftovers", "+", "", [piece.board, "13", "2"]),
    )
    assert not happened.sawn(other)
    kept = list(happened.kept(PLAN))
    assert Piece(board=piece.board, length=12.5, width=piece.width, tag=piece.tag, bay="C9") in kept
    assert kept[-1] == Piece(board=piece.board, length=13, width=2)


def test_a_leftover_for_the_stove_is_not_kept(tmp_path: Path) -> None:
    piece = left(PLAN)[0]
    happened = filled(PLAN, tmp_path / "h.xlsx", ("Leftovers", piece.tag, "Kept", "no"))
    assert piece not in list(happened.kept(PLAN))


def test_spoiled_blanks_stand_beside_their_board(tmp_path: Path) -> None:
    board = BOUGHT[0]
    name = board.blanks[0].id
    mark = piece_marks(PLAN).blanks[name]
    for typed in (name, mark):
        happened = filled(PLAN, tmp_path / "h.xlsx", ("Boards", board.id, "Spoiled", typed))
        assert happened.spoiled == {name}
    rows = openpyxl.load_workbook(tmp_path / "h.xlsx")["Boards"].iter_rows(values_only=True)
    told = next(note for name, _, _, note in rows if name == board.id)
    assert told.endswith(", ".join(piece_marks(PLAN).blanks[b.id] for b in board.blanks))


def test_faults_name_the_cell(tmp_path: Path) -> None:
    piece = left(PLAN)[0]
    with pytest.raises(BookFaultsError, match=r"h.xlsx, sheet Leftovers, row \d+, column Length"):
        filled(PLAN, tmp_path / "h.xlsx", ("Leftovers", piece.tag, "Length", "short"))
    with pytest.raises(RackfirstError, match="b999: the plan has no such blank"):
        filled(PLAN, tmp_path / "h.xlsx", ("Boards", BOUGHT[0].id, "Spoiled", "b999"))
    (tmp_path / "other.xlsx").write_bytes((tmp_path / "h.xlsx").read_bytes())
    opened = openpyxl.load_workbook(tmp_path / "other.xlsx")
    del opened["Boards"]
    opened.save(tmp_path / "other.xlsx")
    with pytest.raises(RackfirstError, match="has no sheet Boards with rows in it"):
        read_happened_sheet(PLAN, tmp_path / "other.xlsx")
