"""Rack and journal as they should be, in a new book beside one that cannot be changed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from stock.journal import Line, Stack, stack_of
from stock.journal_sheet import line_cells
from stock.rack_forms import JOURNAL
from stock.rack_rows import filled_row
from stock.rack_writing import Change, Shelf
from stock.spreadsheet import Book
from stock.stock_forms import RACK
from stock.template import FilledRow, write_template


def write_beside(path: Path, book: Book, shelf: Shelf, change: Change) -> Path:
    """Writes the two sheets, as they would stand in ``book``, to a new book; its path.

    Raises RackfirstError if it cannot be written.
    """
    beside, n = path.with_name(f"{path.stem} rack and journal.xlsx"), 1
    while beside.exists():
        n += 1
        beside = path.with_name(f"{path.stem} rack and journal {n}.xlsx")
    unit = shelf.stock.shop.unit
    journal = [line_cells(line, unit) for line in (*shelf.journal, *change.lines)]
    filled = {
        RACK.sheet: [_as_text(row) for row in _rack(book, shelf, change)],
        JOURNAL.sheet: [_as_text(row) for row in journal],
    }
    write_template(beside, (RACK, JOURNAL), unit, filled)
    return beside


def _as_text(row: Mapping[str, object]) -> FilledRow:
    return FilledRow(texts={h: str(content) for h, content in row.items() if content is not None})


def _rack(book: Book, shelf: Shelf, change: Change) -> list[dict[str, object]]:
    """The rows of the rack, as typed where their piece stays."""
    unit, sheet = shelf.stock.shop.unit, book.sheet(RACK.sheet)
    typed = {row.place.row: row for row in sheet.rows} if sheet else {}
    counts = {stack_of(piece): piece.count for piece in shelf.stock.rack}
    newest: dict[Stack, Line] = {}
    for line in change.lines:
        stack = stack_of(line.piece)
        counts[stack] = counts.get(stack, 0) + line.count
        newest[stack] = line
    rows: list[dict[str, object]] = []
    for piece in shelf.stock.rack:
        if count := counts.pop(stack_of(piece)):
            row = {each.header: typed[piece.row].cell(each.header).text for each in RACK.columns}
            held = change.held.get(piece.tag.casefold(), piece.held_for)
            rows.append({**row, "Count": count, "Tag": piece.tag, "Held for": held})
    rows += [dict(filled_row(newest[stack], n, unit)) for stack, n in counts.items() if n > 0]
    return rows
