"""Lists that are too short for all patterns: they prove less, and never too much."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from optimizer.search import closing, company, levels
from optimizer.search.answers import Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.levels import Levels
from optimizer.search.listed import Listed
from optimizer.search.pricing import Prices, within
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.benchmarks.cutting_stock import Valued, ValuedPlate
from tests.benchmarks.measure import solved
from tests.drawn_jobs import drawn_problem

NEAR, MOST_LISTED, FEW, SECONDS = 30, 2_000, 50, 3.0
PLENTY = 100_000
AT_ROOT = [17, 18, 29, 35]


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


def all_at_root(seed: int) -> tuple[Levels, Prices]:
    """The lists of all patterns below the plan."""
    rising, _, prices = levels_at_root(seed)
    root = prices()
    rising.begin(root, PLENTY)
    assert rising.complete
    return rising, root


@pytest.mark.parametrize("seed", AT_ROOT)
def test_at_the_root_as_many_are_listed_as_go_and_the_level_is_as_high(seed: int) -> None:
    """Of each lumber just those of the full list that cost no more than its level."""
    every, root = all_at_root(seed)
    few = min(len_of(lists) for lists in every.lists)
    short, _, _ = levels_at_root(seed)
    short.begin(root, few)
    assert not short.complete
    assert max(short.of_lumbers) == max(every.of_lumbers)
    bound = root.of_rows()
    for lumber, (lists, all_lists) in enumerate(zip(short.lists, every.lists, strict=True)):
        assert few / 2 < len_of(lists) <= few
        reached = short.of_lumbers[lumber] - bound
        nearest = within(root, all_lists, reached)
        assert {*costs_of(nearest, root)} <= {*costs_of(lists, root)}
        assert max(costs_of(lists, root)) <= reached


@pytest.mark.parametrize("seed", AT_ROOT)
def test_below_a_better_plan_all_patterns_are_listed_if_they_are_not_too_many(seed: int) -> None:
    every, root = all_at_root(seed)
    few, many = sorted(len_of(lists) for lists in every.lists)
    rising, _, _ = levels_at_root(seed)
    rising.begin(root, few)
    rising.complete_at(root, few)
    assert not rising.complete
    rising.complete_at(root, many)
    assert rising.complete
    assert len(rising) == len(every)


@pytest.mark.parametrize("seed", AT_ROOT)
def test_below_a_better_plan_patterns_beyond_the_gap_leave(seed: int) -> None:
    every, root = all_at_root(seed)
    standing = every.standing
    assert standing.whole is not None
    standing.consider(replace(standing.whole, cost=standing.whole.cost / 1.03))
    every.complete_at(root, PLENTY)
    cutoff = standing.cutoff()
    assert cutoff is not None
    beyond = cutoff + 1 - root.of_rows()
    fewer, _, _ = levels_at_root(seed)
    fewer.standing.consider(standing.whole)
    fewer.begin(root, PLENTY)
    assert 0 < max(costs_of(every.all, root)) <= beyond
    assert {*costs_of(fewer.all, root)} <= {*costs_of(every.all, root)}
    assert every.complete
    assert every.of_lumbers == fewer.of_lumbers


def len_of(lists: Sequence[Listed]) -> int:
    return sum(map(len, lists))


def costs_of(lists: Sequence[Listed], root: Prices) -> list[int]:
    """The reduced costs at the root."""
    return [int(cost) for costs in root.of_lists(lists) for cost in costs]


@pytest.mark.parametrize("seed", AT_ROOT)
def test_lists_cost_the_same_priced_all_at_once_or_one_by_one(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    every, root = all_at_root(seed)
    assert len(every.all) > 1
    together = costs_of(every.all, root)
    monkeypatch.setattr("optimizer.search.pricing.AT_ONCE", 1)
    assert costs_of(every.all, root) == together


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
def test_below_a_plan_close_to_the_bound_the_same_are_listed_at_once(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    listed: list[Counter[int]] = []
    for close in (0.0, levels.CLOSE):
        monkeypatch.setattr(levels, "CLOSE", close)
        rising, programme, prices = rising_levels(seed)
        while fresh := rising.rise(prices(), beyond=lambda: False):
            programme.add(fresh)
        best = rising.standing.whole
        assert best is not None
        raised = programme.solve_linear().value
        rising.standing.consider(replace(best, cost=1.001 * raised))
        assert not rising.complete
        with monkeypatch.context() as patched:
            if close:  # not to the bound first, and then beyond
                patched.delattr(Levels, "_beyond")
            assert not rising.rise(prices(), beyond=lambda: True)
        assert rising.complete
        listed.append(Counter(costs_of(rising.all, prices())))
    assert listed[0] == listed[1]
    assert len(listed[0]) > 1


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
@pytest.mark.parametrize(("on", "dearer"), [(False, 1.05), (False, 1.002), (True, 1.05)])
def test_no_level_rises_past_a_lumber_whose_patterns_cost_less_than_they_bring(
    seed: int, on: bool, dearer: float
) -> None:
    """A list made at other worths does not tell what the others bring at these."""
    problem, watch = drawn_problem(seed), Watch(seconds=600)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    assert len(tables) == 2
    programme = Programme(problem)
    linear = grow(problem, tables[:1], programme, watch)  # of the other lumber nothing is cut yet
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    plan = Whole(boards=(), made={}, missing=(0,) * len(problem.copies), cost=dearer * linear.value)
    standing.consider(plan)
    prices = Prices(problem, programme.first, programme.rounded, linear)
    rising = Levels(tables, standing, watch)
    rising.of_lumbers[1] = prices.of_rows() + 1  # as if listed so far at other worths
    fresh = rising.rise_on(prices) if on else rising.rise(prices, beyond=lambda: True)
    assert fresh
    assert {column.pattern.supply for column in fresh} <= set(tables[1].supplies)
    assert rising.of_lumbers[0] <= prices.of_rows()
