"""Sheets on what else could be done: ways side by side, wishes, what to measure first."""

from __future__ import annotations

from optimizer.output.advice_words import (
    break_even_said,
    hinge_said,
    hours,
    saving_said,
    waste_percent,
    weighed,
)
from optimizer.output.bars import COST_PARTS
from optimizer.output.printed_book import Cell, Column, Kind, Live, PrintedBook
from optimizer.output.words import measures
from optimizer.plan.comparison import Advice, Saving
from optimizer.plan.plan import Plan


def compare_sheet(book: PrintedBook, name: str, plan: Plan, advice: Advice) -> None:
    """The ways to do the job side by side, and break-even prices."""
    columns = [
        Column(title="Way", width=30),
        Column(title="Net", width=11, kind=Kind.MONEY),
        Column(title="Cash", width=11, kind=Kind.MONEY),
        Column(title="Boards bought", width=9, kind=Kind.FIGURE),
        Column(title="Rack pieces", width=9, kind=Kind.FIGURE),
        Column(title="Glue lines", width=8, kind=Kind.FIGURE),
        Column(title="Hours", width=8, kind=Kind.FIGURE),
        Column(title="Waste, %", width=9, kind=Kind.FIGURE),
        Column(title="Weight", width=11, kind=Kind.FIGURE),
        Column(title="Kept", width=8, kind=Kind.FIGURE),
    ]
    sheet = book.sheet(name, title="Ways to do it, side by side", columns=columns)
    for way in advice.alternatives:
        if way.plan and way.figures:
            known = way.figures
            sheet.add(
                way.name,
                way.plan.cost.net,
                way.plan.cost.cash,
                known.boards,
                known.rack_pieces,
                known.glue_lines,
                hours(known.minutes),
                waste_percent(known.waste),
                weighed(known.weight, plan.unit),
                known.leftovers,
            )
    sheet.skip()
    for way in advice.alternatives:
        if way.plan is None:
            sheet.note(f"{way.name}: does not go. {way.why.splitlines()[0]}")
    for each in advice.break_evens:
        sheet.note(break_even_said(each))
    sheet.note(
        "Hours are those of the settings; waste is wood that is neither in a part nor back on the "
        "rack; weight is that of the boards bought; kept are the leftovers. Each way lies in the "
        "folder ways as a plan of its own."
    )


def costs_sheet(book: PrintedBook, name: str, advice: Advice) -> None:
    """What each way costs, part by part, and a picture of it."""
    columns = [
        Column(title="Way", width=30),
        *(Column(title=part.title, width=12, kind=Kind.MONEY) for part in COST_PARTS),
        Column(title="Net", width=12, kind=Kind.MONEY),
    ]
    sheet = book.sheet(name, title="What each way costs", columns=columns)
    first = sheet.next_row
    for way in advice.alternatives:
        if way.plan:
            row, cost = sheet.next_row, way.plan.cost
            last = chr(ord("A") + len(COST_PARTS))
            net = Live(f"=ROUND(SUM(B{row}:{last}{row}),2)", cost.net)
            sheet.add(way.name, *(part.amount(cost) for part in COST_PARTS), net)
    sheet.bars(
        title="Cost by part",
        categories=(first, sheet.next_row - 1, 0),
        series=[(n + 1, part.colour) for n, part in enumerate(COST_PARTS)],
    )


def wishes_sheet(book: PrintedBook, name: str, plan: Plan, advice: Advice) -> None:
    """What giving up each wish would save, and parts that miss a board by a hair."""
    columns = [
        Column(title="Given up", width=58),
        Column(title="Saves at least", width=13, kind=Kind.MONEY),
        Column(title="At most", width=13, kind=Kind.MONEY),
        Column(title="Hours less", width=10, kind=Kind.FIGURE),
        Column(title="Glue lines less", width=10, kind=Kind.FIGURE),
    ]
    sheet = book.sheet(name, title="The price of a wish", columns=columns)
    for saving in advice.wishes:
        sheet.add(*_saving_cells(saving))
    if advice.near_misses:
        sheet.note("Near misses", bold=True)
        for saving in advice.near_misses:
            sheet.note(saving_said(saving))


def _saving_cells(saving: Saving) -> list[Cell]:
    gained: list[Cell] = [hours(saving.minutes), saving.glue_lines]
    return [saving.what, saving.at_least, saving.at_most, *gained]


def hinges_sheet(book: PrintedBook, name: str, plan: Plan, advice: Advice) -> None:
    """Rack pieces to measure before driving off, the dearest first."""
    columns = [
        Column(title="Got", width=7, kind=Kind.TICK),
        Column(title="Bay", width=10),
        Column(title="Tag", width=10),
        Column(title=f"Length to spare, {plan.unit}", width=14, kind=Kind.FIGURE),
        Column(title=f"Width to spare, {plan.unit}", width=14, kind=Kind.FIGURE),
        Column(title="If it is not so", width=44),
    ]
    sheet = book.sheet(name, title="Measure before you drive", columns=columns)
    for hinge in advice.hinges:
        spare = (measures(plan.unit, each) for each in (hinge.spare_length, hinge.spare_width))
        sheet.add(None, hinge.bay, hinge.tag, *spare, hinge_said(hinge))
