"""What another outdoes, or what cannot bring enough, is in no pattern within the gap."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from optimizer.search import company
from optimizer.search import programme as programme_module
from optimizer.search.company import Company
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.listed import Listed
from optimizer.search.listing import Listing
from optimizer.search.money import CENT_PARTS
from optimizer.search.pricing import Prices
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.upper_sums import UpperSums
from optimizer.search.watch import Watch
from tests.drawn_jobs import drawn_job
from tests.shop_floor import posed as posed_of

SEEDS = (0, 2, 3, 5, 7, 11)
ROUNDS = 3
WITHOUT_END = 10**6 * 100 * CENT_PARTS
MOST = 500_000


@pytest.fixture(autouse=True)
def even_few_pieces_are_compared_a_few_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(company, "MANY", 2)
    monkeypatch.setattr(company, "AT_ONCE", 7)
    monkeypatch.setattr(programme_module, "AT_ONCE", 50)


def everything(table: CuttingTables, prices: Prices) -> list[Listed]:
    """All patterns of a lumber but dominated ones, without a look at rounded rows."""
    budgets = np.full(len(table.supplies), WITHOUT_END)
    useful = prices.first.useful
    listing = Listing(table, prices.kinds, useful, MOST, Watch(seconds=600))
    return list(listing.lists(budgets))


def in_company(table: CuttingTables, prices: Prices, gap: int) -> list[Listed]:
    sums = fitting(prices, table)
    company, watch = Company.of(sums, gap), Watch(seconds=600)
    listing = Listing(table, sums.kinds, prices.first.useful, MOST, watch, company)
    return list(listing.lists(gap + sums.bonuses - sums.boards + listing.best))


def fitting(prices: Prices, table: CuttingTables) -> UpperSums:
    sums = UpperSums(prices, table)
    sums.fit()
    return sums


def within(lists: list[Listed], prices: Prices, gap: int) -> list[tuple[int, tuple[int, ...], int]]:
    """(supply, useful blanks, reduced cost) of patterns within the gap."""
    useful = prices.first.useful
    return [
        (listed.supply, tuple(np.minimum(counts, useful[list(listed.kinds)]).tolist()), int(cost))
        for listed in lists
        for counts, cost in zip(listed.counts, prices.of_lists([listed])[0], strict=True)
        if cost <= gap
    ]


def prices_of(
    problem: Problem, tables: list[CuttingTables], programme: Programme, lists: bool
) -> Prices:
    """At the optimum with rounded rows; with ``lists`` of all patterns, else of those grown."""
    while True:
        linear = programme.solve_linear()
        prices = Prices(problem, programme.first, programme.rounded, linear)
        if not lists:
            return prices
        joining = [
            column
            for table in tables
            for listed in everything(table, prices)
            for column in listed.columns(
                np.flatnonzero(prices.of_lists([listed])[0] < -CENT_PARTS // 100)
            )
        ]
        if not joining:
            return prices
        programme.add(joining[:200])


def posed(seed: int, pay: int = 0, pith: int = 0) -> tuple[Problem, list[CuttingTables], Programme]:
    """With pay for the time at the saw a board used up to the last tick spares a cut; out of boards
    from 5 in on so much ``pith`` is ripped.
    """
    stock, job = drawn_job(seed)
    shop = replace(stock.shop, pith_width=Fraction(pith), pith_from=Fraction(5))
    problem = posed_of(replace(stock, shop=shop), *job.parts)
    problem = replace(problem, shop=replace(shop, pay=Decimal(pay)))
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    grow(problem, tables, programme, Watch())
    return problem, tables, programme


def rounded(programme: Programme) -> None:
    for _ in range(ROUNDS):
        programme.round_off(20)
        programme.solve_linear()


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("pay", "pith"), [(0, 0), (30, 0), (0, 1), (30, 1)])
@pytest.mark.parametrize("dollars", [0, 0.5, 2, 10])
def test_no_pattern_within_the_gap_is_lost(seed: int, pay: int, pith: int, dollars: float) -> None:
    problem, tables, programme = posed(seed, pay, pith)
    rounded(programme)
    prices = prices_of(problem, tables, programme, lists=True)
    gap = int(dollars * 100 * CENT_PARTS)
    for table in tables:
        found = within(in_company(table, prices, gap), prices, gap)
        for supply, counts, cost in within(everything(table, prices), prices, gap):
            assert any(
                s == supply and c <= cost and all(np.array(n) >= np.array(counts))
                for s, n, c in found
            )


@pytest.mark.parametrize("pay", [0, 30])
@pytest.mark.parametrize("seed", SEEDS)
def test_the_lowest_reduced_cost_is_found_wherever_the_worths_come_from(
    seed: int, pay: int
) -> None:
    problem, tables, programme = posed(seed, pay)
    rounded(programme)
    prices = prices_of(problem, tables, programme, lists=False)
    for table in tables:
        lowest = min((c for _, _, c in within(everything(table, prices), prices, 0)), default=0)
        found = min((c for _, _, c in within(in_company(table, prices, 0), prices, 0)), default=0)
        assert found == lowest


def test_something_is_outdone_and_something_brings_too_little() -> None:
    """The rules above leave out a good part of what the plain sums and the bonus let through."""
    with_rules = without = 0
    for seed in SEEDS:
        problem, tables, programme = posed(seed)
        rounded(programme)
        prices = prices_of(problem, tables, programme, lists=True)
        for table in tables:
            useful = prices.first.useful
            sums = UpperSums(prices, table)
            plain = Listing(table, sums.kinds, useful, MOST, Watch(seconds=600))
            budgets = sums.bonuses - sums.boards + plain.best
            without += sum(map(len, plain.lists(budgets)))
            with_rules += sum(map(len, in_company(table, prices, 0)))
    assert with_rules < 0.8 * without
