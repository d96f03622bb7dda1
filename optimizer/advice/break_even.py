"""Beams against plies: the price of the beam at which they cost the same.

One factor stands on all prices of the beam's section. A plan costs a sum that grows with the factor
as much as it spends on the section: so the job is solved with the part from a beam and from plies,
and the factor at which these two plans would cost the same is tried next, until it stays.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.asking import Answer, Asking, Question, Refused
from optimizer.advice.variants import ThickPart, from_beams, from_plies, thick_parts
from optimizer.job.parts import Job, Make
from optimizer.plan.comparison import BreakEven
from optimizer.plan.plan import Plan, Status
from stock.prices import Offer, to_cent
from stock.stock_book import StockBook
from stock.wood import wood_key

ROUNDS = 6
NEAR = Decimal("0.02")  # sums of rounded prices: nearer two plans can hardly be brought
STEP, LONG_STEP = Fraction(1, 1000), Fraction(1, 50)  # a factor that moves by less stays
GAP, WIDE_GAP = Decimal(0), Decimal(1)  # percent; the wide one while steps are long
HIGHEST = 20  # times today's price


@dataclass(slots=True)
class _Search:
    """The search for one part: the factor to try, and the plans at the last one."""

    thick: ThickPart
    section: tuple[Offer, ...]
    factor: Fraction = Fraction(1)
    gap: Decimal = WIDE_GAP
    found: BreakEven | None = None


def break_evens(stock: StockBook, job: Job, asking: Asking) -> tuple[BreakEven, ...]:
    """The break-even price of each part that a beam or plies can make."""
    searches = [
        _Search(thick, section)
        for thick in thick_parts(stock, job)
        if (section := _section(stock, thick))
    ]
    for _ in range(ROUNDS):
        open_ = {n: search for n, search in enumerate(searches) if search.found is None}
        asked = {
            (n, make): _question(stock, job, search, make)
            for n, search in open_.items()
            for make in (Make.SOLID, Make.GLUED)
        }
        answers = asking.ask(asked)
        for n, search in open_.items():
            _go_on(stock, search, answers.get((n, Make.SOLID)), answers.get((n, Make.GLUED)))
    return tuple(search.found or _unknown(search) for search in searches)


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
        search.found = _unknown(search)
    elif isinstance(beam, Refused) or isinstance(plies, Refused):
        why = "no beam does it" if isinstance(beam, Refused) else "plies do not do it"
        search.found = _told(search, None, why=why)
    else:
        proven = beam.status is plies.status is Status.PROVEN
        fine = search.gap == GAP
        if fine and abs(beam.cost.net - plies.cost.net) <= NEAR:
            search.found = _told(search, search.factor, proven=proven)
            return
        prices = at_factor(stock, search.section, search.factor)
        beam_pays, plies_pay = (_spent(prices, search, plan) for plan in (beam, plies))
        if beam_pays <= plies_pay:
            dear = beam.cost.net > plies.cost.net
            why = f"{'plies' if dear else 'beams'} are cheaper, whatever such a beam costs"
            search.found = _told(search, None, proven=proven, why=why)
            return
        moved = Fraction(plies.cost.net - beam.cost.net) / (beam_pays - plies_pay)
        factor = search.factor * (1 + moved)
        if abs(moved) < LONG_STEP:
            search.gap = GAP
        if fine and abs(moved) < STEP:
            search.found = _told(search, search.factor, proven=proven)
        elif factor <= 0:
            search.found = _told(
                search, None, proven=proven, why="plies are cheaper, whatever such a beam costs"
            )
        elif factor > HIGHEST:
            search.found = _told(
                search, None, proven=proven, why="beams are cheaper, whatever such a beam costs"
            )
        else:
            search.factor = factor.limit_denominator(10_000)


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


def _unknown(search: _Search) -> BreakEven:
    return _told(search, None, proven=False, why="not found in time")


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
