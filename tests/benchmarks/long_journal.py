"""Measures a stock book of many years: ``python -m tests.benchmarks.long_journal``.

Run by hand; no test runs it. The book has 2,000 rows on its rack and 10,000 lines in its journal.
"""

from __future__ import annotations

import tempfile
import time
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path

import xlsxwriter

from stock.journal import Line, What
from stock.journal_sheet import line_cells
from stock.lengths import Unit
from stock.pieces import Lumber, RackPiece
from stock.rack_change import change_rack, read_shelf
from stock.rack_forms import JOURNAL
from stock.rack_rows import filled_row
from stock.rack_writing import Change, Shelf
from stock.spreadsheet import Book
from stock.stock_forms import RACK

ROWS, LINES = 2_000, 10_000
DAY = date(2026, 3, 31)


def piece(number: int) -> RackPiece:
    """A piece that differs from its neighbours."""
    return RackPiece(
        tag=f"R{number:05}",
        lumber=Lumber(wood="SPF", treated=False, thickness=Fraction(3, 2)),
        width=Fraction(7, 2),
        length=20 + Fraction(number % 640, 16),
        size="2x4",
        bay=f"A{number % 9}",
    )


def long_book(path: Path) -> None:
    """All pieces came; the first 4,000 went again; the others lie there."""
    came = [Line(day=DAY, what=What.KEPT, piece=piece(n), count=1) for n in range(6_000)]
    gone = [
        Line(day=DAY, what=What.SAWN, piece=piece(n), count=-1, plan=f"job {n % 50}")
        for n in range(LINES - len(came))
    ]
    assert len(came) - len(gone) == ROWS
    lying = came[len(gone) :]
    with xlsxwriter.Workbook(path) as book:
        sheets = {
            RACK: [filled_row(line, 1, Unit.IN) for line in lying],
            JOURNAL: [line_cells(line, Unit.IN) for line in (*came, *gone)],
        }
        for form, rows in sheets.items():
            sheet = book.add_worksheet(form.sheet)
            headers = [column.header for column in form.columns]
            sheet.write_row(0, 0, headers)
            for number, cells in enumerate(rows, start=1):
                for header, content in cells.items():
                    if content is not None:
                        shown = str(content) if isinstance(content, date) else content
                        sheet.write(number, headers.index(header), shown)


def settles(shelf: Shelf) -> Change:
    """What a job of 30 boards and 20 leftovers does."""
    sawn = [
        Line(day=DAY, what=What.SAWN, piece=each, count=-1, plan="bench 12345678")
        for each in shelf.stock.rack[:30]
    ]
    kept = [
        Line(day=DAY, what=What.KEPT, piece=piece(7_000 + n), count=1, plan="bench 12345678")
        for n in range(20)
    ]
    return Change(lines=[*sawn, *kept])


def main() -> None:
    """Prints the seconds of a processor that reading and settling take, three times each."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "stock.xlsx"
        long_book(path)
        print(f"{ROWS} rows on the rack, {LINES} lines in the journal")
        for _ in range(3):
            begun = time.process_time()
            shelf = read_shelf(Book(path), datetime(2026, 4, 1))
            read = time.process_time() - begun
            assert (len(shelf.stock.rack), shelf.counted) == (ROWS, ())
            begun = time.process_time()
            written = change_rack(path, settles, datetime(2026, 4, 1))
            settled = time.process_time() - begun
            assert written.backup
            print(f"read {read:.2f} s, settled {settled:.2f} s")
            long_book(path)


if __name__ == "__main__":
    main()
