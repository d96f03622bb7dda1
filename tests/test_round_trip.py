"""The book is the user's: what a settle leaves of a book with everything in it, part by part."""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest

from optimizer.plan.happened import Happened
from optimizer.plan.plan import Plan
from optimizer.plan.settle import settle, undo
from tests.office import needs_office, recalculated
from tests.rich_books import by_libreoffice, with_everything, with_pivot
from tests.settled_shop import NOW, journal_in, parts_of_zip, planned, rack_in, stock_in
from tests.typed_books import workbook

PARTS = "Part | Count | Length | Size\nRail | 2 | 31 1/4 | 2x4\nCleat | 1 | 14 | 2x4"

# Of the parts that were there, only these may change: our sheet, and what lists sheets.
LISTS = {"[Content_Types].xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"}


def macro_book(path: Path) -> Path:
    return with_everything(path, macros=True)


BOOKS = [
    pytest.param((with_everything, "stock.xlsx"), id="XlsxWriter"),
    pytest.param((macro_book, "stock.xlsm"), id="macros"),
    pytest.param((by_libreoffice, "stock.xlsx"), id="LibreOffice", marks=needs_office),
    pytest.param((with_pivot, "stock.xlsx"), id="pivot", marks=needs_office),
]


@pytest.fixture(params=BOOKS, scope="module")
def settled(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Path]:
    """A book after a settle, and its backup from before; both only to be looked at."""
    make, name = request.param
    return _settled(make, tmp_path_factory.mktemp("book") / name)


def _settled(make: Callable[[Path], Path], path: Path) -> tuple[Path, Path]:
    workbook(path.with_name("job.xlsx"), Parts=PARTS)
    book = make(path)
    if path.suffix != ".xlsx":  # the plan is made from the same book under the usual name
        path.with_name("stock.xlsx").write_bytes(book.read_bytes())
    plan = planned(path.parent)
    assert sorted(b.tag for b in plan.boards if b.from_rack) == ["R001", "R001", "R004"]
    done = settle(plan, book, Happened(), NOW)
    assert done.written.backup
    return book, done.written.backup


def opened(book: Path, *, values: bool = True) -> openpyxl.Workbook:
    """The book as another library reads it; formulas, or their values."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says what it does not know, and would lose
        return openpyxl.load_workbook(io.BytesIO(book.read_bytes()), data_only=values)


def sheet_part(parts: dict[str, bytes], name: str) -> str:
    """The part of a sheet, as the book's own lists say."""
    relation = re.search(rf'name="{name}"[^>]*r:id="(\w+)"'.encode(), parts["xl/workbook.xml"])
    assert relation
    pattern = rb'<Relationship\b(?=[^>]*Id="' + relation[1] + rb'")[^>]*Target="/?(?:xl/)?([^"]+)"'
    target = re.search(pattern, parts["xl/_rels/workbook.xml.rels"])
    assert target
    return f"xl/{target[1].decode()}"


def test_every_other_part_stays_byte_for_byte(settled: tuple[Path, Path]) -> None:
    after, before = (dict(parts_of_zip(path)) for path in settled)
    rack, journal = sheet_part(after, "Rack"), sheet_part(after, "Journal")
    assert set(after) == set(before) | {journal}
    changed = {name for name in before if before[name] != after[name]}
    assert rack in changed
    assert changed <= LISTS | {rack}
    assert any(name.startswith("xl/media/") for name in before)
    assert any("comments" in name for name in before)


def test_of_the_rack_only_cells_change(settled: tuple[Path, Path]) -> None:
    after, before = (dict(parts_of_zip(path)) for path in settled)
    part = sheet_part(after, "Rack")

    def beside_cells(xml: bytes) -> bytes:
        return re.sub(rb"<sheetData>.*</sheetData>|<dimension [^>]*>", b"", xml, flags=re.DOTALL)

    assert beside_cells(after[part]) == beside_cells(before[part])
    lists = after["xl/workbook.xml"]
    added = rb'<sheet name="Journal"[^>]*/>|\sfullCalcOnLoad="[^"]*"'
    taken = re.sub(added, b"", before["xl/workbook.xml"])
    assert re.sub(added, b"", lists) == taken


def test_the_new_book_reads_as_it_should(settled: tuple[Path, Path]) -> None:
    book, _ = settled
    assert {tag: count for tag, (_, count) in rack_in(book).items() if tag < "R005"} == {
        "R002": 1,
        "R003": 1,
    }
    assert [line.count for line in journal_in(book) if line.what == "sawn"] == [-2, -1]


@needs_office
def test_libreoffice_opens_it_and_works_formulas_out_anew(
    settled: tuple[Path, Path], tmp_path: Path
) -> None:
    book, _ = settled
    rack = opened(recalculated(book, tmp_path / "out"))
    sheets = rack.sheetnames
    assert {"Rack", "Prices", "Journal"} <= set(sheets)
    if "My notes" in sheets:
        pieces = [row[5].value for row in rack["Rack"].iter_rows(min_row=2)]
        assert rack["My notes"]["A1"].value == sum(n for n in pieces if isinstance(n, int | float))
        assert rack["My notes"]["A1"].value == 2  # R002 and R003 are left


def test_columns_of_the_makers_own_stay_with_their_rows(tmp_path: Path) -> None:
    book, backup = _settled(with_everything, tmp_path / "stock.xlsx")
    now, before = (opened(path, values=False)["Rack"] for path in (book, backup))
    for cell in ("C2", "C3", "G2", "G3", "J1", "J8"):
        assert now[cell].value == before[cell].value
        assert now[cell].style_id == before[cell].style_id
    assert (now["B2"].value, now["E2"].value, now["E5"].value) == (None, None, None)
    assert now["H2"].comment.text == before["H2"].comment.text
    assert now["B2"].number_format == before["B2"].number_format


def test_taken_back_the_rack_is_as_it_was(tmp_path: Path) -> None:
    book, backup = _settled(with_everything, tmp_path / "stock.xlsx")
    undo(planned_again(backup, tmp_path), book, NOW)
    rack = {piece.tag: piece for piece in stock_in(book).rack}
    assert rack == {piece.tag: piece for piece in stock_in(backup).rack}


def planned_again(book: Path, folder: Path) -> Plan:
    (folder / "again").mkdir()
    (folder / "again" / "stock.xlsx").write_bytes(book.read_bytes())
    workbook(folder / "again" / "job.xlsx", Parts=PARTS)
    return planned(folder / "again")
