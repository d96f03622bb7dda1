"""Cells changed in place: what is not changed keeps its bytes, what is reads as it should."""

from __future__ import annotations

import io
import zipfile
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
import xlsxwriter
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.sheet_edit import Content, edited
from stock.sheet_xml import CannotRewriteError, Dates, SheetXml
from stock.spreadsheet import Book

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def sheet(body: str, dates: Dates | None = None, *, before: str = "", prefix: str = "") -> SheetXml:
    p = f"{prefix}:" if prefix else ""
    name = f"xmlns:{prefix}" if prefix else "xmlns"
    text = (
        f'<{p}worksheet {name}="{MAIN}">{before}<{p}sheetData>{body}</{p}sheetData></{p}worksheet>'
    )
    return SheetXml(text.encode(), dates or Dates())


def body_of(data: bytes) -> str:
    return data.decode().partition("sheetData>")[2].rpartition("</")[0].rpartition("</")[0]


def test_only_the_row_with_the_cell_changes() -> None:
    first = '<row r="1" spans="1:2" ht="20"><c r="A1" s="2"><v>1</v></c></row>'
    second = '<row r="3"><c r="A3" t="s"><v>7</v></c></row>'
    data = edited(sheet(first + second), {(1, 1): 5})
    assert body_of(data) == '<row r="1" ht="20"><c r="A1" s="2"><v>5</v></c></row>' + second


def test_an_emptied_cell_keeps_its_look() -> None:
    data = edited(sheet('<row r="1"><c r="A1" s="2"><f>B1</f><v>1</v></c></row>'), {(1, 1): None})
    assert body_of(data) == '<row r="1"><c r="A1" s="2"/></row>'


def test_new_cells_and_rows_come_in_order() -> None:
    data = edited(
        sheet('<row r="2"><c r="B2"><v>1</v></c></row><row r="5"/>'),
        {(2, 3): 2, (2, 1): 0, (4, 1): 4, (9, 1): 9, (1, 1): 1, (7, 1): None},
    )
    assert body_of(data) == (
        '<row r="1"><c r="A1"><v>1</v></c></row>'
        '<row r="2"><c r="A2"><v>0</v></c><c r="B2"><v>1</v></c><c r="C2"><v>2</v></c></row>'
        '<row r="4"><c r="A4"><v>4</v></c></row><row r="5"/><row r="9"><c r="A9"><v>9</v></c></row>'
    )


def test_a_sheet_without_rows_gets_some() -> None:
    xml = SheetXml(f'<worksheet xmlns="{MAIN}"><sheetData/><x/></worksheet>'.encode(), Dates())
    data = edited(xml, {(1, 1): 1})
    row = '<sheetData><row r="1"><c r="A1"><v>1</v></c></row></sheetData><x/>'
    assert row in data.decode()


def test_a_prefix_is_kept() -> None:
    data = edited(sheet('<x:row r="1"/>', prefix="x"), {(1, 1): "a"})
    assert '<x:row r="1"><x:c r="A1" t="inlineStr"><x:is><x:t xml:space="preserve">a<' in (
        data.decode()
    )


def test_days_are_numbers_where_the_look_is_a_days_and_else_text() -> None:
    # Day 1 is 1 January 1900, or day 0 is 1 January 1904 (ECMA-376 part 1, 18.17.4.1).
    day = date(2026, 3, 31)
    for from_1904, number in ((False, 46112), (True, 44650)):
        dates = Dates(styles=frozenset({"4"}), from_1904=from_1904)
        xml = sheet('<row r="1"><c r="A1" s="4"/><c r="B1"/></row>', dates)
        data = edited(xml, {(1, 1): day, (1, 2): day}).decode()
        assert f'<c r="A1" s="4"><v>{number}</v></c>' in data
        assert ">2026-03-31<" in data


def test_the_sheet_says_how_far_it_reaches() -> None:
    xml = sheet("", before='<dimension ref="B2:C3"/>')
    assert b'<dimension ref="B2:E9"/>' in edited(xml, {(9, 5): 1, (1, 1): None})


def test_the_first_of_shared_formulas_is_not_taken_away() -> None:
    body = '<row r="1"><c r="A1"><f t="shared" ref="A1:A9" si="0">B1</f><v>1</v></c></row>'
    with pytest.raises(CannotRewriteError, match="cell A1 holds a formula that other cells share"):
        edited(sheet(body), {(1, 1): None})


texts = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12).map(str.strip)
contents = st.one_of(st.none(), texts, st.integers(0, 10**6), st.decimals(0, 999, places=2))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(
    st.dictionaries(st.tuples(st.integers(2, 9), st.integers(1, 5)), contents, max_size=12),
    st.lists(st.lists(st.one_of(texts, st.integers(0, 99)), min_size=5, max_size=5), max_size=6),
)
def test_whatever_is_written_is_read_again(
    tmp_path: Path, cells: dict[tuple[int, int], Content], rows: list[list[object]]
) -> None:
    headers = ["a", "b", "c", "d", "e"]
    book = io.BytesIO()
    with xlsxwriter.Workbook(book, {"strings_to_formulas": False, "strings_to_urls": False}) as new:
        for number, row in enumerate([headers, *rows]):
            for column, value in enumerate(row):
                new_sheet = new.get_worksheet_by_name("Rack") or new.add_worksheet("Rack")
                new_sheet.write(number, column, value)
    wanted: dict[tuple[int, int], object] = {
        (r, c): v for r, row in enumerate(rows, 2) for c, v in enumerate(row, 1)
    }
    wanted |= cells
    read = Book(tmp_path / "x.xlsx", written(book.getvalue(), cells)).sheet("Rack")
    assert read
    found = {
        (row.place.row, column): row.cell(header).text
        for row in read.rows
        for column, header in enumerate(headers, 1)
        if row.cell(header).text
    }
    assert found == {at: shown(value) for at, value in wanted.items() if shown(value)}


def written(data: bytes, cells: dict[tuple[int, int], Content]) -> bytes:
    """The workbook with ``cells`` in its first sheet."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(made, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                part = edited(SheetXml(part, Dates()), cells)
            new.writestr(name, part)
    return made.getvalue()


def shown(value: object) -> str:
    if isinstance(value, Decimal):
        return format(value.normalize(), "f") if value else "0"
    return "" if value is None else str(value)
