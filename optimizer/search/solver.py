"""The solver's own object: built by PuLP, and run until a watch ends it, beside other work."""

from __future__ import annotations

import atexit
import threading
from typing import TypeAlias

import highspy
import numpy as np
import pulp

from optimizer.search.first_rows import Floats
from optimizer.search.watch import Watch

Basis: TypeAlias = highspy.HighsBasis
"""Where a linear optimum stands, to begin another one from."""

NOTHING = float("inf")
"""What the optimum of a programme costs that holds nothing, or nothing of interest."""

PIVOTS_A_STEP = 4
"""Of the solver, that take about as long as a step of the search."""

DANTZIG = 0
"""Of HiGHS's ways to choose a row: by how far it is from its range."""

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


def for_short_runs(highs: highspy.Highs) -> None:
    """Set a programme for runs of a few pivots each, without whole counts. These do not repay what
    it takes to choose rows by steepest edge, nor costs perturbed first and put right afterwards.
    """
    highs.setOptionValue("solve_relaxation", True)
    highs.setOptionValue("presolve", "off")
    highs.setOptionValue("simplex_scale_strategy", 0)
    highs.setOptionValue("simplex_dual_edge_weight_strategy", DANTZIG)
    highs.setOptionValue("dual_simplex_cost_perturbation_multiplier", 0.0)


def run_linear(highs: highspy.Highs, start: Basis | None = None) -> float:
    """Run a linear programme from a basis, or from the last one; what its optimum costs:
    ``NOTHING``, if there is none within the solver's bound; ``-NOTHING``, if the solver does not
    come to an end.
    """
    if start is not None:
        highs.setBasis(start)
    for again in (False, True):
        if again:  # numbers may have gone wrong on the way from there
            highs.clearSolver()
        highs.run()
        status = highs.getModelStatus()
        if status == highspy.HighsModelStatus.kOptimal:
            return float(highs.getObjectiveValue())
        if status in _NOTHING_THERE:
            return NOTHING
    return -NOTHING


def worths_of(highs: highspy.Highs) -> Floats | None:
    """What rows are worth at the optimum of the last run, or where that passed the solver's bound;
    None, if there is nothing.
    """
    if highs.getModelStatus() in (
        highspy.HighsModelStatus.kOptimal,
        highspy.HighsModelStatus.kObjectiveBound,
    ):
        return np.array(highs.getSolution().row_dual)
    return None


class Running:
    """A solver at work in a thread of its own, so that the search can do other work meanwhile, and
    the watch end it and keep the best found.

    The clock is the solver's to watch as well: it hears of a stop only between its steps. Whether
    the watch has ended is asked, not whether it is over: how often hangs on the clock, and counts
    as no step of the search.
    """

    def __init__(self, highs: highspy.Highs, watch: Watch) -> None:
        self._highs, self._watch, self._done = highs, watch, threading.Event()
        highs.setOptionValue("time_limit", highs.getRunTime() + max(watch.left(), 0.0))
        highs.HandleUserInterrupt = True
        threading.Thread(target=self._work, daemon=True).start()

    def _work(self) -> None:
        try:
            self._highs.run()
        finally:
            self._done.set()

    def wait(self) -> None:
        """Until it is at its end."""
        while not self._done.wait(0.05):
            if self._watch.ended():
                self._highs.cancelSolve()  # type: ignore[no-untyped-call]
        steps = self._highs.getInfo().simplex_iteration_count // PIVOTS_A_STEP
        self._watch.worked(steps)

    def stop(self) -> None:
        """End it, at its next step: what it would find is of no use any more. What it did counts as
        no step of the search, for how much that is hangs on the clock. Before Python ends it must
        be at its end, for it would ask a Python that is gone whether to go on.
        """
        self._highs.cancelSolve()  # type: ignore[no-untyped-call]
        atexit.register(self._done.wait)
