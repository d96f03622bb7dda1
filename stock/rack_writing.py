"""The sheets ``Rack`` and ``Journal`` of a book with a change in them: only their parts differ."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from stock.book_parts import BookParts
from stock.cell_names import At
from stock.columns import Form
from stock.journal import Line
from stock.journal_sheet import line_cells
from stock.rack_forms import JOURNAL
from stock.rack_rows import RackRows, changes
from stock.sheet_edit import Content, edited
from stock.sheet_xml import CannotRewriteError, SheetXml
from stock.spreadsheet import Book, key
from stock.stock_book import StockBook
from stock.stock_forms import RACK

# No column is added for these: the journal says them too.
_ONLY_WHERE_THERE = frozenset({"Measured on", "Note"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelf:
    """What a book says of the rack: the stock, and its journal brought up to date by ``counted``.

    ``counted`` are the lines that the journal lacked.
    """

    stock: StockBook
    journal: tuple[Line, ...]
    counted: tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """Lines to add, and for whom tags (in lower case) are held from now on; empty frees them.

    Lines that only bring the journal up to date are written with others, or where ``count`` says
    so.
    """

    lines: Sequence[Line] = ()
    held: Mapping[str, str] = field(default_factory=dict)
    count: bool = False


def rewritten(book: Book, shelf: Shelf, change: Change) -> bytes:
    """The bytes of ``book`` with the change in it.

    Raises CannotRewriteError where the book cannot be changed without harm.
    """
    parts, unit = BookParts(book.data), shelf.stock.shop.unit
    rack = _OpenSheet(book, parts, RACK)
    journal = _OpenSheet(book, parts, JOURNAL, header_style=rack.header_style)
    rows = RackRows(
        header_row=rack.header_row,
        columns=rack.columns,
        rows={row.place.row or 0: row for row in rack.rows},
        xml=rack.xml,
        remarked=parts.remarked_rows(rack.part),
    )
    lines = _with_also(change.lines, rows, shelf.stock)
    rack.write(changes(rows, shelf.stock.rack, lines, change.held, unit))
    first = journal.xml.last_row + 1
    both = enumerate((*shelf.counted, *lines), start=first)
    count = rack.look("Count")  # numbers that stand at the left do not touch the next column
    journal.write(
        {row: line_cells(line, unit) for row, line in both}, looks={"In": count, "Out": count}
    )
    if parts.has_formulas():
        parts.calculate_when_opened()
    return parts.content()


def _with_also(lines: Iterable[Line], rows: RackRows, stock: StockBook) -> list[Line]:
    """``lines``; those of pieces that go tell what else stands in their rows, and one that comes
    under the tag of one that went, measured anew, takes it over.
    """
    lying = {piece.tag.casefold(): piece for piece in stock.rack}

    def told(line: Line) -> Line:
        piece = lying.get(line.piece.tag.casefold())
        if piece is None or line.also or not line.count:
            return line
        return replace(line, also=rows.also(piece))

    return [told(line) for line in lines]


class _OpenSheet:
    """One sheet of a book while it is written; made, with its headers, where it is not there."""

    def __init__(self, book: Book, parts: BookParts, form: Form, header_style: str = "") -> None:
        self._parts, self._form = parts, form
        name = book.named(form.sheet)
        self._optional = _ONLY_WHERE_THERE if form is RACK and name else frozenset()
        sheet = book.sheet(form.sheet) if form is RACK else None  # a journal may be long
        self.rows = sheet.rows if sheet else ()
        self.part = parts.add_sheet(form.sheet) if name is None else parts.sheet(name)
        rows = [] if name is None else book.plain_rows(form.sheet)
        header = next((n for n, row in enumerate(rows) if any(row)), None)
        self.header_row = 1 if header is None else header + 1
        typed = [] if header is None else [str(each or "") for each in rows[header]]
        self.columns = {key(text): n for n, text in enumerate(typed, start=1) if text}
        self.xml = SheetXml(parts[self.part], parts.dates())
        self.header_style = header_style or self._style_of_header()
        if header is None:
            self.write({1: {each.header: each.header for each in form.columns if each.planned}})
            self.xml = SheetXml(parts[self.part], parts.dates())

    def _style_of_header(self) -> str:
        return self.xml.style((self.header_row, min(self.columns.values(), default=1)))

    def look(self, header: str) -> str:
        """The style of a new cell under ``header``; none where there is no such column."""
        column, last = self.columns.get(key(header)), self.xml.last_row
        return self.xml.style((last + 1, column), last) if column else ""

    def write(
        self,
        rows: Mapping[int, Mapping[str, Content]],
        looks: Mapping[str, str] | None = None,
    ) -> None:
        """Fills cells by row and header; a header that is missing gets a column at the right.

        ``looks`` are styles by header, for columns that have none of their own.
        """
        headers = dict.fromkeys(h for row in rows.values() for h, c in row.items() if c is not None)
        missing = [header for header in headers if key(header) not in self.columns]
        new = [header for header in missing if header not in self._optional]
        cells: dict[At, Content] = {}
        for header in new:
            self.columns[key(header)] = column = self._next_column()
            cells[self.header_row, column] = header
        styles = dict.fromkeys(cells, self.header_style)
        for number, row in rows.items():
            known = ((h, content) for h, content in row.items() if key(h) in self.columns)
            cells |= {(number, self.columns[key(h)]): content for h, content in known}
        if not cells:
            return
        if new and self.rows and self._parts.tables(self.part):
            raise CannotRewriteError(f"its table on {self._form.sheet} lacks the column {new[0]}")
        if any(self.xml.has_formula(at) for at in cells):
            self._parts.forget_order_of_calculation()
        model = max(self.xml.last_row, self.header_row)
        like = model if model > self.header_row else 0
        for header, style in (looks or {}).items():
            column = self.columns.get(key(header), 0)
            if column and style and not self.xml.style((model + 1, column), like):
                styles |= {at: style for at in cells if at[1] == column and at not in styles}
        self._parts[self.part] = edited(self.xml, cells, like, styles)
        self._parts.widen_tables(self.part, {number for number, _ in cells})

    def _next_column(self) -> int:
        filled = (self.xml.columns_filled(row) for row in self.xml.rows)
        taken = [max(columns) for columns in filled if columns]
        return max([0, *taken, *self.columns.values()]) + 1
