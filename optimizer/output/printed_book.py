"""A workbook to print and take along: sheets of one table each, with totals and notes below it.

Text stays text, whatever it begins with. Sums are live, and each carries its value: a spreadsheet
program may show what is stored without working it out.
"""

from __future__ import annotations

import io
import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import Any, TypeAlias

import xlsxwriter

from optimizer.output.words import shown

_FONT_SIZE = 11  # read at arm's length
_LONGEST_NAME = 31
_LONGEST_TEXT = 32_767
_LONGEST_IN_FOOTER = 100  # a footer holds 255 characters in all
_HIGHEST_ROW = 409  # points
_PIXELS, _ROW_PIXELS = 7, 20  # of a character's width, of a row that is left as it is
_LETTER, _A4 = 1, 9


class Kind(Enum):
    """What stands in a column."""

    TEXT = "text"
    FIGURE = "figure"
    MONEY = "money"
    TICK = "tick"  # an empty box


# With the width of a digit after it: LibreOffice indents no number with a format of its own.
_MONEY = "#,##0.00_0;-#,##0.00_0;#,##0.00_0;@_0"
_LOOKS: dict[Kind, dict[str, object]] = {
    Kind.TEXT: {"align": "left", "indent": 1},
    Kind.FIGURE: {"align": "right", "indent": 1},
    Kind.MONEY: {"align": "right", "num_format": _MONEY},
    Kind.TICK: {"align": "center", "border": 2},
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column ``width`` characters wide; longer text goes on in a second line."""

    title: str
    width: int
    kind: Kind = Kind.TEXT


@dataclass(frozen=True, slots=True)
class Live:
    """A formula, and the value that it has now."""

    formula: str
    value: Decimal | int | str


@dataclass(frozen=True, slots=True)
class Percent:
    """A percentage, shown with as many places as it has."""

    value: Decimal


Cell: TypeAlias = str | int | Decimal | Percent | Live | None


class PrintedBook:
    """A workbook in the making, on letter or A4 paper, with ``footer`` on each page."""

    def __init__(self, *, footer: str, a4: bool) -> None:
        self._bytes = io.BytesIO()
        never = {"strings_to_formulas": False, "strings_to_urls": False}
        self._book = xlsxwriter.Workbook(self._bytes, {"in_memory": True, **never})
        self._paper = _A4 if a4 else _LETTER
        # In a footer & begins a code; && is the sign itself.
        self._footer = shown(footer)[:_LONGEST_IN_FOOTER].replace("&", "&&")

    def sheet(
        self, name: str, *, title: str, columns: Sequence[Column], landscape: bool = False
    ) -> PrintedSheet:
        """A new sheet with ``title`` above its table; ``name`` as :func:`sheet_names` gives it."""
        sheet = self._book.add_worksheet(name)
        sheet.set_paper(self._paper)
        if landscape:
            sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.8)
        sheet.set_footer(f"&L{self._footer}&C&A&RPage &P of &N")
        sheet.hide_gridlines(2)
        return PrintedSheet(self._book, sheet, title, columns)

    def content(self) -> bytes:
        """The finished workbook; nothing can be added after it."""
        self._book.close()
        return self._bytes.getvalue()


class PrintedSheet:
    """A sheet that is filled from the top down."""

    def __init__(self, book: Any, sheet: Any, title: str, columns: Sequence[Column]) -> None:
        self._book, self._sheet, self._columns = book, sheet, columns
        self.next_row = 1
        self._formats: dict[str, Any] = {}
        for n, column in enumerate(columns):
            sheet.set_column(n, n, column.width)
        self.note(title, font_size=18, bold=True)
        self._write_row([column.title for column in columns], bold=True, bg_color="#E4E4E4")
        sheet.repeat_rows(self.next_row - 2)
        sheet.freeze_panes(self.next_row - 1, 0)

    def add(self, *cells: Cell) -> int:
        """A row of the table, a cell for each column; its number as spreadsheet programs count."""
        return self._write_row(cells)

    def total(self, label: str, *figures: Cell, bold: bool = False) -> int:
        """A row with ``figures`` in the last columns and ``label`` before them; its number."""
        first = len(self._columns) - len(figures)
        style = self._format(**{**_LOOKS[Kind.FIGURE], "bold": bold, "border": 0})
        self._across(first, label, style)
        for n, figure in enumerate(figures, start=first):
            self._write(n, figure, self._format(**_LOOKS[self._columns[n].kind], bold=bold))
        return self._end_row(1)

    def note(self, text: str, **properties: object) -> int:
        """A paragraph across all columns; the number of its row."""
        size = int(str(properties.get("font_size", _FONT_SIZE)))
        width = sum(column.width for column in self._columns) * _FONT_SIZE // size
        self._across(len(self._columns), text, self._format(**properties, border=0))
        return self._end_row(_lines(text, width), size)

    def bars(
        self, *, title: str, categories: tuple[int, int, int], series: Sequence[tuple[int, str]]
    ) -> None:
        """A picture below the table: stacked bars, one for each row from the first to the last of
        ``categories`` (and the column with their names); ``series`` are columns and their colours.
        """
        first, last, names = categories
        chart = self._book.add_chart({"type": "bar", "subtype": "stacked"})
        name = self._sheet.get_name()
        for column, colour in series:
            chart.add_series(
                {
                    "name": [name, 1, column],
                    "categories": [name, first - 1, names, last - 1, names],
                    "values": [name, first - 1, column, last - 1, column],
                    "fill": {"color": colour},
                    "border": {"color": "#555555", "width": 0.5},
                    "gap": 60,
                }
            )
        chart.set_title({"name": title, "name_font": {"size": 12}})
        chart.set_y_axis({"reverse": True, "label_position": "low"})
        chart.set_x_axis({"num_format": "0", "major_gridlines": {"visible": True}})
        chart.set_legend({"position": "bottom"})
        rows = last - first + 1
        width = sum(column.width for column in self._columns) * _PIXELS
        chart.set_size({"width": width, "height": 110 + 42 * rows})
        self._sheet.insert_chart(self.next_row, 0, chart)
        self.next_row += (110 + 42 * rows) // _ROW_PIXELS + 3

    def skip(self) -> None:
        """An empty row."""
        self.next_row += 1

    def _write_row(self, cells: Sequence[Cell], **properties: object) -> int:
        lines = 1
        for n, (column, cell) in enumerate(zip(self._columns, cells, strict=True)):
            self._write(n, cell, self._format(**{**_LOOKS[column.kind], **properties}))
            if isinstance(cell, str):
                lines = max(lines, _lines(cell, column.width))
        return self._end_row(lines)

    def _write(self, column: int, cell: Cell, style: Any) -> None:
        place = (self.next_row - 1, column)
        match cell:
            case None:
                self._sheet.write_blank(*place, None, style)
            case str():
                self._sheet.write_string(*place, shown(cell)[:_LONGEST_TEXT], style)
            case Live():
                self._sheet.write_formula(*place, cell.formula, style, cell.value)
            case Percent():
                self._sheet.write_number(*place, cell.value, self._format(**_LOOKS[Kind.FIGURE]))
            case _:
                self._sheet.write_number(*place, cell, style)

    def _across(self, columns: int, text: str, style: Any) -> None:
        """``text`` over the first ``columns`` of the row."""
        if columns > 1:
            row = self.next_row - 1
            self._sheet.merge_range(row, 0, row, columns - 1, "", style)
        self._write(0, text, style)

    def _end_row(self, lines: int, size: int = _FONT_SIZE) -> int:
        # Programs do not fit the height of merged cells, and not all fit that of others.
        self._sheet.set_row(self.next_row - 1, min(lines * size * 1.3 + 6, _HIGHEST_ROW))
        self.next_row += 1
        return self.next_row - 1

    def _format(self, **properties: object) -> Any:
        look = {"font_name": "Arial", "font_size": _FONT_SIZE, "valign": "vcenter", "border": 1}
        whole = {**look, "text_wrap": True, **properties}
        known = repr(sorted(whole.items()))  # one for each look: a book of many rows stays fast
        if known not in self._formats:
            self._formats[known] = self._book.add_format(whole)
        return self._formats[known]


def sheet_names(wanted: Iterable[str]) -> list[str]:
    """A name that a workbook accepts for each one wanted, no two alike in any case of letters."""
    taken = {"history"}  # Excel keeps this name for itself
    names = []
    for name in wanted:
        base = re.sub(r"[\[\]:*?/\\]", " ", "".join(c if c.isprintable() else " " for c in name))
        candidate, n = _cut(base, _LONGEST_NAME) or "Store", 1
        while candidate.casefold() in taken:
            n += 1
            ending = f" {n}"
            candidate = (_cut(base, _LONGEST_NAME - len(ending)) or "Store") + ending
        taken.add(candidate.casefold())
        names.append(candidate)
    return names


def reference(sheet: str, cell: str) -> str:
    """``cell`` of ``sheet``, as a formula on another sheet writes it."""
    return "'" + sheet.replace("'", "''") + f"'!{cell}"


def _cut(name: str, most: int) -> str:
    """Spreadsheet programs count in UTF-16; a name neither begins nor ends with ' or a blank."""
    units = name.strip(" '").encode("utf-16-le")[: 2 * most]
    return units.decode("utf-16-le", errors="ignore").strip(" '")


def _lines(text: str, width: int) -> int:
    """How many lines ``text`` takes in a column ``width`` wide, its letters being a bit wider."""
    return max(1, len(textwrap.wrap(text, max(1, width * 6 // 7 - 1))))
