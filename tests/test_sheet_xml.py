"""Where things stand in a sheet's XML, however it is spelled (ECMA-376 part 1, 18.3.1)."""

from __future__ import annotations

import pytest

from stock.sheet_xml import CannotRewriteError, Dates, SheetXml

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def sheet(body: str, *, before: str = "", after: str = "") -> SheetXml:
    text = f'<worksheet xmlns="{MAIN}">{before}<sheetData>{body}</sheetData>{after}</worksheet>'
    return SheetXml(text.encode(), Dates())


def test_cells_without_a_place_follow_the_one_before() -> None:
    xml = sheet('<row><c><v>1</v></c><c r="D1"><v>2</v></c><c><v>3</v></c></row><row><c/></row>')
    assert xml.columns_filled(1) == [1, 4, 5]
    assert (xml.last_row, xml.columns_filled(2)) == (1, [])


def test_an_empty_cell_or_row_that_closes_itself_ends_where_it_ends() -> None:
    xml = sheet(
        '<row r="1"><c r="A1" s="3"/></row><row r="2"/><row r="3"><c r="B3"><v>1</v></c></row>'
    )
    data = xml.data
    assert [data[row.start : row.end][-6:] for row in xml.rows.values()] == [
        b"</row>",
        b' r="2"/>'[-6:],
        b"</row>",
    ]
    cell = xml.rows[1].cells[1]
    assert data[cell.start : cell.end] == b'<c r="A1" s="3"/>'


def test_a_value_a_text_and_a_formula_fill_a_cell() -> None:
    xml = sheet(
        '<row r="1"><c r="A1"><v>1</v></c><c r="B1" t="inlineStr"><is><t>a</t></is></c>'
        '<c r="C1"><f>A1</f></c><c r="D1" s="1"/></row>'
    )
    assert xml.columns_filled(1) == [1, 2, 3]
    assert xml.has_formula((1, 3))
    assert not xml.has_formula((1, 1))
    assert not xml.has_formula((9, 9))


def test_a_cell_looks_as_itself_its_row_its_column_or_its_model() -> None:
    columns = '<cols><col min="2" max="3" style="7"/></cols>'
    xml = sheet(
        '<row r="1"><c r="A1" s="4"/><c r="E1" s="9"/></row><row r="2" s="5" customFormat="1"/>',
        before=columns,
    )
    assert xml.style((1, 1)) == "4"
    assert xml.style((2, 1)) == "5"
    assert xml.style((3, 2)) == "7"
    assert xml.style((3, 5), like=1) == "9"
    assert xml.style((3, 5)) == ""


def test_hidden_rows_and_merged_cells_are_covered() -> None:
    merged = '<mergeCells count="1"><mergeCell ref="B3:C4"/></mergeCells>'
    xml = sheet('<row r="1" hidden="1"/><row r="2"/>', after=merged)
    assert [row for row in range(1, 6) if xml.covered(row)] == [1, 3, 4]


def test_a_sign_in_an_attribute_ends_no_tag() -> None:
    xml = sheet('<row r="1" note="a>b"><c r="A1" note="/>"><v>1</v></c></row>')
    assert xml.data[xml.rows[1].start : xml.rows[1].inside] == b'<row r="1" note="a>b">'


def test_other_encodings_are_not_touched() -> None:
    text = f'<?xml version="1.0" encoding="UTF-16"?><worksheet xmlns="{MAIN}"/>'
    with pytest.raises(CannotRewriteError, match="not written in UTF-8"):
        SheetXml(text.encode("utf-16"), Dates())


def test_a_sheet_that_declares_entities_is_not_touched() -> None:
    text = f'<!DOCTYPE a [<!ENTITY b "c">]><worksheet xmlns="{MAIN}"><sheetData/></worksheet>'
    with pytest.raises(CannotRewriteError, match="declares entities"):
        SheetXml(text.encode(), Dates())
