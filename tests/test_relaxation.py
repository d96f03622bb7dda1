"""Counts that need not be whole, held in boxes."""

from __future__ import annotations

import highspy
import numpy as np
import pytest

from optimizer.search.box import Box
from optimizer.search.relaxation import BASIC, Optimum, Relaxation
from optimizer.search.solver import NOTHING, copy_of, run_linear
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme
from tests.drawn_jobs import drawn_problem
from tests.test_branch_and_bound import SEEDS, patterns

NO_CUTOFF = float("inf")


def programme(seed: int) -> WholeProgramme:
    problem = drawn_problem(seed)
    columns, rounded = patterns(problem)
    made = WholeProgramme(problem)
    made.lift(rounded)
    made.add(columns)
    return made


def begun(seed: int) -> tuple[Relaxation, float]:
    relaxed = programme(seed).relaxed()
    return relaxed, relaxed.cost(relaxed.all, None, NO_CUTOFF)


@pytest.mark.parametrize("seed", SEEDS)
def test_whole_counts_cost_no_less(seed: int) -> None:
    attempt = programme(seed).solve_whole(Watch())
    assert attempt.whole is not None
    assert begun(seed)[1] <= attempt.whole.cost + 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_counted_are_blanks_and_boards_that_give_one_or_two_of_a_kind(seed: int) -> None:
    made = programme(seed)
    first, relaxed = made.first, made.relaxed()
    relaxed.cost(relaxed.all, None, NO_CUTOFF)
    values = relaxed.optimum().values
    cut = values[relaxed.columns - len(made.columns) : relaxed.columns]
    counts = np.array(
        [[dict(c.counts).get(k, 0) for c in made.columns] for k in range(len(first.useful))]
    )
    expected = [counts, *(counts >= n for n in (1, 2))]
    sums = sorted(
        float(total)
        for of_kind in zip(*expected, strict=True)
        for total in (np.array(of_kind[: 1 if of_kind[0].max() == 1 else 3]) @ cut)
        if of_kind[0].any()
    )
    assert sorted(values[relaxed.counted[-len(sums) :]]) == pytest.approx(sums)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_tightened_box_leaves_out_costs_more_than_the_gap(seed: int) -> None:
    """Each count, of columns and of rows, that a box no longer holds is tried by itself."""
    relaxed, cost = begun(seed)
    gap = 0.02 * cost
    optimum, all_ = relaxed.optimum(), relaxed.all
    tight = all_.tightened(optimum.values, optimum.reduced, gap)
    beyond = np.flatnonzero(np.isfinite(tight.most) & (tight.most < all_.most)).tolist()
    assert beyond[0] < relaxed.columns <= beyond[-1]
    left_out = {at: (float(tight.most[at]) + 1, float(all_.most[at])) for at in beyond}
    short_of = np.flatnonzero(np.isfinite(tight.least) & (tight.least > all_.least)).tolist()
    left_out |= {at: (float(all_.least[at]), float(tight.least[at]) - 1) for at in short_of}
    for at, ends in left_out.items():
        dearer = relaxed.cost(all_.within({at: ends}), optimum.start, NO_CUTOFF)
        assert dearer >= cost + gap - 1e-6 * cost


@pytest.mark.parametrize("seed", SEEDS)
def test_no_plan_cheaper_than_the_gap_leaves_a_tightened_box(seed: int) -> None:
    """The integer solver finds as good a plan with the counts of rows and columns held in it."""
    relaxed, cost = begun(seed)
    least = programme(seed).solve_whole(Watch())
    assert least.whole is not None
    optimum = relaxed.optimum()
    tight = relaxed.all.tightened(optimum.values, optimum.reduced, least.whole.cost - cost + 0.5)
    held = programme(seed)
    held.relaxed()  # blanks are counted
    highs, columns = held._highs, relaxed.columns
    at = np.arange(columns, dtype=np.int32), np.arange(len(tight.most) - columns, dtype=np.int32)
    highs.changeColsBounds(columns, at[0], tight.least[:columns], tight.most[:columns])
    highs.changeRowsBounds(len(at[1]), at[1], tight.least[columns:], tight.most[columns:])
    highs.setOptionValue("solve_relaxation", False)
    again = held.solve_whole(Watch())
    assert again.whole is not None
    assert again.whole.cost == pytest.approx(least.whole.cost, abs=0.5)


