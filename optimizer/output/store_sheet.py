"""The sheet of a store: what to buy in the order of its yard, what to have cut, what to pay."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from optimizer.output.printed_book import (
    Column,
    Kind,
    Live,
    Percent,
    PrintedBook,
    PrintedSheet,
    reference,
)
from optimizer.output.words import (
    board_name,
    marked,
    measures,
    money,
    sold_length,
    treated_mark,
)
from optimizer.plan.comparison import PlanB
from optimizer.plan.figures import feet_of, volume
from optimizer.plan.handed_over import yard_marks
from optimizer.plan.plan import Plan, Purchase, StoreTax
from optimizer.plan.tables import bought_as
from stock.lengths import MILLIMETRE, Length, Unit
from stock.prices import to_cent

_NOTHING = Decimal("0.00")
_VOLUMES = {Unit.IN: ("Board feet", "Per board foot"), Unit.MM: ("Litres", "Per m³")}
_LITRE = (100 * MILLIMETRE) ** 3
_LITRES = 1000  # of a cubic metre


@dataclass(frozen=True, slots=True, kw_only=True)
class Paid:
    """The totals of a store's sheet, as other sheets refer to them."""

    store: str
    boards: Live
    tax: Live
    cuts: Live
    to_pay: Live
    trip: Decimal


def store_sheet(
    book: PrintedBook,
    name: str,
    plan: Plan,
    lines: Sequence[Purchase],
    tax: StoreTax,
    plans_b: Iterable[PlanB],
) -> Paid:
    """The sheet ``name`` for one store: ``lines`` in the order of its yard."""
    columns = [
        Column(title="Got", width=6, kind=Kind.TICK),
        Column(title="Mark", width=11),
        Column(title="Size", width=12),
        Column(title=f"Length, {plan.unit}", width=11, kind=Kind.FIGURE),
        Column(title="Wood", width=16),
        Column(title="Treated", width=9),
        *(Column(title=title, width=9, kind=Kind.MONEY) for title in _VOLUMES[plan.unit]),
        Column(title="Count", width=8, kind=Kind.FIGURE),
        Column(title="Each", width=10, kind=Kind.MONEY),
        Column(title="Sum", width=11, kind=Kind.MONEY),
    ]
    sheet = book.sheet(name, title=f"Buy at {tax.store}", columns=columns)
    first = sheet.next_row
    instead = {(each.store, each.offer): each for each in plans_b}
    for line in lines:
        _add_line(sheet, plan, line)
        if plan_b := instead.get((line.store, line.offer)):
            sheet.note(plan_b_said(plan_b), italic=True)
    totals = _totals(sheet, first, lines, tax, plan.unit)
    sheet.skip()
    for sentence in _notes(plan, lines):
        sheet.note(sentence)
    boards, taxed, cuts, to_pay = totals
    return Paid(
        store=tax.store,
        boards=Live("=" + reference(name, f"K{boards.row}"), boards.value),
        tax=Live("=" + reference(name, f"K{taxed.row}"), taxed.value),
        cuts=Live("=" + reference(name, f"K{cuts.row}"), cuts.value),
        to_pay=Live("=" + reference(name, f"K{to_pay.row}"), to_pay.value),
        trip=tax.trip,
    )


def _add_line(sheet: PrintedSheet, plan: Plan, line: Purchase) -> None:
    row, each = sheet.next_row, _volume(line, plan.unit)
    all_of_it = to_cent(line.count * each)
    sheet.add(
        None,
        marked(bought_as(line, plan)),
        board_name(line.size, line.thickness, line.width, plan.unit),
        sold_length(line, plan.unit),
        line.wood,
        treated_mark(line.treated),
        Live(f"=ROUND(I{row}*{each.numerator}/{each.denominator},2)", all_of_it),
        _per_volume(row, line.sum, all_of_it, plan.unit),
        line.count,
        line.each,
        Live(f"=ROUND(I{row}*J{row},2)", line.sum),
    )


def _volume(line: Purchase, unit: Unit) -> Fraction:
    """Board feet of one board of a line; in a metric book litres, as it measures."""
    return feet_of(line) if unit is Unit.IN else volume(line) / _LITRE


