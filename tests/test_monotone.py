"""What makes buying easier never makes the least cost higher, where offcuts count for nothing."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.job.parts import Job
from optimizer.job.ways import NoPlanError
from optimizer.plan.plan import Status
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.pieces import RackPiece
from stock.prices import CENT
from stock.stock_book import StockBook
from tests.drawn_jobs import as_part
from tests.small_jobs import buying_job

Change = Callable[[StockBook, random.Random], StockBook]


def lower_price(stock: StockBook, draw: random.Random) -> StockBook:
    offers = list(stock.offers)
    n = draw.randrange(len(offers))
    offers[n] = replace(offers[n], price=(offers[n].price * Decimal("0.8")).quantize(CENT))
    return replace(stock, offers=tuple(offers))


def more_stock(stock: StockBook, draw: random.Random) -> StockBook:
    more = [
        replace(o, in_stock=draw.choice((None, o.in_stock + 1))) if o.in_stock is not None else o
        for o in stock.offers
    ]
    return replace(stock, offers=tuple(more))


def longer_car(stock: StockBook, draw: random.Random) -> StockBook:
    carried = stock.shop.longest_carried
    longer = None if carried is None else draw.choice((None, carried + 12, carried + 30))
    return replace(stock, shop=replace(stock.shop, longest_carried=longer))


def another_piece(stock: StockBook, draw: random.Random) -> StockBook:
    offer = draw.choice(stock.offers)
    like = replace(
        stock.rack[0] if stock.rack else another(stock), lumber=offer.lumber, width=offer.width
    )
    piece = replace(like, tag="R900", length=Fraction(draw.randint(30, 110)), count=1, size="")
    return replace(stock, rack=(*stock.rack, piece))


def another(stock: StockBook) -> RackPiece:
    first = stock.offers[0]
    return RackPiece(tag="R900", lumber=first.lumber, width=first.width, length=first.length)


def least(stock: StockBook, job: Job) -> Decimal:
    """The least net of a job; above any where it cannot be made."""
    try:
        plan = solve(stock, job, Watch(seconds=60))
    except NoPlanError:
        return Decimal("Infinity")
    assert plan.status is Status.PROVEN
    return plan.cost.net


@pytest.mark.parametrize("easier", [lower_price, more_stock, longer_car, another_piece])
@pytest.mark.parametrize("seed", range(12))
def test_it_never_costs_more(easier: Change, seed: int) -> None:
    drawn, parts = buying_job(seed)
    stock = replace(drawn, shop=replace(drawn.shop, offcut_value=Decimal(0)))
    job = Job(name="small", parts=tuple(map(as_part, parts)))
    assert least(easier(stock, random.Random(seed)), job) <= least(stock, job)
