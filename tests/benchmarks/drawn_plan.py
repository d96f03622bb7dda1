"""A plan from boards that were sawn by other means than the search: laid out, costed, audited."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from optimizer.job.parts import Job
from optimizer.plan.audit import audit
from optimizer.plan.plan import Plan
from optimizer.search.answers import Whole
from optimizer.search.layout import finish, lay_out
from optimizer.search.patterns import Column, Pattern
from optimizer.search.problem import Problem, pose
from optimizer.search.watch import Watch
from optimizer.solve import ways_of, with_beside
from stock.stock_book import StockBook


def posed_job(stock: StockBook, job: Job) -> Problem:
    """The job by index, as the search sees it."""
    supplies, lay_ups = ways_of(stock, job)
    return pose(stock, job.parts, lay_ups, supplies)


def drawn_plan(
    stock: StockBook,
    job: Job,
    problem: Problem,
    patterns: Iterable[Pattern],
    made: Mapping[tuple[int, int], int],
) -> Plan:
    """The plan that saws boards by ``patterns`` and makes so many of each (part, way).

    Its cost counts all that every plan's does: tax, glue, time, offcuts used and leftovers kept.
    """
    whole = Whole(
        boards=tuple((Column(p, p.counts(), 0), number) for p, number in Counter(patterns).items()),
        made=dict(made),
        missing=(0,) * len(problem.ways),
        cost=0.0,
    )
    answer = lay_out(problem, stock, job.parts, whole)
    plan = with_beside(finish(answer, stock, job.name, Watch()), stock, job)
    audit(plan, stock, job)
    return plan
