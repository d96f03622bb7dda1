"""The jobs of ``tests.small_jobs`` as the search sees them, and what they cost at the least."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from optimizer.job.parts import Faces, Job, Make, Part
from optimizer.search.problem import Problem
from stock.stock_book import StockBook
from tests.independent import least_net
from tests.shop_floor import JOB, posed
from tests.small_jobs import DrawnPart, small_job


def as_part(drawn: DrawnPart) -> Part:
    return Part(
        name=drawn.name,
        count=drawn.count,
        spare=drawn.spare,
        length=drawn.length,
        width=drawn.width,
        thickness=drawn.thickness,
        wood=drawn.wood,
        tenons=drawn.tenons,
        make=Make(drawn.make),
        faces=Faces(drawn.faces),
        thickness_at_least=drawn.thickness_at_least,
        knots_ok=drawn.knots_ok,
    )


def drawn_job(seed: int) -> tuple[StockBook, Job]:
    """Books of a small job; always the same for one ``seed``."""
    stock, drawn = small_job(seed)
    return stock, Job(name=JOB, parts=tuple(map(as_part, drawn)))


def drawn_problem(seed: int) -> Problem:
    stock, job = drawn_job(seed)
    return posed(stock, *job.parts)


@cache
def least_cents(seed: int) -> Fraction:
    """The least net of a small job before rounding, in cents, proven by the second opinion."""
    stock, drawn = small_job(seed)
    least, proven = least_net(drawn, stock)
    assert proven
    return 100 * least
