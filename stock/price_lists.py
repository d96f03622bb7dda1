"""Price lists as a store hands them out: CSV files whose columns the sheet ``Lists`` maps.

A cell of that sheet names the column of the file that holds ours, or says in quotes what holds for
every row of the file. Where Size and Length name one column, it says both: ``2x4x8``,
``2 x 10 x 12'``, ``2x4-92 5/8``. A faulty line of a list is told with the list's own name, row and
column.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from stock.cells import LEAST_BARE
from stock.columns import Findings, Row
from stock.errors import BookFaultsError
from stock.lengths import Unit, is_bare, parse_length
from stock.spreadsheet import Book, Cell, Sheet, SheetRow, key
from stock.stock_forms import LISTS, PRICES

_QUOTES = "\"'“”‘’«»„‟"
_LENGTH = re.compile(r"""[\d\s.,/¼½¾⅛⅜⅝⅞'"′″’”-]+(?:(?:ft|in|mm|cm|m)\b\.?)?""", re.IGNORECASE)
_WIDTH_AND_MORE = re.compile(r"\s*([\d/.]+)(?:\s*-\s*|\s+)(.+)")
_MAPPED = tuple(column.header for column in LISTS.columns if column.header != "File")


def read_price_lists(
    lists: Sequence[Row], folder: Path, unit: Unit, findings: Findings
) -> Iterator[Row]:
    """The rows of all price lists that ``lists`` names, as if they stood on the sheet Prices.

    A list lies beside the stock book. One that cannot be read, or lacks a column, is a fault.
    """
    for row in lists:
        if not row.sound():
            continue
        try:
            sheet = Book(folder / row["File"]).sheet(PRICES.sheet)
        except BookFaultsError as error:
            why = error.faults[0]
            row.refuse("File", why.problem, why.remedy or "name a CSV file beside this book")
            continue
        if sheet is None:
            row.refuse("File", "it has no sheet Prices", "save the list as CSV")
            continue
        if lower := sheet.lower_header(_columns_of_theirs(row)):
            row.refuse("File", f"its header stands in row {lower}", "delete the rows above it")
            continue
        sources = _sources(row, sheet)
        if not row.sound():
            continue
        lines = [_cells(line, sources, unit) for line in sheet.rows]
        points = any("." in cells[key("Price")].text for cells in lines)
        for line, cells in zip(sheet.rows, lines, strict=True):
            price = cells[key("Price")]
            if not (price.empty or cells[key("Length")].empty):  # else a heading
                cells[key("Price")] = _plain_price(price, points)
                yield Row(SheetRow(place=line.place, cells=cells), PRICES, unit, findings)


def _columns_of_theirs(row: Row) -> list[str]:
    return [row[ours] for ours in _MAPPED if row[ours] and not _for_all_rows(ours, row[ours])]


def _for_all_rows(ours: str, typed: str) -> bool:
    return ours == "Store" or typed[0] in _QUOTES


def _sources(row: Row, sheet: Sheet) -> dict[str, str | Cell]:
    """For each of our columns that the row fills: the file's header, or a cell for all rows."""
    headers = {key(header): header for header in sheet.headers}
    found: dict[str, str | Cell] = {}
    for ours in _MAPPED:
        typed = row[ours]
        if not typed:
            continue
        if _for_all_rows(ours, typed):
            found[ours] = replace(row.cell(ours), value=typed.strip(_QUOTES).strip())
        elif key(typed) in headers:
            found[ours] = headers[key(typed)]
        else:
            columns = ", ".join(sheet.headers)
            remedy = f'its columns are {columns}; what holds for all rows stands in quotes: "SPF"'
            row.refuse(ours, f"{row['File']} has no column of that name", remedy)
    return found


def _cells(line: SheetRow, sources: Mapping[str, str | Cell], unit: Unit) -> dict[str, Cell]:
    """The cells of a line under our headers; each keeps its place in the file."""
    cells = {
        key(ours): source if isinstance(source, Cell) else line.cell(source)
        for ours, source in sources.items()
    }
    size, length = sources.get("Size"), sources.get("Length")
    if isinstance(size, str) and size == length:
        cells |= _split(line.cell(size), unit)
    return cells


def _plain_price(price: Cell, points: bool) -> Cell:
    """``1,204.50`` without the mark of its thousands: a store's cents are two. So ``41,20`` is
    41.20, in a list without ``points`` in its prices.
    """
    if not isinstance(price.value, str):
        return price
    plain = re.sub(r",(?=\d{3}\b)", "", price.value)
    if not points:
        plain = re.sub(r"^([^,]*\d),(\d\d)\b(?!,)", r"\1.\2", plain)
    return replace(price, value=plain)


def _split(item: Cell, unit: Unit) -> dict[str, Cell]:
    """``2x4x8 No. 2`` as size and length; the words after it are the store's own.

    In inches a bare length under 30 counts feet, as it is said at the counter.
    """
    faces = re.split("[x×]", item.text, maxsplit=2, flags=re.IGNORECASE)
    if len(faces) == 2 and (found := _WIDTH_AND_MORE.match(faces[1])):
        faces = [faces[0], *found.groups()]
    long = _LENGTH.match(faces[2].strip()) if len(faces) == 3 else None
    if long is None:
        return {key("Size"): item, key("Length"): item}
    length = long[0].strip()
    if unit is Unit.IN and is_bare(length) and parse_length(length, unit) < LEAST_BARE:
        length += "'"
    size = "x".join(face.strip() for face in faces[:2])
    return {key("Size"): replace(item, value=size), key("Length"): replace(item, value=length)}
