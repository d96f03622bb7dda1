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

NEAR_HEADER = 0.8  # of difflib's likeness: Face is Faces, Made is not Make; tried, no source

_HARMLESS = {"", "no", "0"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: what may stand in it and, in a plain line with an example, what it means.

    ``default`` is the value of an empty cell. A filled column that is not ``planned`` with stops
    ``plan``. ``example_mm`` is the example in a book of millimetres, where it differs. ``also``:
    what makers call it too.
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
    also: tuple[str, ...] = ()

    def example_in(self, unit: Unit) -> str:
        """The example for a book in ``unit``."""
        return self.example_mm if unit is Unit.MM and self.example_mm else self.example


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A sheet of a book. ``sized``: a Size stands in each row, or Thickness and Width."""

    sheet: str
    explanation: str
    columns: tuple[Column, ...]
    sized: bool = False


ALSO_COUNT = ("Qty", "Quantity", "Pcs")

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
    also=("Thick",),
)
WIDTH = replace(
    THICKNESS,
    header="Width",
    explanation="Measured width, where no Size is given or a board differs from its size.",
    example="3 1/2",
    example_mm="89",
    also=("Wide",),
)
LENGTH = Column(
    header="Length",
    kind=Kind.LENGTH,
    explanation="Usable length.",
    example="31 1/4",
    example_mm="794",
    required=True,
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
                example = column.example_in(self._unit)
                self.refuse(column.header, "it is empty", f"fill it, for instance {example}")
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
    """Each required column once, no known column twice, and none under nearly its name."""
    typed = [key(header) for header in sheet.headers]
    required = {each.header for each in form.columns if each.required}
    if lower := sheet.lower_header(required):
        problem, remedy = f"the header stands in row {lower}", "delete the rows above it"
        findings.faults.append(Fault(place=sheet.place, problem=problem, remedy=remedy))
        return
    if form.sized and not {"thickness", "width"} <= set(typed):
        required.add("Size")
    misspelt = _misspelt(sheet, form)
    for column in form.columns:
        if typed.count(key(column.header)) > 1:
            problem, remedy = "the column stands twice", "rename or delete one of them"
        elif other := misspelt.get(column.header):
            problem = f"the column is missing, and there is {other!r}"
            remedy = f"rename that to {column.header}, or to something else if it is your own"
        elif column.header in required and key(column.header) not in typed:
            instead = " (or Thickness and Width)" if column.header == "Size" else ""
            problem, remedy = f"the column is missing{instead}", "add it to the header row"
        else:
            continue
        place = replace(sheet.place, column=column.header)
        findings.faults.append(Fault(place=place, problem=problem, remedy=remedy))


def _misspelt(sheet: Sheet, form: Form) -> dict[str, str]:
    """What was probably typed for a column that the sheet lacks, by the header of that column."""
    typed = {key(header): header for header in sheet.headers}
    lacking = {
        key(name): column.header
        for column in form.columns
        if key(column.header) not in typed and column.kind is not Kind.NOTE  # a note is not missed
        for name in (column.header, *column.also)
    }
    ours = {key(column.header) for column in form.columns}
    found: dict[str, str] = {}
    for other, header in typed.items():
        if other not in ours and (near := get_close_matches(other, lacking, 1, NEAR_HEADER)):
            found[lacking[near[0]]] = header
    return found
