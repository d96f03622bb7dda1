"""Book and shelf compared, by the Rack sheet itself and on a sheet to count on."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from stock.errors import BookFaultsError
from stock.rack_change import change_rack
from stock.rack_writing import Change
from stock.stocktake import start_counting, take_stock
from tests.settled_shop import NOW, books, journal_in, rack_in, stock_in, told


def fill(sheet: Path, rows: dict[str, dict[str, object]], *more: dict[str, object]) -> None:
    """Writes cells by tag and header, and further rows, as the maker does at the shelf."""
    opened = openpyxl.load_workbook(sheet)
    table = opened["Count"]
    headers = [cell.value for cell in table[1]]
    for row in table.iter_rows(min_row=2):
        for header, value in rows.get(str(row[headers.index("Tag")].value), {}).items():
            row[headers.index(header)].value = value
    for values in more:
        table.append([values.get(header) for header in headers])
    opened.save(sheet)


def test_a_first_stocktake_starts_the_journal(tmp_path: Path) -> None:
    book = books(tmp_path)
    written = take_stock(book, None, NOW)
    assert told(written.lines) == [
        ("counted", "R001", 2),
        ("counted", "R002", 1),
        ("counted", "R003", 1),
    ]
    assert take_stock(book, None, NOW).lines == ()


def test_the_sheet_to_count_on_goes_by_bay(tmp_path: Path) -> None:
    rack = "Size | Length | Tag | Bay\n2x4 | 30 | R1 | B10\n2x4 | 31 | R2 | B2\n2x4 | 32 | R10 | B2"
    book = books(tmp_path, rack=rack)
    assert start_counting(book, tmp_path / "count.xlsx") == 3
    rows = openpyxl.load_workbook(tmp_path / "count.xlsx")["Count"].iter_rows(values_only=True)
    assert [(row[0], row[1], row[8]) for row in list(rows)[1:4]] == [
        ("B2", "R2", "1"),
        ("B2", "R10", "1"),
        ("B10", "R1", "1"),
    ]


def test_what_lies_there_otherwise_becomes_lines(tmp_path: Path) -> None:
    book = books(tmp_path)
    sheet = tmp_path / "count.xlsx"
    start_counting(book, sheet)
    fill(
        sheet,
        {"R001": {"Found": 1}, "R002": {"Length": "69"}, "R003": {"Found": 0}},
        {"Size": "2x4", "Length": "50", "Found": 3, "Bay": "C1"},
    )
    written = take_stock(book, sheet, NOW)
    assert told(written.lines)[3:] == [
        ("counted", "R001", -1),
        ("counted", "R002", -1),
        ("counted", "R002", 1),
        ("counted", "R003", -1),
        ("counted", "R004", 3),
    ]
    assert rack_in(book) == {"R001": (33, 1), "R002": (69, 1), "R004": (50, 3)}
    assert told(journal_in(book)) == told(written.lines)


def test_a_sheet_read_twice_counts_once(tmp_path: Path) -> None:
    book = books(tmp_path)
    sheet = tmp_path / "count.xlsx"
    start_counting(book, sheet)
    more: dict[str, object] = {"Size": "2x4", "Length": "50", "Found": 1}
    fill(sheet, {}, more, more, {**more, "Length": "15"})  # R003 is 15 long, and on the sheet
    take_stock(book, sheet, NOW)
    assert list(rack_in(book)) == ["R001", "R002", "R003", "R004", "R005", "R006"]
    before = book.read_bytes()
    assert take_stock(book, sheet, NOW).lines == ()
    assert book.read_bytes() == before
    fill(sheet, {}, more)  # one more of them
    assert told(take_stock(book, sheet, NOW).lines) == [("counted", "R007", 1)]


def test_a_piece_measured_anew_stays_held(tmp_path: Path) -> None:
    book = books(tmp_path)
    change_rack(book, lambda shelf: Change(held={"r002": "bench"}), NOW)
    sheet = tmp_path / "count.xlsx"
    start_counting(book, sheet)
    fill(sheet, {"R002": {"Length": "69"}})
    take_stock(book, sheet, NOW)
    held = {piece.tag: (piece.length, piece.held_for) for piece in stock_in(book).rack}
    assert held["R002"] == (69, "bench")


def test_a_sheet_that_says_nothing_changes_nothing(tmp_path: Path) -> None:
    book = books(tmp_path)
    take_stock(book, None, NOW)
    before = book.read_bytes()
    start_counting(book, tmp_path / "count.xlsx")
    assert take_stock(book, tmp_path / "count.xlsx", NOW).lines == ()
    assert book.read_bytes() == before


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"Size": "2x4", "Length": "50"}, "column Found: the book has no such piece"),
        ({"Size": "2x4", "Length": "33", "Tag": "R001", "Found": 1}, "the tag stands twice"),
        ({"Size": "2x4", "Length": "wet", "Found": 1}, "column Length: this is not a length"),
    ],
)
def test_a_row_that_cannot_be_counted_is_named(
    tmp_path: Path, more: dict[str, object], said: str
) -> None:
    book = books(tmp_path)
    before = book.read_bytes()
    start_counting(book, tmp_path / "count.xlsx")
    fill(tmp_path / "count.xlsx", {}, more)
    with pytest.raises(BookFaultsError, match=f"count.xlsx, sheet Count, row 5, .*{said}|{said}"):
        take_stock(book, tmp_path / "count.xlsx", NOW)
    assert book.read_bytes() == before
