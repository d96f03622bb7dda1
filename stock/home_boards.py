"""Boards as they came home, measured before the first cut: from then on they lie on the rack.

Their ends are not trimmed yet, so ``end trim`` is bad wood at either end.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from stock.columns import Findings, read_rows
from stock.errors import BookFaultsError, Fault, Place
from stock.lengths import Length
from stock.pieces import RackPiece, Stretch
from stock.shop import Shop
from stock.spreadsheet import Book
from stock.stock_book import StockBook, rack_of
from stock.stock_forms import BOARDS


def with_boards_at_home(stock: StockBook, path: Path) -> StockBook:
    """The stock book with the boards of ``path`` on its rack: a book with a sheet ``Boards``, or
    the same sheet as CSV.

    Raises:
        BookFaultsError: with every fault in it.
    """
    book, findings = Book(path), Findings()
    rows = read_rows(book, BOARDS, stock.shop.unit, findings)
    if not rows and not findings.faults:
        place = Place(file=book.name, sheet=BOARDS.sheet)
        remedy = "name each board with its Size and measured Length"
        findings.faults.append(Fault(place=place, problem="no board stands in it", remedy=remedy))
    taken = {piece.tag.casefold() for piece in stock.rack}
    pieces = list(rack_of(rows, stock.shop, taken))
    if findings.faults:
        raise BookFaultsError(findings.faults)
    home = tuple(replace(piece, bad=_with_ends(piece, stock.shop)) for piece in pieces)
    return replace(stock, rack=(*stock.rack, *home))


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
