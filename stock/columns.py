"""The columns of a sheet as one table: it serves reading, the templates and their help.

A sheet is read row by row into ``Row``; faults, and what is filled but not planned with yet, go to
one ``Findings`` for the whole book.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Any

from stock.cells import CellError, Kind, Reading, read_cell
from stock.errors import Fault, Place
from stock.lengths import Unit
from stock.spreadsheet import Book, Cell, Sheet, SheetRow, key

_HARMLESS = {"", "no", "0"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: what may stand in it and, in a plain line with an example, what it means.

    ``default`` is the value of an empty cell. A filled column that is not ``planned`` with stops
    ``plan``. ``example_mm`` is the example in a book of millimetres, where it differs.
    """

    header: str
    kind: Kind
    explanation: str
    example: str = ""
    example_mm: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    default: object = None
    planned: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A sheet of a book. ``sized``: Size stands in it, or Thickness and Width."""

    sheet: str
    explanation: str
    columns: tuple[Column, ...]
    sized: bool = False


SIZE = Column(
    header="Size",
    kind=Kind.SIZE,
    explanation="The size as it is named in the trade; or fill Thickness and Width instead.",
    example="2x4",
    example_mm="38x89",
)
THICKNESS = Column(
    header="Thickness",
    kind=Kind.LENGTH,
    explanation="Measured thickness, where no Size is given or a board differs from its size.",
    example="1 1/2",
    example_mm="38",
)
WIDTH = replace(
    THICKNESS,
    header="Width",
    explanation="Measured width, where no Size is given or a board differs from its size.",
    example="3 1/2",
    example_mm="89",
)
NOTE = Column(header="Note", kind=Kind.NOTE, explanation="Whatever you like; it is only kept.")


def yes_no(header: str, explanation: str, *, planned: bool = True) -> Column:
    """A column of yes or no; empty is no."""
    return Column(
        header=header,
        kind=Kind.CHOICE,
        choices=("yes", "no"),
        explanation=explanation,
        default="no",
        planned=planned,
    )


@dataclass(slots=True, kw_only=True)
class Findings:
    """What was found while a book was read; it grows."""

    faults: list[Fault] = field(default_factory=list)
    unplanned: list[Fault] = field(default_factory=list)


def in_order(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """``faults`` of one book by sheet and row, as one goes through the book to mend them."""
    return tuple(sorted(faults, key=lambda fault: (fault.place.sheet, fault.place.row or 0)))


class Row:
    """A row being read. ``row["Count"]`` is a value, None where the cell is empty or faulty."""

    def __init__(self, cells: SheetRow, form: Form, unit: Unit, findings: Findings) -> None:
        self._cells = cells
        self._unit = unit
        self._findings = findings
        self._faulty: set[str] = set()
        self._values = {each.header: self._column(each) for each in form.columns}

    def __getitem__(self, header: str) -> Any:
        return self._values[header]

    def cell(self, header: str) -> Cell:
        return self._cells.cell(header)

    @property
    def number(self) -> int | None:
        """Its number in the sheet, from 1."""
        return self._cells.place.row

    def has(self, header: str) -> bool:
        """Whether the sheet has that column."""
        return self._cells.has(header)

    def read(self, header: str, reading: Reading) -> Any:
        """The cell under ``header`` as ``reading`` says; None, and a fault, if it cannot be."""
        try:
            return read_cell(self.cell(header), reading)
        except CellError as error:
            self.refuse(header, error.problem, error.remedy)
            return None

    def refuse(self, header: str, problem: str, remedy: str) -> None:
        """Notes a fault in the cell under ``header``."""
        self._faulty.add(header)
        self._findings.faults.append(self.cell(header).fault(problem, remedy))

    def sound(self, *headers: str) -> bool:
        """Whether the cells under ``headers``, or else the whole row, are without fault so far."""
        return self._faulty.isdisjoint(headers) if headers else not self._faulty

    def not_planned(self, header: str, what: str) -> None:
        """Notes that ``what``, filled under ``header``, stops a plan for now."""
        fault = self.cell(header).fault(f"{what} is not planned with yet", "leave it empty")
        self._findings.unplanned.append(fault)

    def _column(self, column: Column) -> object:
        cell = self.cell(column.header)
        if cell.empty:
            if column.required and not self._cells.has(column.header):
                self._faulty.add(column.header)  # the missing column is a fault once, not per row
            elif column.required:
                self.refuse(column.header, "it is empty", f"fill it, for instance {column.example}")
            return column.default
        reading = Reading(kind=column.kind, unit=self._unit, choices=column.choices)
        value = self.read(column.header, reading)
        harmless = _HARMLESS | {str(column.default)}
        if not column.planned and cell.text.casefold() not in harmless:
            self.not_planned(column.header, column.header)
        return value


def read_rows(book: Book, form: Form, unit: Unit, findings: Findings) -> list[Row]:
    """The rows of a book's sheet with something in the columns of ``form``; unknown ones aside.

    No rows where the book has no such sheet; one whose name looks misspelt is a fault.
    """
    sheet = book.sheet(form.sheet)
    if sheet is None and (near := book.near_sheet(form.sheet)):
        place = Place(file=book.name, sheet=near)
        problem, remedy = "the name of the sheet is not known", f"rename it to {form.sheet}"
        findings.faults.append(Fault(place=place, problem=problem, remedy=remedy))
    if sheet is None or not sheet.rows:
        return []
    _check_headers(sheet, form, findings)
    return [
        Row(cells, form, unit, findings)
        for cells in sheet.rows
        if not all(cells.cell(column.header).empty for column in form.columns)
    ]


def _check_headers(sheet: Sheet, form: Form, findings: Findings) -> None:
    """Each required column once, no known column twice."""
    typed = [key(header) for header in sheet.headers]
    missing = [each.header for each in form.columns if each.required]
    if form.sized and not {"thickness", "width"} <= set(typed):
        missing.append("Size")
    for header in missing:
        if key(header) not in typed:
            findings.faults.append(_missing(sheet, header, form))
    for column in form.columns:
        if typed.count(key(column.header)) > 1:
            place = replace(sheet.place, column=column.header)
            problem, remedy = "the column stands twice", "rename or delete one of them"
            findings.faults.append(Fault(place=place, problem=problem, remedy=remedy))


def _missing(sheet: Sheet, header: str, form: Form) -> Fault:
    ours = {key(column.header) for column in form.columns}
    others = {key(each): each for each in sheet.headers if key(each) not in ours}
    near = get_close_matches(key(header), others, n=1)
    instead = " (or Thickness and Width)" if header == "Size" else ""
    return Fault(
        place=replace(sheet.place, column=header),
        problem=f"the column is missing{instead}",
        remedy=f"is it {others[near[0]]!r}? Rename it" if near else "add it to the header row",
    )
