"""The sheet ``Rack`` after a change: which rows are emptied, which filled, and with what.

No row is moved: what hangs on a row (a comment, a formula, a colour, a column of the user's) stays
with it. A piece that went leaves its row empty; one that came takes the first row that has nothing
in it at all, or one below the last.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from stock.journal import Line, Stack, What, stack_of
from stock.lengths import Unit, exact_tape, round_up
from stock.pieces import HARDLY_CROOKED, RackPiece
from stock.sheet_edit import Content
from stock.sheet_xml import SheetXml
from stock.sizes import Dried, find_size
from stock.spreadsheet import Sheet, SheetRow, key
from stock.stock_forms import RACK

_OURS = tuple(column.header for column in RACK.columns)
# What a line of the journal says in columns of its own; all else of a row goes under Also.
_TOLD = {"Size", "Length", "Count", "Tag", "Bay", "Wood", "Treated", "Thickness", "Width"}


@dataclass(frozen=True, slots=True, kw_only=True)
class RackRows:
    """The rack's sheet as it stands: its rows, its XML, and the rows that comments hang on.

    ``columns`` are the numbers of its columns by the ``key`` of their header.
    """

    header_row: int
    columns: Mapping[str, int]
    rows: Mapping[int, SheetRow]
    xml: SheetXml
    remarked: Collection[int]

    @classmethod
    def of(cls, sheet: Sheet, xml: SheetXml, remarked: Collection[int]) -> RackRows:
        """The rows of a sheet that is there."""
        rows = {row.place.row: row for row in sheet.rows if row.place.row}
        return cls(
            header_row=sheet.header_row,
            columns=sheet.columns,
            rows=rows,
            xml=xml,
            remarked=remarked,
        )

    def also(self, piece: RackPiece) -> tuple[tuple[str, str], ...]:
        """What stands in the row of ``piece`` beside what the journal tells of each piece."""
        row = self.rows.get(piece.row)
        if row is None:
            return ()
        found = ((header, row.cell(header)) for header in _OURS if header not in _TOLD)
        return tuple((h, cell.text.replace("|", "/")) for h, cell in found if not cell.empty)

    def emptied(self) -> dict[str, Content]:
        """A row without its piece; what stands in columns of the user's stays."""
        return {h: None for h in _OURS if key(h) in self.columns}

    def free(self, leaving: Collection[int]) -> Iterator[int]:
        """Rows to fill: those with nothing in them or soon nothing, then those below the last."""
        last = max([self.xml.last_row, self.header_row])
        for number in range(self.header_row + 1, last + 1):
            blank = not self.xml.filled(number)
            left = number in leaving and not self._own(number)
            if (blank or left) and number not in self.remarked and not self.xml.covered(number):
                yield number
        number = last
        while True:
            number += 1
            if number not in self.remarked and not self.xml.covered(number):
                yield number

    def _own(self, number: int) -> bool:
        """Whether something stands in the row that is not ours."""
        ours = {self.columns[key(header)] for header in _OURS if key(header) in self.columns}
        return any(column not in ours for column in self.xml.columns_filled(number))


def changes(
    rows: RackRows,
    rack: Collection[RackPiece],
    lines: Collection[Line],
    held: Mapping[str, str],
    unit: Unit,
) -> dict[int, dict[str, Content]]:
    """What to write, by row and header, so that ``rack`` becomes what ``lines`` make of it.

    ``held`` says for whom a tag (in lower case) is held from now on; an empty text frees it.
    """
    counts = {stack_of(piece): piece.count for piece in rack}
    newest: dict[Stack, Line] = {}
    for line in lines:
        stack = stack_of(line.piece)
        counts[stack] = counts.get(stack, 0) + line.count
        if line.count > 0:
            newest[stack] = line
    written: dict[int, dict[str, Content]] = {}
    for piece in rack:
        written[piece.row] = _changed_row(rows, piece, counts.pop(stack_of(piece)), held)
    leaving = {piece.row for piece in rack if "Size" in written[piece.row]}
    free = rows.free(leaving)
    for stack, count in counts.items():
        if count > 0:
            row = next(free)
            emptied = rows.emptied() if row in leaving else {}
            written[row] = emptied | filled_row(newest[stack], count, unit)
    return {row: cells for row, cells in written.items() if cells}


def _changed_row(
    rows: RackRows, piece: RackPiece, count: int, held: Mapping[str, str]
) -> dict[str, Content]:
    if not count:
        return rows.emptied()
    cells: dict[str, Content] = {}
    if count != piece.count:
        cells["Count"] = count
    if rows.rows[piece.row].cell("Tag").empty:
        cells["Tag"] = piece.tag  # given by its place so far, and its place may change
    if piece.tag.casefold() in held:
        cells["Held for"] = held[piece.tag.casefold()] or None
    return cells


def filled_row(line: Line, count: int, unit: Unit) -> dict[str, Content]:
    """The row of ``count`` pieces that came by ``line``: cells with something in them."""
    piece = line.piece
    cells: dict[str, Content] = {
        "Size": piece.size,
        "Thickness": "" if as_named(piece) else exact_tape(piece.lumber.thickness, unit),
        "Width": "" if as_named(piece) else exact_tape(piece.width, unit),
        "Length": exact_tape(piece.length, unit),
        "Count": count if count > 1 else "",
        "Tag": piece.tag,
        "Bay": piece.bay,
        "Wood": piece.lumber.wood,
        "Treated": "yes" if piece.lumber.treated else "",
        "Measured on": line.day,
        "Note": line.note,
    }
    # What was put aside when the piece went comes back with it.
    fresh = line.what in (What.KEPT, What.BOUGHT)  # its grade and faults, which it has of its board
    comes_back = (line.also and not fresh) or line.what is What.UNDONE
    back: dict[str, Content] = dict.fromkeys(("Measured on", "Note"), "") if comes_back else {}
    return {h: content for h, content in (cells | back | dict(line.also)).items() if content != ""}


def as_named(piece: RackPiece) -> bool:
    """Whether the piece is as thick and wide as its size says."""
    return bool(piece.size) and find_size(piece.size).actual(Dried.DRY) == (
        piece.lumber.thickness,
        piece.width,
    )


def as_typed(piece: RackPiece, unit: Unit) -> Iterator[tuple[str, str]]:
    """Grade, moisture and faults as they stand in its row of the rack, by header."""
    if piece.lumber.grade:
        yield "Grade", piece.lumber.grade
    if piece.moisture is not None:
        yield "Moisture", f"{piece.moisture}"
    if piece.crook > HARDLY_CROOKED:
        yield "Crook", exact_tape(round_up(piece.crook, unit), unit)
    if piece.bad:
        ends = ((exact_tape(a, unit), exact_tape(b, unit)) for a, b in piece.bad)
        yield "Bad stretches", "; ".join(f"{start} to {end}" for start, end in ends)
