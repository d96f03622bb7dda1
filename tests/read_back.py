"""Reads a shopping workbook back, as the user's own program would."""

from __future__ import annotations

from pathlib import Path

from openpyxl import load_workbook
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet
from python_calamine import CalamineWorkbook

from optimizer.output.shopping_book import write_shopping_book
from optimizer.plan.comparison import Advice
from optimizer.plan.plan import Plan
from optimizer.work.work import work_of


def written(plan: Plan, folder: Path, advice: Advice | None = None) -> Path:
    write_shopping_book(work_of(plan), folder / "shopping.xlsx", advice)
    return folder / "shopping.xlsx"


def table(book: Path, sheet: str) -> list[list[object]]:
    """The stored values of a sheet, as a program shows them that works nothing out."""
    return CalamineWorkbook.from_path(book).get_sheet_by_name(sheet).to_python()


def labelled(book: Path, sheet: str) -> dict[object, str]:
    """The last figure of each row, to the cent, by the text that the row begins with."""
    rows = [[cell for cell in row if cell != ""] for row in table(book, sheet)]
    return {row[0]: f"{row[-1]:.2f}" for row in rows if len(row) > 1 and type(row[-1]) is float}


def cells(book: Path) -> list[Cell]:
    return [cell for sheet in sheets(book) for row in sheet.iter_rows() for cell in row]


def sheets(book: Path) -> list[Worksheet]:
    return load_workbook(book).worksheets
