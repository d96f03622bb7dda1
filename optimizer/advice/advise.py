"""All that is asked beside a plan, in the order in which it matters."""

from __future__ import annotations

from optimizer.advice.aisle import hinges, plans_b
from optimizer.advice.asking import Asking
from optimizer.advice.break_even import break_evens
from optimizer.advice.near_misses import near_misses
from optimizer.advice.variants import alternatives
from optimizer.advice.wishes import wishes
from optimizer.job.job_book import Books
from optimizer.plan.comparison import Advice
from optimizer.plan.plan import Plan


def compare(books: Books, plan: Plan, asking: Asking) -> Advice:
    """Ways side by side, and the break-even prices of beams."""
    with asking.open():
        ways = alternatives(books.stock, books.job, asking, plan)
        even = break_evens(books.stock, books.job, asking, ways[0].plan or plan)
    return Advice(alternatives=ways, break_evens=even, unanswered=asking.unanswered)


def advise(books: Books, plan: Plan, asking: Asking) -> Advice:
    """That too; what helps in the aisle and at the rack; last what wishes cost."""
    stock, job, within = books.stock, books.job, books.stock.shop.near_miss
    with asking.open():
        ways = alternatives(stock, job, asking, plan)
        best = ways[0].plan or plan
        out = plans_b(stock, job, best, asking)
        tight = hinges(stock, job, best, within, asking)
        even = break_evens(stock, job, asking, best)
        wished = wishes(stock, job, best, asking)
        near = near_misses(stock, job, best, within, asking)
    return Advice(
        alternatives=ways,
        break_evens=even,
        wishes=wished,
        near_misses=near,
        plans_b=out,
        hinges=tight,
        unanswered=asking.unanswered,
    )