@pytest.mark.parametrize(("least", "entry"), [(2.0, 1.5), (1.5, 1.0)])
def test_a_row_that_is_not_whole_is_not_tightened(least: float, entry: float) -> None:
    """It does not step from its least by whole amounts."""
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.addVars(2, np.zeros(2), np.full(2, 9.0))
    highs.changeColsCost(2, np.arange(2, dtype=np.int32), np.array([3.0, 9.0]))
    highs.addRow(least, highspy.kHighsInf, 2, np.arange(2, dtype=np.int32), np.array([entry, 1]))
    highs.addRow(1, highspy.kHighsInf, 1, np.zeros(1, dtype=np.int32), np.ones(1))
    relaxed = Relaxation(highs, [1])
    assert relaxed.cost(relaxed.all, None, NO_CUTOFF) == pytest.approx(3 * least / entry)
    optimum = relaxed.optimum()
    assert optimum.values[2] == pytest.approx(least)
    assert relaxed.all.tightened(optimum.values, optimum.reduced, 1.0).most[2] == highspy.kHighsInf


@pytest.mark.parametrize("seed", SEEDS)
def test_a_start_within_a_box_knows_fewer_columns_and_costs_are_the_same(seed: int) -> None:
    relaxed, cost = begun(seed)
    optimum = relaxed.optimum()
    box = relaxed.all.tightened(optimum.values, optimum.reduced, 0.01 * cost)
    few = optimum.start_within(box)
    assert len(few.columns) < relaxed.columns
    halved = [at for at in relaxed.counted.tolist() if optimum.values[at] % 1 > 0.01]
    for at in halved[:5]:
        held = box.within({at: (0, float(optimum.values[at] // 1))})
        alike = relaxed.all.of_only(few.every, held.kept(few.every))
        assert alike.most.tolist() == held.most.tolist()
        assert alike.least == pytest.approx(held.least)
        dearer = relaxed.cost(held, optimum.start, NO_CUTOFF)
        assert relaxed.cost(held, few, NO_CUTOFF) == pytest.approx(dearer)
        if dearer < NOTHING:
            assert not np.delete(relaxed.optimum().values[: relaxed.columns], few.columns).any()
    assert relaxed.cost(relaxed.all, None, NO_CUTOFF) == pytest.approx(cost)


def halves(relaxed: Relaxation, optimum: Optimum) -> list[Box]:
    """Of some counts that an optimum halves, the boxes below and above."""
    counts = [at for at in relaxed.counted.tolist() if optimum.values[at] % 1 > 0.01]
    return [
        relaxed.all.within({at: ends})
        for at in counts[:8]
        for ends in (
            (0.0, float(np.floor(optimum.values[at]))),
            (float(np.ceil(optimum.values[at])), float(relaxed.all.most[at])),
        )
    ]


@pytest.mark.parametrize("seed", SEEDS)
def test_of_few_columns_known_others_join_until_the_optimum_is_that_of_all(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("optimizer.search.relaxation.KNOWN", 2)
    relaxed, cost = begun(seed)
    optimum = relaxed.optimum()
    few, near = optimum.start_within(relaxed.all), 1e-3 * cost
    assert len(few.columns) == (optimum.statuses == BASIC).sum() + 2
    assert sorted(few.every) == list(range(relaxed.columns))
    for box in halves(relaxed, optimum):
        of_all = relaxed.cost(box, optimum.start, NO_CUTOFF)
        assert relaxed.cost(box, few, NO_CUTOFF) == pytest.approx(of_all)
        if of_all < NOTHING:
            anew = relaxed.optimum()
            others = anew.start_within(relaxed.all).others.tolist()
            assert len({*others}) == len(others)
            gaining = np.flatnonzero(anew.reduced < -1e-5)
            assert anew.values[gaining].tolist() == box.most[gaining].tolist()
            assert relaxed.cost(box, few, of_all + near) == pytest.approx(of_all)
            assert relaxed.cost(box, few, of_all - near) == NOTHING


@pytest.mark.parametrize("seed", SEEDS)
def test_a_start_knows_the_columns_of_which_its_box_holds_some(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("optimizer.search.relaxation.KNOWN", 2)
    relaxed, _ = begun(seed)
    optimum = relaxed.optimum()
    dear = np.argsort(-optimum.reduced[: relaxed.columns])[:3].tolist()
    box = relaxed.all.within({at: (1.0, float(relaxed.all.most[at])) for at in dear})
    few = optimum.start_within(box)
    assert set(dear) <= {*few.columns.tolist()}
    of_all = relaxed.cost(box, optimum.start, NO_CUTOFF)
    assert relaxed.cost(box, few, NO_CUTOFF) == pytest.approx(of_all)


def test_where_the_columns_known_hold_nothing_all_others_join(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("optimizer.search.relaxation.KNOWN", 2)
    relaxed, cost = begun(0)
    few = relaxed.optimum().start_within(relaxed.all)
    box = relaxed.all.within(dict.fromkeys(few.columns.tolist(), (0.0, 0.0)))
    of_all = relaxed.cost(box, None, NO_CUTOFF)
    assert cost < of_all < NOTHING
    assert relaxed.cost(box, few, NO_CUTOFF) == pytest.approx(of_all)


def test_a_box_of_contradictions_holds_nothing_and_the_next_is_as_before() -> None:
    relaxed, cost = begun(0)
    start = relaxed.optimum().start
    none: dict[int, tuple[float, float]] = dict.fromkeys(range(relaxed.columns), (0, 0))
    assert relaxed.cost(relaxed.all.within(none), start, NO_CUTOFF) == NOTHING
    assert relaxed.cost(relaxed.all, start, NO_CUTOFF) == pytest.approx(cost)


def test_what_is_not_below_is_nothing() -> None:
    relaxed, cost = begun(0)
    assert relaxed.cost(relaxed.all, None, cost + 1) == pytest.approx(cost)
    assert relaxed.cost(relaxed.all, None, cost - 1) == NOTHING


def test_a_box_within_another_leaves_that_as_it_is() -> None:
    box = Box(np.zeros(3), np.full(3, 9.0), 2)
    within = box.within({1: (2, 5)})
    assert within.least.tolist() == [0, 2, 0]
    assert within.most.tolist() == [9, 5, 9]
    assert box.least.tolist() == [0, 0, 0]
    assert box.most.tolist() == [9, 9, 9]


@pytest.mark.parametrize("seed", SEEDS)
def test_an_optimum_looked_at_late_is_that_of_its_box(seed: int) -> None:
    relaxed, _ = begun(seed)
    at_once, late = relaxed.optimum(), relaxed.optimum()
    seen = at_once.values.tolist(), at_once.reduced.tolist(), at_once.statuses.tolist()
    for box in halves(relaxed, at_once):
        relaxed.cost(box, at_once.start, NO_CUTOFF)
    assert (late.values.tolist(), late.reduced.tolist(), late.statuses.tolist()) == seen


@pytest.mark.parametrize("seed", SEEDS)
def test_without_free_rows_all_else_counts_and_costs_as_before(seed: int) -> None:
    relaxed, cost = begun(seed)
    all_, free = relaxed.all, relaxed.free_rows()
    counted = {*relaxed.counted.tolist()}
    dropped = free[::2][::-1]  # in any order
    places = relaxed.drop(dropped)
    assert [*places.values()] == list(range(len(relaxed.all.least)))
    assert {*relaxed.counted.tolist()} == {places[at] for at in counted - {*dropped}}
    assert relaxed.free_rows() == [places[at] for at in free if at in places]
    assert relaxed.cost(relaxed.all, None, NO_CUTOFF) == pytest.approx(cost)
    values = relaxed.optimum().values
    with_all, _ = begun(seed)
    for old, new in places.items():
        more = float(np.ceil(values[new] + 0.01)), float(all_.most[old])
        dearer = with_all.cost(all_.within({old: more}), None, NO_CUTOFF)
        held = relaxed.all.within({new: more})
        assert relaxed.cost(held, None, NO_CUTOFF) == pytest.approx(dearer)


def test_all_free_rows_are_of_blanks() -> None:
    made = programme(0)
    of_blanks = len([*made._blanks_counted()])
    relaxed = made.relaxed()
    end = len(relaxed.all.least)
    assert relaxed.free_rows() == [*range(end - of_blanks, end)]


@pytest.mark.parametrize("seed", SEEDS)
def test_rows_without_entries_are_left_out_and_cost_nothing(seed: int) -> None:
    made = programme(seed)
    every = copy_of(made._highs)
    every.setOptionValue("solve_relaxation", True)
    relaxed, cost = begun(seed)
    assert run_linear(every) == pytest.approx(cost)
    rows = len(relaxed.all.least) - relaxed.columns
    assert np.bincount(relaxed._matrix.rows, minlength=rows).all()
    uncut = {*range(len(made.problem.supplies))} - {c.pattern.supply for c in made.columns}
    counted = len([*made._blanks_counted()])
    assert rows <= every.getNumRow() + counted - len(uncut)
