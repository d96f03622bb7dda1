"""The solver at work beside the search."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import highspy
import pytest

from optimizer.plan.plan_file import plan_to_json
from optimizer.search.solver import started
from optimizer.search.watch import Watch
from optimizer.solve import solve
from tests.benchmarks.shop_jobs import FAMILY_A, shop_job


@pytest.mark.parametrize("seed", [2, 3])
def test_how_soon_the_solver_is_done_beside_other_work_changes_no_plan(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    stock, job = shop_job(FAMILY_A, seed, lines=6, boards=30)
    beside = plan_to_json(solve(stock, job, Watch(seconds=600)))
    begun: list[int] = []

    def done_before_other_work(highs: highspy.Highs, watch: Watch) -> Callable[[], None]:
        others = set(threading.enumerate())
        wait = started(highs, watch)
        for thread in set(threading.enumerate()) - others:
            thread.join()
        begun.append(1)
        return wait

    monkeypatch.setattr("optimizer.search.whole_programme.started", done_before_other_work)
    assert plan_to_json(solve(stock, job, Watch(seconds=600))) == beside
    assert begun


def test_it_works_while_others_do_until_the_watch_ends_it() -> None:
    class Endless(highspy.Highs):
        """A solver that ends only when it is told."""

        told = False

        def run(self) -> highspy.HighsStatus:
            while not self.told:
                time.sleep(0.001)
            return highspy.HighsStatus.kOk

        def cancelSolve(self) -> None:  # noqa: N802 (the library's own name)
            self.told = True

    highs, watch = Endless(), Watch(seconds=600)  # type: ignore[no-untyped-call]
    wait = started(highs, watch)
    assert not highs.told
    watch.stop()
    wait()
    assert highs.told
