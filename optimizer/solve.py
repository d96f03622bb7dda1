"""The whole way on one page: from two books to a plan."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache

from optimizer.job.grain import searched_as
from optimizer.job.layups import LayUp
from optimizer.job.parts import Job
from optimizer.job.ways import NoPlanError, all_ways
from optimizer.plan.audit import audit
from optimizer.plan.comparison import Gain
from optimizer.plan.consumables import consumables
from optimizer.plan.plan import Plan
from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.gains import gain_of, worth_telling
from optimizer.search.grid import Rounding
from optimizer.search.layout import Answer, finish, lay_out
from optimizer.search.near import Beside, Found
from optimizer.search.offered import too_long
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem, pose
from optimizer.search.searching import search
from optimizer.search.shares import fair_shares
from optimizer.search.supplies import BoardSizes, board_sizes, supplies_of
from optimizer.search.supply import Supply
from optimizer.search.watch import Beyond, StoppedError, Watch
from optimizer.search.wood_notes import drying_remarks, load_of
from optimizer.trips import cheapest_visits
from stock.stock_book import StockBook


def ways_of(stock: StockBook, job: Job) -> tuple[tuple[Supply, ...], tuple[tuple[LayUp, ...], ...]]:
    """The boards that ``job`` may use, and for each part as it is searched its lay-ups from them.

    Raises NoPlanError naming every part without a lay-up.
    """
    supplies = supplies_of(stock, job.parts, job.name, *job.jobs)
    plain, odd = board_sizes(supplies)
    return supplies, all_ways(job, plain, stock.shop, odd, _left_behind(stock))


def _left_behind(stock: StockBook) -> BoardSizes:
    """The boards on sale that the car does not carry whole, as (lumber, usable length, width)."""
    return [
        (offer.lumber, offer.length - 2 * stock.shop.end_trim, offer.width)
        for offer in stock.offers
        if offer.in_stock != 0 and too_long(offer, stock.shop)
    ]


def solve(stock: StockBook, job: Job, watch: Watch) -> Plan:
    """The cheapest plan found for ``job``, audited. Raises NoPlanError where none is possible."""
    plan = cheapest_visits(stock, lambda book, look: solve_at(book, job, look), watch)
    plan = with_beside(plan, stock, job)
    audit(plan, stock, job)
    return plan


SEARCH_SHARE = 0.7
"""Share of the seconds for the cheapest plan, where more is looked for too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """What up to ``amount`` more money buys is looked for too, until its own ``watch`` ends it."""

    amount: Decimal
    watch: Watch


def solve_near(
    stock: StockBook, job: Job, watch: Watch, more: More
) -> tuple[Plan, tuple[Gain, ...]]:
    """The cheapest plan found, as ``solve``, and what a little more money buys; all audited.

    The stores to drive to are those of the cheapest plan. What is found is the best among the
    patterns looked at, not proven to be.
    """
    known: list[Searched] = []

    def solve_and_keep(book: StockBook, look: Watch) -> Plan:
        known.append(search := searched(book, job, *ways_of(book, job), look))
        return finish(search.found.answer, book, job.name, look)

    plan = cheapest_visits(stock, solve_and_keep, watch)
    search = next(each for each in known if each.found.answer.boards is plan.boards)
    plan = with_beside(plan, stock, job)
    audit(plan, stock, job)
    beside = Beside(
        search.problem,
        search.columns,
        search.found,
        lambda whole: lay_out(search.problem, stock, searched_as(job.parts), whole),
        stock,
        more.watch,
    )
    gains = list[Gain]()
    for found in beside.near(search.tables, more.amount):
        visited = {line.store for line in found.answer.buy}
        if len(visited) > (stock.shop.most_stores or len(visited)):
            continue
        known_of_it = Watch(best=found.net, bound=min(plan.bound, found.net))
        other = with_beside(finish(found.answer, stock, job.name, known_of_it), stock, job)
        audit(other, stock, job)
        gains.append(gain_of(plan, other, stock))
    return plan, worth_telling(gains, more.amount)


