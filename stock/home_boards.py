"""Boards as they came home, measured before the first cut: from then on they lie on the rack.

Their ends are not trimmed yet, so ``end trim`` is bad wood at either end.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from stock.columns import Findings, read_rows
from stock.errors import BookFaultsError, Fault, Place
from stock.journal import Line, What
from stock.lengths import Length, Unit
from stock.pieces import RackPiece, Stretch
from stock.rack_change import Written, change_rack
from stock.rack_rows import as_typed
from stock.rack_writing import Change, Shelf
from stock.shop import Shop
from stock.spreadsheet import Book
from stock.stock_book import StockBook, rack_of
from stock.stock_forms import BOARDS

CAME_HOME = "boards that came home: `rackfirst stocktake BOOK --boards SHEET`"


def with_boards_at_home(stock: StockBook, path: Path) -> StockBook:
    """The stock book with the boards of ``path`` on its rack: a book with a sheet ``Boards``, or
    the same sheet as CSV.

    Raises:
        BookFaultsError: with every fault in it.
    """
    return replace(stock, rack=(*stock.rack, *_boards(stock, path)))


def put_on_rack(path: Path, boards: Path, now: datetime) -> Written:
    """Puts ``boards``, a sheet as above, on the rack of the stock book at ``path``: each must have
    its mark, so that it comes only once.

    Raises RackfirstError for faults of book or sheet, or where the book cannot be changed.
    """

    def decide(shelf: Shelf) -> Change:
        unit = shelf.stock.shop.unit
        home = _boards(shelf.stock, boards, marked=True)
        return Change(lines=[_came_home(piece, unit, now) for piece in home])

    return change_rack(path, decide, now)


def _came_home(piece: RackPiece, unit: Unit, now: datetime) -> Line:
    also = dict(as_typed(piece, unit))
    if piece.held_for:
        also["Held for"] = piece.held_for
    if piece.measured_on:
        also["Measured on"] = f"{piece.measured_on}"
    return Line(
        day=now.date(),
        what=What.BOUGHT,
        piece=replace(piece, count=1),
        count=piece.count,
        note=piece.note or "came home, ends not trimmed",
        also=tuple(also.items()),
    )


def _boards(stock: StockBook, path: Path, *, marked: bool = False) -> Iterator[RackPiece]:
    """The boards of a sheet, their untrimmed ends bad; with ``marked`` each must have a tag."""
    book, findings = Book(path), Findings()
    rows = read_rows(book, BOARDS, stock.shop.unit, findings)
    if not rows and not findings.faults:
        place = Place(file=book.name, sheet=BOARDS.sheet)
        remedy = "name each board with its Size and measured Length"
        findings.faults.append(Fault(place=place, problem="no board stands in it", remedy=remedy))
    if marked:
        for row in rows:
            if not row["Tag"]:
                row.refuse("Tag", "it is empty", "write a mark on the board and in this cell")
    taken = {piece.tag.casefold() for piece in stock.rack}
    pieces = list(rack_of(rows, stock.shop, taken, stock.past_tags))
    if findings.faults:
        raise BookFaultsError(findings.faults)
    for piece in pieces:
        yield replace(piece, bad=_with_ends(piece, stock.shop))


def _with_ends(piece: RackPiece, shop: Shop) -> tuple[Stretch, ...]:
    """Bad stretches, and the ends that are trimmed; what overlaps is one stretch."""
    if not shop.end_trim:
        return piece.bad
    cut_off = shop.end_trim - shop.crosscut_kerf
    ends = ((Length(0), cut_off), (piece.length - cut_off, piece.length))
    merged: list[Stretch] = []
    for start, end in sorted((*piece.bad, *ends)):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return tuple(merged)
