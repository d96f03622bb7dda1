"""A small shop whose plans are carried out, for the tests of the rack and its journal.

All prices are invented. A 2x4 is 1 1/2 × 3 1/2 (PS 20-20).
"""

from __future__ import annotations

import zipfile
from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from functools import cache
from pathlib import Path

from optimizer.job.job_book import Books, read_books
from optimizer.job.parts import Job
from optimizer.plan.plan import Plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.errors import BookFaultsError
from stock.journal import Line, sums
from stock.journal_sheet import read_journal
from stock.spreadsheet import Book
from stock.stock_book import StockBook, read_stock_book
from tests.typed_books import Rows, workbook

NOW = datetime(2026, 5, 4, 17, 30)

PRICES = """
    Size | Length | Price
    2x4  | 8'     | 4.25
"""
RACK = """
    Size | Length | Count | Tag  | Bay | Note
    2x4  | 33     | 2     | R001 | A1  | from the jetty
    2x4  | 70 1/2 |       | R002 | A2  |
    2x4  | 15     |       | R003 | A2  | short
"""
PARTS = """
    Part | Count | Length | Size
    Rail | 4     | 31 1/4 | 2x4
    Stop | 1     | 60     | 2x4
"""


def books(folder: Path, *, rack: Rows = RACK, parts: Rows = PARTS, **more: Rows) -> Path:
    """``stock.xlsx`` and ``job.xlsx`` in ``folder``; the path of the stock book."""
    workbook(folder / "job.xlsx", Parts=parts)
    return workbook(folder / "stock.xlsx", **{"Prices": PRICES, "Rack": rack, **more})


def read(folder: Path, job: str = "job") -> Books:
    return read_books(folder / f"{job}.xlsx", folder / "stock.xlsx")


def planned(folder: Path, job: str = "job") -> Plan:
    """The cheapest plan of the job in ``folder``."""
    both = read(folder, job)
    return _solved(both.stock, both.job)


@cache
def _solved(stock: StockBook, job: Job) -> Plan:
    return solve(stock, job, Watch(seconds=20))


def stock_in(book: Path) -> StockBook:
    """The stock book, which must be without fault."""
    stock, faults = read_stock_book(book)
    if faults:
        raise BookFaultsError(faults)
    return stock


def journal_in(book: Path) -> tuple[Line, ...]:
    return read_journal(Book(book), stock_in(book).shop.unit)


def rack_in(book: Path) -> dict[str, tuple[Fraction, int]]:
    """Length and count of what lies on the rack, by tag."""
    return {piece.tag: (piece.length, piece.count) for piece in stock_in(book).rack}


def told(lines: tuple[Line, ...]) -> list[tuple[str, str, int]]:
    """What, tag and count of each line."""
    return [(str(line.what), line.piece.tag, line.count) for line in lines]


def volume_on_rack(book: Path) -> Fraction:
    """Cubic inches of wood on the rack, by the Rack sheet; the journal must say the same."""
    rack = stock_in(book).rack
    by_journal = sums(journal_in(book))
    lying = sum((p.count * p.lumber.thickness * p.width * p.length for p in rack), Fraction(0))
    told = sum((n * s.thickness * s.width * s.length for s, n in by_journal.items()), Fraction(0))
    assert lying == told
    return lying


def parts_of_zip(book: Path) -> Mapping[str, bytes]:
    """Every part of a workbook."""
    with zipfile.ZipFile(book) as archive:
        return {name: archive.read(name) for name in archive.namelist()}
