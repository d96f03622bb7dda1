"""The sheet ``Journal``: its rows as lines, and lines as its rows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from stock.cells import CellError, Reading, read_cell
from stock.columns import Column
from stock.errors import BookFaultsError, Fault, Place
from stock.journal import Line, What
from stock.lengths import Unit, exact_tape
from stock.pieces import Lumber, RackPiece
from stock.rack_forms import JOURNAL
from stock.sheet_edit import Content
from stock.spreadsheet import Book, Cell, Value, key

_BETWEEN, _AFTER_HEADER = " | ", ": "


def read_journal(book: Book, unit: Unit) -> tuple[Line, ...]:
    """The lines of a book's journal; none where it has no such sheet.

    Raises:
        BookFaultsError: with every cell that cannot be read.
    """
    rows = iter(enumerate(book.plain_rows(JOURNAL.sheet), start=1))
    header = next((row for _, row in rows if any(row)), [])
    place = Place(file=book.name, sheet=book.named(JOURNAL.sheet) or "")
    reader = _Reader(place, [key(str(each or "")) for each in header], unit)
    lines = [line for number, row in rows if any(row) for line in reader.line(number, row)]
    if reader.faults:
        raise BookFaultsError(reader.faults)
    return tuple(lines)


def past_tags(book: Book) -> frozenset[str]:
    """Every tag that the journal of a book names, for what is on wood should not be used again."""
    rows = [row for row in book.plain_rows(JOURNAL.sheet) if any(row)]
    header = [key(str(each or "")) for each in rows[0]] if rows else []
    if key("Tag") not in header:
        return frozenset()
    at = header.index(key("Tag"))
    return frozenset(str(row[at]).strip() for row in rows[1:] if row[at])


class _Reader:
    """Reads rows; what stands in many rows alike is read once."""

    def __init__(self, place: Place, header: Sequence[str], unit: Unit) -> None:
        self.place = place
        self.faults: list[Fault] = []
        self._at = {name: n for n, name in enumerate(header) if name}
        self._value = cache(_reading(unit))
        for column in JOURNAL.columns:
            needed = column.required or column.header in ("In", "Out")
            if header and needed and key(column.header) not in self._at:
                self._fault(None, column, "", "the column is missing", "put it back")

    def line(self, number: int, row: Sequence[Value]) -> Iterator[Line]:
        """The line in a row, if it is sound; else its faults are noted."""
        before = len(self.faults)
        found = {each.header: self._read(number, each, row) for each in JOURNAL.columns}
        if len(self.faults) > before:
            return
        still = found["What"] in (What.HELD, What.FREED)
        if (found["In"] == found["Out"]) != still:
            column = next(each for each in JOURNAL.columns if each.header == "In")
            problem = "a line moves pieces in, or else out"
            self._fault(number, column, str(found["In"]), problem, "take a backup of the book")
            return
        yield Line(
            day=found["Date"],
            what=What(found["What"]),
            piece=_piece(found),
            count=found["In"] - found["Out"],
            plan=found["Plan"] or "",
            note=found["Note"] or "",
            also=tuple(_also_read(found["Also"] or "")),
        )

    def _read(self, number: int, column: Column, row: Sequence[Value]) -> Any:
        at = self._at.get(key(column.header))
        value = row[at] if at is not None and at < len(row) else None
        if value is None or value == "":
            if column.required:
                self._fault(number, column, "", "it is empty", "take a backup of the book")
            return column.default
        try:
            return self._value(column, value)
        except CellError as error:
            self._fault(number, column, str(value), error.problem, error.remedy)
            return None

    def _fault(
        self, row: int | None, column: Column, found: str, problem: str, remedy: str
    ) -> None:
        place = Place(file=self.place.file, sheet=self.place.sheet, row=row, column=column.header)
        self.faults.append(Fault(place=place, problem=problem, found=found, remedy=remedy))


def _reading(unit: Unit) -> Callable[[Column, Value], object]:
    def value(column: Column, typed: Value) -> object:
        reading = Reading(kind=column.kind, unit=unit, choices=column.choices)
        return read_cell(Cell(place=Place(file=""), value=typed), reading)

    return value


def _piece(found: Mapping[str, Any]) -> RackPiece:
    return RackPiece(
        tag=found["Tag"],
        lumber=Lumber(
            wood=found["Wood"] or "",
            treated=found["Treated"] == "yes",
            thickness=found["Thickness"],
        ),
        width=found["Width"],
        length=found["Length"],
        size=found["Size"].name if found["Size"] else "",
        bay=found["Bay"] or "",
    )


def _also_read(text: str) -> Iterator[tuple[str, str]]:
    for each in filter(None, text.split(_BETWEEN)):
        header, _, value = each.partition(_AFTER_HEADER)
        yield header, value


def line_cells(line: Line, unit: Unit) -> dict[str, Content]:
    """What stands in the row of a line, by header."""
    return {
        "Date": line.day,
        "What": str(line.what),
        "Tag": line.piece.tag,
        "In": line.count if line.count > 0 else None,
        "Out": -line.count if line.count < 0 else None,
        "Size": line.piece.size or None,
        "Thickness": exact_tape(line.piece.lumber.thickness, unit),
        "Width": exact_tape(line.piece.width, unit),
        "Length": exact_tape(line.piece.length, unit),
        "Wood": line.piece.lumber.wood or None,
        "Treated": "yes" if line.piece.lumber.treated else None,
        "Bay": line.piece.bay or None,
        "Plan": line.plan or None,
        "Note": line.note or None,
        "Also": _BETWEEN.join(f"{h}{_AFTER_HEADER}{v}" for h, v in line.also) or None,
    }
