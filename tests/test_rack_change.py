"""The rack and its journal in the maker's own book: what is written where, and what is refused."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest

from stock.errors import BookFaultsError, RackfirstError
from stock.journal import Line, What
from stock.lengths import Unit
from stock.pieces import RackPiece
from stock.rack_change import change_rack
from stock.rack_writing import Change, Shelf
from stock.stock_book import write_stock_template
from tests.settled_shop import NOW, books, journal_in, rack_in, stock_in, told
from tests.typed_books import settings_sheet, workbook


def takes(
    tag: str, count: int = 1, *, brings: str = "", length: Fraction | int = 20
) -> Callable[[Shelf], Change]:
    """A change that saws ``count`` pieces of ``tag``, and may bring a leftover back."""

    def decide(shelf: Shelf) -> Change:
        (piece,) = [piece for piece in shelf.stock.rack if piece.tag == tag]
        lines = [Line(day=NOW.date(), what=What.SAWN, piece=piece, count=-count, plan="bench 1")]
        if brings:
            left = replace(piece, tag=brings, length=Fraction(length), count=1, note="", row=0)
            lines.append(
                Line(day=NOW.date(), what=What.KEPT, piece=left, count=1, plan="bench 1", note="x")
            )
        return Change(lines=lines)

    return decide


def cells(book: Path, sheet: str = "Rack") -> list[list[object]]:
    return [list(row) for row in openpyxl.load_workbook(book)[sheet].iter_rows(values_only=True)]


# --- the rack ------------------------------------------------------------------------------------


def test_a_piece_of_several_leaves_the_others(tmp_path: Path) -> None:
    book = books(tmp_path)
    change_rack(book, takes("R001"), NOW)
    assert rack_in(book) == {"R001": (33, 1), "R002": (Fraction(141, 2), 1), "R003": (15, 1)}


def test_a_row_is_emptied_and_the_next_leftover_takes_it(tmp_path: Path) -> None:
    book = books(tmp_path)
    change_rack(book, takes("R002", brings="R004", length=Fraction(97, 3)), NOW)
    assert [row[3] for row in cells(book)] == ["Tag", "R001", "R004", "R003"]
    assert cells(book)[2] == ["2x4", "32 1/3", None, "R004", "A2", "x"]


def test_with_no_empty_row_it_goes_below_the_last(tmp_path: Path) -> None:
    book = books(tmp_path)
    change_rack(book, takes("R001", brings="R004"), NOW)
    assert [row[3] for row in cells(book)] == ["Tag", "R001", "R002", "R003", "R004"]


def test_rows_with_something_of_the_makers_or_hidden_are_not_taken(tmp_path: Path) -> None:
    rack = """
        Size | Length | Tag  | Mine
        2x4  | 33     | R001 | red
        2x4  | 34     | R002 |
        2x4  | 35     | R003 |
        2x4  | 36     | R004 |
        """
    book = books(tmp_path, rack=rack)
    opened = openpyxl.load_workbook(book)
    sheet = opened["Rack"]
    sheet["C3"].comment = openpyxl.comments.Comment("behind the door", "me")
    sheet.row_dimensions[4].hidden = True
    opened.save(book)
    for number in range(1, 4):
        change_rack(book, takes(f"R00{number}"), NOW)
    change_rack(book, takes("R004", brings="R005"), NOW)
    assert [(row[2], row[3]) for row in cells(book)] == [
        ("Tag", "Mine"),
        (None, "red"),
        (None, None),
        (None, None),
        ("R005", None),
    ]


def test_a_tag_that_was_given_by_its_place_is_written_down(tmp_path: Path) -> None:
    book = books(tmp_path, rack="Size | Length\n2x4 | 33\n2x4 | 34\n2x4 | 35")
    change_rack(book, takes("R001"), NOW)
    assert rack_in(book) == {"R002": (34, 1), "R003": (35, 1)}
    assert cells(book)[0] == ["Size", "Length", "Tag"]


def test_measures_that_differ_from_the_size_are_written(tmp_path: Path) -> None:
    book = books(tmp_path, rack="Size | Length | Tag | Width\n2x4 | 33 | R001 | 2 1/4")
    change_rack(book, takes("R001", brings="R002"), NOW)
    (piece,) = stock_in(book).rack
    assert (piece.tag, piece.width, piece.size) == ("R002", Fraction(9, 4), "2x4")


def test_a_book_in_millimetres_stays_in_millimetres(tmp_path: Path) -> None:
    rack = "Size | Length | Tag\n38x89 | 900 | R001"
    book = books(tmp_path, rack=rack, Shop=settings_sheet(unit="mm"),
                 Prices="Size | Length | Price\n38x89 | 2440 | 4")  # fmt: skip
    change_rack(
        book, takes("R001", brings="R002", length=Fraction(4001, 10) * Fraction(5, 127)), NOW
    )
    assert cells(book)[1][:3] == ["38x89", "400.1", "R002"]


def test_a_book_without_a_rack_gets_one(tmp_path: Path) -> None:
    book = workbook(tmp_path / "stock.xlsx", Prices="Size | Length | Price\n2x4 | 8' | 4.25")
    offer = stock_in(book).offers[0]
    left = RackPiece(tag="R001", lumber=offer.lumber, width=offer.width, length=Fraction(30))
    kept = Line(day=NOW.date(), what=What.KEPT, piece=left, count=1, plan="bench 1")
    change_rack(book, lambda shelf: Change(lines=[kept]), NOW)
    assert rack_in(book) == {"R001": (30, 1)}
    assert openpyxl.load_workbook(book).sheetnames == ["Prices", "Rack", "Journal"]


def test_the_template_keeps_its_days_as_days(tmp_path: Path) -> None:
    book = tmp_path / "stock.xlsx"
    write_stock_template(book, Unit.IN)
    opened = openpyxl.load_workbook(book)
    opened["Rack"].append(["2x4", "33"])
    opened.save(book)
    change_rack(book, takes("R001", brings="R002"), NOW)
    (piece,) = stock_in(book).rack
    assert piece.measured_on == NOW.date()
    sheet = openpyxl.load_workbook(book)["Rack"]
    (day,) = [cell for cell in sheet[2] if cell.is_date]
    assert (day.value, day.number_format) == (NOW.replace(hour=0, minute=0), "yyyy-mm-dd")


def test_a_table_grows_with_the_rack(tmp_path: Path) -> None:
    book = books(tmp_path)
    opened = openpyxl.load_workbook(book)
    sheet = opened["Rack"]
    sheet.add_table(openpyxl.worksheet.table.Table(displayName="Pieces", ref="A1:F4"))
    opened.save(book)
    change_rack(book, takes("R001", brings="R004"), NOW)
    after = openpyxl.load_workbook(book)["Rack"]
    assert after.tables["Pieces"].ref == "A1:F5"
    assert after["D5"].value == "R004"


def test_a_table_without_a_column_that_is_needed_is_not_changed(tmp_path: Path) -> None:
    book = books(tmp_path, rack="Size | Length\n2x4 | 33\n2x4 | 34")
    opened = openpyxl.load_workbook(book)
    opened["Rack"].add_table(openpyxl.worksheet.table.Table(displayName="Pieces", ref="A1:B3"))
    opened.save(book)
    with pytest.raises(RackfirstError, match="its table on Rack lacks the column Tag"):
        change_rack(book, takes("R001"), NOW)
    assert rack_in(tmp_path / "stock rack and journal.xlsx") == {"R002": (34, 1)}


# --- the journal ---------------------------------------------------------------------------------


def test_the_journal_begins_with_what_lies_there(tmp_path: Path) -> None:
    book = books(tmp_path)
    change_rack(book, takes("R002"), NOW)
    assert told(journal_in(book)) == [
        ("counted", "R001", 2),
        ("counted", "R002", 1),
        ("counted", "R003", 1),
        ("sawn", "R002", -1),
    ]


def test_a_rack_changed_by_hand_shows_as_counted(tmp_path: Path) -> None:
    book = books(tmp_path)
    change_rack(book, takes("R002"), NOW)
    opened = openpyxl.load_workbook(book)
    opened["Rack"].append(["2x4", "50", 2, "R009"])
    opened["Rack"]["C2"] = 1
    opened.save(book)
    change_rack(book, takes("R003"), NOW)
    assert told(journal_in(book))[4:] == [
        ("counted", "R001", -1),
        ("counted", "R009", 2),
        ("sawn", "R003", -1),
    ]
    assert {line.note for line in journal_in(book)[4:6]} == {"the rack was changed by hand"}


def test_what_else_stood_in_the_row_is_kept_in_the_line(tmp_path: Path) -> None:
    book = books(
        tmp_path, rack="Size | Length | Tag | Note | Held for\n2x4 | 33 | R001 | wet | bench"
    )
    change_rack(book, takes("R001"), NOW)
    assert journal_in(book)[-1].also == (("Held for", "bench"), ("Note", "wet"))


def test_a_fault_on_the_rack_is_named_and_one_in_the_prices_does_not_matter(tmp_path: Path) -> None:
    prices = "Size | Length | Price\n2x4 | 8' | dear"
    book = books(tmp_path, rack="Size | Length | Tag\n2x4 | 33 | R001", Prices=prices)
    change_rack(book, takes("R001"), NOW)
    book = books(tmp_path, rack="Size | Length | Tag\n2x4 | long | R001", Prices=prices)
    with pytest.raises(BookFaultsError, match=r"sheet Rack, row 2, column Length.*it says 'long'"):
        change_rack(book, takes("R001"), NOW)


# --- beside it -----------------------------------------------------------------------------------


def test_where_the_book_cannot_be_changed_the_result_lies_beside_it(tmp_path: Path) -> None:
    book = books(tmp_path)
    opened = openpyxl.load_workbook(book)
    opened["Rack"]["B3"] = openpyxl.worksheet.formula.ArrayFormula("B3:B4", "=70")
    opened.save(book)
    workbook_with_values(book)
    before = book.read_bytes()
    with pytest.raises(RackfirstError, match=r"left as it was: cell B3 holds a formula that other"):
        change_rack(book, takes("R002", brings="R004"), NOW)
    assert book.read_bytes() == before
    beside = tmp_path / "stock rack and journal.xlsx"
    assert rack_in(beside) == {"R001": (33, 2), "R003": (70, 1), "R004": (20, 1)}
    assert told(journal_in(beside))[-2:] == [("sawn", "R002", -1), ("kept", "R004", 1)]


def workbook_with_values(book: Path) -> None:
    """Gives the array of formulas the values that a spreadsheet program would."""
    with zipfile.ZipFile(book) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = "xl/worksheets/sheet2.xml"
    for cell in (b"B3", b"B4"):
        start = parts[name].index(b'<c r="' + cell + b'"')
        end = parts[name].index(b"</c>", start)
        inside = parts[name][start:end].replace(b"<v />", b"").replace(b"<v></v>", b"")
        if cell == b"B4":
            inside = b'<c r="B4">'
        parts[name] = parts[name][:start] + inside + b"<v>70</v>" + parts[name][end:]
    with zipfile.ZipFile(book, "w") as archive:
        for each, content in parts.items():
            archive.writestr(each, content)
