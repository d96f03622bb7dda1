"""The whole way on one page: from two books to a plan."""

from __future__ import annotations

from decimal import Decimal

from optimizer.job.layups import LayUp
from optimizer.job.parts import Job
from optimizer.job.ways import NoPlanError, all_ways
from optimizer.plan.audit import audit
from optimizer.plan.plan import Plan
from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.layout import finish, lay_out
from optimizer.search.problem import pose
from optimizer.search.searching import search
from optimizer.search.supplies import Supply, supplies_of
from optimizer.search.watch import Watch
from stock.stock_book import StockBook


def ways_of(stock: StockBook, job: Job) -> tuple[tuple[Supply, ...], tuple[tuple[LayUp, ...], ...]]:
    """The boards that ``job`` may use, and for each part its lay-ups from them.

    Raises NoPlanError naming every part without a lay-up.
    """
    supplies = supplies_of(stock, job.name, job.parts)
    boards = [(s.lumber, s.usable, s.width) for s in supplies if not s.crook]
    crooked = [(s.lumber, *size) for s in supplies if s.crook for size in s.as_straight()]
    return supplies, all_ways(job, boards, stock.shop, crooked)


def solve(stock: StockBook, job: Job, watch: Watch) -> Plan:
    """The cheapest plan found for ``job``, audited. Raises NoPlanError where none is possible."""
    supplies, lay_ups = ways_of(stock, job)
    problem = pose(stock, job.parts, lay_ups, supplies)
    lumbers = problem.by_lumber()
    tables = [CuttingTables(problem, lumber, Rounding.FOR_PLANS) for lumber in lumbers]
    bounding = tables
    if not all(table.along.exact and table.across.exact for table in tables):
        bounding = [CuttingTables(problem, lumber, Rounding.FOR_BOUNDS) for lumber in lumbers]

    def net_of(whole: Whole) -> Decimal:
        return lay_out(problem, stock, job.parts, whole).cost.net

    counts = search(problem, tables, bounding, net_of, watch)
    if counts is None or (any(counts.missing) and watch.over()):
        raise NoPlanError("stopped before a plan was found; give it more seconds")
    if any(counts.missing):
        raise NoPlanError(_short(job, counts))
    plan = finish(lay_out(problem, stock, job.parts, counts), stock, job.name, watch)
    audit(plan, stock, job)
    return plan


def _short(job: Job, counts: Whole) -> str:
    """What is missing where the boards do not suffice."""
    lines = [
        f"{part.name}: boards for {missing} of {part.copies} are missing; "
        "raise In stock, or add an offer or a rack piece"
        for part, missing in zip(job.parts, counts.missing, strict=True)
        if missing
    ]
    return "\n".join(lines)
