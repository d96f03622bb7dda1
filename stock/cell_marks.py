"""What the reader of values does not tell about a sheet's cells, taken from the sheet's own XML.

python-calamine shows a formula that was never calculated, and a formula in error, as an empty cell,
and 8.25 % as 0.0825. The rules used here are those of ECMA-376 part 1 (SpreadsheetML): ``c`` (a
cell) holds ``f`` (its formula) and ``v`` (its last value), ``t="e"`` says error, and ``s`` counts
into ``cellXfs`` of styles.xml, whose ``numFmtId`` 9 and 10 are the two built-in percentages and
14 to 17 and 22 built-in dates (from memory).
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

from defusedxml.ElementTree import fromstring, iterparse

from stock.cell_names import At, place

_UNCALCULATED = (
    "the formula was never calculated",
    "open the book in a spreadsheet program, save it, and try again",
)
_BUILT_IN_PERCENT = {9, 10}
_BUILT_IN_DATES = {14, 15, 16, 17, 22}
_ROW = re.compile(rb"<(?:\w+:)?row [^>]*?\br=\"(\d+)\"")
_COLUMN = re.compile(rb"<(?:\w+:)?c [^>]*?\br=\"([A-Z]+)\d")
_QUOTED = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]')


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Cells of one sheet by row and column: (problem, remedy) of the wrong ones; percentages.

    ``last_row`` and ``last_column`` are the outermost cell with a value, whatever size the sheet
    declares and however many empty cells are formatted.
    """

    wrong: Mapping[At, tuple[str, str]] = field(default_factory=dict)
    percent: frozenset[At] = frozenset()
    last_row: int = 0
    last_column: int = 0


NO_MARKS = Marks()


def read_marks(archive: zipfile.ZipFile, sheet: str) -> Marks:
    """The marks of the sheet named ``sheet``, to the letter; StopIteration where there is none."""
    percent_styles = set(_styles(archive, _BUILT_IN_PERCENT, re.compile("%")))
    wrong, percent, rows, columns = {}, set(), {0}, {0}
    with archive.open(sheet_entry(archive, sheet)) as stream:
        for at, cell in _cells(stream):
            formula, value = _child(cell, "f"), _child(cell, "v")
            text = (value.text or "") if value is not None else ""
            if formula is None and value is None and _child(cell, "is") is None:
                continue
            rows.add(at[0])
            columns.add(at[1])
            if cell.get("t") == "e":
                wrong[at] = (f"an error stands here: {text}", "mend the formula")
            elif formula is not None and not text and cell.get("t") != "str":
                wrong[at] = _UNCALCULATED
            elif int(cell.get("s", 0)) in percent_styles:
                percent.add(at)
    return Marks(
        wrong=wrong, percent=frozenset(percent), last_row=max(rows), last_column=max(columns)
    )


def far_out(archive: zipfile.ZipFile, sheet: str) -> At:
    """At the least the outermost row and column of a sheet, found quickly."""
    xml = archive.read(sheet_entry(archive, sheet))
    last_row = max(map(int, _ROW.findall(xml)), default=0)
    widest = max(_COLUMN.findall(xml), key=lambda letters: (len(letters), letters), default=b"")
    return last_row, place(widest.decode())[1]


def _cells(stream: object) -> Iterator[tuple[At, Element]]:
    """Every ``c`` with its place; one without a place follows the one before it."""
    row = column = 0
    for event, element in iterparse(stream, events=("start", "end")):
        match event, _local(element):
            case "start", "row":
                row, column = int(element.get("r", row + 1)), 0
            case "end", "c":
                column = place(element.get("r", ""))[1] or column + 1
                yield (row, column), element
            case "end", "row":
                element.clear()


def sheet_entry(archive: zipfile.ZipFile, sheet: str) -> str:
    """The path of the sheet's XML inside the archive; StopIteration where it is not there."""
    workbook = fromstring(archive.read("xl/workbook.xml"))
    relation = next(
        value
        for element in workbook.iter()
        if _local(element) == "sheet" and element.get("name") == sheet
        for name, value in element.items()
        if name.endswith("}id")
    )
    relations = fromstring(archive.read("xl/_rels/workbook.xml.rels"))
    target = next(each.get("Target", "") for each in relations if each.get("Id") == relation)
    return posixpath.normpath(posixpath.join("/xl", target)).lstrip("/")


def date_styles(archive: zipfile.ZipFile) -> Iterator[str]:
    """Numbers of the cell styles that show a value as a day."""
    return (str(number) for number in _styles(archive, _BUILT_IN_DATES, re.compile("[yYdD]")))


def _styles(
    archive: zipfile.ZipFile, built_in: Set[int], in_format: re.Pattern[str]
) -> Iterator[int]:
    """Numbers of the cell styles whose number format is ``built_in`` or matches ``in_format``."""
    if "xl/styles.xml" not in archive.namelist():
        return
    styles = fromstring(archive.read("xl/styles.xml"))
    formats = set(built_in)
    for element in styles.iter():
        code = _QUOTED.sub("", element.get("formatCode", ""))
        if _local(element) == "numFmt" and in_format.search(code):
            formats.add(int(element.get("numFmtId", -1)))
    cell_styles = next((each for each in styles if _local(each) == "cellXfs"), ())
    for number, style in enumerate(cell_styles):
        if int(style.get("numFmtId", 0)) in formats:
            yield number


def _local(element: Element) -> str:
    """The tag without its namespace: there are two for workbooks, the common and the strict."""
    return element.tag.rpartition("}")[2]


def _child(element: Element, name: str) -> Element | None:
    return next((each for each in element if _local(each) == name), None)
