"""Sheets for the bench: what to pull, what each part is made of, what goes back on the rack."""

from __future__ import annotations

from decimal import Decimal

from optimizer.output.printed_book import (
    Cell,
    Column,
    Kind,
    Live,
    PrintedBook,
    PrintedSheet,
    reference,
)
from optimizer.output.words import (
    cautions,
    finished_size,
    made_how,
    marked,
    measures,
    thick,
    treated_mark,
)
from optimizer.plan.marks import Marks
from optimizer.plan.plan import Plan
from optimizer.plan.tables import SawnBlanks, leftovers, parts_made, rack_list
from stock.lengths import Unit

_NOTHING = Decimal("0.00")


def rack_sheet(book: PrintedBook, name: str, plan: Plan) -> str:
    """A sheet of pieces to pull, and a reference to their worth."""
    columns = [
        Column(title="Got", width=7, kind=Kind.TICK),
        Column(title="Bay", width=13),
        Column(title="Tag", width=9),
        Column(title="Size", width=11),
        Column(title=f"Width, {plan.unit}", width=10, kind=Kind.FIGURE),
        Column(title=f"Length, {plan.unit}", width=11, kind=Kind.FIGURE),
        Column(title="Wood", width=15),
        Column(title="Treated", width=10),
        Column(title="Count", width=8, kind=Kind.FIGURE),
        Column(title="Worth", width=9, kind=Kind.MONEY),
    ]
    sheet = book.sheet(name, title="Pull from the rack", columns=columns)
    pieces = rack_list(plan)
    for piece in pieces:
        sheet.add(
            None,
            piece.bay,
            piece.tag,
            piece.size or thick(piece.thickness, plan.unit),
            measures(plan.unit, piece.width),
            measures(plan.unit, piece.length),
            piece.wood,
            treated_mark(piece.treated),
            piece.count,
            piece.count * piece.worth,
        )
    worth = sum((piece.count * piece.worth for piece in pieces), _NOTHING)
    total = _worth_total(sheet, name, "J", worth, len(pieces))
    if several := [piece.tag for piece in pieces if piece.count > 1]:
        sheet.skip()
        tag = several[0]
        sheet.note(f"Number pieces of one tag: {tag} (1), {tag} (2). Parts names them so.")
    return total


def parts_sheet(book: PrintedBook, name: str, plan: Plan, marks: Marks) -> None:
    """A sheet of what each part is made of, with cautions below it."""
    columns = [
        Column(title="Part", width=20),
        Column(title="Copies", width=11),
        Column(title=f"Finished, {plan.unit}", width=25),
        Column(title="Made", width=22),
        Column(title="Blanks", width=10, kind=Kind.FIGURE),
        Column(title="Marks", width=16),
        Column(title=f"Rough, {plan.unit}", width=18),
        Column(title="Out of", width=16),
        Column(title="Boards", width=16),
    ]
    sheet = book.sheet(name, title="What each part is made of", columns=columns, landscape=True)
    for way in parts_made(plan):
        spares = f" + {way.spares} spare" if way.spares else ""
        facts = [
            way.part,
            f"{way.copies - way.spares}{spares}",
            finished_size(way, plan),
            made_how(way),
        ]
        for blanks in way.blanks:
            sheet.add(*facts, *_blank_cells(blanks, plan.unit, marks))
            facts = ["", "", "", ""]
        for remark in way.remarks:
            sheet.note(f"{way.part}: {remark}", italic=True)
    sheet.skip()
    for remark in plan.remarks:
        sheet.note(remark, italic=True)
    for act, sentence in cautions(plan).items():
        sheet.note(f"{act.capitalize()}: {sentence}")


def _blank_cells(blanks: SawnBlanks, unit: Unit, marks: Marks) -> list[Cell]:
    holds = f", {blanks.holds} parts in each" if blanks.holds > 1 else ""
    lumber = [
        blanks.size or thick(blanks.thickness, unit),
        blanks.wood,
        treated_mark(blanks.treated),
    ]
    return [
        blanks.count,
        marked([marks.blanks[each] for each in blanks.ids]),
        measures(unit, blanks.length, blanks.width) + holds,
        " ".join(word for word in lumber if word),
        marked(blanks.boards),
    ]


def leftovers_sheet(book: PrintedBook, name: str, plan: Plan) -> str:
    """A sheet of pieces that go back on the rack, and a reference to their worth."""
    columns = [
        Column(title="Back", width=8, kind=Kind.TICK),
        Column(title="Tag", width=9),
        Column(title="Size", width=15),
        Column(title=f"Width, {plan.unit}", width=10, kind=Kind.FIGURE),
        Column(title=f"Length, {plan.unit}", width=11, kind=Kind.FIGURE),
        Column(title="Wood", width=18),
        Column(title="Treated", width=10),
        Column(title="Left of", width=10),
        Column(title="Worth", width=9, kind=Kind.MONEY),
    ]
    sheet = book.sheet(name, title="Back on the rack", columns=columns)
    pieces = leftovers(plan)
    for piece in pieces:
        sheet.add(
            None,
            piece.tag,
            piece.size or thick(piece.thickness, plan.unit),
            measures(plan.unit, piece.width),
            measures(plan.unit, piece.length),
            piece.wood,
            treated_mark(piece.treated),
            piece.board,
            piece.worth,
        )
    worth = sum((piece.worth for piece in pieces), _NOTHING)
    return _worth_total(sheet, name, "I", worth, len(pieces))


def _worth_total(sheet: PrintedSheet, name: str, column: str, worth: Decimal, rows: int) -> str:
    """A row for the ``worth`` of the ``rows`` above it, and a reference to it."""
    last = sheet.next_row - 1
    # Without rows the sum takes in the header, a text, which counts as nothing.
    total = Live(f"=ROUND(SUM({column}{last - max(rows - 1, 0)}:{column}{last}),2)", worth)
    row = sheet.total("Worth", total, bold=True)
    return reference(name, f"{column}{row}")
