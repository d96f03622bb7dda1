"""Beams against plies: the price of the beam at which they cost the same.

One factor stands on all prices of the beam's section. The job is solved with the part from beams
and from plies. The sum of a plan grows with the factor as much as it spends on the section, so the
factor at which these two would cost the same is tried next. Where that leads nowhere (other thick
parts may take beams in both plans, and offcuts count for less where beams do), the factor is looked
for between the highest at which beams were cheaper and the lowest at which plies were.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.asking import Answer, Asking, Question, Refused
from optimizer.advice.variants import (
    THINNEST_BEAM,
    ThickPart,
    from_beams,
    from_plies,
    thick_parts,
)
from optimizer.job.parts import Job, Make, Part
from optimizer.plan.comparison import BreakEven
from optimizer.plan.plan import Plan, Status
from stock.prices import Offer, to_cent
from stock.stock_book import StockBook
from stock.wood import wood_key

ROUNDS = 10
NEAR = Decimal("0.02")  # sums of rounded prices: nearer two plans can hardly be brought
STEP, LONG_STEP = Fraction(1, 1000), Fraction(1, 50)  # a factor that moves by less stays
GAP, WIDE_GAP = Decimal(0), Decimal(1)  # percent; the wide one while steps are long
LOWEST, HIGHEST = Fraction(1, 20), Fraction(20)  # times today's price
MAKES = (Make.SOLID, Make.GLUED)


@dataclass(slots=True)
class _Search:
    """The search for one part: the factor to try, and how much dearer beams were than plies at the
    nearest factors ``under`` and ``over`` it (cheaper under it).
    """

    thick: ThickPart
    section: tuple[Offer, ...]
    factor: Fraction = Fraction(1)
    gap: Decimal = WIDE_GAP
    under: tuple[Fraction, Fraction] | None = None
    over: tuple[Fraction, Fraction] | None = None
    found: BreakEven | None = None


def break_evens(
    stock: StockBook, job: Job, asking: Asking, best: Plan | None = None
) -> tuple[BreakEven, ...]:
    """The break-even price of each part that a beam or plies can make; the ``best`` plan of these
    books answers what it can.
    """
    searches = [
        _Search(thick, section)
        for thick in thick_parts(stock, job)
        if (section := _section(stock, thick))
    ]
    for _ in range(ROUNDS):
        open_ = {n: search for n, search in enumerate(searches) if search.found is None}
        answers: dict[tuple[int, Make], Answer] = {
            (n, make): best
            for n, search in open_.items()
            for make in MAKES
            if best and search.factor == 1 and _makes(best, search.thick.part) is make
        }
        asked = {
            (n, make): _question(stock, job, search, make)
            for n, search in open_.items()
            for make in MAKES
            if (n, make) not in answers
        }
        answers |= asking.ask(asked)
        for n, search in open_.items():
            _go_on(stock, search, answers.get((n, Make.SOLID)), answers.get((n, Make.GLUED)))
    return tuple(search.found or _about(search) for search in searches)


def at_factor(stock: StockBook, section: Iterable[Offer], factor: Fraction) -> StockBook:
    """The book with the prices of a section times ``factor``, to the cent."""
    changed = set(section)
    offers = tuple(
        replace(o, price=to_cent(Fraction(o.price) * factor)) if o in changed else o
        for o in stock.offers
    )
    return replace(stock, offers=offers)


def _section(stock: StockBook, thick: ThickPart) -> tuple[Offer, ...]:
    """The offers that a beam for the part could be sawn from."""
    lumbers = {(wood_key(beam.wood), beam.treated, beam.thickness) for beam in thick.beams}
    return tuple(
        o
        for o in stock.offers
        if (wood_key(o.lumber.wood), o.lumber.treated, o.lumber.thickness) in lumbers
        and o.in_stock != 0
        and o.width >= thick.part.width
    )


def _question(stock: StockBook, job: Job, search: _Search, make: Make) -> Question:
    changed = at_factor(stock, search.section, search.factor)
    ways = from_beams if make is Make.SOLID else from_plies
    return Question(stock=changed, job=ways(job, {search.thick.part.name}), gap=search.gap)


def _go_on(stock: StockBook, search: _Search, beam: Answer | None, plies: Answer | None) -> None:
    """The next factor to try, or the answer."""
    if beam is None or plies is None:
        search.found = _about(search)
    elif isinstance(beam, Refused) or isinstance(plies, Refused):
        why = "no beam does it" if isinstance(beam, Refused) else "plies do not do it"
        search.found = _told(search, None, why=why)
    else:
        proven = beam.status is plies.status is Status.PROVEN
        if search.gap == GAP and abs(beam.cost.net - plies.cost.net) <= NEAR:
            search.found = _told(search, search.factor, proven=proven)
        else:
            _move(stock, search, beam, plies, proven=proven)


def _makes(plan: Plan, part: Part) -> Make | None:
    """Whether a plan makes all copies of a part from beams, or all from plies."""
    thick = {blank.id for b in plan.boards if b.thickness > THINNEST_BEAM for blank in b.blanks}
    made = [each for each in plan.parts if each.part == part.name]
    if all(not each.glued and not thick.isdisjoint(each.blanks) for each in made):
        return Make.SOLID
    if all(each.glued and thick.isdisjoint(each.blanks) for each in made):
        return Make.GLUED
    return None


def _move(stock: StockBook, search: _Search, beam: Plan, plies: Plan, *, proven: bool) -> None:
    """Go to where beams and plies should cost the same; stay where that is here."""
    factor, dearer = search.factor, Fraction(beam.cost.net - plies.cost.net)
    _hold(search, factor, dearer)
    prices = at_factor(stock, search.section, factor)
    steeper = _spent(prices, search, beam) - _spent(prices, search, plies)
    goal = _between(search, factor * (1 - dearer / steeper) if steeper > 0 else None)
    if goal is None or not LOWEST <= goal <= HIGHEST:
        goal, cheaper = (LOWEST, "plies") if dearer > 0 else (HIGHEST, "beams")
        if goal == factor:
            why = f"{cheaper} are cheaper, whatever such a beam costs"
            search.found = _told(search, None, proven=proven, why=why)
            return
    moved = abs(goal / factor - 1)
    if moved < STEP and search.gap == GAP:
        search.found = _told(search, factor, proven=proven)
    elif moved < LONG_STEP:
        search.gap = GAP
    search.factor = goal.limit_denominator(10_000)


def _hold(search: _Search, factor: Fraction, dearer: Fraction) -> None:
    """Hold the answer between two factors; a later one is nearer to the truth than an earlier."""
    if dearer > 0:
        search.over = (factor, dearer)
        if search.under and search.under[0] >= factor:
            search.under = None
    else:
        search.under = (factor, dearer)
        if search.over and search.over[0] <= factor:
            search.over = None


def _between(search: _Search, goal: Fraction | None) -> Fraction | None:
    """``goal``, if it lies between the factors that hold it; else where a straight line says,
    a tenth of the way or more from both.
    """
    if search.under is None or search.over is None:
        return goal
    (low, cheaper), (high, dearer) = search.under, search.over
    if goal is not None and low <= goal <= high:
        return goal
    straight = low + (high - low) * -cheaper / (dearer - cheaper)
    tenth = (high - low) / 10
    return max(low + tenth, min(straight, high - tenth))


def _spent(stock: StockBook, search: _Search, plan: Plan) -> Fraction:
    """What a plan spends on the section, tax included."""
    names = {(offer.store, offer.name) for offer in search.section}
    percent = {store.name: Fraction(store.tax_percent) for store in stock.stores}
    return sum(
        (
            Fraction(line.sum) * (1 + percent.get(line.store, Fraction(0)) / 100)
            for line in plan.buy
            if (line.store, line.offer) in names
        ),
        Fraction(0),
    )


def _about(search: _Search) -> BreakEven:
    """What is known of it where time or rounds are over."""
    if search.under is None or search.over is None:
        return _told(search, None, proven=False, why="not found in time")
    return _told(search, _between(search, search.factor), proven=False)


def _told(
    search: _Search, factor: Fraction | None, *, proven: bool = True, why: str = ""
) -> BreakEven:
    prices = [
        (o.store, o.name, o.price, to_cent(Fraction(o.price) * (factor or 0)))
        for o in search.section
    ]
    sizes = dict.fromkeys(f"{o.size or o.name} {o.lumber.wood}".strip() for o in search.section)
    return BreakEven(
        part=search.thick.part.name,
        section=", ".join(sizes),
        factor=factor,
        prices=tuple(prices) if factor is not None else (),
        proven=proven,
        why=why,
    )
