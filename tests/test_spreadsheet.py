"""Files that are no books, and cells that cannot be trusted."""

from __future__ import annotations

import tracemalloc
import zipfile
from contextlib import suppress
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from stock.errors import BookFaultsError
from stock.spreadsheet import Book, Cell
from tests.office import needs_office, recalculated
from tests.typed_books import workbook

# The first bytes of a compound file: [MS-CFB] 2.2. The name of the stream that holds an encrypted
# workbook: [MS-OFFCRYPTO] 1.3.3.
COMPOUND_FILE = bytes.fromhex("D0CF11E0A1B11AE1")
ENCRYPTED_STREAM = "EncryptedPackage".encode("utf-16-le")


def refusal(path: Path, sheet: str = "Rack") -> str:
    """What is said about a file that cannot be read."""
    with pytest.raises(BookFaultsError) as raised:
        Book(path).sheet(sheet)
    return str(raised.value)


def read(path: Path, sheet: str = "Rack") -> list[dict[str, Cell]]:
    found = Book(path).sheet(sheet)
    assert found is not None
    return [dict(row.cells) for row in found.rows]


def csv_file(folder: Path, data: bytes) -> Path:
    path = folder / "job.csv"
    path.write_bytes(data)
    return path


# --- files ---------------------------------------------------------------------------------------


def test_a_missing_file_a_folder_and_an_empty_file_are_named(tmp_path: Path) -> None:
    empty = tmp_path / "stock.xlsx"
    empty.touch()
    assert "there is no such file" in refusal(tmp_path / "none.xlsx")
    assert "it is a folder" in refusal(tmp_path)
    assert "the file is empty" in refusal(empty)


@pytest.mark.parametrize("kept", [0.02, 0.5, 0.99])
def test_a_truncated_workbook_is_damaged(tmp_path: Path, kept: float) -> None:
    path = workbook(tmp_path / "stock.xlsx", Rack="Length\n8'")
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * kept)])
    assert "damaged or cut short" in refusal(path)


@pytest.mark.parametrize("entry", ["xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml"])
@pytest.mark.parametrize("content", [b"", b"<a><b></a>", b"\xff\xfe"])
def test_a_workbook_damaged_within_is_damaged(tmp_path: Path, entry: str, content: bytes) -> None:
    whole = workbook(tmp_path / "whole.xlsx", Rack="Length\n8'")
    damaged = tmp_path / "stock.xlsx"
    with zipfile.ZipFile(whole) as source, zipfile.ZipFile(damaged, "w") as target:
        for name in source.namelist():
            target.writestr(name, content if name == entry else source.read(name))
    assert "damaged or cut short" in refusal(damaged)


def test_an_encrypted_workbook_is_named(tmp_path: Path) -> None:
    path = tmp_path / "stock.xlsx"
    path.write_bytes(COMPOUND_FILE + bytes(504) + ENCRYPTED_STREAM)
    assert "it is encrypted; save it without a password" in refusal(path)


def test_other_kinds_of_file_are_to_be_saved_as_xlsx(tmp_path: Path) -> None:
    old, sheet, text = tmp_path / "stock.xls", tmp_path / "stock.ods", tmp_path / "stock.txt"
    old.write_bytes(COMPOUND_FILE + bytes(504))
    with zipfile.ZipFile(sheet, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    text.write_text("Size")
    for path in (old, sheet, text):
        assert "save it as .xlsx" in refusal(path)


def test_a_renamed_file_is_taken_for_what_it_is(tmp_path: Path) -> None:
    open_document, csv, book = (tmp_path / name for name in ("a.xlsx", "b.xlsx", "c.csv"))
    with zipfile.ZipFile(open_document, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    csv.write_text("Size,Length\n2x4,8'\n")
    workbook(tmp_path / "book.xlsx", Rack="Length").rename(book)
    assert "(.ods), whatever its name says" in refusal(open_document)
    assert "no .xlsx workbook, whatever its name says" in refusal(csv)
    assert "no CSV file, whatever its name says" in refusal(book)


def test_a_file_that_would_unpack_to_far_too_much_is_not_unpacked(tmp_path: Path) -> None:
    path = workbook(tmp_path / "stock.xlsx", Rack="Length\n8'")
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/media/picture.png", bytes(150_000_000))
    tracemalloc.start()
    assert "far more than a book of lumber" in refusal(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 20_000_000


def test_a_book_open_in_a_spreadsheet_program_is_readable(tmp_path: Path) -> None:
    path = workbook(tmp_path / "stock.xlsx", Rack="Length\n8'")
    (tmp_path / ".~lock.stock.xlsx#").write_text("someone")
    (tmp_path / "~$stock.xlsx").write_bytes(b"someone")
    assert len(read(path)) == 1


# --- sheets --------------------------------------------------------------------------------------


def test_sheets_and_headers_match_without_regard_to_case_or_blanks(tmp_path: Path) -> None:
    path = workbook(tmp_path / "stock.xlsx", **{" rAck ": "priced  BY | Mine\nfoot | x"})
    row = Book(path).sheet("Rack").rows[0]  # type: ignore[union-attr]
    assert row.cell("Priced by").text == "foot"
    assert row.cell("Length").empty


def test_rows_count_as_in_the_spreadsheet_program(tmp_path: Path) -> None:
    path = tmp_path / "stock.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Rack")
        sheet.write(2, 3, "Length")
        sheet.write(6, 3, "8'")
    assert str(read(path)[0]["length"].place) == "stock.xlsx, sheet Rack, row 7, column Length"


def test_a_formatted_cell_in_the_last_row_costs_nothing(tmp_path: Path) -> None:
    path = tmp_path / "stock.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Rack")
        sheet.write_row(0, 0, ["Length"])
        sheet.write_blank(1_048_575, 16_383, None, book.add_format({"bold": True}))
    tracemalloc.start()
    assert read(path) == []
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 5_000_000


def test_a_value_in_the_last_cell_is_refused_before_the_memory_is_full(tmp_path: Path) -> None:
    path = tmp_path / "stock.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Rack")
        sheet.write(0, 0, "Length")
        sheet.write(1_048_575, 16_383, "x")
    assert "row 1048576, column 16384" in refusal(path)


