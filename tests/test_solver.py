"""The solver at work beside the search."""

from __future__ import annotations

import subprocess
import sys
import threading
import time

import highspy
import pytest

from optimizer.plan.plan_file import plan_to_json
from optimizer.search.solver import NOTHING, Running, for_short_runs, run_linear
from optimizer.search.watch import InSteps, Watch
from optimizer.solve import solve
from tests.benchmarks.shop_jobs import FAMILY_A, shop_job


@pytest.mark.parametrize("seed", [2, 3])
def test_how_soon_the_solver_is_done_beside_other_work_changes_no_plan(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    stock, job = shop_job(FAMILY_A, seed, lines=6, boards=30)
    beside = plan_to_json(solve(stock, job, Watch(seconds=600)))
    done: list[int] = []

    class DoneBeforeOtherWork(Running):
        def __init__(self, highs: highspy.Highs, watch: Watch) -> None:
            super().__init__(highs, watch)
            self._done.wait()
            done.append(1)

    monkeypatch.setattr("optimizer.search.whole_programme.Running", DoneBeforeOtherWork)
    assert plan_to_json(solve(stock, job, Watch(seconds=600))) == beside
    assert done


def test_a_linear_programme_costs_its_optimum_or_nothing_or_is_not_told_to() -> None:
    highs = highspy.Highs()  # type: ignore[no-untyped-call]
    highs.silent()  # type: ignore[no-untyped-call]
    x, y = highs.addVariable(lb=1.5, obj=3), highs.addVariable(lb=0, obj=2)
    row = highs.addConstr(x + y >= 4)
    for_short_runs(highs)
    highs.setOptionValue("simplex_iteration_limit", 0)
    assert run_linear(highs) == -NOTHING
    highs.setOptionValue("simplex_iteration_limit", 100)
    assert run_linear(highs) == pytest.approx(1.5 * 3 + 2.5 * 2)
    assert run_linear(highs, highs.getBasis()) == pytest.approx(9.5)
    highs.changeRowBounds(row.index, 5, 4)
    assert run_linear(highs) == NOTHING


class Endless(highspy.Highs):
    """A solver that ends only when it is told."""

    told = False

    def run(self) -> highspy.HighsStatus:
        while not self.told:
            time.sleep(0.001)
        return highspy.HighsStatus.kOk

    def cancelSolve(self) -> None:  # noqa: N802 (the library's own name)
        self.told = True


def running(watch: Watch) -> tuple[Endless, Running]:
    highs = Endless()  # type: ignore[no-untyped-call]
    return highs, Running(highs, watch)


def test_it_works_while_others_do_until_the_watch_ends_it() -> None:
    watch = Watch(seconds=600)
    highs, pending = running(watch)
    assert not highs.told
    watch.stop()
    pending.wait()
    assert highs.told


def test_what_is_stopped_comes_to_its_end_and_counts_as_no_step() -> None:
    watch = InSteps(within=Watch(seconds=600), steps=1)
    highs, pending = running(watch)
    threads = threading.active_count()
    pending.stop()
    assert highs.told
    assert watch.steps == 1
    for _ in range(100):
        if threading.active_count() < threads:
            break
        time.sleep(0.01)
    assert threading.active_count() < threads


AT_EXIT = """
import time
from unittest.mock import Mock
from optimizer.search.solver import NOTHING, Running, for_short_runs, run_linear
from optimizer.search.watch import Watch

def to_its_next_step():
    time.sleep(0.3)
    print("at its end", flush=True)

running = Running(Mock(run=to_its_next_step, getRunTime=lambda: 0.0), Watch(seconds=600))
running.stop()
print("stopped", flush=True)
"""


def test_python_does_not_end_before_what_was_stopped_is_at_its_end() -> None:
    """The solver calls Python at each of its steps."""
    ended = subprocess.run(
        [sys.executable, "-c", AT_EXIT], capture_output=True, text=True, check=True, timeout=60
    )
    assert ended.stdout.split("\n") == ["stopped", "at its end", ""]
