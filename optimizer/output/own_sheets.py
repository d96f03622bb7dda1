"""The own sheets of one job among several that were planned together: its parts, its boards."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from optimizer.output.bench_sheets import parts_sheet
from optimizer.output.printed_book import Column, Kind, PrintedBook
from optimizer.output.words import board_name, measures, treated_mark
from optimizer.plan.marks import piece_marks
from optimizer.plan.own_parts import own_blanks, parts_of
from optimizer.plan.plan import Plan
from stock.book_file import whole_file
from stock.lengths import Unit


def write_own_sheets(plan: Plan, job: str, jobs: Sequence[str], path: Path) -> None:
    """Writes the workbook of ``job``, one of the ``jobs`` of ``plan``.

    Raises RackfirstError if ``path`` cannot be written.
    """
    own = parts_of(plan, job)
    book = PrintedBook(footer=f"{job}, of {plan.job}", a4=plan.unit is Unit.MM)
    parts_sheet(book, "Parts", own, piece_marks(plan))
    _boards_sheet(book, plan, job, jobs)
    content = book.content()
    with whole_file(path) as unfinished:
        unfinished.write_bytes(content)


def _boards_sheet(book: PrintedBook, plan: Plan, job: str, jobs: Sequence[str]) -> None:
    columns = [
        Column(title="Got", width=7, kind=Kind.TICK),
        Column(title="Mark", width=12),
        Column(title="Bay", width=10),
        Column(title="Size", width=12),
        Column(title=f"Length, {plan.unit}", width=11, kind=Kind.FIGURE),
        Column(title="Wood", width=16),
        Column(title="Treated", width=10),
        Column(title="Blanks", width=9, kind=Kind.FIGURE),
        Column(title="Shared with", width=22),
    ]
    sheet = book.sheet("Boards", title=f"Boards for {job}", columns=columns)
    mark = piece_marks(plan).boards
    for board in plan.boards:
        if own := own_blanks(plan, job, board):
            others = [each for each in jobs if each != job and own_blanks(plan, each, board)]
            sheet.add(
                None,
                mark[board.id],
                board.bay,
                board_name(board.size, board.thickness, board.width, plan.unit),
                measures(plan.unit, board.length),
                board.wood,
                treated_mark(board.treated),
                own,
                ", ".join(others),
            )
    sheet.skip()
    sheet.note("What to buy for all jobs together stands in shopping.xlsx.")
