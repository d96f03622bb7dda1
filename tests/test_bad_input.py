"""Bad input is named for what it is, and ``plan`` leaves nothing behind. Invented prices."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.journeys import PARTS, PRICES, good_books, refused
from tests.typed_books import Rows, workbook

HEAD = ("Part", "Count", "Length", "Size")

BAD_JOBS = {
    "no sheet of parts": ({"Pieces": PARTS}, "there is no sheet Parts"),
    "no column": (
        {"Parts": "Part | Length | Size\nRail | 31 | 2x4"},
        "sheet Parts, column Count: the column is missing",
    ),
    "headers only": ({"Parts": "Part | Count | Length | Size"}, "there is no part in it"),
    "a half that became a date": (
        {"Parts": [HEAD, ("Rail", 4, date(2026, 1, 2), "2x4")]},
        "row 2, column Length",
    ),
    "a length below zero": (
        {"Parts": [HEAD, ("Rail", 4, -31, "2x4")]},
        "row 2, column Length: a length cannot be below zero (it says '-31')",
    ),
    "a length of zero": (
        {"Parts": [HEAD, ("Rail", 4, 0, "2x4")]},
        "row 2, column Length: a length of zero (it says '0')",
    ),
    "half a piece": ({"Parts": [HEAD, ("Rail", 2.5, 31, "2x4")]}, "row 2, column Count"),
    "no such size": ({"Parts": [HEAD, ("Rail", 4, 31, "2x7")]}, "row 2, column Size"),
    "no such wood": (
        {"Parts": "Part | Count | Length | Size | Wood\nRail | 4 | 31 | 2x4 | balsawood"},
        "row 2, column Wood: this wood is not known (it says 'balsawood')",
    ),
    "a formula never calculated": (
        {"Parts": [HEAD, ("Rail", "=2+2", 31, "2x4")]},
        "row 2, column Count: the formula was never calculated",
    ),
}


@pytest.mark.parametrize(("sheets", "said"), BAD_JOBS.values(), ids=BAD_JOBS)
def test_a_bad_job_is_refused(tmp_path: Path, sheets: dict[str, Rows], said: str) -> None:
    good_books(tmp_path)
    job = workbook(tmp_path / "job.xlsx", **sheets)
    assert said in refused(tmp_path, job)


BAD_STOCKS = {
    "no sheet of wood": ({"Lumber": PRICES}, "there is no sheet Rack and no sheet Prices"),
    "headers only": (
        {"Prices": "Size | Length | Price"},
        "nothing stands on Rack nor under Prices",
    ),
    "text in a price": (
        {"Prices": "Size | Length | Price\n2x4 | 8' | ask"},
        "sheet Prices, row 2, column Price",
    ),
    "no such unit": (
        {"Prices": PRICES, "Shop": "Setting | Value\nunit | cubit"},
        "sheet Shop, row 2, column Value",
    ),
    "a tag twice": (
        {"Rack": "Size | Length | Tag\n2x4 | 90 | A\n2x4 | 80 | a"},
        "row 3, column Tag: the tag stands in row 2 too (it says 'a')",
    ),
}


@pytest.mark.parametrize(("sheets", "said"), BAD_STOCKS.values(), ids=BAD_STOCKS)
def test_a_bad_stock_book_is_refused(tmp_path: Path, sheets: dict[str, Rows], said: str) -> None:
    job = good_books(tmp_path)
    workbook(tmp_path / "stock.xlsx", **sheets)
    assert said in refused(tmp_path, job)


def as_encrypted(path: Path) -> None:
    path.write_bytes(COMPOUND_FILE + bytes(504) + "EncryptedPackage".encode("utf-16-le"))


def as_old_workbook(path: Path) -> None:
    path.write_bytes(COMPOUND_FILE + bytes(504) + "Workbook".encode("utf-16-le"))


def as_open_document(path: Path) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")


def cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-2000])


# How every compound file begins: [MS-CFB] 2.2; both .xls and encrypted workbooks are such files.
COMPOUND_FILE = bytes.fromhex("D0CF11E0A1B11AE1")

BAD_FILES = {
    "missing": (Path.unlink, "there is no such file"),
    "empty": (lambda path: path.write_bytes(b""), "the file is empty"),
    "encrypted": (as_encrypted, "it is encrypted; save it without a password"),
    "cut short": (cut_short, "it is damaged or cut short"),
    ".xls": (as_old_workbook, "it is a workbook of the old kind (.xls)"),
    ".ods": (as_open_document, "it is an OpenDocument file (.ods)"),
}


@pytest.mark.parametrize("name", ["job.xlsx", "stock.xlsx"])
@pytest.mark.parametrize(("spoil", "said"), BAD_FILES.values(), ids=BAD_FILES)
def test_a_bad_file_is_refused(
    tmp_path: Path, spoil: Callable[[Path], object], said: str, name: str
) -> None:
    job = good_books(tmp_path)
    spoil(tmp_path / name)
    answer = refused(tmp_path, job)
    assert said in answer
    assert f"{name}: " in answer


def test_the_faults_of_both_books_are_told_at_once(tmp_path: Path) -> None:
    job = good_books(
        tmp_path,
        parts="Part | Count | Length | Size\nRail | 2.5 | 31 | 2x4\nStile | 2 | x | 2x4",
        Prices="Size | Length | Price\n2x4 | 8' | ask",
    )
    assert len(refused(tmp_path, job).splitlines()) == 3
