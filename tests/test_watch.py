"""When a search ends, and what is told meanwhile."""

from __future__ import annotations

from decimal import Decimal

import pytest

from optimizer.search.watch import Beyond, InSteps, Watch, Within

Told = list[tuple[Decimal | None, Decimal | None]]


def money(text: str) -> Decimal:
    return Decimal(text)


def test_a_fresh_watch_lets_the_search_run() -> None:
    assert not Watch().over()


def test_it_ends_when_the_user_says_so() -> None:
    watch = Watch()
    watch.stop()
    assert watch.over()
    assert not watch.near_enough()


def test_it_ends_when_the_seconds_are_over() -> None:
    assert Watch(seconds=-1).over()


@pytest.mark.parametrize(
    ("gap_percent", "best", "bound", "near"),
    [
        ("0", "20.00", "19.99", False),
        ("0", "20.00", "20.00", True),
        ("1", "20.00", "19.79", False),
        ("1", "20.00", "19.80", True),
    ],
)
def test_it_ends_within_the_wished_gap(gap_percent: str, best: str, bound: str, near: bool) -> None:
    watch = Watch(gap_percent=money(gap_percent))
    watch.found(money(best))
    assert not watch.over()
    watch.proved(money(bound))
    assert watch.near_enough() is near
    assert watch.over() is near


def test_only_what_is_better_is_told() -> None:
    told: Told = []
    watch = Watch(tell=lambda best, bound: told.append((best, bound)))
    watch.proved(money("15.00"))
    watch.found(money("20.00"))
    watch.found(money("21.00"))
    watch.found(money("20.00"))
    watch.proved(money("14.00"))
    watch.found(money("18.00"))
    assert told == [
        (None, money("15.00")),
        (money("20.00"), money("15.00")),
        (money("18.00"), money("15.00")),
    ]
    assert (watch.best, watch.bound) == (money("18.00"), money("15.00"))


def test_a_part_of_a_search_has_a_bound_of_its_own_and_ends_with_the_whole() -> None:
    whole = Watch(seconds=60)
    part = Within(within=whole)
    part.found(money("20.00"))
    assert (whole.best, part.over()) == (None, False)
    part.proved(money("20.00"))
    assert part.over()
    assert not whole.over()
    other = Within(within=whole)
    assert 0 < other.left() <= 60
    whole.stop()
    assert other.over()


def test_a_small_part_ends_after_so_many_steps_or_with_the_whole() -> None:
    whole = Watch(seconds=60)
    part = InSteps(within=whole, steps=3)
    assert [part.over() for _ in range(4)] == [False, False, False, True]
    assert part.spent()
    assert not whole.over()
    solved = InSteps(within=whole, steps=3)
    solved.worked(3)
    assert solved.over()
    other = InSteps(within=whole, steps=3)
    whole.stop()
    assert other.over()
    assert not other.spent()


def test_what_is_looked_for_beyond_a_proof_goes_on_to_the_end() -> None:
    whole = Watch(seconds=60, best=money("20.00"), bound=money("20.00"))
    assert whole.over()
    assert not Beyond(within=whole).over()
    whole.stop()
    assert Beyond(within=whole).over()
