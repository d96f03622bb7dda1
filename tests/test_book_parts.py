"""The parts of a workbook that may change, and the books that may not be changed at all."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path

import openpyxl
import pytest

from stock.book_parts import BookParts
from stock.sheet_xml import CannotRewriteError
from tests.typed_books import workbook

CHAIN = (
    '<calcChain xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    '<c r="B2" i="1"/></calcChain>'
)


def plain(folder: Path) -> dict[str, bytes]:
    """The parts of a small book with a formula."""
    path = workbook(folder / "b.xlsx", Rack=[["Size", "Twice"], ["2x4", "=2*2"]], Other=[["a"]])
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(parts: Mapping[str, bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return made.getvalue()


def unpacked(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_nothing_changed_gives_every_part_back_in_its_order(tmp_path: Path) -> None:
    before = plain(tmp_path)
    after = unpacked(BookParts(packed(before)).content())
    assert list(after.items()) == list(before.items())


def test_a_new_sheet_is_the_last_and_opens(tmp_path: Path) -> None:
    parts = BookParts(packed(plain(tmp_path)))
    part = parts.add_sheet("Cut & <kept>")
    assert part == "xl/worksheets/sheet3.xml"
    assert parts.sheet("Rack") == "xl/worksheets/sheet1.xml"
    book = openpyxl.load_workbook(io.BytesIO(parts.content()))
    assert book.sheetnames == ["Rack", "Other", "Cut & <kept>"]
    assert book["Cut & <kept>"].freeze_panes == "A2"


def test_a_signed_book_is_not_changed(tmp_path: Path) -> None:
    signed = {**plain(tmp_path), "_xmlsignatures/sig1.xml": b"<Signature/>"}
    with pytest.raises(CannotRewriteError, match="it is signed"):
        BookParts(packed(signed))


def test_the_order_of_calculation_is_forgotten_with_all_that_names_it(tmp_path: Path) -> None:
    before = plain(tmp_path)
    before["xl/calcChain.xml"] = CHAIN.encode()
    for part, element in {
        "[Content_Types].xml": '<Override PartName="/xl/calcChain.xml" ContentType="c"/></Types>',
        "xl/_rels/workbook.xml.rels": '<Relationship Id="rId99" Type="http://x/calcChain" '
        'Target="calcChain.xml"/></Relationships>',
    }.items():
        end = element[element.index("</") :].encode()
        before[part] = before[part].replace(end, element.encode())
    parts = BookParts(packed(before))
    parts.forget_order_of_calculation()
    after = unpacked(parts.content())
    assert "xl/calcChain.xml" not in after
    assert not any(b"calcChain" in content for content in after.values())
    assert after["xl/_rels/workbook.xml.rels"] == plain(tmp_path)["xl/_rels/workbook.xml.rels"]


@pytest.mark.parametrize(
    ("listed", "told"),
    [
        ('<calcPr calcId="1"/>', '<calcPr calcId="1" fullCalcOnLoad="1"/>'),
        ('<calcPr fullCalcOnLoad="0" calcId="1" />', '<calcPr calcId="1" fullCalcOnLoad="1"/>'),
        ("", '</sheets><calcPr fullCalcOnLoad="1"/>'),
        ("<definedNames></definedNames>", '</definedNames><calcPr fullCalcOnLoad="1"/>'),
    ],
)
def test_formulas_are_worked_out_anew_when_it_is_opened(
    tmp_path: Path, listed: str, told: str
) -> None:
    before = plain(tmp_path)
    book = re.sub(rb"<calcPr[^>]*>", b"", before["xl/workbook.xml"])
    before["xl/workbook.xml"] = book.replace(b"</sheets>", b"</sheets>" + listed.encode())
    parts = BookParts(packed(before))
    assert parts.has_formulas()
    parts.calculate_when_opened()
    assert told in parts["xl/workbook.xml"].decode()


def test_a_table_reaches_down_to_a_new_row(tmp_path: Path) -> None:
    path = tmp_path / "t.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (["Size", "Length"], ["2x4", "30"], ["2x4", "40"]):
        sheet.append(row)
    table = openpyxl.worksheet.table.Table(displayName="Pieces", ref="A1:B3")
    sheet.add_table(table)
    book.save(path)
    parts = BookParts(path.read_bytes())
    part = parts.sheet("Sheet")
    parts.widen_tables(part, {2, 3, 5})
    assert parts[parts.tables(part)[0]] == unpacked(path.read_bytes())["xl/tables/table1.xml"]
    parts.widen_tables(part, {3, 4, 5, 9})
    wider = openpyxl.load_workbook(io.BytesIO(parts.content())).active.tables["Pieces"]
    assert (wider.ref, wider.autoFilter.ref) == ("A1:B5", "A1:B5")
