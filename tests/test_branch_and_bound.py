"""Branch and bound beside the integer solver, over the same patterns; HiGHS is the reference."""

from __future__ import annotations

import pytest

from optimizer.search.answers import Attempt, Whole
from optimizer.search.branch_and_bound import BranchAndBound
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.patterns import Column, distinct
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.rounded_rows import RoundedRows
from optimizer.search.solver import NOTHING
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme
from tests.drawn_jobs import drawn_problem

SEEDS = range(0, 40, 3)


def patterns(problem: Problem) -> tuple[list[Column], RoundedRows]:
    """Some hundred patterns, and rounded rows that gain over them."""
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme, watch = Programme(problem), Watch()
    root = grow(problem, tables, programme, watch)
    spare = spare_patterns(tables, root.blanks, watch)
    programme.add(distinct([*programme.columns, *spare])[len(programme.columns) :])
    for _ in range(3):
        programme.solve_linear()
        programme.round_off(40)
    return programme.columns, programme.rounded


def branched(
    problem: Problem,
    columns: list[Column],
    rounded: RoundedRows | None,
    *,
    below: float = float("inf"),
    nodes: int = 100_000,
) -> tuple[Attempt, list[Whole]]:
    programme, found = WholeProgramme(problem), list[Whole]()
    if rounded is not None:
        programme.lift(rounded)
    programme.add(columns)

    def better(whole: Whole) -> float:
        found.append(whole)
        return whole.cost - 0.5

    return BranchAndBound(programme, Watch(), better).run(below, nodes), found


@pytest.mark.parametrize("stay", [0, 3, 1_000])
@pytest.mark.parametrize("nodes", [1, 4, 20])
@pytest.mark.parametrize("seed", SEEDS)
def test_begun_anew_it_ends_at_the_same_cost(
    seed: int, nodes: int, stay: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many of the rows that only count stay."""
    monkeypatch.setattr("optimizer.search.branch_and_bound.STAY", stay)
    problem = drawn_problem(seed)
    columns, rounded = patterns(problem)
    programme, costs = WholeProgramme(problem), [NOTHING]
    programme.lift(rounded)
    programme.add(columns)

    def better(whole: Whole) -> float:
        costs.append(whole.cost - 0.5)
        return costs[-1]

    search = BranchAndBound(programme, Watch(), better)
    search.run(NOTHING, nodes)
    search.restart()
    attempt = search.run(costs[-1], 100_000)
    assert attempt.complete
    assert attempt.whole is not None
    assert attempt.whole.cost == pytest.approx(least_of(problem, columns), abs=0.5)


def least_of(problem: Problem, columns: list[Column]) -> float:
    programme = WholeProgramme(problem)
    programme.add(columns)
    attempt = programme.solve_whole(Watch(), nodes=100_000)
    assert attempt.complete
    assert attempt.whole is not None
    return attempt.whole.cost


@pytest.mark.parametrize("seed", SEEDS)
def test_it_ends_at_the_cost_of_the_integer_solver(seed: int) -> None:
    problem = drawn_problem(seed)
    columns, rounded = patterns(problem)
    least = least_of(problem, columns)
    for rows in (None, rounded):
        attempt, found = branched(problem, columns, rows)
        assert attempt.complete
        assert attempt.whole is found[-1]
        assert found[-1].cost == pytest.approx(least, abs=0.5)
        costs = [whole.cost for whole in found]
        assert costs == sorted(costs, reverse=True)


@pytest.mark.parametrize("seed", SEEDS)
def test_with_few_columns_known_at_a_time_it_ends_at_the_same_cost(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    problem = drawn_problem(seed)
    columns, rounded = patterns(problem)
    of_all, _ = branched(problem, columns, rounded)
    monkeypatch.setattr("optimizer.search.relaxation.KNOWN", 3)
    attempt, _ = branched(problem, columns, rounded)
    assert attempt.complete
    assert of_all.whole is not None
    assert attempt.whole is not None
    assert attempt.whole.cost == pytest.approx(of_all.whole.cost, abs=0.5)


@pytest.mark.parametrize("seed", SEEDS)
def test_cut_short_and_run_again_it_goes_on_where_it_stood(seed: int) -> None:
    problem = drawn_problem(seed)
    columns, _ = patterns(problem)
    at_once, _ = branched(problem, columns, None)
    programme = WholeProgramme(problem)
    programme.add(columns)
    search = BranchAndBound(programme, Watch(), lambda whole: whole.cost - 0.5)
    attempt = search.run(NOTHING, 1)
    while not attempt.complete:
        below = NOTHING if attempt.whole is None else attempt.whole.cost - 0.5
        attempt = search.run(below, 1)
    assert at_once.whole is not None
    assert attempt.whole is not None
    assert attempt.whole.cost == pytest.approx(at_once.whole.cost, abs=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_cut_short_its_bound_is_no_more_than_the_least_cost(seed: int) -> None:
    problem = drawn_problem(seed)
    columns, rounded = patterns(problem)
    least = least_of(problem, columns)
    for nodes in (0, 1, 2, 5):
        attempt, _ = branched(problem, columns, rounded, nodes=nodes)
        assert attempt.bound <= least + 1e-3


def test_where_counts_are_no_plan_after_all_what_lies_beside_them_stays_open() -> None:
    problem = drawn_problem(0)
    columns, rounded = patterns(problem)
    programme, costs = WholeProgramme(problem), list[float]()
    programme.lift(rounded)
    programme.add(columns)

    def none_is_better(whole: Whole) -> float:
        costs.append(whole.cost)
        return float("inf")

    attempt = BranchAndBound(programme, Watch(), none_is_better).run(float("inf"), 100_000)
    assert not attempt.complete
    assert attempt.bound <= min(costs)


@pytest.mark.parametrize("seed", [0, 12, 21])
def test_below_the_least_cost_there_is_nothing(seed: int) -> None:
    problem = drawn_problem(seed)
    columns, rounded = patterns(problem)
    least = least_of(problem, columns)
    attempt, found = branched(problem, columns, rounded, below=least - 0.5)
    assert attempt == Attempt(whole=None, bound=least - 0.5, complete=True)
    assert not found
    _, found = branched(problem, columns, rounded, below=least + 0.5)
    assert found[-1].cost == pytest.approx(least, abs=0.5)


def test_one_that_is_stopped_promises_nothing() -> None:
    problem = drawn_problem(0)
    columns, _ = patterns(problem)
    programme, watch = WholeProgramme(problem), Watch()
    programme.add(columns)
    watch.stop()
    attempt = BranchAndBound(programme, watch, lambda whole: whole.cost).run(float("inf"), 100)
    assert attempt == Attempt(whole=None, bound=-float("inf"), complete=False)


def test_where_plans_may_cost_less_than_nothing_nothing_is_proven_before_it_is_searched() -> None:
    problem = drawn_problem(0)
    columns, rounded = patterns(problem)
    attempt, _ = branched(problem, columns, rounded, below=-100.0, nodes=0)
    assert not attempt.complete
    assert attempt.bound == -float("inf")


def test_what_the_solver_does_not_come_to_an_end_with_stays_open(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    problem = drawn_problem(0)
    columns, rounded = patterns(problem)
    monkeypatch.setattr("optimizer.search.relaxation.run_linear", lambda *_: -NOTHING)
    attempt, found = branched(problem, columns, rounded)
    assert not attempt.complete
    assert attempt.bound == -float("inf")
    assert not found
