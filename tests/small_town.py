"""Two stores, a rack and jobs of a few parts, for what is asked beside a plan. All invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from optimizer.advice.asking import Asking
from optimizer.job.parts import Faces, Job, Make
from optimizer.plan.plan import Plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.stock_book import StockBook
from tests.shop_floor import book, job, on_rack, part, shop, sold

PLAIN = {"faces": Faces.AS_BOUGHT, "make": Make.SOLID}
BEAM = sold("3 1/2 x 3 1/2 x 96", "20.00", store="Weir", size="4x4")
PLANK = sold("1 1/2 x 3 1/2 x 96", "6.00", store="Weir", size="2x4")
DEAR_PLANK = sold("1 1/2 x 3 1/2 x 120", "9.00", store="Lock", size="2x4", in_stock=5)

# Two posts of 30 out of a beam of 96 that costs 20.00, or four plies out of two planks for 12.00.
POSTS = job(part("2 3/4 x 2 3/4 x 30", name="Post", count=2))
RAILS = job(part("1 1/2 x 3 1/2 x 46", name="Rail", count=3, **PLAIN))


def town(**settings: object) -> StockBook:
    free = {"offcut_value": Decimal(0), **settings}
    return book(
        BEAM,
        PLANK,
        DEAR_PLANK,
        on_rack("R001", "1 1/2 x 3 1/2 x 46 1/4", size="2x4", bay="A"),
        shop=shop(**free),
    )


def solved(stock: StockBook, wanted: Job) -> Plan:
    return solve(stock, wanted, Watch(seconds=60))


def asking(**values: object) -> Asking:
    """All in this process, with time enough."""
    return Asking(**{"seconds": 600, "workers": 0, **values})  # type: ignore[arg-type]


def priced(stock: StockBook, offer: str, price: str) -> StockBook:
    offers = [replace(o, price=Decimal(price)) if o.name == offer else o for o in stock.offers]
    return replace(stock, offers=tuple(offers))
