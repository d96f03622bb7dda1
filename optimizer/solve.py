"""The whole way on one page: from two books to a plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from optimizer.job.layups import LayUp
from optimizer.job.parts import Job
from optimizer.job.ways import NoPlanError, all_ways
from optimizer.plan.audit import audit
from optimizer.plan.consumables import consumables
from optimizer.plan.plan import Plan
from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.layout import Answer, finish, lay_out
from optimizer.search.problem import pose
from optimizer.search.searching import search
from optimizer.search.shares import fair_shares
from optimizer.search.supplies import board_sizes, supplies_of
from optimizer.search.supply import Supply
from optimizer.search.watch import StoppedError, Watch
from optimizer.search.wood_notes import drying_remarks, load_of
from optimizer.trips import cheapest_visits
from stock.stock_book import StockBook


def ways_of(stock: StockBook, job: Job) -> tuple[tuple[Supply, ...], tuple[tuple[LayUp, ...], ...]]:
    """The boards that ``job`` may use, and for each part its lay-ups from them.

    Raises NoPlanError naming every part without a lay-up.
    """
    supplies = supplies_of(stock, job.parts, job.name, *job.jobs)
    plain, odd = board_sizes(supplies)
    return supplies, all_ways(job, plain, stock.shop, odd)


def solve(stock: StockBook, job: Job, watch: Watch) -> Plan:
    """The cheapest plan found for ``job``, audited. Raises NoPlanError where none is possible."""
    plan = cheapest_visits(stock, lambda book, look: solve_at(book, job, look), watch)
    plan = with_beside(plan, stock, job)
    audit(plan, stock, job)
    return plan


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
    problem = fair_shares(pose(stock, job.parts, lay_ups, supplies), watch)
    lumbers = problem.by_lumber()
    tables = [CuttingTables(problem, lumber, Rounding.FOR_PLANS) for lumber in lumbers]
    bounding = tables
    if not all(table.along.exact and table.across.exact for table in tables):
        bounding = [CuttingTables(problem, lumber, Rounding.FOR_BOUNDS) for lumber in lumbers]

    def net_of(whole: Whole) -> Decimal:
        return lay_out(problem, stock, job.parts, whole).cost.net

    counts = search(problem, tables, bounding, net_of, watch)
    if counts is None or (any(counts.missing) and watch.over()):
        raise StoppedError
    if any(counts.missing):
        raise NoPlanError(_short(job, counts))
    return lay_out(problem, stock, job.parts, counts)


def _short(job: Job, counts: Whole) -> str:
    """What is missing where the boards do not suffice."""
    lines = [
        f"{part.name}: boards for {missing} of {part.copies} are missing; "
        "raise In stock, or add an offer or a rack piece"
        for part, missing in zip(job.parts, counts.missing, strict=True)
        if missing
    ]
    return "\n".join(lines)
