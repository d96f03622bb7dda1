"""What the job takes beside wood, and how each sum of the plan was made."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from optimizer.output.bench_words import TIME_TOLD
from optimizer.output.printed_book import Column, Kind, Live, PrintedBook, reference
from optimizer.output.words import counted, money
from optimizer.plan.figures import minutes
from optimizer.plan.plan import Plan
from optimizer.plan.tables import leftovers, rack_list, shopping_list
from stock.lengths import Unit

_NOTHING = Decimal("0.00")


def consumables_sheet(book: PrintedBook, name: str, plan: Plan) -> str:
    """A sheet of glue, finish and hardware, and a reference to what is not in the cash yet."""
    columns = [
        Column(title="Got", width=7, kind=Kind.TICK),
        Column(title="Item", width=26),
        Column(title="Amount", width=14, kind=Kind.FIGURE),
        Column(title="How it was made", width=42),
        Column(title="Sum", width=12, kind=Kind.MONEY),
    ]
    sheet = book.sheet(name, title="Beside wood", columns=columns)
    in_order = sorted(plan.consumables, key=lambda each: not each.in_cash)
    for each in [each for each in in_order if each.in_cash]:
        sheet.add(None, each.item, each.amount, f"{each.how}; in the cash already", each.sum)
    first = sheet.next_row
    rest = [each for each in in_order if not each.in_cash]
    for each in rest:
        sheet.add(None, each.item, each.amount, each.how, each.sum)
    cells = f"E{first}:E{sheet.next_row - 1}" if rest else "E2:E2"
    row = sheet.total("Finish and hardware", Live(f"=ROUND(SUM({cells}),2)", plan.beside))
    return reference(name, f"E{row}")


def sums_sheet(book: PrintedBook, name: str, plan: Plan) -> None:
    """A sheet that says of each sum how it was made."""
    columns = [
        Column(title="Which", width=26),
        Column(title="How it was made", width=62),
        Column(title="Sum", width=12, kind=Kind.MONEY),
    ]
    sheet = book.sheet(name, title="How each sum was made", columns=columns)
    for which, how, amount in sums_made(plan):
        sheet.add(which, how, amount)
    sheet.skip()
    # A metric tape shows them down to whole millimetres (stock/worth.py).
    whole, most = ("48 in", "24 in") if plan.unit is Unit.IN else ("1219 mm", "609 mm")
    for sentence in (
        "Each price is rounded half-up to the cent, tax once for each store, glue and time once "
        "for the job, each worth by itself. Trips and cuts at a store take no tax.",
        "A worth is a share of the lowest price per volume of such wood, in full from "
        f"{whole}, 3/4 of it from {most}, 1/2 below; the share is the setting offcut value.",
        TIME_TOLD if plan.cost.time else "",
    ):
        if sentence:
            sheet.note(sentence)


def sums_made(plan: Plan) -> Iterator[tuple[str, str, Decimal]]:
    """Each sum: which, how it was made, and the amount."""
    cost = plan.cost
    for store, lines in shopping_list(plan).items():
        terms = " + ".join(f"{line.count} × {money(line.each)}" for line in lines)
        yield f"Boards at {store}", terms, sum((line.sum for line in lines), _NOTHING)
    for line in plan.taxes:
        boards = sum((each.sum for each in plan.buy if each.store == line.store), _NOTHING)
        yield f"Tax at {line.store}", f"{line.percent} % of {money(boards)}", line.tax
    for line in plan.taxes:
        if line.cuts:
            yield f"Cuts at {line.store}", "cuts beyond the free ones, at its fee", line.cuts
        if line.trip:
            yield f"Trip to {line.store}", "as the stock book says", line.trip
    glue = next((each.how for each in plan.consumables if each.item == "Glue"), "no glue lines")
    yield "Glue", glue, cost.glue
    yield "Cash", "all of the above", cost.cash
    if cost.time:
        worked = counted(round(minutes(plan, plan.practice)), "minute")
        how = f"{worked} for cuts, planed faces and glue lines, at the pay of an hour"
        yield "Time in the shop", how, cost.time
    pulled = " + ".join(f"{piece.count} × {money(piece.worth)}" for piece in rack_list(plan))
    yield "Rack pieces used", pulled or "none", cost.rack_used
    kept = " + ".join(money(piece.worth) for piece in leftovers(plan))
    yield "Leftovers, taken off", kept or "none", cost.leftovers
    yield "Net", "cash + time + rack pieces used − leftovers", cost.net
