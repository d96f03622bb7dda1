"""Closing the gap: what few branches leave open is said to be open."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any
from unittest.mock import Mock

import pytest

from optimizer.job.parts import Make
from optimizer.search.answers import Attempt, Pending, Whole
from optimizer.search.better_plans import BetterPlans, grown
from optimizer.search.branching import Branching
from optimizer.search.closing import FEW, IN_VAIN, LONG_IN_VAIN, SOME_NODES, Closing
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.levels import Levels
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, Pattern, Segment, Strip
from optimizer.search.raising import Raising
from optimizer.search.searching import close_gap
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents
from tests.shop_floor import bare_shop, book, part, posed, sold


def closing_of(seed: int, look_elsewhere: Callable[[float], None] | None = None) -> Closing:
    problem, watch = drawn_problem(seed), Watch(seconds=60)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    programme, root = grown(problem, tables, tables, standing)
    branching = Branching(problem, tables, tables, standing, watch)
    better = BetterPlans(problem, tables, programme, root, standing, close_gap, branching.run)
    if pending := better.first():
        pending.wait()
    return Closing(problem, tables, standing, watch, programme, root, look_elsewhere)


def closed(
    seed: int, look_elsewhere: Callable[[float], None] | None = None
) -> tuple[bool, Standing]:
    closing = closing_of(seed, look_elsewhere)
    return closing.run(), closing.standing


@pytest.mark.parametrize("seed", [16, 22, 27, 37, 55])
def test_without_branches_it_stays_open_and_with_them_it_ends(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The least cost is that of an independent formulation in CP-SAT."""
    least, half_a_cent = least_cents(seed), Fraction(1, 2)

    with monkeypatch.context() as patched:
        for nodes in ("MOST_NODES", "SOME_NODES"):
            patched.setattr(f"optimizer.search.closing.{nodes}", 0)
        done, standing = closed(seed)
    assert not done
    assert standing.watch.bound is not None
    assert Fraction(standing.watch.bound) * 100 <= least + half_a_cent

    done, standing = closed(seed)
    assert done
    assert abs(Fraction(standing.net) * 100 - least) <= half_a_cent


