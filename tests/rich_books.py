"""Stock books with all that a maker may put into them, by XlsxWriter and by LibreOffice.

Each has a rack, prices, columns of the maker's own, formulas that look at the rack, pictures,
charts, comments, conditional formats, drop-downs, defined names, frozen panes and print settings;
XlsxWriter's also a table, a sparkline, a text box and macros, LibreOffice's a pivot.
"""

from __future__ import annotations

import base64
import io
import shutil
import subprocess
from pathlib import Path

import xlsxwriter
from PIL import Image

RACK = [
    ["Bay", "Tag", "Colour", "Size", "Length", "Count", "Twice", "Note"],
    ["A1", "R001", "red", "2x4", "33", 2, "=2*F2", "from the jetty"],
    ["A2", "R002", "blue", "2x4", "70 1/2", 1, "=2*F3", ""],
    ["A2", "R003", "", "2x4", "15", 1, "=2*F4", "short"],
    ["A2", "R004", "", "2x4", "=7*2", 1, "=2*F5", ""],
]
PRICES = [["Size", "Length", "Price"], ["2x4", "8'", 4.25], ["2x4", "12'", 6.1]]
VALUES = {"=2*F2": 4, "=2*F3": 2, "=2*F4": 2, "=2*F5": 2, "=7*2": 14}


def picture() -> bytes:
    """A small picture."""
    drawn = io.BytesIO()
    Image.new("RGB", (24, 16), "#2F4B3C").save(drawn, "PNG")
    return drawn.getvalue()


def with_everything(path: Path, *, macros: bool = False) -> Path:
    """A book by XlsxWriter; with ``macros`` its name must end in .xlsm."""
    with xlsxwriter.Workbook(path) as book:
        if macros:
            project = path.with_name("project.bin")
            project.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(range(256)) * 8)
            book.add_vba_project(str(project))
        mine = book.add_worksheet("My notes")
        rack, prices = book.add_worksheet("Rack"), book.add_worksheet("Prices")
        bold = book.add_format({"bold": True, "bg_color": "#DDEEDD", "border": 1})
        red = book.add_format({"font_color": "#AA0000"})
        for sheet, rows in ((rack, RACK), (prices, PRICES)):
            for r, row in enumerate(rows):
                for c, value in enumerate(row):
                    if isinstance(value, str) and value.startswith("="):
                        sheet.write_formula(r, c, value, red, VALUES[value])
                    else:
                        sheet.write(r, c, value, bold if r == 0 else None)
        rack.set_column("A:H", 11)
        rack.set_row(2, 24)
        rack.freeze_panes(1, 2)
        rack.write_comment("H2", "wet when it came", {"author": "the maker"})
        rack.write_rich_string("J1", "own ", bold, "remark")
        rack.merge_range("J8:L9", "stays where it is", bold)
        rack.conditional_format("F2:F40", {"type": "data_bar", "data_bar_2010": True})
        rack.data_validation("C2:C40", {"validate": "list", "source": ["red", "blue"]})
        rack.insert_image("N2", "p.png", {"image_data": io.BytesIO(picture())})
        rack.set_header("&L&G", {"image_left": "h.png", "image_data_left": io.BytesIO(picture())})
        rack.print_area("A1:H40")
        rack.repeat_rows(0)
        rack.autofilter("A1:H5")
        rack.protect("", {"format_cells": True})
        chart = book.add_chart({"type": "column"})
        chart.add_series({"values": "=Rack!$F$2:$F$5", "categories": "=Rack!$B$2:$B$5"})
        rack.insert_chart("N8", chart)
        mine.write_formula("A1", "=SUM(Rack!F2:F40)", None, 5)
        mine.add_sparkline("B1", {"range": "Rack!F2:F5"})
        mine.insert_textbox("D2", "call the yard on Monday")
        mine.add_table("A4:B6", {"data": [["paint", 3], ["screws", 40]]})
        book.define_name("Lengths", "=Rack!$E$2:$E$40")
    return path


def by_libreoffice(path: Path) -> Path:
    """A book that LibreOffice saved: of one with everything, and of one with a pivot."""
    return _saved(with_everything(path.with_name("everything.xlsx")), path)


def with_pivot(path: Path) -> Path:
    """A book that LibreOffice saved, with a pivot over the rack, a comment and a picture."""
    source = path.with_name("pivot.fods")
    source.write_text(_fods(), encoding="utf-8")
    return _saved(source, path)


def _saved(source: Path, path: Path) -> Path:
    folder = path.parent / "saved"
    profile = f"-env:UserInstallation={(folder / 'profile').resolve().as_uri()}"
    command = ["soffice", "--headless", profile, "--convert-to", "xlsx", "--outdir", str(folder)]
    subprocess.run([*command, str(source)], check=True, capture_output=True, timeout=120)
    shutil.move(folder / f"{source.stem}.xlsx", path)
    return path


def _fods() -> str:
    """A flat OpenDocument spreadsheet (OASIS OpenDocument 1.3, part 3)."""
    rack = "".join(_row(row) for row in ([c if c != "=7*2" else 14 for c in r[:6]] for r in RACK))
    prices = "".join(_row(row) for row in PRICES)
    picture_text = base64.b64encode(picture()).decode()
    fields = "".join(
        f'<table:data-pilot-field table:source-field-name="{name}" table:orientation="{where}" '
        f'table:function="{how}"/>'
        for name, where, how in (("Bay", "row", "auto"), ("Count", "data", "sum"))
    )
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<office:document office:version="1.3"
 office:mimetype="application/vnd.oasis.opendocument.spreadsheet"
 xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"
 xmlns:draw="urn:oasis:names:tc:opendocument:xmlns:drawing:1.0"
 xmlns:svg="urn:oasis:names:tc:opendocument:xmlns:svg-compatible:1.0">
<office:body><office:spreadsheet>
<table:table table:name="Rack">{rack}
<table:table-row><table:table-cell/><table:table-cell>
<office:annotation><text:p>look behind the door</text:p></office:annotation></table:table-cell>
<table:table-cell><draw:frame svg:width="1cm" svg:height="1cm" svg:x="12cm" svg:y="1cm">
<draw:image><office:binary-data>{picture_text}</office:binary-data></draw:image></draw:frame>
</table:table-cell></table:table-row></table:table>
<table:table table:name="Prices">{prices}</table:table>
<table:table table:name="By bay"><table:table-row><table:table-cell/></table:table-row>
</table:table>
<table:named-expressions><table:named-range table:name="Bays"
 table:base-cell-address="$Rack.$A$1" table:cell-range-address="$Rack.$A$2:.$A$5"/>
</table:named-expressions>
<table:data-pilot-tables><table:data-pilot-table table:name="P1" table:application-data=""
 table:target-range-address="'By bay'.A3:'By bay'.B7" table:buttons="'By bay'.A3">
<table:source-cell-range table:cell-range-address="Rack.A1:Rack.F5"/>{fields}
</table:data-pilot-table></table:data-pilot-tables>
</office:spreadsheet></office:body></office:document>
"""


def _row(values: list[object]) -> str:
    cells = []
    for value in values:
        kind = "float" if isinstance(value, int | float) else "string"
        amount = f' office:value="{value}"' if kind == "float" else ""
        cells.append(
            f'<table:table-cell office:value-type="{kind}"{amount}><text:p>'
            f"{str(value).replace('&', '&amp;')}</text:p></table:table-cell>"
        )
    return f"<table:table-row>{''.join(cells)}</table:table-row>"
