"""What the screen says about a plan: one page of a terminal, 80 columns by 24 lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from textwrap import wrap

from optimizer.output.words import (
    board_name,
    cautions,
    counted,
    load,
    money,
    promise,
    shown,
    sold_length,
    treated_mark,
)
from optimizer.plan.plan import Plan, Purchase
from optimizer.plan.tables import leftovers, parts_made, rack_list, shopping_list
from stock.errors import WIDTH
from stock.lengths import Unit

_LINES = 24
_BOOK = "shopping.xlsx"
_TAG = 12  # letters of one
_TOGETHER = "\u00a0"  # no line breaks at this blank


def summary(plan: Plan) -> str:
    """What to buy, pull, glue and put back, the bill, and how sure it is.

    Lists that do not fit the page are cut, and say where the rest stands; sentences and sums are
    told whole.
    """
    above = [_fitted(f"{plan.job}: {counted(len(plan.parts), 'part')} to make", WIDTH), ""]
    bench = [line for sentence in _at_the_bench(plan) for line in _wrapped(sentence, 4)]
    below = ["", *bench, "", *bill(plan)]
    buying = _buying(plan, room=_LINES - len(above) - len(below))
    return "\n".join([*above, *(_fitted(line, WIDTH) for line in buying), *below])


def bill(plan: Plan) -> list[str]:
    """Sums that add up on the page, and how far the net can be from the least possible."""
    cost = plan.cost
    paid = {
        "boards": cost.boards,
        "tax": cost.tax,
        "glue": cost.glue,
        "trips": cost.trips,
        "cuts at the store": cost.yard_cuts,
    }
    counted = {"time": cost.time, "rack used": cost.rack_used, "leftovers": -cost.leftovers}
    beside = {"cash": cost.cash, "finish and hardware": plan.beside}
    return [
        *_sum_lines("Cash", cost.cash, paid),
        *(_sum_lines("Paid", cost.cash + plan.beside, beside) if plan.beside else []),
        *_sum_lines("Net", cost.net, {"cash": cost.cash, **counted}),
        *_wrapped(f"This plan: {promise(plan)}.", 4),
    ]


def _buying(plan: Plan, room: int) -> list[str]:
    """For each store its boards; as many of them as ``room`` lines hold, but one line at least."""
    stores = shopping_list(plan)
    if not stores:
        return ["Nothing to buy: the rack has it all."]
    lengths = [len(lines) for lines in stores.values()]
    fitting = (n for n in range(max(lengths), 1, -1) if sum(1 + min(n, m) for m in lengths) <= room)
    most = next(fitting, 1)  # lines for each store
    taxes = {tax.store: tax.tax for tax in plan.taxes}
    said = []
    for store, lines in stores.items():
        said.append(_store_line(store, lines, taxes.get(store, Decimal("0.00"))))
        listed = lines if len(lines) <= most else lines[: most - 1]
        said.extend(_line_to_buy(line, plan.unit) for line in listed)
        if len(listed) < len(lines):
            said.append(f"      … and {len(lines) - len(listed)} more, see {_BOOK}")
    return said


def _store_line(store: str, lines: Sequence[Purchase], tax: Decimal) -> str:
    boards = sum((line.sum for line in lines), Decimal("0.00"))
    taxed = f" + tax {money(tax)} = {money(boards + tax)}" if tax else ""
    return f"Buy at {_fitted(store, 28)}: {money(boards)}{taxed}"


def _line_to_buy(line: Purchase, unit: Unit) -> str:
    size = board_name(line.size, line.thickness, line.width, unit)
    words = (f"{size} × {sold_length(line, unit)}", line.wood, treated_mark(line.treated))
    name = _fitted("  ".join(word for word in words if word), 44)
    return f"{line.count:>4}  {name:<44} {money(line.each):>9} each {money(line.sum):>12}"


def _at_the_bench(plan: Plan) -> list[str]:
    pulled = rack_list(plan)
    pieces = sum(piece.count for piece in pulled)
    glued = [made for made in plan.parts if made.glued]
    kept = leftovers(plan)
    weight = load(plan)
    said = [f"Load: {weight}"] if weight else []
    said += [
        f"Pull from the rack: {counted(pieces, 'piece')}{_named(piece.tag for piece in pulled)}",
        f"Back on the rack: {counted(len(kept), 'piece')}{_named(piece.tag for piece in kept)}",
    ]
    if glued:
        blanks = {blank for made in glued for blank in made.blanks}
        said.append(
            f"Glue up: {counted(len(glued), 'part')} out of {counted(len(blanks), 'blank')}"
        )
    if acts := cautions(plan):
        said.append(f"Take care (see Parts): {', '.join(acts)}")
    remarks = len(plan.remarks) + sum(len(way.remarks) for way in parts_made(plan))
    if remarks:
        said.append(f"Remarks (see Parts in {_BOOK}): {remarks}")
    return said


def _sum_lines(name: str, total: Decimal, terms: dict[str, Decimal]) -> list[str]:
    told = [
        f"{'−' if amount < 0 else '+'} {term} {money(abs(amount))}".replace(" ", _TOGETHER)
        for term, amount in terms.items()
        if amount
    ]
    because = f"  =  {' '.join(told).removeprefix(f'+{_TOGETHER}')}" if told else ""
    lines = _wrapped(f"{name:<5}{money(total):>10}{because}", 20)
    return [line.replace(_TOGETHER, " ") for line in lines]


def _wrapped(text: str, indent: int) -> list[str]:
    """``text`` in as many lines as it takes, all but the first set in."""
    return wrap(shown(text), WIDTH, subsequent_indent=" " * indent, break_on_hyphens=False)


def _named(tags: Iterable[str]) -> str:
    """The first few tags, in brackets."""
    tags = list(tags)
    if not tags:
        return ""
    few = ", ".join(_fitted(tag, _TAG) for tag in tags[:5]) + (", …" if len(tags) > 5 else "")
    return f" ({few})"


def _fitted(text: str, width: int) -> str:
    """``text`` on one line, cut to ``width`` with a mark that it was."""
    line = shown(text).rstrip()
    return line if len(line) <= width else line[: width - 1] + "…"
