"""What boards of lots pay, whatever it is, gives a bound. Prices are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.job.parts import Faces, Make
from optimizer.plan.plan import Status
from optimizer.search.bound import lower_bound
from optimizer.search.counts import Range, in_lots
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.money import CENT_PARTS
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.shares import lot_prices
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.prices import Store
from stock.stock_book import StockBook
from tests.shop_floor import book, job, part, posed, shop, sold

PLAIN = {"faces": Faces.AS_BOUGHT, "make": Make.SOLID}
RAILS = part("1 1/2 x 3 1/2 x 60", count=3, **PLAIN)


def packs(of: int, price: str = "6.00", in_stock: int | None = None) -> StockBook:
    """Boards of 96, one rail of 60 from each, in packs; nothing is worth keeping."""
    offer = sold("1 1/2 x 3 1/2 x 96", price, pack=of, in_stock=in_stock)
    return book(offer, shop=shop(offcut_value=Decimal(0)))


def yard(fee: str, free: int = 0) -> StockBook:
    """Boards of 192 that the yard cuts in two for a car of 120."""
    stock = book(
        sold("1 1/2 x 3 1/2 x 192", "20.00"),
        shop=shop(offcut_value=Decimal(0), longest_carried=120),
    )
    store = Store(name=stock.stores[0].name, fee_per_cut=Decimal(fee), free_cuts=free)
    return replace(stock, stores=(store,))


def bound_of(
    problem: Problem, ranges: dict[tuple[str, int, int], Range], times: Fraction
) -> Fraction:
    """In money; boards pay so many times what they should."""
    tables = [CuttingTables(problem, each, Rounding.FOR_PLANS) for each in problem.by_lumber]
    programme = Programme(problem, lots=True)
    programme.hold(ranges)
    linear = grow(problem, tables, programme, Watch())
    pays = {s: int(paid * times) for s, paid in linear.pays.items()}
    prices = lot_prices(problem, replace(linear, pays=pays), ranges)
    bound = lower_bound(
        problem, tables, linear.blanks, extra=linear.extra, ranges=ranges, lots=prices
    )
    return Fraction(bound.cost, 100 * CENT_PARTS)


@pytest.mark.parametrize("times", [Fraction(0), Fraction(1, 2), Fraction(1), Fraction(3)])
@pytest.mark.parametrize(
    "stock", [packs(2), packs(4), packs(2, in_stock=4), yard("0.50"), yard("0.50", free=2)]
)
def test_it_is_a_bound_whatever_boards_pay(stock: StockBook, times: Fraction) -> None:
    plan = solve(stock, job(RAILS), Watch())
    assert plan.status is Status.PROVEN
    bound = bound_of(posed(stock, RAILS), {}, times)
    assert bound <= Fraction(plan.cost.net)
    if times == 1:  # three rails of boards that must come by two and four: the linear optimum
        assert bound > Fraction(plan.cost.net) / 2


def test_with_the_count_of_lots_held_it_rises_to_whole_packs() -> None:
    # Three boards of 6.00 in packs of two: a pack and a half are 18.00, two are 24.00.
    problem = posed(packs(2), RAILS)
    assert 17 < bound_of(problem, {}, Fraction(1)) <= 18
    (lot,) = (in_lots(n) for n, _ in enumerate(problem.lots))
    assert 23 < bound_of(problem, {lot: Range(2, None)}, Fraction(1)) <= 24


def test_with_too_few_lots_no_plan_is_left() -> None:
    problem = posed(packs(2), RAILS)
    (lot,) = (in_lots(n) for n, _ in enumerate(problem.lots))
    # A rail that is missing costs far more than any board.
    assert bound_of(problem, {lot: Range(0, 1)}, Fraction(1)) > 100


def test_lots_of_one_offer_share_the_stock_of_the_store() -> None:
    # Overpaid, each way to cut would be bought as often as there are boards; all ways together may.
    stock = yard("0")
    stock = replace(stock, offers=(replace(stock.offers[0], in_stock=2),))
    problem = posed(stock, RAILS)
    assert len(problem.lots) > 1
    tables = [CuttingTables(problem, each, Rounding.FOR_PLANS) for each in problem.by_lumber]
    linear = grow(problem, tables, Programme(problem, lots=True), Watch())
    much = 10**4 * 100 * CENT_PARTS
    prices = lot_prices(problem, replace(linear, pays=dict.fromkeys(linear.pays, much)), {})
    most = max(sum(lot.counts.values()) for lot in problem.lots)
    assert prices.cost == 2 * (20 * 100 * CENT_PARTS - most * much)


def test_packs_are_planned_to_proof() -> None:
    plan = solve(packs(2), job(RAILS), Watch())
    assert (plan.cost.net, plan.status) == (Decimal("24.00"), Status.PROVEN)
