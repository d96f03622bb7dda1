"""A plan that wastes boards, for what is to better it."""

from __future__ import annotations

from fractions import Fraction

from optimizer.search.answers import Whole
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, Pattern, Segment, Strip
from optimizer.search.problem import Problem
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.shop_floor import bare_shop, book, part, posed, sold


def wasteful() -> tuple[Problem, Standing, Watch]:
    """Six rails of 20, each out of a board of 60 of its own, though three would go into one."""
    stock = book(sold("1 x 4 x 60", "6.00"), shop=bare_shop())
    problem = posed(stock, part("1 x 4 x 20", count=6))
    watch = Watch(seconds=60)
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    width = problem.kinds[0].width
    pattern = Pattern(0, (Segment(Fraction(20), (Strip(width, (0,)),)),))
    column = Column(pattern, ((0, 1),), 600 * CENT_PARTS)
    whole = Whole(boards=((column, 6),), made={(0, 0): 6}, missing=(0,), cost=3600.0)
    standing.consider(whole)
    return problem, standing, watch