def test_what_rows_and_few_patterns_close_needs_no_search_of_a_list(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The least cost is that of an independent formulation in CP-SAT."""
    for nodes in ("MOST_NODES", "SOME_NODES"):
        monkeypatch.setattr(f"optimizer.search.closing.{nodes}", 0)
    done, standing = closed(9)
    assert done
    assert abs(Fraction(standing.net) * 100 - least_cents(9)) <= Fraction(1, 2)


@pytest.mark.parametrize("only_a_plan_lacks", [True, False])
def test_where_only_a_plan_lacks_the_integer_solver_is_asked(
    monkeypatch: pytest.MonkeyPatch, only_a_plan_lacks: bool
) -> None:
    asked: list[str] = []
    for name in ("solve", "choose"):
        right = getattr(Standing, name)

        def told(
            standing: Standing, *args: Any, name: str = name, right: Any = right, **more: Any
        ) -> Attempt:
            if more.get("below") is not None:
                asked.append(name)
            attempt: Attempt = right(standing, *args, **more)
            return attempt

        monkeypatch.setattr(Standing, name, told)
    monkeypatch.setattr(Standing, "few_steps_from", lambda standing, linear: only_a_plan_lacks)
    done, _ = closed(22)
    assert done
    assert set(asked) == {"solve" if only_a_plan_lacks else "choose"}


def test_where_the_solver_is_ended_before_it_has_a_bound_the_search_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    attempt = Attempt(whole=None, bound=-float("inf"), complete=False)
    monkeypatch.setattr(Standing, "choose", lambda *args, **more: attempt)
    done, standing = closed(22)
    assert not done
    assert standing.open


@pytest.mark.parametrize(("complete", "looked"), [(False, 1), (True, 0)])
def test_better_plans_are_looked_for_elsewhere_once_and_only_where_lists_are_too_long(
    monkeypatch: pytest.MonkeyPatch, complete: bool, looked: int
) -> None:
    monkeypatch.setattr(Levels, "complete", property(lambda levels: complete))
    monkeypatch.setattr("optimizer.search.closing.NEAR_ENOUGH", -1.0)
    for module in ("closing", "raising"):  # no rows are worth it
        monkeypatch.setattr(f"optimizer.search.{module}.WORTH_ANOTHER", 10.0)
    monkeypatch.setattr("optimizer.search.closing.SOME_NODES", 0)  # nor does a short search serve
    optima: list[float] = []
    done, standing = closed(16, optima.append)
    assert len(optima) == looked
    assert all(optimum <= least_cents(16) for optimum in optima)
    assert done
    assert abs(Fraction(standing.net) * 100 - least_cents(16)) <= Fraction(1, 2)


@pytest.mark.parametrize(
    ("complete", "near_enough", "again"),
    [(True, 1.0, False), (True, -1.0, True), (False, 1.0, True)],
)
def test_the_nearest_patterns_are_tried_again_unless_the_search_of_lists_is_sooner(
    monkeypatch: pytest.MonkeyPatch, complete: bool, near_enough: float, again: bool
) -> None:
    closing = closing_of(16)
    closing.begin()
    closing._few_patterns._tried = {
        next(column.key for column in closing.raising.programme.columns)
    }
    monkeypatch.setattr(Levels, "complete", property(lambda levels: complete))
    monkeypatch.setattr("optimizer.search.closing.NEAR_ENOUGH", near_enough)
    assert bool(closing._new_nearest()) == again


def test_where_only_a_plan_lacks_the_solver_alone_looks_among_the_nearest(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    closing, asked = closing_of(16), list[str]()
    closing.begin()
    monkeypatch.setattr(closing, "_new_nearest", lambda: closing.raising.programme.columns)
    monkeypatch.setattr(closing, "_few_searched", lambda: False)
    for name in ("begin", "search"):
        monkeypatch.setattr(
            closing._few_patterns, name, lambda columns, name=name: asked.append(name)
        )
    for closing._only_a_plan_lacks in (True, False):
        closing._go_on(nearest=True)
    assert asked == ["begin", "search"]


@pytest.mark.parametrize("found", [True, False])
def test_the_second_plan_is_waited_for_only_where_none_is_near_the_optimum(
    monkeypatch: pytest.MonkeyPatch, found: bool
) -> None:
    closing, events = closing_of(16), list[str]()
    pending = Pending(wait=lambda: events.append("waited"), stop=Mock())  # type: ignore[arg-type]
    left = None if found else pending
    monkeypatch.setattr(closing._few_patterns, "search", lambda columns, parts, pending: left)
    monkeypatch.setattr(closing, "list_at_root", lambda: events.append("lists"))
    monkeypatch.setattr(closing, "_lengthen", lambda: events.append("lengthened"))
    monkeypatch.setattr(closing, "_go_on", lambda nearest: events.append("gone on"))
    closing.begin(pending)
    assert events == ["lists", *(["lengthened"] if found else ["waited", "gone on"])]
    assert closing._few_patterns.tried == found


@pytest.mark.parametrize("far_at_first", [True, False])
def test_before_lists_are_searched_rows_are_looked_for_beside_even_if_the_plan_was_far(
    monkeypatch: pytest.MonkeyPatch, far_at_first: bool
) -> None:
    closing, beside = closing_of(16), list[Raising]()
    closing.begin()
    monkeypatch.setattr("optimizer.search.closing.WORTH_ANOTHER", 10.0)  # rows gain nothing
    monkeypatch.setattr(Raising, "by_rows_beside", lambda raising, _: beside.append(raising))
    monkeypatch.setattr(Levels, "rise", lambda levels, prices, beyond: [])
    monkeypatch.setattr(Closing, "_few_listed", lambda closing: False)
    far = iter([far_at_first])
    monkeypatch.setattr(Closing, "_far", lambda closing, *share: next(far, False))
    closing._settled = True
    closing._go_on(nearest=False)
    assert len(beside) == closing._stuck == (not far_at_first)
    if far_at_first:
        closing._go_on(nearest=False)
        assert len(beside) == closing._stuck == 1


@pytest.mark.parametrize(("short", "in_vain"), [(True, IN_VAIN), (False, LONG_IN_VAIN)])
def test_the_longer_the_lists_the_longer_rows_are_looked_for_beside(
    monkeypatch: pytest.MonkeyPatch, short: bool, in_vain: int
) -> None:
    closing, asked = closing_of(16), list[int]()
    closing.begin()
    monkeypatch.setattr("optimizer.search.closing.WORTH_ANOTHER", 10.0)  # rows gain nothing
    monkeypatch.setattr("optimizer.search.closing.FEW", 10**9 if short else -1)
    monkeypatch.setattr(Raising, "by_rows_beside", lambda _, most: asked.append(most))
    monkeypatch.setattr(Levels, "rise", lambda levels, prices, beyond: [])
    monkeypatch.setattr(Levels, "complete", True)
    monkeypatch.setattr(Closing, "_few_listed", lambda closing: False)
    monkeypatch.setattr(Closing, "_far", lambda closing, *share: False)
    closing._settled = True
    closing._go_on(nearest=False)
    assert asked == [in_vain]


@pytest.mark.parametrize("found", [True, False])
def test_few_patterns_are_searched_before_lists_are_made_longer(
    monkeypatch: pytest.MonkeyPatch, found: bool
) -> None:
    closing, done = closing_of(16), list[str]()
    closing.begin()
    monkeypatch.setattr(Levels, "complete", property(lambda levels: False))
    monkeypatch.setattr(Levels, "nearest", lambda levels, prices, bound, most: ([], bound + 1))

    def search(_: object, columns: object, level: int, nodes: int) -> Attempt:
        done.append("few searched")
        closing.standing.net -= found
        return Attempt(whole=None, bound=0.0, complete=False)

    def rise_on(_: object, prices: object) -> list[Column]:
        done.append("lists longer")
        return []

    monkeypatch.setattr(Closing, "_best_of", search)
    monkeypatch.setattr(Levels, "rise_on", rise_on)
    assert closing._helped_otherwise(0) == found
    assert done == (["few searched"] if found else ["few searched", "lists longer"])


def test_lists_at_the_root_are_made_once_and_below_a_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    begun = list[Closing]()
    monkeypatch.setattr(Levels, "begin", lambda levels, *_: begun.append(levels))
    closing = closing_of(16)
    closing.list_at_root()
    closing.begin()
    assert begun == [closing.levels]
    without = closing_of(16)
    without.standing.whole = None
    without.list_at_root()
    assert len(begun) == 1


@pytest.mark.parametrize("complete", [True, False])
@pytest.mark.parametrize("bound", [7, -7])
def test_what_a_search_of_few_patterns_proves_is_told_once_if_it_came_to_its_end(
    monkeypatch: pytest.MonkeyPatch, complete: bool, bound: int
) -> None:
    """A plan may cost less than nothing: what it leaves on the rack may be worth more."""
    closing, told, searched = closing_of(16), list[int](), list[int]()
    closing.begin()

    def best_of(_: object, columns: object, level: int, nodes: int) -> Attempt:
        searched.append(level)
        return Attempt(whole=None, bound=float("-inf"), complete=complete)

    def announce(_: object, cost: int) -> bool:
        told.append(cost)
        return True

    monkeypatch.setattr(Levels, "shorten", lambda levels, prices: bound)
    monkeypatch.setattr(Levels, "nearest", lambda levels, prices, least, most: ([], least + 1))
    monkeypatch.setattr(Levels, "lowest", bound + 1)
    monkeypatch.setattr(Closing, "_best_of", best_of)
    monkeypatch.setattr(Standing, "announce", announce)
    assert not closing._searched(FEW, SOME_NODES)
    assert not closing._searched(FEW, SOME_NODES)
    assert told == ([bound + 1] if complete else [])
    assert searched == [bound + 1] * (1 if complete else 2)


def test_of_pairs_all_that_a_plan_uses_counts() -> None:
    """Three copies in pairs: two blanks, of which one 2x8 holds both; two 2x4 are dearer."""
    stock = book(
        sold("1 1/2 x 7 1/4 x 96", "10.00"), sold("1 1/2 x 3 1/2 x 96", "6.00"), shop=bare_shop()
    )
    problem = posed(stock, part("1 1/2 x 3 x 40", count=3, pairs=True, make=Make.SOLID))
    two = next(r for r, way in enumerate(problem.ways[0]) if way.copies == 2)
    ((kind, _),) = problem.ways[0][two].blanks
    narrow = next(s for s, supply in enumerate(problem.supplies) if supply.width == Fraction(7, 2))
    strip = Strip(Fraction(7, 2), (kind,))
    pattern = Pattern(narrow, (Segment(problem.kinds[kind].length, (strip,)),))
    poor = Whole(
        boards=((Column(pattern, pattern.counts(), 600 * CENT_PARTS), 2),),
        made={(0, two): 2},
        missing=(0,),
        cost=1200.0,
    )
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    watch = Watch(seconds=60)
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    programme, root = grown(problem, tables, tables, standing)
    standing.consider(poor)
    assert Closing(problem, tables, standing, watch, programme, root).run()
    assert standing.net == 10
