"""Headers: free in order, each known one once."""

from __future__ import annotations

from pathlib import Path

import pytest

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
        "stock.xlsx, sheet Rack, column Length: the column is missing, and there is 'Lenght'; "
        "rename that to Length, or to something else if it is your own"
    )
    _, faults = read(tmp_path, "Thickness | Length\n1 | 30\n1 | 40")
    assert faults == (
        "stock.xlsx, sheet Rack, column Size: the column is missing (or Thickness and Width); "
        "add it to the header row"
    )


def test_a_title_above_the_header_is_one_fault_that_tells_where_the_header_stands(
    tmp_path: Path,
) -> None:
    rows, faults = read(tmp_path, "My rack | in March\n\nWood | Length | Size\npine | 30 | 2x4")
    assert not rows
    assert faults == (
        "stock.xlsx, sheet Rack: the header stands in row 3; delete the rows above it"
    )


def test_a_header_is_looked_for_in_the_first_ten_rows_only(tmp_path: Path) -> None:
    _, faults = read(tmp_path, "My rack" + "\n" * 10 + "Length | Size\n30 | 2x4")
    assert "column Length: the column is missing; add it to the header row" in faults


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Species", "Wood"),
        ("Qty", "Count"),
        ("Treatd", "Treated"),
        ("Bad stretch", "Bad stretches"),
    ],
)
def test_a_header_that_nearly_is_a_column_is_a_fault(
    tmp_path: Path, typed: str, meant: str
) -> None:
    _, faults = read(tmp_path, f"Size | Length | {typed}\n2x4 | 30 | 2")
    assert f"column {meant}: the column is missing, and there is {typed!r}" in faults
    assert len(faults.splitlines()) == 1


@pytest.mark.parametrize("own", ["Notes", "Made", "Quantity", "Piece", "Date", "Colour", "Weight"])
def test_a_column_of_the_makers_own_is_left_alone(tmp_path: Path, own: str) -> None:
    _, faults = read(tmp_path, f"Size | Length | Count | {own}\n2x4 | 30 | 1 | 2")
    assert faults == ""


def test_an_empty_cell_is_told_what_would_do_in_the_unit_of_the_book(tmp_path: Path) -> None:
    findings = Findings()
    book = Book(workbook(tmp_path / "stock.xlsx", Rack="Size | Length\n38x89 |"))
    read_rows(book, RACK, Unit.MM, findings)
    assert "it is empty; fill it, for instance 794" in said(findings.faults)


def test_a_column_that_stands_twice_is_a_fault(tmp_path: Path) -> None:
    _, faults = read(tmp_path, "Size | Length | length \n2x4 | 30 | 40")
    assert "sheet Rack, column Length: the column stands twice" in faults
