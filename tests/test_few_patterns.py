"""Plans by the patterns nearest to the optimum: hardly dearer ones first."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from unittest.mock import Mock

import pytest

from optimizer.search.answers import Attempt, Pending
from optimizer.search.better_plans import grown
from optimizer.search.board_by_board import plan_board_by_board
from optimizer.search.cutting import CuttingTables
from optimizer.search.few_patterns import FIRST_PARTS, PARTS, SOON, FewPatterns
from optimizer.search.grid import Rounding
from optimizer.search.levels import Levels
from optimizer.search.raising import Raising
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from stock.prices import to_cent
from tests.drawn_jobs import drawn_problem, least_cents


def few_patterns(seed: int) -> FewPatterns:
    """Below the plan made at once, with the patterns of the linear optimum."""
    problem, watch = drawn_problem(seed), Watch(seconds=60)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    standing = Standing(problem, lambda whole: to_cent(Fraction(whole.cost) / 100), watch)
    standing.consider(plan_board_by_board(problem, tables))
    programme, root = grown(problem, tables, tables, standing)
    raising = Raising(problem, tables, Levels(tables, standing, watch), standing, watch, root)
    raising.add(programme.columns)
    return FewPatterns(raising, standing)


@pytest.mark.parametrize("seed", [16, 22, 27])
def test_it_betters_the_plan_made_at_once(seed: int) -> None:
    """The least cost is that of an independent formulation in CP-SAT."""
    few = few_patterns(seed)
    before, least = few.standing.net, least_cents(seed)
    assert Fraction(before) * 100 > least
    assert few.search(few.columns()) is None
    assert least - Fraction(1, 2) <= Fraction(few.standing.net) * 100
    assert few.standing.net < before


def test_the_nearest_are_tried_again_only_if_enough_are_new() -> None:
    few = few_patterns(16)
    assert not few.tried
    tried = few.columns()
    assert few.tried
    assert tried
    assert {column.key for column in tried} <= few.standing.tried.keys()
    assert not few.columns()
    few.forget()
    assert few.columns() == tried


@pytest.mark.parametrize("parts", [FIRST_PARTS, PARTS])
@pytest.mark.parametrize("at", [0, 1, 2, None])
@pytest.mark.parametrize("takes", ["few branches", "many", "too many"])
@pytest.mark.parametrize("has_pending", [True, False])
def test_plans_hardly_dearer_are_looked_for_first_and_the_solver_looks_beside_many_branches(
    monkeypatch: pytest.MonkeyPatch,
    parts: Sequence[float],
    at: int | None,
    takes: str,
    has_pending: bool,
) -> None:
    """A plan lies in the part of this index, or in none; that takes so many branches."""
    few, events = few_patterns(16), list[str]()
    linear, gap, net = few.raising.linear.value, few.raising.gap(), few.standing.net
    last = len(parts) - 1 if at is None else at

    def run(below: float, nodes: int) -> Attempt:
        events.append("few" if nodes == SOON else "many")
        now = events.count("few") - 1
        assert below == pytest.approx(linear + parts[now] * gap, abs=1)
        ends = now < last or takes == "few branches" or (takes == "many" and nodes > SOON)
        if ends and now == at:
            few.standing.net = net - Decimal("0.01")
        return Attempt(whole=None, bound=below, complete=ends)

    def begun(*args: object, **more: object) -> Pending:
        events.append("begun")
        return looking

    looking = Pending(wait=Mock(), stop=lambda: events.append("stopped"))
    search = Mock(run=run, restart=lambda: events.append("anew"))
    monkeypatch.setattr(few.standing, "search_of", lambda columns, rounded: search)
    monkeypatch.setattr(few.standing, "begin_to_solve", begun)
    left = few.search([], parts, looking if has_pending else None)

    expected = ["few", "anew"] * last + ["few"]
    if takes != "few branches":
        expected += [*["begun"] * (not has_pending), "many"]
    ended = takes != "too many"
    expected += ["anew"] * (ended and at is None)
    settled = ended and (at is not None or parts is PARTS)
    looked = has_pending or "begun" in expected
    assert events == expected + ["stopped"] * (settled and looked)
    assert left is (looking if looked and not settled else None)
