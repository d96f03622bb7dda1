"""The solver's own object: built by PuLP, and run until a watch ends it, beside other work."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeAlias

import highspy
import pulp

from optimizer.search.watch import Watch

Basis: TypeAlias = highspy.HighsBasis
"""Where a linear optimum stands, to begin another one from."""

NOTHING = float("inf")
"""What the optimum of a programme costs that holds nothing, or nothing of interest."""

PIVOTS_A_STEP = 4
"""Of the solver, that take about as long as a step of the search."""

_NOTHING_THERE = (highspy.HighsModelStatus.kInfeasible, highspy.HighsModelStatus.kObjectiveBound)


def solver_of(model: pulp.LpProblem, *, whole: bool) -> highspy.Highs:
    """The solver's own object, built by PuLP."""
    solver = pulp.HiGHS(msg=False, threads=1, mip=whole, gapRel=0.0, gapAbs=0.0)
    solver.createAndConfigureSolver(model)
    solver.buildSolverModel(model)
    highs: highspy.Highs = model.solverModel
    return highs


def copy_of(solver: highspy.Highs) -> highspy.Highs:
    """Another object with the same programme, to which columns can be added without a rebuild."""
    highs = highspy.Highs()  # type: ignore[no-untyped-call]
    highs.passOptions(solver.getOptions())
    highs.passModel(solver.getLp())
    return highs


def run_linear(highs: highspy.Highs, start: Basis | None = None) -> float:
    """Run a linear programme from a basis, or from the last one; what its optimum costs:
    ``NOTHING``, if there is none within the solver's bound.
    """
    if start is not None:
        highs.setBasis(start)
    highs.run()
    if not is_solved(highs):  # numbers may have gone wrong on the way from there
        highs.clearSolver()
        highs.run()
    if highs.getModelStatus() in _NOTHING_THERE:
        return NOTHING
    return float(highs.getInfo().objective_function_value)


def is_solved(highs: highspy.Highs) -> bool:
    """Whether the last run of a linear programme came to an end."""
    status = highs.getModelStatus()
    return status == highspy.HighsModelStatus.kOptimal or status in _NOTHING_THERE


def started(highs: highspy.Highs, watch: Watch) -> Callable[[], None]:
    """Start it in a thread of its own, so that the search can do other work meanwhile, and the
    watch end it and keep the best found. What is returned waits for its end.

    The clock is the solver's to watch as well: it hears of a stop only between its steps. Whether
    the watch has ended is asked, not whether it is over: how often hangs on the clock, and counts
    as no step of the search.
    """
    highs.setOptionValue("time_limit", highs.getRunTime() + max(watch.left(), 0.0))
    done = threading.Event()

    def work() -> None:
        try:
            highs.run()
        finally:
            done.set()

    highs.HandleUserInterrupt = True
    threading.Thread(target=work, daemon=True).start()

    def wait() -> None:
        while not done.wait(0.05):
            if watch.ended():
                highs.cancelSolve()  # type: ignore[no-untyped-call]
        watch.worked(highs.getInfo().simplex_iteration_count // PIVOTS_A_STEP)

    return wait
