"""Cells of one sheet changed in place.

Only the bytes of rows with changed cells are touched; all else of the part, whatever it says and
however it is spelled, stays as it was.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import TypeAlias
from xml.sax.saxutils import escape

from stock.cell_names import At, corners, reference
from stock.sheet_xml import CannotRewriteError, RowXml, SheetXml

Content: TypeAlias = str | int | Decimal | date | None

_Splice: TypeAlias = tuple[int, int, bytes]  # from, to, and what stands there instead

_SPANS = re.compile(rb'\sspans="[^"]*"')
_NO_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_LOOKS_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
_EPOCH, _EPOCH_1904 = date(1899, 12, 30), date(1904, 1, 1)


def edited(
    sheet: SheetXml,
    cells: Mapping[At, Content],
    like: int = 0,
    looks: Mapping[At, str] | None = None,
) -> bytes:
    """The part with ``cells`` so filled; None empties a cell, which keeps its look.

    New cells look as ``looks``, and else ``sheet.style`` with the row ``like``, says. Raises
    CannotRewriteError where a cell to change holds the formula that others are copies of.
    """
    by_row: dict[int, dict[int, bytes]] = defaultdict(dict)
    for at, content in cells.items():
        _check_formula(sheet, at)
        style = (looks or {}).get(at) or sheet.style(at, like)
        by_row[at[0]][at[1]] = _written(sheet, at, content, style)
    splices = sorted([*_row_splices(sheet, by_row), *_dimension_splice(sheet, cells)])
    return _spliced(sheet.data, splices)


def _check_formula(sheet: SheetXml, at: At) -> None:
    cell = sheet.cell(at)
    if cell and cell.formula and "ref" in cell.formula:
        raise CannotRewriteError(f"cell {reference(at)} holds a formula that other cells share")


def _row_splices(sheet: SheetXml, by_row: Mapping[int, Mapping[int, bytes]]) -> Iterator[_Splice]:
    waiting: dict[int, list[bytes]] = defaultdict(list)  # new rows, by where they go
    first, last = sheet.body
    closing = f"</{sheet.prefix}sheetData>".encode()
    closed_itself = not sheet.data[:last].endswith(closing)
    behind_all = last if closed_itself else last - len(closing)
    for number, cells in sorted(by_row.items()):
        if number in sheet.rows:
            row = sheet.rows[number]
            yield row.start, row.end, _with(sheet, row, cells)
        elif any(content for content in cells.values()):
            later = [row.start for n, row in sheet.rows.items() if n > number]
            waiting[min(later, default=behind_all)].append(_new_row(sheet, number, cells))
    for at, rows in waiting.items():
        if closed_itself and at == behind_all:
            opening = f"<{sheet.prefix}sheetData>".encode()
            yield first, last, opening + b"".join(rows) + closing
        else:
            yield at, at, b"".join(rows)


def _with(sheet: SheetXml, row: RowXml, changed: Mapping[int, bytes]) -> bytes:
    tag = _SPANS.sub(b"", sheet.data[row.start : row.inside])
    if tag.endswith(b"/>"):
        tag = tag[:-2].rstrip() + b">"
    old = {n: sheet.data[cell.start : cell.end] for n, cell in row.cells.items()}
    cells = {**old, **changed}
    inside = b"".join(cells[n] for n in sorted(cells))
    return tag + inside + f"</{sheet.prefix}row>".encode()


def _new_row(sheet: SheetXml, number: int, cells: Mapping[int, bytes]) -> bytes:
    inside = b"".join(cells[n] for n in sorted(cells))
    tag = f'<{sheet.prefix}row r="{number}">'.encode()
    return tag + inside + f"</{sheet.prefix}row>".encode()


def _written(sheet: SheetXml, at: At, content: Content, style: str) -> bytes:
    """The bytes of a cell; none for an empty one that is not there yet."""
    if content is None and sheet.cell(at) is None:
        return b""
    name = f"{sheet.prefix}c"
    tag = f'<{name} r="{reference(at)}"' + (f' s="{style}"' if style else "")
    if isinstance(content, date) and style in sheet.dates.styles:
        epoch = _EPOCH_1904 if sheet.dates.from_1904 else _EPOCH
        content = (content - epoch).days
    match content:
        case None:
            return f"{tag}/>".encode()
        case int() | Decimal():
            return f"{tag}><{sheet.prefix}v>{content}</{sheet.prefix}v></{name}>".encode()
        case _:
            p = sheet.prefix
            text = f'<{p}is><{p}t xml:space="preserve">{safe(str(content))}</{p}t></{p}is>'
            return f'{tag} t="inlineStr">{text}</{name}>'.encode()


def _dimension_splice(sheet: SheetXml, cells: Mapping[At, Content]) -> list[_Splice]:
    """The area that the sheet says it fills, wide enough for what was added."""
    if sheet.dimension is None:
        return []
    start, end, ref = sheet.dimension
    filled = [at for at, content in cells.items() if content is not None]
    (top, left), (bottom, right) = corners(ref)
    rows, columns = [at[0] for at in filled], [at[1] for at in filled]
    area = (
        reference((min([top, *rows]), min([left, *columns]))),
        reference((max([bottom, *rows]), max([right, *columns]))),
    )
    tag = sheet.data[start:end].replace(f'"{ref}"'.encode(), f'"{":".join(area)}"'.encode())
    return [(start, end, tag)]


def _spliced(data: bytes, splices: list[_Splice]) -> bytes:
    """``data`` with each span (start, end) replaced; spans in order, none over another."""
    parts, done = [], 0
    for start, end, new in splices:
        parts += [data[done:start], new]
        done = end
    return b"".join([*parts, data[done:]])


def safe(text: str) -> str:
    """``text`` as XML holds it; what XML or a workbook cannot say becomes a blank."""
    return escape(_LOOKS_ESCAPED.sub("_x005F_", _NO_XML.sub(" ", text)))
