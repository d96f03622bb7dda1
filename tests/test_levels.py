"""Lists that are too short for all patterns: they prove less, and never too much."""

from __future__ import annotations

import random
from collections.abc import Callable
from fractions import Fraction

import pytest

from optimizer.search import closing, company, levels
from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.levels import Levels
from optimizer.search.pricing import Prices
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.benchmarks.cutting_stock import Valued, ValuedPlate
from tests.benchmarks.measure import solved
from tests.drawn_jobs import drawn_problem

NEAR, MOST_LISTED, FEW, SECONDS = 30, 2_000, 50, 3.0


def drawn_plate(seed: int) -> ValuedPlate:
    """A plate and what may come out of it; so many patterns are near the best that lists grow."""
    chance = random.Random(seed)
    length, width = chance.randint(60, 140), chance.randint(60, 140)
    items = tuple(
        Valued(
            chance.randint(length // 8, length // 2),
            chance.randint(width // 8, width // 2),
            chance.randint(100, 900),
            chance.randint(1, 4),
        )
        for _ in range(chance.randint(8, 28))
    )
    return ValuedPlate(
        name=f"plate {seed}", length=length, width=width, items=items, along=0, across=0
    )


@pytest.mark.parametrize("seed", [13, 18, 24, 32, 33])
def test_no_bound_by_short_lists_is_above_a_plan(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    plate = drawn_plate(seed)
    stock, job = plate.books()
    best = solved(stock, job, 60, plate.lay_ups(job)).plan
    monkeypatch.setattr(closing, "NEAR", NEAR)
    monkeypatch.setattr(levels, "MOST_LISTED", MOST_LISTED)
    monkeypatch.setattr(closing, "MOST_LISTED", MOST_LISTED)
    monkeypatch.setattr(closing, "FEW", FEW)
    monkeypatch.setattr(company, "MANY", 1)
    other = solved(stock, job, SECONDS, plate.lay_ups(job)).plan
    assert best is not None
    assert other is not None
    assert other.bound <= best.cost.net
    assert best.bound <= other.cost.net


def levels_at_root(seed: int) -> tuple[Levels, Programme, Callable[[], Prices]]:
    """Levels below a plan that is five percent too dear, the programme, and its prices."""
    problem, watch = drawn_problem(seed), Watch(seconds=600)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    root = grow(problem, tables, programme, watch)
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    none = (0,) * len(problem.copies)
    plan = Whole(boards=(), made={}, missing=none, cost=1.05 * root.value)
    standing.consider(plan)

    def prices() -> Prices:
        linear = programme.solve_linear()
        return Prices(problem, programme.first, programme.rounded, linear)

    return Levels(tables, standing, watch), programme, prices


def rising_levels(seed: int) -> tuple[Levels, Programme, Callable[[], Prices]]:
    """The same, where the programme has rounded rows."""
    rising, programme, prices = levels_at_root(seed)
    assert programme.round_off(40)
    return rising, programme, prices


@pytest.mark.parametrize("seed", [11, 15, 17, 18])
def test_all_patterns_are_listed_together_or_of_each_lumber_as_far_as_it_goes(seed: int) -> None:
    rising, _, prices = levels_at_root(seed)
    rising.begin(prices(), 0, together=MOST_LISTED)
    assert rising.complete
    counts, top = [sum(map(len, lists)) for lists in rising.lists], rising.of_lumbers[0]
    few, many = sorted(counts)
    assert few < many
    short, _, prices = levels_at_root(seed)
    short.begin(prices(), few, together=few + many - 1)
    assert not short.complete
    for lists, reached, count in zip(short.lists, short.of_lumbers, counts, strict=True):
        assert (reached == top) == (count == few)
        assert sum(map(len, lists)) <= few


@pytest.mark.parametrize("seed", [2, 5, 9])
def test_a_list_that_was_too_long_once_is_tried_again_at_other_worths(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rising, programme, prices = rising_levels(seed)
    with monkeypatch.context() as short:
        short.setattr(levels, "MOST_LISTED", 0)
        short.setattr(levels, "MOST_AT_LAST", 0)
        programme.add(rising.rise(prices(), beyond=lambda: True))
    while fresh := rising.rise(prices(), beyond=lambda: True):
        programme.add(fresh)
    assert rising.complete


@pytest.mark.parametrize("seed", [2, 5, 9])
def test_longer_lists_raise_at_last_what_lagged_behind(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rising, programme, prices = rising_levels(seed)
    while fresh := rising.rise(prices(), beyond=lambda: False):
        programme.add(fresh)
    with monkeypatch.context() as short:
        short.setattr(levels, "MOST_LISTED", 2)
        assert not rising.rise(prices(), beyond=lambda: True)
    before = [*rising.of_lumbers]
    with monkeypatch.context() as unknown:  # whether a pattern costs less than it brings
        unknown.setattr(Levels, "_all_listed", lambda *_: None)
        assert not rising.rise_on(prices())
    assert rising.of_lumbers == before
    assert not rising.complete
    assert not rising.rise_on(prices())
    assert rising.complete


@pytest.mark.parametrize("seed", [2, 5, 9])
def test_where_lists_are_too_long_the_most_promising_patterns_join(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """None of them costs more than it brings, and with them alone the optimum comes as low."""
    rising, programme, prices = rising_levels(seed)
    other, all_listed, at_all = rising_levels(seed)
    while fresh := other.rise(at_all(), beyond=lambda: False):
        all_listed.add(fresh)
    monkeypatch.setattr(Levels, "_all_listed", lambda *_: None)
    while fresh := rising.rise(prices(), beyond=lambda: False):
        assert (prices().of_columns(fresh) < 0).all()
        programme.add(fresh)
    assert programme.solve_linear().value == pytest.approx(all_listed.solve_linear().value)


@pytest.mark.parametrize("seed", [10, 11, 17])
@pytest.mark.parametrize("on", [False, True])
def test_no_level_rises_past_a_lumber_whose_patterns_cost_less_than_they_bring(
    seed: int, on: bool
) -> None:
    """A list made at other worths does not tell what the others bring at these."""
    problem, watch = drawn_problem(seed), Watch(seconds=600)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    assert len(tables) == 2
    programme = Programme(problem)
    linear = grow(problem, tables[:1], programme, watch)  # of the other lumber nothing is cut yet
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    plan = Whole(boards=(), made={}, missing=(0,) * len(problem.copies), cost=1.05 * linear.value)
    standing.consider(plan)
    prices = Prices(problem, programme.first, programme.rounded, linear)
    rising = Levels(tables, standing, watch)
    rising.of_lumbers[1] = prices.of_rows() + 1  # as if listed so far at other worths
    fresh = rising.rise_on(prices) if on else rising.rise(prices, beyond=lambda: True)
    assert fresh
    assert {column.pattern.supply for column in fresh} <= set(tables[1].supplies)
    assert rising.of_lumbers[0] <= prices.of_rows()
