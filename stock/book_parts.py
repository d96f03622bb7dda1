"""The parts of a workbook: some are changed, every other one is handed on byte for byte.

A workbook is a zip archive of parts that name each other (ECMA-376 part 2, Open Packaging
Conventions). What we do not know of it, we do not touch.
"""

from __future__ import annotations

import copy
import io
import posixpath
import re
import zipfile
from collections.abc import Collection, Iterator

from defusedxml.ElementTree import fromstring

from stock.cell_marks import date_styles, sheet_entry
from stock.cell_names import corners
from stock.sheet_edit import safe
from stock.sheet_xml import CannotRewriteError, Dates

WORKBOOK, RELATIONS = "xl/workbook.xml", "xl/_rels/workbook.xml.rels"
TYPES, CALC_CHAIN = "[Content_Types].xml", "xl/calcChain.xml"

_NEW_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_BEFORE_CALCULATION = ("definedNames", "externalReferences", "functionGroups", "sheets")

# Frozen below its header, and printed across the page.
_EMPTY_SHEET = """<?xml version="1.0" encoding="UTF-8" standalone="yes"?>
<worksheet xmlns="MAIN"><sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>\
<sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" \
activePane="bottomLeft" state="frozen"/></sheetView></sheetViews>\
<cols><col min="1" max="9" width="11" customWidth="1"/>\
<col min="10" max="10" width="16" customWidth="1"/>\
<col min="11" max="12" width="11" customWidth="1"/>\
<col min="13" max="15" width="26" customWidth="1"/></cols>\
<sheetData/><pageSetup orientation="landscape" fitToHeight="0"/></worksheet>"""


