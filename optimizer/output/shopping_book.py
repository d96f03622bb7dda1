"""The shopping workbook: the bill, a sheet for each store, and what is wanted at the bench.

Sums are live: change a count or a price, and every total follows. Each carries its value, which is
the plan's own to the cent.
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from optimizer.output.advice_sheets import (
    compare_sheet,
    costs_sheet,
    hinges_sheet,
    wishes_sheet,
)
from optimizer.output.bench_sheets import leftovers_sheet, parts_sheet, rack_sheet
from optimizer.output.bill_sheet import bill_sheet, fill_bill
from optimizer.output.printed_book import PrintedBook, sheet_names
from optimizer.output.saw_sheets import cuts_sheet, glue_sheet, labels_sheet, order_sheet
from optimizer.output.store_sheet import store_sheet
from optimizer.output.sums_sheets import consumables_sheet, sums_sheet
from optimizer.plan.comparison import Advice
from optimizer.plan.plan import StoreTax
from optimizer.plan.tables import shopping_list
from optimizer.work.work import Work
from stock.book_file import whole_file
from stock.lengths import Unit

_LEARNT = ("Compare", "Costs", "Wishes", "Measure first")


def write_shopping_book(work: Work, path: Path, advice: Advice | None = None) -> None:
    """Write the workbook of ``work`` to ``path``, or nothing; with what else was learnt of the job.

    Raises:
        RackfirstError: if ``path`` is a folder, cannot be written, or is open.
    """
    content = _shopping_book(work, advice or Advice())
    with whole_file(path) as unfinished:
        unfinished.write_bytes(content)


def _shopping_book(work: Work, advice: Advice) -> bytes:
    plan = work.plan
    stores = shopping_list(plan)
    bench = ["Order of work", "Cuts", "Glue" if work.batches else "Days"]
    own = ["The bill", "Rack", *bench, "Parts", "Leftovers", "Labels", "Consumables", "Sums"]
    bill, rack, order, cuts, glue, parts, kept, tagged, used, sums, *names = sheet_names(
        [*own, *_LEARNT, *stores]
    )
    compare, costs, wished, first, *names = names
    taxes = {tax.store: tax for tax in plan.taxes}

    book = PrintedBook(footer=plan.job, a4=plan.unit is Unit.MM)
    summary = bill_sheet(book, bill, plan)
    paid = []
    for name, (store, lines) in zip(names, stores.items(), strict=True):
        tax = taxes.get(store, StoreTax(store=store, percent=Decimal(0), tax=Decimal("0.00")))
        paid.append(store_sheet(book, name, plan, lines, tax, advice.plans_b))
    rack_used = rack_sheet(book, rack, plan)
    if advice.hinges:
        hinges_sheet(book, first, plan, advice)
    order_sheet(book, order, work)
    cuts_sheet(book, cuts, work)
    glue_sheet(book, glue, work)
    parts_sheet(book, parts, plan, work.marks)
    leftovers_worth = leftovers_sheet(book, kept, plan)
    labels_sheet(book, tagged, work)
    beside = consumables_sheet(book, used, plan)
    sums_sheet(book, sums, plan)
    if advice.alternatives:
        compare_sheet(book, compare, plan, advice)
        costs_sheet(book, costs, advice)
    if advice.wishes or advice.near_misses:
        wishes_sheet(book, wished, plan, advice)
    fill_bill(summary, plan, paid, rack_used=rack_used, kept=leftovers_worth, beside=beside)
    return book.content()
