"""Book and shelf compared: what lies there otherwise than the book says becomes a line.

Counting goes by the Rack sheet as it stands, mended by hand; or on a sheet of its own, sorted by
bay, on which a person at the shelf writes what is found.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from stock.cells import Kind
from stock.columns import (
    LENGTH,
    NOTE,
    SIZE,
    THICKNESS,
    WIDTH,
    Column,
    Findings,
    Form,
    Row,
    in_order,
    read_rows,
)
from stock.errors import BookFaultsError
from stock.journal import Line, What, stack_of
from stock.lengths import exact_tape
from stock.measures import read_measures
from stock.pieces import Lumber, RackPiece, free_tags
from stock.rack_change import Written, change_rack, read_shelf
from stock.rack_rows import as_named
from stock.rack_writing import Change, Shelf
from stock.sizes import Dried
from stock.spreadsheet import Book
from stock.stock_forms import TREATED, WOOD
from stock.template import FilledRow, write_template

_AT_THE_SHELF = "counted at the shelf"  # the note of what was found on a sheet
_NO_TAG = "new"  # until it gets one

COUNT = Form(
    sheet="Count",
    explanation="What should lie on the rack, by bay. Fill Found where it differs; add what else "
    "lies there below.",
    sized=True,
    columns=(
        Column(header="Bay", kind=Kind.NAME, explanation="Where it lies.", example="B3"),
        Column(header="Tag", kind=Kind.NAME, explanation="What is written on it.", example="R017"),
        SIZE,
        THICKNESS,
        WIDTH,
        LENGTH,
        WOOD,
        TREATED,
        Column(header="Book", kind=Kind.NUMBER, explanation="How many the book has.", example="2"),
        Column(
            header="Found",
            kind=Kind.NUMBER,
            explanation="How many lie there. Empty is as in the book.",
            example="1",
        ),
        NOTE,
    ),
)


def start_counting(path: Path, sheet: Path) -> int:
    """Writes a sheet to count on; how many pieces the rack should hold.

    Raises RackfirstError for faults of the book, or where ``sheet`` cannot be written.
    """
    shelf = read_shelf(Book(path), datetime.now())
    unit = shelf.stock.shop.unit
    rack = sorted(shelf.stock.rack, key=lambda piece: (_counting(piece.bay), _counting(piece.tag)))
    rows = [
        FilledRow(
            texts={
                "Bay": piece.bay,
                "Tag": piece.tag,
                "Size": piece.size,
                "Thickness": "" if as_named(piece) else exact_tape(piece.lumber.thickness, unit),
                "Width": "" if as_named(piece) else exact_tape(piece.width, unit),
                "Length": exact_tape(piece.length, unit),
                "Wood": piece.lumber.wood,
                "Treated": "yes" if piece.lumber.treated else "",
                "Book": str(piece.count),
            }
        )
        for piece in rack
    ]
    write_template(sheet, (COUNT,), unit, {COUNT.sheet: rows})
    return sum(piece.count for piece in rack)


def _counting(name: str) -> list[tuple[int, str]]:
    """A sort key by which R2 stands before R10."""
    words = re.split(r"(\d+)", name.casefold())
    return [(int(word), "") if word.isdecimal() else (0, word) for word in words]


def take_stock(path: Path, sheet: Path | None, now: datetime) -> Written:
    """Writes what was found otherwise: on the counting sheet, or else on the Rack sheet itself.

    Raises RackfirstError for faults of the book or the sheet, or where the book cannot be changed.
    """

    def decide(shelf: Shelf) -> Change:
        lines = list(_found(shelf, sheet, now)) if sheet else []
        return Change(lines=lines, count=True)

    return change_rack(path, decide, now)


def _found(shelf: Shelf, sheet: Path, now: datetime) -> Iterator[Line]:
    """The lines for each row that says otherwise than the rack. A row without a tag is a new piece,
    unless the sheet was read before and brought it already.
    """
    findings = Findings()
    rows = read_rows(Book(sheet), COUNT, shelf.stock.shop.unit, findings)
    rack = {piece.tag.casefold(): piece for piece in shelf.stock.rack}
    known_tags = [piece.tag for piece in shelf.stock.rack]
    tags = free_tags([*known_tags, *shelf.stock.past_tags, *(row["Tag"] or "" for row in rows)])
    earlier = _found_earlier(shelf, {(row["Tag"] or "").casefold() for row in rows})
    seen: set[str] = set()
    lines: list[Line] = []
    for row in rows:
        tag = (row["Tag"] or "").casefold()
        if tag and tag in seen:
            row.refuse("Tag", "the tag stands twice", "count each tag once")
        seen.add(tag)
        known = rack.get(tag)
        found = _piece(row, known)
        if found and not tag:
            known = next((piece for piece in earlier if _alike(piece, found)), None)
            if known:
                earlier.remove(known)
            found = replace(found, tag=known.tag if known else next(tags))
        if found:
            lines += _difference(known, found, now)
    if findings.faults:
        raise BookFaultsError(in_order(findings.faults))
    yield from lines


def _found_earlier(shelf: Shelf, on_sheet: Collection[str]) -> list[RackPiece]:
    """Pieces that a sheet to count on brought to the rack, and that are not ``on_sheet`` by tag."""
    brought = {stack_of(line.piece) for line in shelf.journal if line.note == _AT_THE_SHELF}
    return [
        piece
        for piece in shelf.stock.rack
        if stack_of(piece) in brought and piece.tag.casefold() not in on_sheet
    ]


def _alike(piece: RackPiece, other: RackPiece) -> bool:
    return stack_of(piece) == stack_of(replace(other, tag=piece.tag))


def _piece(row: Row, known: RackPiece | None) -> RackPiece | None:
    """What was found, by its tag if it has one; None where a fault is in the way."""
    measures = read_measures(row, Dried.DRY)
    if row["Found"] is None and known is None:
        row.refuse("Found", "the book has no such piece", "type how many lie there")
    if not (measures and row.sound()):
        return None
    return RackPiece(
        tag=row["Tag"] or _NO_TAG,
        lumber=Lumber(
            wood=row["Wood"] or "",
            treated=row["Treated"] == "yes",
            thickness=measures.thickness,
        ),
        width=measures.width,
        length=row["Length"],
        size=measures.size_name,
        count=known.count if known and row["Found"] is None else row["Found"],
        bay=row["Bay"] or "",
        note=row["Note"] or "",
    )


def _difference(known: RackPiece | None, found: RackPiece, now: datetime) -> Iterator[Line]:
    """What makes ``known`` into ``found``; a piece of other measures goes, and comes anew."""
    if known and stack_of(known) == stack_of(found):
        changes = [(known, found.count - known.count)]
    else:
        changes = [(known, -known.count)] if known else []
        changes.append((found, found.count))
    for piece, count in changes:
        if count:
            yield Line(
                day=now.date(),
                what=What.COUNTED,
                piece=replace(piece, count=1),
                count=count,
                note=_AT_THE_SHELF,
            )