# --- cells ---------------------------------------------------------------------------------------


def test_cells_are_what_the_user_sees(tmp_path: Path) -> None:
    day = date(2026, 3, 31)
    path = workbook(
        tmp_path / "stock.xlsx", Rack=[list("abcde"), [31.25, 0.1 + 0.2, day, True, " x "]]
    )
    cells = read(path)[0]
    assert [cell.value for cell in cells.values()] == [
        Decimal("31.25"), Decimal("0.3"), day, True, " x ",
    ]  # fmt: skip
    assert [cell.text for cell in cells.values()] == ["31.25", "0.3", "2026-03-31", "TRUE", "x"]


@pytest.mark.parametrize("look", ["0%", "0.00%", "0.000%", '#,##0.0 "of it" %'])
def test_a_number_formatted_as_a_percentage_is_a_percentage(tmp_path: Path, look: str) -> None:
    path = tmp_path / "stock.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("Rack")
        sheet.write_row(0, 0, ["Tax %", "Plain"])
        sheet.write_number(1, 0, 0.0825, book.add_format({"num_format": look}))
        sheet.write_number(1, 1, 0.0825, book.add_format({"num_format": '0.0000 "%"'}))
    assert [cell.text for cell in read(path)[0].values()] == ["8.25%", "0.0825"]


def test_a_formula_never_calculated_is_named_until_a_spreadsheet_program_saved_it(
    tmp_path: Path,
) -> None:
    path = workbook(tmp_path / "stock.xlsx", Rack=[["Length", "Price"], ["=12*8", "4.25"]])
    length = read(path)[0]["length"]
    assert length.wrong is not None
    assert "never calculated" in length.wrong[0]
    assert "save it, and try again" in length.wrong[1]


@needs_office
def test_a_formula_is_its_last_value_and_an_error_is_named(tmp_path: Path) -> None:
    rows = [["Length", "Price", "Note"], ["=12*8", "=1/0", '=""']]
    path = workbook(tmp_path / "stock.xlsx", Rack=rows)
    cells = read(recalculated(path, tmp_path / "calculated"))[0]
    assert cells["length"].value == 96
    assert cells["price"].wrong == ("an error stands here: #DIV/0!", "mend the formula")
    assert cells["note"].empty


# --- CSV -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("mark", [";", ",", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_csv_is_read_with_any_mark_in_any_common_encoding(
    tmp_path: Path, mark: str, encoding: str
) -> None:
    text = (
        mark.join(["Part", "Length"]) + "\r\n\r\n" + mark.join(["Trägér", '"2\' 7 1/4"""']) + "\r\n"
    )
    row = Book(csv_file(tmp_path, text.encode(encoding))).sheet("Parts").rows[0]  # type: ignore[union-attr]
    assert (row.cell("Part").text, row.cell("Length").text) == ("Trägér", "2' 7 1/4\"")
    assert row.place.row == 3


@given(data=st.binary(max_size=60))
def test_any_bytes_are_a_table_or_a_fault(
    data: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    for name in ("job.csv", "job.xlsx"):
        path = tmp_path_factory.mktemp("any") / name
        path.write_bytes(data)
        with suppress(BookFaultsError):
            assert Book(path).sheet("Parts") is not None