def _per_volume(row: int, price: Decimal, whole: Decimal, unit: Unit) -> Live:
    """The price of a board foot in a row, in a metric book of a cubic metre."""
    times = 1 if unit is Unit.IN else _LITRES
    each = to_cent(times * Fraction(price) / Fraction(whole)) if whole else _NOTHING
    ratio = f"K{row}/G{row}" if times == 1 else f"{times}*K{row}/G{row}"
    return Live(f"=IF(G{row}=0,0,ROUND({ratio},2))", each)


@dataclass(frozen=True, slots=True)
class _Total:
    row: int
    value: Decimal


def _totals(
    sheet: PrintedSheet, first: int, lines: Sequence[Purchase], tax: StoreTax, unit: Unit
) -> tuple[_Total, _Total, _Total, _Total]:
    """Boards, tax, cuts, and what is to pay. Rounded: a program's own sums may be off by a hair."""
    price = sum((line.sum for line in lines), _NOTHING)
    whole = sum((to_cent(line.count * _volume(line, unit)) for line in lines), _NOTHING)
    last = sheet.next_row - 1

    def column(letter: str, value: Decimal | int) -> Live:
        return Live(f"=ROUND(SUM({letter}{first}:{letter}{last}),2)", value)

    boards = sheet.next_row
    count = column("I", sum(line.count for line in lines))
    all_of_it, each = column("G", whole), _per_volume(boards, price, whole, unit)
    sheet.total("Boards", all_of_it, each, count, None, column("K", price))
    taxed = Live(f"=ROUND(K{boards}*J{boards + 1}/100,2)", tax.tax)
    sheet.total("Tax, %", Percent(tax.percent), taxed)
    cuts = sheet.total("Cuts", tax.cuts)
    pay = price + tax.tax + tax.cuts
    to_pay = sheet.total("To pay", Live(f"=ROUND(SUM(K{boards}:K{cuts}),2)", pay), bold=True)
    return (
        _Total(boards, price),
        _Total(boards + 1, tax.tax),
        _Total(cuts, tax.cuts),
        _Total(to_pay, pay),
    )


def _notes(plan: Plan, lines: Sequence[Purchase]) -> Iterator[str]:
    yield "Write its mark on each board at the store: Parts and Leftovers name boards by it."
    for marks, at in _yard_cuts(plan, lines[0].store).items():
        where = ", ".join(measures(plan.unit, each) for each in at)
        yield (
            f"Have {marks} cut at {where} {plan.unit}, measured from the marked end. The piece "
            "there keeps the mark; write it on the next with .1 behind it, on a third with .2."
        )
    dates = sorted({line.priced_on for line in lines if line.priced_on})
    if dates:
        yield f"Prices of {' and '.join(dict.fromkeys([dates[0], dates[-1]]))}: ask if they hold."


def _yard_cuts(plan: Plan, store: str) -> dict[str, tuple[Length, ...]]:
    """Where to have boards cut at the store, by their marks; alike ones stand together."""
    alike: dict[tuple[str, tuple[Length, ...]], list[str]] = defaultdict(list)
    for board in plan.boards:
        if board.store == store and (marks := yard_marks(board, plan)):
            alike[board.offer, marks].append(board.id)
    return {marked(boards): at for (_, at), boards in alike.items()}


def plan_b_said(plan_b: PlanB) -> str:
    """What to do where a line is out or crooked, in one sentence or two."""
    culls = "any number of" if plan_b.culls is None else f"{plan_b.culls}"
    stands = f"Stands {culls} culls" if plan_b.culls != 1 else "Stands 1 cull"
    if plan_b.culls is not None:
        stands += f", with {'none' if not plan_b.culls else 'no more'} to spare"
    if plan_b.more is None:
        return f"{stands}. No {plan_b.offer}? Nothing else here makes the job."
    instead = _counted(plan_b, plan_b.instead) or "the other boards of the list and the rack"
    saved = _counted(plan_b, plan_b.not_needed)
    less = f", and not {saved}" if saved else ""
    return f"{stands}. No straight {plan_b.offer}? {instead}{less}: {money(plan_b.more)} more."


def _counted(plan_b: PlanB, boards: Sequence[tuple[int, str, str]]) -> str:
    """``2 × 2x10 x 12'``; a store is named where it is another."""
    return ", ".join(
        f"{count} × {offer}" + (f" at {store}" if store != plan_b.store else "")
        for count, store, offer in boards
    )
