"""What is said of a search: never a bound above a known plan, never a proof that is none."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from unittest.mock import Mock, patch

import numpy as np
import pytest

from optimizer.search.answers import Attempt, Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.first_rows import FirstRows
from optimizer.search.grid import Rounding
from optimizer.search.growing import spare_patterns
from optimizer.search.money import CENT_PARTS, as_money
from optimizer.search.problem import Problem
from optimizer.search.rounded_rows import RoundedRows
from optimizer.search.standing import LEARNT, Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.shop_floor import bare_shop, book, part, posed, sold

CENT = CENT_PARTS


def counts(cents: float, missing: int = 0) -> Whole:
    return Whole(boards=(), made={}, missing=(missing,), cost=cents)


def problem(price: str = "6.05", tax: str = "0") -> Problem:
    stock = book(sold("1 x 4 x 60", price), shop=bare_shop(), tax=tax)
    return posed(stock, part("1 x 4 x 20", count=4))


def standing(of: Problem, *cents: float) -> tuple[Standing, Watch]:
    watch = Watch(seconds=600)
    found = Standing(of, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    for each in cents:
        found.consider(counts(each))
    return found, watch


def test_only_a_cheaper_plan_is_kept() -> None:
    found, watch = standing(problem(), 2000, 1210, 1815)
    assert (found.net, watch.best) == (Decimal("12.10"), Decimal("12.10"))


@pytest.mark.parametrize("cents", [1210, 1211, 10**9])
def test_a_bound_at_or_above_the_best_plan_is_its_proof_and_is_told_as_its_net(cents: int) -> None:
    found, watch = standing(problem(tax="8"), 1210)
    assert not found.announce(cents * CENT)
    assert found.closed
    assert watch.bound == watch.best == Decimal("12.10")


def test_a_bound_within_a_cent_of_rounding_is_not_told_above_the_plan() -> None:
    # With a tax that is rounded once, 1210.3 may become 12.10: nothing better, and no higher bound.
    found, watch = standing(problem(tax="8"), 1210)
    found.announce(int(Decimal("1210.3") * CENT))
    assert watch.bound is not None
    assert watch.bound <= Decimal("12.10")


def test_a_lower_bound_is_told_as_it_is_and_proves_nothing() -> None:
    found, watch = standing(problem(tax="8"), 1210)
    assert found.announce(1100 * CENT)
    assert not found.closed
    assert watch.bound == Decimal("11.00")
    assert not watch.near_enough()


def test_where_all_boards_cost_alike_the_bound_is_a_whole_number_of_boards() -> None:
    # Boards of 6.05: no plan costs between 6.05 and 12.10.
    found, watch = standing(problem(), 1815)
    assert found.announce(606 * CENT)
    assert watch.bound == Decimal("12.10")
    assert found.hopeful(1210 * CENT)
    assert not found.hopeful(1211 * CENT)


def test_a_bound_comes_before_there_is_a_plan() -> None:
    found, watch = standing(problem())
    assert found.announce(606 * CENT)
    assert (watch.best, watch.bound) == (None, Decimal("12.10"))


def test_a_plan_that_lacks_parts_is_never_told_nor_proven() -> None:
    found, watch = standing(problem())
    found.consider(counts(605, missing=1))
    assert found.missing
    assert not found.short  # it is the best found, no more
    assert not found.announce(None)
    assert (watch.best, watch.bound) == (None, None)
    assert found.short


def test_all_searched_is_a_proof() -> None:
    found, watch = standing(problem(), 1210)
    assert not found.announce(None)
    assert watch.near_enough()
    assert watch.bound == Decimal("12.10")


@pytest.mark.parametrize(("linear", "few"), [(1300, True), (610, True), (600, False)])
def test_boards_that_cost_alike_leave_few_costs_below_a_plan(linear: int, few: bool) -> None:
    found, _ = standing(problem(), 6655)
    assert found.few_steps_from(linear) is few


def test_where_every_cent_is_a_cost_a_plan_is_seldom_few_costs_from_the_bound() -> None:
    found, _ = standing(problem(tax="8"), 1815)
    assert found.few_steps_from(1813)
    assert not found.few_steps_from(1800)


def test_a_plan_that_lacks_parts_is_improved_to_one_that_lacks_none() -> None:
    of = problem()
    found, watch = standing(of)
    (table,) = (CuttingTables(of, lumber, Rounding.FOR_PLANS) for lumber in of.by_lumber)
    columns = spare_patterns([table], np.array([500 * CENT]), watch)
    found.consider(counts(10**9, missing=4))
    found.improve(columns, nodes=100)
    assert not found.missing
    assert found.net == Decimal("12.10")


def test_counts_within_a_share_of_the_best_are_not_said_to_be_the_best() -> None:
    of = problem()
    found, watch = standing(of)
    (table,) = (CuttingTables(of, lumber, Rounding.FOR_PLANS) for lumber in of.by_lumber)
    columns = spare_patterns([table], np.array([500 * CENT]), watch)
    pending = found.begin_to_solve(columns, nodes=100, within=0.5)
    assert not found.net
    assert not pending.wait().complete
    assert pending.wait() is pending.wait()
    assert found.net <= 2 * Decimal("12.10")
    assert found.solve(columns, nodes=100).complete
    assert found.net == Decimal("12.10")


@pytest.mark.parametrize("after", [1, 2, 3])
def test_a_long_search_tells_its_bound_meanwhile_and_begins_anew_once(after: int) -> None:
    """It is complete ``after`` so many times."""
    of, events = problem(tax="8"), list[str]()  # so that every cent is a cost
    found, watch = standing(of, 1210)
    bounds = [900.0, 1000.0, 1100.0]

    def run(below: float, nodes: int) -> Attempt:
        events.append("branches")
        done = events.count("branches")
        assert nodes == LEARNT
        return Attempt(whole=None, bound=bounds[done - 1], complete=done == after)

    search = Mock(run=run, restart=lambda: events.append("anew"))
    with patch("optimizer.search.standing.BranchAndBound", return_value=search):
        rounded = RoundedRows(FirstRows(of).least)
        attempt = found.choose([], rounded, nodes=10 * LEARNT, below=1300 * CENT)
    assert attempt.complete
    assert events.count("branches") == after
    assert events[1 : min(after, 2)] == ["anew"] * (after > 1)
    assert events.count("anew") == (after > 1)
    told = Fraction(bounds[after - 2]) - Fraction(1, 2) if after > 1 else None
    assert watch.bound == (None if told is None else as_money(told, of.rounded_sums, found.step))
