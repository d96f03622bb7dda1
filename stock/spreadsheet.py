"""Rows <-> cells: how books are read. Knows no lumber.

A book is an .xlsx workbook or one sheet as .csv. Whatever is wrong with a file becomes a
``BookFaultsError`` that says what would do; a cell that cannot be trusted (a formula never
calculated, a formula in error) keeps its fault until somebody asks for that cell.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from difflib import get_close_matches
from itertools import chain, islice
from pathlib import Path
from typing import TypeAlias

from python_calamine import CalamineWorkbook

from stock.book_check import checked_bytes, unreadable
from stock.cell_marks import NO_MARKS, Marks, far_out, read_marks
from stock.errors import BookFaultsError, Fault, Place

Value: TypeAlias = str | Decimal | bool | date | None

MOST_TITLES = 10  # rows in which the header may stand below a title
MOST_CELLS = 5_000_000  # a sheet's last row × last column; more would fill the memory


def key(name: str) -> str:
    """``name`` as sheets and headers are compared: without regard to case or blanks."""
    return "".join(name.split()).casefold()


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What stands in one cell. ``wrong`` says (problem, remedy) where it cannot be trusted."""

    place: Place
    value: Value = None
    wrong: tuple[str, str] | None = None

    @property
    def text(self) -> str:
        """What stood there, near enough as the user saw it; empty for an empty cell."""
        match self.value:
            case None:
                return ""
            case bool():
                return str(self.value).upper()
            case Decimal():
                return format(self.value, "f") if abs(self.value) < 10**15 else str(self.value)
            case _:
                return str(self.value).strip()

    @property
    def empty(self) -> bool:
        return not self.text and not self.wrong

    def fault(self, problem: str, remedy: str) -> Fault:
        return Fault(place=self.place, problem=problem, found=self.text, remedy=remedy)


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRow:
    """One row below the header: its cells by ``key`` of their header."""

    place: Place
    cells: Mapping[str, Cell]

    def has(self, header: str) -> bool:
        """Whether the sheet has that column."""
        return key(header) in self.cells

    def cell(self, header: str) -> Cell:
        """The cell under ``header``; an empty one where there is none."""
        return self.cells.get(key(header), Cell(place=replace(self.place, column=header)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The header row, as typed, and the rows with something in them below it.

    ``header_row`` and the numbers in ``columns`` (by the ``key`` of a header) count from 1. ``top``
    is the ``key`` of all that stands in each of the sheet's first rows.
    """

    place: Place
    headers: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    header_row: int = 1
    columns: Mapping[str, int] = field(default_factory=dict)
    top: Sequence[frozenset[str]] = ()

    def lower_header(self, headers: Iterable[str]) -> int | None:
        """The row in which all ``headers`` stand, below a title taken for the header; else None."""
        wanted = set(map(key, headers))
        rows = (number for number, keys in enumerate(self.top, start=1) if wanted <= keys)
        number = next(rows, self.header_row)
        return number if number > self.header_row else None


class Book:
    """A book opened for reading: its sheets by name. ``data``: its bytes, if they are read already.

    Raises BookFaultsError where the file is no book.
    """

    def __init__(self, path: Path, data: bytes | None = None) -> None:
        self.name, self.folder = path.name, path.parent
        data = checked_bytes(path, data)
        self._csv = data if path.suffix.lower() == ".csv" else None
        self.data = data
        self._plain: dict[str, list[list[Value]]] = {}
        if self._csv is None:
            with unreadable(self.name):
                self._workbook = CalamineWorkbook.from_filelike(io.BytesIO(data))

    @property
    def sheet_names(self) -> list[str]:
        """Names of the sheets, in order; none for a CSV file, which is a sheet of its own."""
        return [] if self._csv is not None else self._workbook.sheet_names

    def sheet(self, name: str) -> Sheet | None:
        """The sheet called ``name`` (of a CSV file: its only sheet), or None.

        Raises BookFaultsError where the sheet is damaged or far too large.
        """
        if self._csv is not None:
            return _sheet(Place(file=self.name), _csv_rows(self._csv, self.name), NO_MARKS)
        found = self.named(name)
        if found is None:
            return None
        place = Place(file=self.name, sheet=found)
        with unreadable(self.name):
            with zipfile.ZipFile(io.BytesIO(self.data)) as archive:
                marks = read_marks(archive, found)
            if marks.last_row * marks.last_column <= MOST_CELLS:
                rows = self._workbook.get_sheet_by_name(found).to_python(skip_empty_area=False)
                return _sheet(place, map(_values, rows), marks)
        raise BookFaultsError([_too_large(place, marks.last_row, marks.last_column)])

    def plain_rows(self, name: str) -> list[list[Value]]:
        """All rows of a sheet that only we write, quickly and without places; none if it is not
        there. An error or a formula never calculated counts as an empty cell.

        Raises BookFaultsError where the sheet is damaged or far too large.
        """
        found = self.named(name)
        if found is None:
            return []
        if found in self._plain:
            return self._plain[found]
        with unreadable(self.name):
            with zipfile.ZipFile(io.BytesIO(self.data)) as archive:
                far = far_out(archive, found)
            if far[0] * far[1] <= MOST_CELLS:
                rows = self._workbook.get_sheet_by_name(found).to_python(skip_empty_area=False)
                self._plain[found] = [_values(row) for row in rows]
                return self._plain[found]
        place = Place(file=self.name, sheet=found)
        raise BookFaultsError([_too_large(place, *far)])

    def named(self, name: str) -> str | None:
        """The sheet called ``name`` in any case and with any blanks, as it is spelled there."""
        return next((each for each in self.sheet_names if key(each) == key(name)), None)

    def near_sheet(self, name: str) -> str | None:
        """A sheet whose name looks like ``name`` misspelt."""
        names = {key(each): each for each in self.sheet_names}
        near = get_close_matches(key(name), names, n=1, cutoff=0.75)
        return names[near[0]] if near else None


def _sheet(place: Place, rows: Iterable[Sequence[Value]], marks: Marks) -> Sheet:
    """The first row with anything in it is the header; rows count from 1."""
    headers: dict[int, str] = {}
    columns: dict[str, int] = {}
    header_row = 1
    found = []
    rows = iter(rows)
    top = list(islice(rows, MOST_TITLES))
    for number, values in enumerate(chain(top, rows), start=1):
        if not headers:
            texts = enumerate(_texts(values), start=1)
            headers = {column: text for column, text in texts if text}
            header_row = number
            columns = {key(header): column for column, header in headers.items()}
            continue
        row = replace(place, row=number)
        cells = {
            name: _cell(
                Place(file=place.file, sheet=place.sheet, row=number, column=headers[column]),
                values[column - 1] if column <= len(values) else None,
                (number, column),
                marks,
            )
            for name, column in columns.items()
        }
        if not all(cell.empty for cell in cells.values()):
            found.append(SheetRow(place=row, cells=cells))
    return Sheet(
        place=place,
        headers=tuple(headers.values()),
        rows=tuple(found),
        header_row=header_row,
        columns=columns,
        top=[frozenset(map(key, _texts(values))) for values in top],
    )


def _texts(values: Iterable[Value]) -> list[str]:
    return [Cell(place=Place(file=""), value=value).text for value in values]


def _cell(place: Place, value: Value, at: tuple[int, int], marks: Marks) -> Cell:
    if at in marks.wrong:
        return Cell(place=place, wrong=marks.wrong[at])
    if at in marks.percent and isinstance(value, Decimal):
        # As the user sees it: 0.0825 formatted as a percentage is the text 8.25%.
        return Cell(place=place, value=f"{(value * 100).normalize():f}%")
    return Cell(place=place, value=value)


def _values(row: Iterable[object]) -> list[Value]:
    return [_value(each) for each in row]


def _value(raw: object) -> Value:
    """A cell as python-calamine gives it, without floats and without times of day.

    A spreadsheet shows 15 digits and stores 17; the 15 are what the user saw: 0.1 + 0.2 is 0.3.
    """
    match raw:
        case "" | None:
            return None
        case bool() | str():
            return raw
        case int() | float():
            return Decimal(format(raw, ".15g"))
        case datetime():
            return raw.date()
        case date():
            return raw
        case _:
            return str(raw)


def _too_large(place: Place, last_row: int, last_column: int) -> Fault:
    return Fault(
        place=place,
        problem=f"something stands as far out as row {last_row}, column {last_column}",
        remedy="delete what stands far below or right of the table, and save",
    )


def _csv_rows(data: bytes, name: str) -> Iterator[list[Value]]:
    """The rows of a CSV file: UTF-8, UTF-16 with its mark, or else Windows-1252."""
    text = _decoded(data)
    marked = (line for line in text.splitlines() if not set(";\t,").isdisjoint(line))
    delimiter = max(";\t,", key=next(marked, ",").count)  # a title above has none
    try:
        for row in csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True):
            yield [value or None for value in row]
    except csv.Error as error:
        place = Place(file=name)
        remedy = "save it again as CSV from a spreadsheet program"
        raise BookFaultsError(
            [Fault(place=place, problem=f"no CSV that can be read: {error}", remedy=remedy)]
        ) from error


def _decoded(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")
