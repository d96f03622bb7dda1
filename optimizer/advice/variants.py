"""A job done in other ways: books with one thing changed, of which the search knows nothing.

What is not to be had stays in the book with none in stock: it still says what offcuts are worth.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from optimizer.advice.asking import Answer, Asking, Question, Refused
from optimizer.job.grain import searched_as
from optimizer.job.parts import Job, Make, Part
from optimizer.job.ways import NoPlanError
from optimizer.plan.comparison import Alternative
from optimizer.plan.figures import figures
from optimizer.plan.plan import Plan, Status
from optimizer.solve import ways_of
from stock.lengths import Length
from stock.pieces import Lumber
from stock.prices import Offer
from stock.stock_book import StockBook

BEST = "best mix"
THINNEST_BEAM = Length(2)
"""Inches: what is thicker is a beam here, a 4x4 as well as a 6x6 (the trade draws other lines)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThickPart:
    """A part that a beam or plies can make, and the lumber of its beams."""

    part: Part
    beams: tuple[Lumber, ...]


def alternatives(
    stock: StockBook, job: Job, asking: Asking, best: Plan | None = None
) -> tuple[Alternative, ...]:
    """The job done in each way, beginning with the best mix (which is solved where not given)."""
    asked = dict(ways_to_do_it(stock, job))
    if best:
        del asked[BEST]
    answers = asking.ask(asked)
    if best is None and isinstance(found := answers.get(BEST), Plan):
        best = found
    if best is not None:
        best = _better(best, answers)
        others = dict(_other_stores(stock, job, best))
        answers = {BEST: best} | answers | _not_in_vain(asking.ask(others), others)
    told = []
    for name, found in answers.items():
        if isinstance(found, Refused):
            told.append(Alternative(name=name, why=found.why))
        else:
            told.append(Alternative(name=name, plan=found, figures=figures(found, stock.shop)))
    return tuple(told)


def _better(best: Plan, others: Mapping[str, Answer]) -> Plan:
    """The cheapest plan of all: each other way is a way of the best mix too."""
    plans = [best, *(other for other in others.values() if isinstance(other, Plan))]
    cheapest = min(plans, key=lambda plan: plan.cost.net)
    if cheapest is best:
        return best
    bound = min(best.bound, cheapest.cost.net)
    status = Status.PROVEN if bound == cheapest.cost.net else best.status
    return replace(cheapest, bound=bound, status=status)


def ways_to_do_it(stock: StockBook, job: Job) -> Iterator[tuple[str, Question]]:
    """The ways that these books leave a choice of, by name."""
    yield BEST, Question(stock=stock, job=job)
    if thick := {each.part.name for each in thick_parts(stock, job)}:
        yield "thick parts from beams", Question(stock=stock, job=from_beams(job, thick))
        yield "thick parts from plies", Question(stock=stock, job=from_plies(job, thick))
    if any(piece.count for piece in stock.rack):
        rack = tuple(replace(piece, count=0) for piece in stock.rack)
        yield "everything bought new", Question(stock=replace(stock, rack=rack), job=job)
    if len(selling(stock)) > 1 and stock.shop.most_stores != 1:
        one = replace(stock, shop=replace(stock.shop, most_stores=1))
        yield "one store only", Question(stock=one, job=job)
    if stock.shop.longest_carried is not None and any(store.cuts for store in stock.stores):
        uncut = tuple(replace(store, fee_per_cut=None) for store in stock.stores)
        yield "no yard cuts", Question(stock=replace(stock, stores=uncut), job=job)


def _other_stores(stock: StockBook, job: Job, best: Plan) -> Iterator[tuple[str, Question]]:
    """One store less than the best plan visits, and one more."""
    visited = len(_visited(best))
    if visited > 2:
        fewer = replace(stock, shop=replace(stock.shop, most_stores=visited - 1))
        yield "one store less", Question(stock=fewer, job=job)
    most = stock.shop.most_stores or len(selling(stock))
    if visited < min(most, len(selling(stock))):
        yield "one store more", Question(stock=stock, job=job, at_least=visited + 1)


def _not_in_vain(answers: Mapping[str, Answer], asked: Mapping[str, Question]) -> dict[str, Answer]:
    """Without plans that drive to a store and buy nothing there."""
    return {
        name: found
        for name, found in answers.items()
        if isinstance(found, Refused) or len(_visited(found)) >= asked[name].at_least
    }


def _visited(plan: Plan) -> set[str]:
    return {line.store for line in plan.buy}


def selling(stock: StockBook) -> set[str]:
    """The stores that have something."""
    return {offer.store for offer in stock.offers if offer.in_stock != 0}


def without(stock: StockBook, gone: Callable[[Offer], bool]) -> StockBook:
    """The book with none in stock of what is gone."""
    offers = tuple(replace(o, in_stock=0) if gone(o) else o for o in stock.offers)
    return replace(stock, offers=offers)


def from_beams(job: Job, names: set[str]) -> Job:
    """The job with these parts out of one board each."""
    parts = tuple(replace(p, make=Make.SOLID) if p.name in names else p for p in job.parts)
    return replace(job, parts=parts)


def from_plies(job: Job, names: set[str]) -> Job:
    """The job with these parts glued up, and not out of beams."""
    parts = tuple(
        replace(p, make=Make.GLUED, thickest_board=THINNEST_BEAM) if p.name in names else p
        for p in job.parts
    )
    return replace(job, parts=parts)


def thick_parts(stock: StockBook, job: Job) -> list[ThickPart]:
    """The parts for which there is a choice of a beam, sawn from one board, or plies."""
    try:
        _, ways = ways_of(stock, job)
    except NoPlanError:
        return []
    found = []
    for part, lay_ups in zip(searched_as(job.parts), ways, strict=True):
        plies = any(len(way.plies) > 1 for way in lay_ups)
        solid = {way.blanks[0].lumber for way in lay_ups if not way.glued}
        beams = {lumber for lumber in solid if lumber.thickness > THINNEST_BEAM}
        if part.make is Make.ANY and plies and beams:
            found.append(ThickPart(part=part, beams=tuple(sorted(beams))))
    return found