class BookParts:
    """The parts of one workbook; ``content`` is the workbook with all changes.

    Raises CannotRewriteError where no change could leave the book whole.
    """

    def __init__(self, data: bytes) -> None:
        self._archive = zipfile.ZipFile(io.BytesIO(data))
        self._names = set(self._archive.namelist())
        self._changed: dict[str, bytes] = {}
        if any(name.startswith("_xmlsignatures/") for name in self._names):
            raise CannotRewriteError("it is signed, and a change would break the signature")
        if len(self._names) < len(self._archive.namelist()):
            raise CannotRewriteError("a part of it stands twice")

    def __getitem__(self, name: str) -> bytes:
        return self._changed[name] if name in self._changed else self._archive.read(name)

    def __setitem__(self, name: str, content: bytes) -> None:
        self._changed[name] = content
        self._names.add(name)

    def content(self) -> bytes:
        """The whole workbook; parts stand in their old order, new ones behind them."""
        made = io.BytesIO()
        with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
            old = self._archive.infolist()
            for info in old:
                if info.filename in self._names:
                    archive.writestr(copy.copy(info), self[info.filename])
            for name in sorted(self._names - {info.filename for info in old}):
                archive.writestr(zipfile.ZipInfo(name, old[0].date_time), self[name])
        return made.getvalue()

    # what is in it -------------------------------------------------------------------------------

    def sheet(self, name: str) -> str:
        """The part of the sheet called ``name``, to the letter."""
        return sheet_entry(self._archive, name)

    def dates(self) -> Dates:
        """How the book shows dates."""
        properties = re.search(rb"<(?:\w+:)?workbookPr\b[^>]*>", self[WORKBOOK])
        found = re.search(rb'date1904="(1|true)"', properties[0]) if properties else None
        return Dates(styles=frozenset(date_styles(self._archive)), from_1904=found is not None)

    def has_formulas(self) -> bool:
        """Whether any sheet works something out."""
        sheets = [name for name in self._names if name.startswith("xl/worksheets/")]
        return any(re.search(rb"<(\w+:)?f[\s>]", self[name]) for name in sheets)

    def remarked_rows(self, part: str) -> set[int]:
        """Rows of a sheet on which a comment hangs."""
        rows = set()
        for kind, other in self._related(part):
            if kind.lower().endswith("comments") or kind.endswith("threadedComment"):
                rows |= {corners(ref)[0][0] for ref in _references(self[other])}
        return rows

    def tables(self, part: str) -> list[str]:
        """The parts of the tables that lie on a sheet."""
        return [other for kind, other in self._related(part) if kind.endswith("/table")]

    def _related(self, part: str) -> Iterator[tuple[str, str]]:
        """Kind and name of each part that ``part`` refers to."""
        folder, name = posixpath.split(part)
        relations = f"{folder}/_rels/{name}.rels"
        if relations not in self._names:
            return
        for each in fromstring(self[relations]):
            target = posixpath.normpath(posixpath.join("/", folder, each.get("Target", "")))
            if each.get("TargetMode") != "External" and target.lstrip("/") in self._names:
                yield each.get("Type", ""), target.lstrip("/")

    # changed -------------------------------------------------------------------------------------

    def add_sheet(self, name: str) -> str:
        """A new empty sheet behind the others; its part."""
        number = 1
        while f"xl/worksheets/sheet{number}.xml" in self._names:
            number += 1
        part = f"xl/worksheets/sheet{number}.xml"
        sheets = list(re.finditer(rb"<((?:\w+:)?sheet)\b[^>]*?/>", self[WORKBOOK]))
        last = sheets[-1] if sheets else None
        identity = re.search(rb'\s(\w+:id)="([^"]*)"', last[0]) if last else None
        if last is None or identity is None:
            raise CannotRewriteError("its list of sheets is written in a way not known here")
        numbers = [int(n) for n in re.findall(rb'\bsheetId="(\d+)"', self[WORKBOOK])]
        relation = self._relate(part, identity[2].decode())
        said_name = safe(name).replace('"', "&quot;")
        new = f'<{last[1].decode()} name="{said_name}" sheetId="{max(numbers) + 1}"'
        new += f' {identity[1].decode()}="{relation}"/>'
        self._insert(WORKBOOK, last.end(), new)
        override = f'Override PartName="/{part}" ContentType="{_NEW_SHEET_TYPE}"/>'
        self._insert_last(TYPES, "Types", override)
        main = fromstring(self[WORKBOOK]).tag.partition("}")[0].lstrip("{")
        self[part] = _EMPTY_SHEET.replace("MAIN", main).encode()
        return part

    def _relate(self, part: str, like: str) -> str:
        """A new relation of the workbook, of the kind that the relation ``like`` has; its id."""
        relations = fromstring(self[RELATIONS])
        taken = {each.get("Id") for each in relations}
        kind = next(each.get("Type", "") for each in relations if each.get("Id") == like)
        number = 1
        while f"rId{number}" in taken:
            number += 1
        target = part.removeprefix("xl/")
        relation = f'Relationship Id="rId{number}" Type="{kind}" Target="{target}"/>'
        self._insert_last(RELATIONS, "Relationships", relation)
        return f"rId{number}"

    def widen_tables(self, part: str, rows: Collection[int]) -> None:
        """Lets the table of a sheet reach over those of ``rows`` that follow its last one."""
        for table in self.tables(part):
            xml = self[table]
            ref = re.search(rb'<(?:\w+:)?table\b[^>]*?\sref="([^"]*)"', xml)
            if ref is None or re.search(rb'\stotalsRowCount="[1-9]', xml):
                continue
            area = ref[1].decode()
            end = corners(area)[1][0]
            while end + 1 in rows:
                end += 1
            wider = re.sub(r"\d+$", str(end), area)
            self[table] = xml.replace(f'ref="{area}"'.encode(), f'ref="{wider}"'.encode())

    def forget_order_of_calculation(self) -> None:
        """Drops the list of formulas in the order in which they are worked out.

        A program makes it anew; one that names a cell without a formula is called damaged.
        """
        if CALC_CHAIN in self._names:
            self._names.discard(CALC_CHAIN)
            for part in (RELATIONS, TYPES):
                self[part] = re.sub(rb"<[^<>]*calcChain\.xml[^<>]*/>", b"", self[part])

    def calculate_when_opened(self) -> None:
        """Has every program work out all formulas anew, since what they look at has changed."""
        xml = self[WORKBOOK]
        if found := re.search(rb"<(?:\w+:)?calcPr\b[^>]*?(/?)>", xml):
            tag = re.sub(rb'\sfullCalcOnLoad="[^"]*"', b"", found[0])
            end = len(tag) - len(b"/>") if found[1] else len(tag) - 1
            tag = tag[:end].rstrip() + b' fullCalcOnLoad="1"' + tag[end:]
            self[WORKBOOK] = xml[: found.start()] + tag + xml[found.end() :]
            return
        for before in _BEFORE_CALCULATION:
            ends = list(re.finditer(rf"</(\w+:)?{before}>|<(\w+:)?{before}/>".encode(), xml))
            if ends:
                prefix = (ends[-1][1] or ends[-1][2] or b"").decode()
                self._insert(WORKBOOK, ends[-1].end(), f'<{prefix}calcPr fullCalcOnLoad="1"/>')
                return

    def _insert_last(self, part: str, parent: str, element: str) -> None:
        """``element`` (without its <) as the last child of the outermost element."""
        end = list(re.finditer(rf"</(\w+:)?{parent}\s*>".encode(), self[part]))[-1]
        self._insert(part, end.start(), f"<{(end[1] or b'').decode()}{element}")

    def _insert(self, part: str, at: int, text: str) -> None:
        self[part] = self[part][:at] + text.encode() + self[part][at:]


def _references(xml: bytes) -> list[str]:
    return [ref.decode() for ref in re.findall(rb'\sref="([A-Z]+\d+)"', xml)]
