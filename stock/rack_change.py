"""The rack and its journal are changed in the user's own book, together or not at all.

Where the Rack sheet and the journal differ, the sheet is right: someone has taken, brought or
measured a piece, and a ``counted`` line says so before anything else is written. Only the parts of
these two sheets change (``book_parts``); what was written is read again before it takes the place
of the book (``book_file``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from stock.book_file import change_book
from stock.errors import BookFaultsError, RackfirstError
from stock.journal import Line, counted, stack_of, sums
from stock.journal_sheet import read_journal
from stock.rack_beside import write_beside
from stock.rack_writing import Change, Shelf, rewritten
from stock.sheet_xml import CannotRewriteError
from stock.spreadsheet import Book, key
from stock.stock_book import stock_of
from stock.stock_forms import PRICES, STORES

BY_HAND = "the rack was changed by hand"


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written: all new lines, and where the book as it was lies; None if nothing was."""

    lines: tuple[Line, ...]
    backup: Path | None


def read_shelf(book: Book, now: datetime) -> Shelf:
    """Rack and journal of a book.

    Raises BookFaultsError for faults that make rack or journal doubtful; prices may have some.
    """
    stock, faults = stock_of(book)
    elsewhere = {key(form.sheet) for form in (PRICES, STORES)}
    if doubtful := [fault for fault in faults if key(fault.place.sheet) not in elsewhere]:
        raise BookFaultsError(doubtful)
    journal = read_journal(book, stock.shop.unit)
    found = tuple(counted(journal, stock.rack, now.date(), BY_HAND if journal else ""))
    return Shelf(stock=stock, journal=(*journal, *found), counted=found)


def change_rack(path: Path, decide: Callable[[Shelf], Change], now: datetime) -> Written:
    """Writes what ``decide`` wants changed into the stock book at ``path``.

    Raises:
        RackfirstError: where the book cannot be changed (see ``change_book``), or only beside it;
            and whatever ``decide`` raises. The book is then as it was.
    """
    lines: list[Line] = []

    def changed(data: bytes) -> bytes:
        book = Book(path, data)
        shelf = read_shelf(book, now)
        change = decide(shelf)
        if not (change.lines or change.held or (change.count and shelf.counted)):
            return data
        lines.extend((*shelf.counted, *change.lines))
        try:
            after = rewritten(book, shelf, change)
            _read_again(path, after, shelf, change)
        except CannotRewriteError as error:
            beside = write_beside(path, book, shelf, change)
            raise RackfirstError(
                f"{path} is left as it was: {error}. Its sheets Rack and Journal as they should "
                f"be lie in {beside}; take them over by hand"
            ) from error
        return after

    backup = change_book(path, changed, now)
    return Written(lines=tuple(lines), backup=backup)


def _read_again(path: Path, after: bytes, shelf: Shelf, change: Change) -> None:
    """Whether the new book says what it should; a program that reads it otherwise is not trusted.

    Raises CannotRewriteError if not.
    """
    book = Book(path, after)
    stock, _ = stock_of(book)
    journal = (*shelf.journal, *change.lines)
    rack = {stack_of(piece): piece.count for piece in stock.rack}
    if rack != sums(journal) or sums(read_journal(book, stock.shop.unit)) != rack:
        raise CannotRewriteError("it cannot be changed so that it reads as it should")
