"""What a wish costs, and what fails by a hair.

Each wish that the books state is given up, and the job solved again. A near miss is a part that a
board would make, were the part a little shorter, narrower or thinner.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.asking import Answer, Asking, Question
from optimizer.job.layups import LayUp
from optimizer.job.parts import Faces, Job, Make, Part, Treatment
from optimizer.job.ways import NoPlanError
from optimizer.plan.comparison import Saving, saved_by
from optimizer.plan.figures import figures
from optimizer.plan.plan import Plan
from optimizer.search.supply import Supply
from optimizer.solve import ways_of
from stock.lengths import Length, Unit, format_length, round_up
from stock.prices import Offer
from stock.shop import Sawing
from stock.stock_book import StockBook
from stock.wood import same_wood

MOST_MISSES = 24
GAP = Decimal("0.5")  # percent
MOST_COPIES = 12  # of a part end to end in one board


def wishes(stock: StockBook, job: Job, plan: Plan, asking: Asking) -> tuple[Saving, ...]:
    """What giving up each wish would save, the dearest wish first; those that cost nothing last."""
    asked = {
        what: Question(stock=book, job=parts, ceiling=plan.cost.net, gap=GAP)
        for what, book, parts in stated(stock, job)
    }
    return _savings(plan, asking.ask(asked), stock)


def stated(stock: StockBook, job: Job) -> Iterator[tuple[str, StockBook, Job]]:
    """Each wish in the books, and the books without it."""
    for part in job.parts:
        for what, easier in _of_part(part, stock):
            parts = tuple(easier if each is part else each for each in job.parts)
            yield f"{part.name}: {what}", stock, replace(job, parts=parts)
    shop = stock.shop
    if shop.most_stores is not None:
        stores = "1 store" if shop.most_stores == 1 else f"{shop.most_stores} stores"
        yield f"at most {stores}", replace(stock, shop=replace(shop, most_stores=None)), job
    if shop.longest_carried is not None:
        longest = format_length(shop.longest_carried, shop.unit)
        carried = replace(stock, shop=replace(shop, longest_carried=None))
        yield f"nothing longer than {longest} in the car", carried, job
    if shop.sawing is not Sawing.FREE:
        freely = replace(stock, shop=replace(shop, sawing=Sawing.FREE))
        yield f"sawing {shop.sawing}", freely, job
    own = {"", *(name.casefold() for name in (job.name, *job.jobs))}
    held = sorted({p.held_for for p in stock.rack if p.held_for.casefold() not in own})
    for name in held:
        free = tuple(replace(p, held_for="") if p.held_for == name else p for p in stock.rack)
        yield f"rack pieces held for {name}", replace(stock, rack=free), job


def _of_part(part: Part, stock: StockBook) -> Iterator[tuple[str, Part]]:
    if part.make is Make.SOLID:
        yield "solid, not glued", replace(part, make=Make.ANY)
    if part.make is Make.GLUED:
        yield "glued, not solid", replace(part, make=Make.ANY)
    if part.faces is not Faces.ANY:
        yield f"faces {part.faces}", replace(part, faces=Faces.ANY)
    if part.wood and not all(same_wood(part.wood, wood) for wood in stock.woods):
        yield f"in {part.wood}", replace(part, wood="")
    if part.treated is Treatment.YES:
        yield "treated", replace(part, treated=Treatment.EITHER)
    if part.grade:
        yield f"grade {part.grade}", replace(part, grade="")
    if part.same_board:
        yield "all out of one board", replace(part, same_board=False)
    if part.pairs:
        yield "cut in pairs", replace(part, pairs=False)
    if part.spare:
        spares = "1 spare" if part.spare == 1 else f"{part.spare} spares"
        yield spares, replace(part, spare=0)


# --- near misses ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, order=True)
class _Miss:
    """A part that is too long, wide or thick by ``amount`` (inches)."""

    amount: Length
    part: str
    measure: str


_TOO = {
    "length": ("too long", "shortening"),
    "width": ("too wide", "narrowing"),
    "thickness": ("too thick", "thinning"),
}


def near_misses(
    stock: StockBook, job: Job, plan: Plan, within: Length, asking: Asking
) -> tuple[Saving, ...]:
    """What making a part smaller by at most ``within`` would save; only what saves something."""
    missed = misses(stock, job, within)
    chosen = sorted(missed)[:MOST_MISSES]
    asked = {
        _said(miss, missed[miss], stock.shop.unit): Question(
            stock=stock, job=_smaller(job, miss), ceiling=plan.cost.net, gap=GAP
        )
        for miss in chosen
    }
    found = _savings(plan, asking.ask(asked), stock)
    return tuple(saving for saving in found if saving.at_least)


def misses(stock: StockBook, job: Job, within: Length) -> dict[_Miss, list[str]]:
    """Each part that fails boards by at most ``within`` in one measure, and which boards."""
    try:
        supplies, ways = ways_of(stock, job)
    except NoPlanError:
        return {}
    found: dict[_Miss, dict[str, None]] = defaultdict(dict)
    for part, lay_ups in zip(job.parts, ways, strict=True):
        for way in lay_ups:
            for supply in supplies:
                if way.blanks[0].lumber == supply.lumber:
                    for measure, amount, board in _fails(way, supply, stock):
                        if 0 < amount <= within:
                            found[_Miss(amount, part.name, measure)][board] = None
    return {miss: list(boards) for miss, boards in found.items()}


def _fails(way: LayUp, supply: Supply, stock: StockBook) -> Iterator[tuple[str, Length, str]]:
    """By how much a lay-up's blank fails a board: once, or as so many end to end."""
    blank, kerf, unit = way.blanks[0], stock.shop.crosscut_kerf, stock.shop.unit
    source = supply.sources[0]
    board = f"{source.name} ({source.store})" if isinstance(source, Offer) else source.tag
    if blank.width <= supply.width:
        fit = int((supply.usable + kerf) // (blank.length + kerf))
        if fit < MOST_COPIES:
            more = fit + 1
            over = more * blank.length + (more - 1) * kerf - supply.usable
            copies = f"{more} out of " if more > 1 else ""
            yield "length", round_up(over / more, unit), copies + board
    elif blank.length <= supply.usable and not way.glued:
        yield "width", round_up(blank.width - supply.width, unit), board


def _smaller(job: Job, miss: _Miss) -> Job:
    parts = tuple(
        replace(part, **{miss.measure: getattr(part, miss.measure) - miss.amount})
        if part.name == miss.part and getattr(part, miss.measure) > miss.amount
        else part
        for part in job.parts
    )
    return replace(job, parts=parts)


def _said(miss: _Miss, boards: list[str], unit: Unit) -> str:
    fails, mending = _TOO[miss.measure]
    amount = f"{format_length(miss.amount, unit)} {unit}"
    boards = sorted(boards, key=lambda board: "(" in board)  # the rack first
    few = ", ".join(boards[:3]) + (" …" if len(boards) > 3 else "")
    return f"{miss.part} is {amount} {fails} for {few}: {mending} it"


# --- both ----------------------------------------------------------------------------------------


def _savings(plan: Plan, answers: dict[str, Answer], stock: StockBook) -> tuple[Saving, ...]:
    now = figures(plan, stock.shop)
    found = []
    for what, other in answers.items():
        if isinstance(other, Plan):
            at_least, at_most = saved_by(plan, other)
            then = figures(other, stock.shop) if at_least else now
            found.append(
                Saving(
                    what=what,
                    at_least=at_least,
                    at_most=at_most,
                    minutes=Fraction(now.minutes - then.minutes),
                    glue_lines=now.glue_lines - then.glue_lines,
                )
            )
    return tuple(sorted(found, key=lambda saving: (-saving.at_least, -(saving.at_most or 0))))
