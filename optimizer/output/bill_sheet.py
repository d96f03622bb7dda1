"""The first sheet: what all stores take, what else the job costs, and how sure the plan is."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from optimizer.output.printed_book import Column, Kind, Live, PrintedBook, PrintedSheet
from optimizer.output.store_sheet import Paid
from optimizer.output.words import load, promise
from optimizer.plan.plan import Plan, Status

_COLUMNS = [
    Column(title="Store", width=34),
    Column(title="Boards", width=12, kind=Kind.MONEY),
    Column(title="Tax", width=11, kind=Kind.MONEY),
    Column(title="Cuts", width=11, kind=Kind.MONEY),
    Column(title="To pay", width=12, kind=Kind.MONEY),
    Column(title="Trip", width=11, kind=Kind.MONEY),
    Column(title="In all", width=12, kind=Kind.MONEY),
]
_SUMS = "BCDEFG"


def bill_sheet(book: PrintedBook, name: str, plan: Plan) -> PrintedSheet:
    """The sheet, which comes first and is filled last."""
    return book.sheet(name, title=f"The bill: {plan.job}", columns=_COLUMNS)


def fill_bill(
    sheet: PrintedSheet, plan: Plan, paid: Sequence[Paid], *, rack_used: str, kept: str, beside: str
) -> None:
    """``rack_used``, ``kept``, ``beside`` refer to cells: the worth of the rack pieces used and of
    the leftovers, and what finish and hardware cost.
    """
    cost = plan.cost
    first = sheet.next_row
    for store in paid:
        row = sheet.next_row
        in_all = Live(f"=ROUND(E{row}+F{row},2)", Decimal(store.to_pay.value) + store.trip)
        sheet.add(
            store.store, store.boards, store.tax, store.cuts, store.to_pay, store.trip, in_all
        )
    last = sheet.next_row - 1
    summed = sheet.next_row
    if paid:
        to_pay = cost.boards + cost.tax + cost.yard_cuts
        trips = sum((store.trip for store in paid), Decimal("0.00"))
        values = (cost.boards, cost.tax, cost.yard_cuts, to_pay, trips, to_pay + trips)
        totals = [
            Live(f"=ROUND(SUM({letter}{first}:{letter}{last}),2)", value)
            for letter, value in zip(_SUMS, values, strict=True)
        ]
        sheet.total("All stores", *totals)
    sheet.total("Glue", cost.glue)
    cash = sheet.total("Cash", _sum(sheet, summed, cost.cash), bold=True)
    extra = sheet.total("Finish and hardware", Live(f"={beside}", plan.beside))
    spent = cost.cash + plan.beside
    both = Live(f"=ROUND(G{cash}+G{extra},2)", spent)
    to_spend = sheet.total("All to be paid", both, bold=True)
    budget = sheet.total("Budget: type yours here", None)
    left = f'=IF(G{budget}="","",ROUND(G{budget}-G{to_spend},2))'
    sheet.total("Left of the budget", Live(left, ""))
    sheet.skip()
    _fill_net(sheet, plan, cash, rack_used, kept)
    sheet.skip()
    sheet.note(f"This plan: {promise(plan)}.", bold=True)
    for sentence in _explanation(plan):
        sheet.note(sentence)


def _fill_net(sheet: PrintedSheet, plan: Plan, cash: int, rack_used: str, kept: str) -> None:
    """From the cash to the net."""
    cost = plan.cost
    first = sheet.total("Cash, as above", Live(f"=G{cash}", cost.cash))
    if cost.time:
        sheet.total("Time in the shop", cost.time)
    sheet.total("Worth of the rack pieces used", Live(f"={rack_used}", cost.rack_used))
    sheet.total("Worth of the leftovers, taken off", Live(f"=0-{kept}", 0 - cost.leftovers))
    sheet.total("Net", _sum(sheet, first, cost.net), bold=True)


def _sum(sheet: PrintedSheet, first: int, value: Decimal) -> Live:
    """The sum of the last column from row ``first`` on."""
    return Live(f"=ROUND(SUM(G{first}:G{sheet.next_row - 1}),2)", value)


def _explanation(plan: Plan) -> list[str]:
    said = [
        *plan.remarks,
        "Net is what the plan keeps as low as can be: cash and time, and the worth of the rack "
        "pieces used, less the worth of what goes back on the rack.",
        "“Cheaper” and “least possible” are meant among all plans that crosscut, rip and crosscut "
        "again, and build the parts in the ways that the settings of the shop allow.",
    ]
    if plan.status is Status.WITHIN_GAP:
        said.append("The search stopped at the gap that was asked for.")
    if plan.status is Status.OUT_OF_TIME:
        said.append("The search was stopped before its end: by --seconds or Ctrl-C.")
    if weight := load(plan):
        said.append(f"Load: {weight}.")
    if not plan.buy:
        said.append("There is nothing to buy: the rack has it all.")
    return said
