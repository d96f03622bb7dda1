"""Which count to branch on: by what its halves cost, tried or foretold."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from optimizer.search.solver import NOTHING
from optimizer.search.trials import IN_VAIN, MOST_TRIED, RELIABLE, Trials

HALVES: Mapping[str, tuple[float, float]] = {
    "oak": (101, 120),
    "ash": (110, 111),
    "elm": (100, 190),
}
"""What the lower and the upper half of each count cost, where the optimum costs 100."""


class Tried:
    """Costs of halves, and which were asked for."""

    def __init__(self, halves: Mapping[str, tuple[float, float]]) -> None:
        self.halves = halves
        self.asked: list[tuple[str, bool]] = []

    def __call__(self, count: str, upper: bool) -> float:
        self.asked.append((count, upper))
        return self.halves[count][upper]


def test_that_whose_halves_both_raise_the_cost_is_chosen() -> None:
    tried = Tried(HALVES)
    chosen = Trials[str]().choose(dict.fromkeys(HALVES, 0.5), 100, 1000, tried)
    assert chosen == "ash"  # 10 times 11 is more than 1 times 20, and 0 times 90


def test_a_second_half_that_may_not_make_it_better_than_the_best_is_not_tried() -> None:
    halves = {"ash": (110, 111), "elm": (101, 190), "oak": (102, 190)}
    tried = Tried(halves)
    chosen = Trials[str]().choose(dict.fromkeys(halves, 0.5), 100, 200, tried)
    assert chosen == "oak"  # 2 times 90 is more than 10 times 11; of elm 1 times 100 is not
    assert [key for key, _ in tried.asked] == ["ash", "ash", "elm", "oak", "oak"]


def test_the_half_foretold_to_gain_less_is_tried_first() -> None:
    trials, tried = Trials[str](), Tried({"oak": (150, 101)})
    for value in (0.5, 0.25, 0.01):
        trials.choose({"oak": value}, 100, 1000, tried)
    assert tried.asked[2:] == [("oak", True), ("oak", False), ("oak", False), ("oak", True)]


def test_what_lies_beyond_the_cutoff_counts_no_more_than_that() -> None:
    halves = {"oak": (102, 900), "ash": (104, 108)}
    chosen = Trials[str]().choose(dict.fromkeys(halves, 0.5), 100, 110, Tried(halves))
    assert chosen == "ash"  # 4 times 8; oak 2 times 10


def test_a_half_that_holds_nothing_ends_the_trials() -> None:
    tried = Tried({**HALVES, "oak": (NOTHING, 101)})
    assert Trials[str]().choose(dict.fromkeys(HALVES, 0.5), 100, 1000, tried) == "oak"
    assert tried.asked == [("oak", False), ("oak", True)]


def test_after_many_trials_it_is_foretold() -> None:
    trials, tried = Trials[str](), Tried({"oak": (103, 107)})
    for _ in range(RELIABLE // 2):
        trials.choose({"oak": 2.5}, 100, 1000, tried)
    assert len(tried.asked) == RELIABLE
    assert trials.choose({"oak": 7.25}, 500, 1000, tried) == "oak"
    assert len(tried.asked) == RELIABLE


def test_one_not_tried_yet_is_foretold_by_the_average_of_all() -> None:
    trials, halves = Trials[str](), {"oak": (150, 150), "ash": (101, 101), "elm": (101, 101)}
    for key in ("oak", "ash"):
        trials.choose({key: 2.5}, 100, 1000, Tried(halves))
    tried = Tried(halves)
    trials.choose(dict.fromkeys(("elm", "ash", "oak"), 2.5), 100, 1000, tried)
    assert list(dict.fromkeys(key for key, _ in tried.asked)) == ["oak", "elm", "ash"]


@pytest.mark.parametrize(
    ("gains", "trials"), [([1.0] * 20, 1 + IN_VAIN), (list(range(1, 21)), MOST_TRIED)]
)
def test_no_more_are_tried_than_may_serve(gains: list[float], trials: int) -> None:
    halves = {f"count {i:02}": (100 + gain, 100 + gain) for i, gain in enumerate(gains)}
    tried = Tried(halves)
    Trials[str]().choose(dict.fromkeys(halves, 0.5), 100, 1000, tried)
    assert len(tried.asked) == 2 * trials


def test_under_other_keys_counts_are_foretold_as_before() -> None:
    trials, tried = Trials[str](), Tried({"oak": (103, 107), "ash": (104, 105)})
    for key in tried.halves:
        trials.choose({key: 0.5}, 100, 1000, tried)
    assert trials.gain_of("oak") == pytest.approx(6 * 14, rel=1e-3)  # of a half moved 0.5
    trials.renumber({"oak": "elm"})
    assert trials.gain_of("elm") == pytest.approx(6 * 14, rel=1e-3)
    assert trials.gain_of("oak") == trials.gain_of("ash") == 0