def with_beside(plan: Plan, stock: StockBook, job: Job) -> Plan:
    """``plan`` with what stands beside its wood: glue, hardware, its load, how it dries."""
    return replace(
        plan,
        consumables=tuple(consumables(plan, stock.shop, job.hardware)),
        load=load_of(plan.boards, stock),
        remarks=tuple(drying_remarks(plan.boards, stock)),
    )


def solve_visiting(stock: StockBook, job: Job, watch: Watch, at_least: int) -> Plan:
    """The cheapest plan that drives to ``at_least`` so many stores, whatever it buys there."""
    plan = cheapest_visits(
        stock, lambda book, look: solve_at(book, job, look), watch, at_least=at_least
    )
    return with_beside(plan, stock, job)


def solve_at(stock: StockBook, job: Job, watch: Watch) -> Plan:
    """The cheapest plan from the stores that have something in stock, without their trips."""
    supplies, lay_ups = ways_of(stock, job)
    return finish(answer_of(stock, job, supplies, lay_ups, watch), stock, job.name, watch)


def answer_of(
    stock: StockBook,
    job: Job,
    supplies: tuple[Supply, ...],
    lay_ups: Sequence[Sequence[LayUp]],
    watch: Watch,
) -> Answer:
    """The cheapest way found to make the parts of ``job`` by their ``lay_ups`` from ``supplies``.

    Trips are not looked at. Raises NoPlanError where none is possible.
    """
    return searched(stock, job, supplies, lay_ups, watch).found.answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """What a search came to, and what it was made from: enough to look on beside it."""

    problem: Problem
    tables: list[CuttingTables]
    columns: list[Column]
    found: Found


OBJECTS_BETWEEN = 10_000
"""So many new objects of Python between two rounds of its garbage collector in a search."""


@contextmanager
def _seldom_collected() -> Iterator[None]:
    """Within it the garbage collector comes seldom, and leaves alone all that was there before.

    Books, modules and earlier plans are most of what there is to walk through, and no garbage.
    """
    before = gc.get_threshold()
    gc.freeze()
    gc.set_threshold(OBJECTS_BETWEEN, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()


@_seldom_collected()
def searched(
    stock: StockBook,
    job: Job,
    supplies: tuple[Supply, ...],
    lay_ups: Sequence[Sequence[LayUp]],
    watch: Watch,
) -> Searched:
    """As ``answer_of``, with what it was made from; of plans equally cheap, the best found."""
    parts = searched_as(job.parts)
    problem = fair_shares(pose(stock, parts, lay_ups, supplies), watch)
    lumbers = problem.by_lumber
    tables = [CuttingTables(problem, lumber, Rounding.FOR_PLANS) for lumber in lumbers]
    bounding = tables
    if not all(table.along.exact and table.across.exact for table in tables):
        bounding = [CuttingTables(problem, lumber, Rounding.FOR_BOUNDS) for lumber in lumbers]

    @lru_cache(maxsize=1)  # the last plan laid out is the best, mostly
    def laid_out(whole: Whole) -> Answer:
        return lay_out(problem, stock, parts, whole)

    standing = search(problem, tables, bounding, lambda whole: laid_out(whole).cost.net, watch)
    counts = standing.whole
    if counts is None:
        raise StoppedError
    if any(counts.missing):
        lacking = _lacking(job, counts, stock)
        raise NoPlanError(lacking) if standing.short else StoppedError(lacking)
    found, columns = Found(whole=counts, answer=laid_out(counts)), [*standing.tried.values()]
    if watch.bound == found.net:
        beyond = Beyond(within=watch)
        found = Beside(problem, columns, found, laid_out, stock, beyond).best_of_ties()
    return Searched(problem=problem, tables=tables, columns=columns, found=found)


def _lacking(job: Job, counts: Whole, stock: StockBook) -> str:
    """What is missing where no boards are found that suffice."""
    car = ", or raise `longest carried`" if _left_behind(stock) else ""
    lines = [
        f"{part.name}: boards for {missing} of {part.copies} are missing; "
        f"raise In stock, or add an offer or a rack piece{car}"
        for part, missing in zip(searched_as(job.parts), counts.missing, strict=True)
        if missing
    ]
    return "\n".join(lines)
