"""One sheet's XML: where its rows and cells stand, byte by byte.

The rules are those of ECMA-376 part 1, 18.3.1 (sheetData, row, c).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from xml.parsers import expat

from stock.cell_names import At, corners, place


class CannotRewriteError(Exception):
    """Why a sheet cannot be changed in place without harm; a half sentence for the user."""


@dataclass(slots=True)
class CellXml:
    """Where a cell begins and ends, its style, and the attributes of its formula."""

    start: int
    end: int
    style: str
    formula: dict[str, str] | None = None


@dataclass(slots=True)
class RowXml:
    """Where a row begins, its start tag ends and it ends; its style, and its cells by column."""

    start: int
    inside: int  # where its start tag ends
    style: str
    hidden: bool
    end: int = 0
    cells: dict[int, CellXml] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dates:
    """Which cell styles show a number as a date, and whether days count from 1904."""

    styles: frozenset[str] = frozenset()
    from_1904: bool = False


class SheetXml:
    """A sheet's part, parsed once: its ``data``, and where in it things stand.

    ``body`` is where sheetData begins and ends, ``dimension`` where the sheet says how far it
    reaches, and what it says; ``prefix`` is that of the part's own elements.

    Raises CannotRewriteError where its bytes are not UTF-8.
    """

    def __init__(self, data: bytes, dates: Dates) -> None:
        self.data, self.dates = data, dates
        self.rows: dict[int, RowXml] = {}
        self.merged: list[tuple[At, At]] = []
        self._columns: list[tuple[int, int, str]] = []
        self.dimension: tuple[int, int, str] | None = None
        self.body = (0, 0)  # where sheetData begins and ends
        self.prefix = ""
        self._open, self._number, self._column = RowXml(0, 0, "", False), 0, 0  # while parsing
        self._parse()

    def _parse(self) -> None:
        try:
            self.data.decode("utf-8")
        except UnicodeDecodeError as error:
            raise CannotRewriteError("a sheet in it is not written in UTF-8") from error
        parser = expat.ParserCreate()
        path: list[str] = []

        def start(name: str, attributes: dict[str, str]) -> None:
            path.append(name.rpartition(":")[2])
            at = parser.CurrentByteIndex
            if path[1:2] == ["sheetData"]:
                self._body_begins(path[2:], at, attributes, name)
            else:
                self._beside_body(path[1:], at, attributes)

        def end(name: str) -> None:
            at = parser.CurrentByteIndex
            after = self._behind(name, at)
            match path[1:]:
                case ["sheetData", "row", "c"]:
                    self._open.cells[self._column].end = after
                case ["sheetData", "row"]:
                    self._open.end = after
                case ["sheetData"]:
                    self.body = (self.body[0], after)
            path.pop()

        def entity(*_: object) -> None:
            raise CannotRewriteError("a sheet in it declares entities, as no program does")

        parser.StartElementHandler, parser.EndElementHandler = start, end
        parser.EntityDeclHandler = entity
        parser.Parse(self.data, True)

    def _body_begins(self, path: list[str], at: int, attributes: dict[str, str], name: str) -> None:
        """Notes where sheetData, a row or a cell begins; a place that is not said follows the last
        one."""
        match path:
            case ["row", "c"]:
                self._column = place(attributes.get("r", ""))[1] or self._column + 1
                self._open.cells[self._column] = CellXml(at, 0, attributes.get("s", ""))
            case ["row", "c", "f"]:
                self._open.cells[self._column].formula = attributes
            case ["row"]:
                number = int(attributes.get("r", self._number + 1))
                self._number = number
                style = attributes.get("s", "") if said(attributes, "customFormat") else ""
                hidden = said(attributes, "hidden")
                self._open = self.rows[number] = RowXml(at, self._tag_end(at), style, hidden)
                self._column = 0
            case []:
                self.body = (at, 0)
                self.prefix = name.removesuffix("sheetData")

    def _beside_body(self, path: list[str], at: int, attributes: dict[str, str]) -> None:
        match path:
            case ["cols", "col"]:
                first, last = int(attributes["min"]), int(attributes["max"])
                self._columns.append((first, last, attributes.get("style", "")))
            case ["mergeCells", "mergeCell"]:
                self.merged.append(corners(attributes["ref"]))
            case ["dimension"]:
                self.dimension = (at, self._tag_end(at), attributes.get("ref", ""))

    def _behind(self, name: str, at: int) -> int:
        """Behind an element whose end is told at ``at``: there, if it closed itself."""
        if not self.data.startswith(f"</{name}".encode(), at):
            return at
        after = at + len(f"</{name}>")
        return after if self.data[after - 1] == ord(">") else self._tag_end(at)

    def _tag_end(self, at: int) -> int:
        """Behind the > of the tag that begins at ``at``; a > may stand in a quoted attribute."""
        quote = 0
        for position in range(at, len(self.data)):
            byte = self.data[position]
            if quote:
                quote = 0 if byte == quote else quote
            elif byte in b"\"'":
                quote = byte
            elif byte == ord(">"):
                return position + 1
        return len(self.data)

    # what stands there ---------------------------------------------------------------------------

    @property
    def last_row(self) -> int:
        """The last row that has a cell with something in it; 0 for an empty sheet."""
        return max((n for n in self.rows if self.filled(n)), default=0)

    def filled(self, number: int) -> bool:
        """Whether a cell of the row has a value or a formula."""
        return bool(self.columns_filled(number))

    def columns_filled(self, number: int) -> list[int]:
        """The columns of the row's cells that have a value or a formula."""
        row = self.rows.get(number)
        cells = row.cells if row else {}
        return [column for column, cell in cells.items() if self._has_value(cell)]

    def _has_value(self, cell: CellXml) -> bool:
        inside = self.data[cell.start : cell.end]
        return re.search(rb"<(\w+:)?(v|is|f)[\s>/]", inside) is not None

    def covered(self, number: int) -> bool:
        """Whether the row is hidden, or merged cells reach into it."""
        row = self.rows.get(number)
        hidden = row is not None and row.hidden
        return hidden or any(first[0] <= number <= last[0] for first, last in self.merged)

    def has_formula(self, at: At) -> bool:
        """Whether the cell holds a formula."""
        cell = self.cell(at)
        return cell is not None and cell.formula is not None

    def cell(self, at: At) -> CellXml | None:
        """The cell there, if the part has one."""
        row = self.rows.get(at[0])
        return row.cells.get(at[1]) if row else None

    def style(self, at: At, like: int = 0) -> str:
        """The style of a cell: its own, its row's, its column's; else that in the row ``like``."""
        if cell := self.cell(at):
            return cell.style
        row = self.rows.get(at[0])
        if row and row.style:
            return row.style
        by_column = (style for first, last, style in self._columns if first <= at[1] <= last)
        model = self.cell((like, at[1]))
        return next(by_column, "") or (model.style if model else "")


def said(attributes: Mapping[str, str], name: str) -> bool:
    """Whether an attribute says yes."""
    return attributes.get(name) in ("1", "true")
