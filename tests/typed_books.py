"""Books as a maker would type them, for tests: a table of text per sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

import xlsxwriter

Rows = str | Sequence[Sequence[object]]


def typed(text: str) -> list[list[object]]:
    """``Size | Length`` and so on, a row a line; every cell is text, as in a cell so formatted."""
    lines = [line.strip() for line in text.strip().splitlines()]
    return [[cell.strip() for cell in line.split("|")] for line in lines]


def workbook(path: Path, **sheets: Rows) -> Path:
    """An .xlsx file at ``path`` with these sheets; a text that begins with = is a formula."""
    with xlsxwriter.Workbook(path) as book:
        as_date = book.add_format({"num_format": "d mmm"})
        for name, rows in sheets.items():
            sheet = book.add_worksheet(name)
            for row, cells in enumerate(typed(rows) if isinstance(rows, str) else rows):
                for column, value in enumerate(cells):
                    match value:
                        case date():
                            sheet.write_datetime(row, column, value, as_date)
                        case str() if value.startswith("="):
                            sheet.write_formula(row, column, value, value="")
                        case str():
                            sheet.write_string(row, column, value)
                        case bool():
                            sheet.write_boolean(row, column, value)
                        case int() | float():
                            sheet.write_number(row, column, value)
    return path


def said(faults: Sequence[object]) -> str:
    """All faults as the maker reads them, a line each."""
    return "\n".join(map(str, faults))


def settings_sheet(**settings: str) -> str:
    """A sheet ``Shop`` with these settings; underscores stand for blanks."""
    rows: Mapping[str, str] = {name.replace("_", " "): value for name, value in settings.items()}
    return "\n".join(["Setting | Value", *(f"{name} | {value}" for name, value in rows.items())])
