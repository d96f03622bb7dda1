"""The shopping workbook: the bill, what to buy at each store, what to pull, make and put back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from optimizer.output.bench_sheets import leftovers_sheet, parts_sheet, rack_sheet
from optimizer.output.printed_book import (
    Column,
    Kind,
    Live,
    Percent,
    PrintedBook,
    PrintedSheet,
    reference,
    sheet_names,
)
from optimizer.output.words import board_name, load, marked, promise, sold_length, treated_mark
from optimizer.plan.plan import Plan, Purchase, Status, StoreTax
from optimizer.plan.tables import bought_as, shopping_list
from stock.book_file import whole_file
from stock.lengths import Unit

_NOTHING = Decimal("0.00")


def write_shopping_book(plan: Plan, path: Path) -> None:
    """Write the workbook of ``plan`` to ``path``, or nothing.

    Raises:
        RackfirstError: if ``path`` is a folder, cannot be written, or is open.
    """
    content = _shopping_book(plan)
    with whole_file(path) as unfinished:
        unfinished.write_bytes(content)


def _shopping_book(plan: Plan) -> bytes:
    stores = shopping_list(plan)
    bill, rack, parts, kept, *names = sheet_names(
        ["The bill", "Rack", "Parts", "Leftovers", *stores]
    )
    taxes = {tax.store: tax for tax in plan.taxes}

    book = PrintedBook(footer=plan.job, a4=plan.unit is Unit.MM)
    first = book.sheet(bill, title=f"The bill: {plan.job}", columns=_BILL)
    paid = []
    for name, (store, lines) in zip(names, stores.items(), strict=True):
        tax = taxes.get(store, StoreTax(store=store, percent=Decimal(0), tax=_NOTHING))
        paid.append(_store_sheet(book, name, plan, lines, tax))
    rack_used = rack_sheet(book, rack, plan)
    parts_sheet(book, parts, plan)
    leftovers_worth = leftovers_sheet(book, kept, plan)
    _fill_bill(first, plan, paid, rack_used, leftovers_worth)
    return book.content()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Paid:
    """The totals of a store's sheet, as other sheets refer to them."""

    store: str
    boards: Live
    tax: Live
    to_pay: Live


def _store_sheet(
    book: PrintedBook, name: str, plan: Plan, lines: Sequence[Purchase], tax: StoreTax
) -> _Paid:
    columns = [
        Column(title="Got", width=7, kind=Kind.TICK),
        Column(title="Mark", width=12),
        Column(title="Size", width=13),
        Column(title=f"Length, {plan.unit}", width=13, kind=Kind.FIGURE),
        Column(title="Wood", width=17),
        Column(title="Treated", width=10),
        Column(title="Count", width=8, kind=Kind.FIGURE),
        Column(title="Each", width=10, kind=Kind.MONEY),
        Column(title="Sum", width=11, kind=Kind.MONEY),
    ]
    sheet = book.sheet(name, title=f"Buy at {tax.store}", columns=columns)
    first = sheet.next_row
    for line in lines:
        row = sheet.next_row
        sheet.add(
            None,
            marked(bought_as(line, plan)),
            board_name(line.size, line.thickness, line.width, plan.unit),
            sold_length(line, plan.unit),
            line.wood,
            treated_mark(line.treated),
            line.count,
            line.each,
            Live(f"=G{row}*H{row}", line.sum),
        )
    price = sum((line.sum for line in lines), _NOTHING)
    # Rounded, because a spreadsheet program's own sums may be off by a hair.
    last = sheet.next_row - 1
    count = Live(f"=SUM(G{first}:G{last})", sum(line.count for line in lines))
    boards = sheet.total("Boards", count, None, Live(f"=ROUND(SUM(I{first}:I{last}),2)", price))
    taxed = Live(f"=ROUND(I{boards}*H{boards + 1}/100,2)", tax.tax)
    sheet.total("Tax, %", Percent(tax.percent), taxed)
    to_pay = Live(f"=ROUND(I{boards}+I{boards + 1},2)", price + tax.tax)
    sheet.total("To pay", to_pay, bold=True)
    sheet.skip()
    sheet.note("Write its mark on each board at the store: Parts and Leftovers name boards by it.")
    return _Paid(
        store=tax.store,
        boards=Live("=" + reference(name, f"I{boards}"), price),
        tax=Live("=" + reference(name, f"I{boards + 1}"), tax.tax),
        to_pay=Live("=" + reference(name, f"I{boards + 2}"), to_pay.value),
    )


_BILL = [
    Column(title="Store", width=48),
    Column(title="Boards", width=14, kind=Kind.MONEY),
    Column(title="Tax", width=14, kind=Kind.MONEY),
    Column(title="To pay", width=14, kind=Kind.MONEY),
]


def _fill_bill(
    sheet: PrintedSheet, plan: Plan, paid: Sequence[_Paid], rack_used: str, kept: str
) -> None:
    """``rack_used`` and ``kept`` refer to the cells with the worth of these pieces."""
    cost = plan.cost
    first = sheet.next_row
    for store in paid:
        sheet.add(store.store, store.boards, store.tax, store.to_pay)
    last = sheet.next_row - 1
    all_stores = sheet.next_row
    sums = zip("BCD", (cost.boards, cost.tax, cost.boards + cost.tax), strict=True)
    if paid:
        figures = [Live(f"=ROUND(SUM({c}{first}:{c}{last}),2)", value) for c, value in sums]
        sheet.total("All stores", *figures)
    if cost.trips:
        sheet.total("Trips", cost.trips)
    if cost.yard_cuts:
        sheet.total("Cuts at the store", cost.yard_cuts)
    sheet.total("Glue", cost.glue)
    cash = sheet.total("Cash", _sum(sheet, all_stores, cost.cash), bold=True)
    if cost.time:
        sheet.total("Time in the shop", cost.time)
    sheet.total("Worth of the rack pieces used", Live(f"={rack_used}", cost.rack_used))
    sheet.total("Worth of the leftovers, taken off", Live(f"=-{kept}", -cost.leftovers))
    sheet.total("Net", _sum(sheet, cash, cost.net), bold=True)

    sheet.skip()
    sheet.note(f"This plan: {promise(plan)}.", bold=True)
    for sentence in _explanation(plan):
        sheet.note(sentence)


def _sum(sheet: PrintedSheet, first: int, value: Decimal) -> Live:
    """The sum of the last column from row ``first`` on."""
    return Live(f"=ROUND(SUM(D{first}:D{sheet.next_row - 1}),2)", value)


def _explanation(plan: Plan) -> list[str]:
    said = [
        "Net is what the plan keeps as low as can be: cash and time, and the worth of the rack "
        "pieces used, less the worth of what goes back on the rack.",
        "“Cheaper” and “least possible” are meant among all plans that crosscut, rip and crosscut "
        "again, and build the parts in the ways that the settings of the shop allow.",
    ]
    if plan.status is Status.WITHIN_GAP:
        said.append("The search stopped at the gap that was asked for.")
    if plan.status is Status.OUT_OF_TIME:
        said.append("The search stopped when its time was up.")
    if weight := load(plan):
        said.append(f"The load weighs {weight}.")
    if not plan.buy:
        said.append("There is nothing to buy: the rack has it all.")
    return said
