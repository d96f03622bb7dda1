"""A short sheet on which the maker says what really happened, made from the plan.

Two lists, boards and leftovers, filled as planned: what went so is left as it stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from optimizer.plan.happened import Happened, Piece, blank_ids, board_ids, names
from optimizer.plan.marks import piece_marks
from optimizer.plan.plan import Board, Plan
from optimizer.plan.tables import leftovers
from stock.cells import Kind
from stock.columns import NOTE, THICKNESS, Column, Findings, Form, Row, in_order, read_rows, yes_no
from stock.errors import BookFaultsError, RackfirstError
from stock.lengths import exact_tape, format_length
from stock.spreadsheet import Book
from stock.template import FilledRow, write_template

SAWN, NOT_SAWN, NOT_BOUGHT = "sawn", "not sawn", "not bought"

BOARDS = Form(
    sheet="Boards",
    explanation="Every board of the plan. Change what went otherwise.",
    columns=(
        Column(
            header="Board",
            kind=Kind.NAME,
            explanation="What is written on it: a mark, or the tag of an offcut.",
            example="B5",
            required=True,
        ),
        Column(
            header="Done",
            kind=Kind.CHOICE,
            explanation="Empty is sawn. One that is not sawn lies on the rack, whole.",
            choices=(SAWN, NOT_SAWN, NOT_BOUGHT),
            default=SAWN,
        ),
        Column(
            header="Spoiled",
            kind=Kind.NAME,
            explanation="Blanks of it that were spoiled, by their marks.",
            example="C2a, E5",
        ),
        replace(NOTE, explanation="What the board is; only to be read."),
    ),
)

LEFTOVERS = Form(
    sheet="Leftovers",
    explanation="Every leftover of the plan. Mend what is otherwise, add what else is left.",
    columns=(
        Column(
            header="Left of",
            kind=Kind.NAME,
            explanation="The board that it is left of.",
            example="B5",
            required=True,
        ),
        replace(THICKNESS, header="Length", explanation="As measured.", required=True, also=()),
        replace(THICKNESS, header="Width", explanation="As measured.", required=True, also=()),
        Column(
            header="Tag",
            kind=Kind.NAME,
            explanation="What is written on it; given if empty.",
            example="R027",
        ),
        Column(header="Bay", kind=Kind.NAME, explanation="Where it lies now.", example="B3"),
        replace(
            yes_no("Kept", "Whether it went on the rack. Empty is yes. Never burn treated wood."),
            default="yes",
        ),
        replace(NOTE, explanation="Its size and wood; only to be read."),
    ),
)


def write_happened_sheet(plan: Plan, path: Path) -> None:
    """Writes the sheet, filled as planned.

    Raises RackfirstError if ``path`` cannot be written.
    """
    mark = piece_marks(plan)
    boards = [
        FilledRow(
            texts={
                "Board": mark.boards[board.id],
                "Done": SAWN,
                "Note": _described(board, mark.blanks, plan),
            }
        )
        for board in plan.boards
    ]
    left = [
        FilledRow(
            texts={
                "Left of": piece.board,
                "Length": exact_tape(piece.length, plan.unit),
                "Width": exact_tape(piece.width, plan.unit),
                "Tag": piece.tag,
                "Kept": "yes",
                "Note": " ".join(filter(None, (piece.size, piece.wood))),
            }
        )
        for piece in leftovers(plan)
    ]
    filled = {BOARDS.sheet: boards, LEFTOVERS.sheet: left}
    write_template(path, (BOARDS, LEFTOVERS), plan.unit, filled)


def _described(board: Board, written: Mapping[str, str], plan: Plan) -> str:
    size = board.size or format_length(board.thickness, plan.unit)
    measures = " x ".join(format_length(x, plan.unit) for x in (board.width, board.length))
    blanks = ", ".join(written[blank.id] for blank in board.blanks)
    return f"{size}, {measures} {board.wood}: blanks {blanks}"


def read_happened_sheet(plan: Plan, path: Path) -> Happened:
    """What the maker filled in.

    Raises:
        BookFaultsError: with every cell that cannot be read.
        RackfirstError: for a board or a blank that the plan does not know.
    """
    book, findings = Book(path), Findings()
    boards = read_rows(book, BOARDS, plan.unit, findings)
    left = read_rows(book, LEFTOVERS, plan.unit, findings)
    if findings.faults:
        raise BookFaultsError(in_order(findings.faults))
    if not boards:
        raise RackfirstError(f"{path.name} has no sheet {BOARDS.sheet} with rows in it")
    pieces = [(row, _piece(plan, row)) for row in left]
    planned = {piece.tag for board in plan.boards for piece in board.leftovers}
    kept = {p.tag: p for row, p in pieces if row["Kept"] == "yes" and p.tag in planned}
    gone = _boards_that_gave_nothing(plan, boards)
    return Happened(
        not_sawn=board_ids(plan, _named(boards, NOT_SAWN)),
        not_bought=board_ids(plan, _named(boards, NOT_BOUGHT)),
        spoiled=blank_ids(plan, _spoiled(boards)),
        not_kept=frozenset(planned - set(kept)),
        instead={tag: piece for tag, piece in kept.items() if piece.board not in gone},
        further=tuple(p for row, p in pieces if row["Kept"] == "yes" and p.tag not in planned),
    )


def _piece(plan: Plan, row: Row) -> Piece:
    (board,) = board_ids(plan, [row["Left of"]])
    return Piece(
        board=board,
        length=row["Length"],
        width=row["Width"],
        tag=row["Tag"] or "",
        bay=row["Bay"] or "",
    )


def _named(rows: list[Row], done: str) -> list[str]:
    return [row["Board"] for row in rows if row["Done"] == done]


def _boards_that_gave_nothing(plan: Plan, rows: list[Row]) -> frozenset[str]:
    return board_ids(plan, [*_named(rows, NOT_SAWN), *_named(rows, NOT_BOUGHT)])


def _spoiled(rows: list[Row]) -> Iterator[str]:
    for row in rows:
        yield from names(row["Spoiled"] or "")
