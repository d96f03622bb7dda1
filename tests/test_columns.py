"""Headers: free in order, each known one once."""

from __future__ import annotations

from pathlib import Path

from stock.columns import Findings, Row, read_rows
from stock.lengths import Unit
from stock.spreadsheet import Book
from stock.stock_forms import RACK
from tests.typed_books import said, workbook


def read(folder: Path, sheet: str) -> tuple[list[Row], str]:
    findings = Findings()
    book = Book(workbook(folder / "stock.xlsx", Rack=sheet))
    return read_rows(book, RACK, Unit.IN, findings), said(findings.faults)


def test_columns_stand_in_any_order_among_others(tmp_path: Path) -> None:
    rows, faults = read(tmp_path, "colour | LENGTH | size\nred | 30 | 2x4\nblue | |")
    assert faults == ""
    assert [(row.number, row["Length"], row["Size"].name) for row in rows] == [(2, 30, "2x4")]


def test_a_missing_column_is_one_fault_and_not_one_per_row(tmp_path: Path) -> None:
    _, faults = read(tmp_path, "Size | Lenght\n2x4 | 30\n2x4 | 40")
    assert faults == (
        "stock.xlsx, sheet Rack, column Length: the column is missing; is it 'Lenght'? Rename it"
    )
    _, faults = read(tmp_path, "Thickness | Length\n1 | 30\n1 | 40")
    assert faults == (
        "stock.xlsx, sheet Rack, column Size: the column is missing (or Thickness and Width); "
        "add it to the header row"
    )


def test_a_column_that_stands_twice_is_a_fault(tmp_path: Path) -> None:
    _, faults = read(tmp_path, "Size | Length | length \n2x4 | 30 | 40")
    assert "sheet Rack, column Length: the column stands twice" in faults
