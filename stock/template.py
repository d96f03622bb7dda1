"""Writes books ready to be filled: the sheets of forms, and a last sheet that explains them.

Cells that a spreadsheet program would turn into dates are formatted as text, closed lists drop
down, and a selected cell says what belongs in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import xlsxwriter

from stock.book_file import whole_file
from stock.cells import TYPED_AS_TEXT, Kind
from stock.columns import Column, Form
from stock.errors import RackfirstError
from stock.lengths import Unit

HELP = "Help"
ROWS = 1000  # rows below the header that are prepared for filling
NOT_YET = "Not planned with yet: leave it empty."

_GENERAL = "General"
_NUMBER_FORMATS = {
    Kind.DATE: "yyyy-mm-dd",
    Kind.AMOUNT: "0.00",
    **dict.fromkeys(TYPED_AS_TEXT, "@"),
}
_WIDTHS = {Kind.NOTE: 30, Kind.NAME: 16, Kind.SOLD_LENGTHS: 16, Kind.TENONS: 16}
_LONGEST_MESSAGE = 255  # what a spreadsheet program shows beside a cell


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledRow:
    """A row that the template fills: texts by header, choices of its Value, and whether planned."""

    texts: Mapping[str, str]
    choices: Sequence[str] = ()
    planned: bool = True


def write_template(
    path: Path, forms: Sequence[Form], unit: Unit, filled: Mapping[str, Sequence[FilledRow]]
) -> None:
    """Writes the sheets of ``forms`` and their help; ``filled`` holds rows by name of the sheet.

    Raises:
        RackfirstError: if ``path`` has another ending than .xlsx, or cannot be written.
    """
    if path.suffix.casefold() != ".xlsx":
        raise RackfirstError(f"{path} would be a workbook: give it a name that ends in .xlsx")
    with whole_file(path) as unfinished, xlsxwriter.Workbook(unfinished) as workbook:
        formats = _Formats(workbook)
        for form in forms:
            rows = filled.get(form.sheet, ())
            _write_sheet(workbook.add_worksheet(form.sheet), form, unit, rows, formats)
        _write_help(workbook.add_worksheet(HELP), forms, unit, formats)


class _Formats:
    """The few looks of a template: what must be filled stands out, what is no use yet is grey."""

    def __init__(self, workbook: Any) -> None:
        header = {"bold": True, "bottom": 1, "valign": "vcenter", "text_wrap": True}
        self.needed = workbook.add_format(
            {**header, "bg_color": "#2F4B3C", "font_color": "#FFFFFF"}
        )
        self.optional = workbook.add_format({**header, "bg_color": "#E3E9DF"})
        grey = {"font_color": "#8A8A8A", "italic": True}
        self.not_yet = workbook.add_format({**header, **grey, "bold": False})
        self.grey = workbook.add_format({**grey, "num_format": "@"})
        self.text = workbook.add_format({"num_format": "@"})
        self.title = workbook.add_format({"bold": True, "font_size": 13})
        # All at the left: most lengths are texts, and a number at the right would touch the next.
        self.by_number_format = {
            each: workbook.add_format({"num_format": each, "align": "left"})
            for each in (_GENERAL, *_NUMBER_FORMATS.values())
        }

    def header(self, column: Column, form: Form) -> Any:
        if not column.planned:
            return self.not_yet
        return self.needed if is_needed(column, form) else self.optional


def is_needed(column: Column, form: Form) -> bool:
    """Whether a maker in a hurry fills it: the required columns, and Size."""
    return column.required or (form.sized and column.header == "Size")


def _write_sheet(
    sheet: Any, form: Form, unit: Unit, rows: Sequence[FilledRow], formats: _Formats
) -> None:
    sheet.set_row(0, 32)
    each_its_own = any(row.choices for row in rows)  # as on Shop: no rule for whole columns
    for number, column in enumerate(form.columns):
        number_format = formats.by_number_format[_NUMBER_FORMATS.get(column.kind, _GENERAL)]
        width = max(_WIDTHS.get(column.kind, 0), len(column.header) + 2, 9)
        sheet.set_column(number, number, width, number_format)
        sheet.write_string(0, number, column.header, formats.header(column, form))
        if not each_its_own:
            sheet.data_validation(1, number, ROWS, number, _validation(column, unit))
    for row_number, row in enumerate(rows, start=1):
        _write_row(sheet, row_number, form, row, formats)
    if each_its_own:
        sheet.set_column(0, 0, 25)
        sheet.set_column(len(form.columns) - 1, len(form.columns) - 1, 100)
    sheet.freeze_panes(1, 0)
    sheet.repeat_rows(0)
    sheet.ignore_errors({"number_stored_as_text": f"A1:Z{ROWS + 1}"})
    _page(sheet)


def _write_row(sheet: Any, number: int, form: Form, row: FilledRow, formats: _Formats) -> None:
    for column_number, column in enumerate(form.columns):
        text = row.texts.get(column.header, "")
        sheet.write_string(
            number, column_number, text, formats.text if row.planned else formats.grey
        )
        if column.header == "Value" and row.choices:
            sheet.data_validation(
                number,
                column_number,
                number,
                column_number,
                {"validate": "list", "source": list(row.choices)},
            )


def _validation(column: Column, unit: Unit) -> dict[str, Any]:
    """A drop-down for a closed list, and for every cell what belongs in it."""
    example = _example(column, unit)
    message = column.explanation + (f"\nFor instance: {example}" if example else "")
    rule: dict[str, Any] = {"validate": "any"}
    if column.choices:
        rule = {"validate": "list", "source": list(column.choices)}
    return rule | {
        "input_title": column.header,
        "input_message": (message if column.planned else NOT_YET)[:_LONGEST_MESSAGE],
    }


def _example(column: Column, unit: Unit) -> str:
    """An example of what to type; none for a column that should stay empty."""
    return column.example_in(unit) if column.planned else ""


def _write_help(sheet: Any, forms: Sequence[Form], unit: Unit, formats: _Formats) -> None:
    """One table per sheet: column, must it be filled, what it means, an example."""
    for number, width in enumerate((18, 12, 105, 22)):
        sheet.set_column(number, number, width)
    bare = "inches" if unit is Unit.IN else "millimetres"
    sheet.write_string(0, 0, "How to fill in this book", formats.title)
    sheet.write_string(
        1,
        0,
        "A length may be typed as 31 1/4, 31.25, 2' 7 1/4\", 794 mm, 79.4 cm or 0.794 m. "
        f"A number without a unit is {bare}.",
    )
    sheet.write_string(
        2, 0, "The order of the columns is free, and columns of your own may be added."
    )
    row = 4
    for form in forms:
        sheet.write_string(row, 0, form.sheet, formats.title)
        sheet.write_string(row + 1, 0, form.explanation)
        for number, header in enumerate(("Column", "Fill it?", "What it means", "For instance")):
            sheet.write_string(row + 2, number, header, formats.optional)
        row += 3
        for column in form.columns:
            texts = (column.header, _how(column, form), _meaning(column), _example(column, unit))
            for number, text in enumerate(texts):
                sheet.write_string(row, number, text)
            row += 1
        row += 1
    _page(sheet)


def _how(column: Column, form: Form) -> str:
    if not column.planned:
        return "not yet"
    return "yes" if is_needed(column, form) else "if you like"


def _meaning(column: Column) -> str:
    if not column.planned:
        return NOT_YET
    choices = f" Choices: {', '.join(column.choices)}." if column.choices else ""
    return column.explanation + choices


def _page(sheet: Any) -> None:
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
