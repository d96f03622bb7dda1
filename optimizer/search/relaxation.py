"""An integer programme whose counts need not be whole, but are held in a box.

The box says what each count is at least and at most: the solver's columns, then its rows. It is
solved over and over in other boxes, each time from where another one ended.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import highspy
import numpy as np

from optimizer.search.first_rows import Floats
from optimizer.search.solver import NOTHING, Basis, is_solved, run_linear


@dataclass(frozen=True, slots=True)
class Box:
    """What each column and row is at least and at most."""

    least: Floats
    most: Floats

    def within(self, ranges: Mapping[int, tuple[float, float]]) -> Box:
        """The same with some counts held in ranges."""
        box = Box(self.least.copy(), self.most.copy())
        for at, (least, most) in ranges.items():
            box.least[at], box.most[at] = least, most
        return box

    def tightened(self, optimum: Optimum, gap: float) -> Box:
        """Without counts that cost more than the gap beyond the optimum, by their reduced costs."""
        columns = len(optimum.reduced)
        room = np.floor(gap / np.maximum(np.abs(optimum.reduced), 1e-6) + 1e-9)
        box = Box(self.least.copy(), self.most.copy())
        least, most = box.least[:columns], box.most[:columns]  # views
        values = optimum.values[:columns]
        dear = (optimum.reduced > 1e-6) & (values <= least + 1e-9)
        most[dear] = np.minimum(most[dear], least[dear] + room[dear])
        cheap = (optimum.reduced < -1e-6) & (values >= most - 1e-9)
        least[cheap] = np.maximum(least[cheap], most[cheap] - room[cheap])
        return box


@dataclass(frozen=True, slots=True)
class Optimum:
    """``values`` of columns, then rows; ``reduced`` costs of columns; where to begin from it."""

    values: Floats
    reduced: Floats
    basis: Basis


class Relaxation:
    """The solver, whose columns and rows no longer change; ``rows`` are counts too."""

    def __init__(self, highs: highspy.Highs, rows: Iterable[int]) -> None:
        self._highs = highs
        highs.setOptionValue("solve_relaxation", True)
        highs.setOptionValue("presolve", "off")
        highs.setOptionValue("simplex_scale_strategy", 0)
        lp = highs.getLp()
        self.columns = len(lp.col_lower_)
        self.counted = np.concatenate([np.arange(self.columns), self.columns + np.array([*rows])])
        """Columns and rows that are whole in a plan, by their place in a box."""
        self.all = Box(
            np.concatenate([lp.col_lower_, lp.row_lower_]),
            np.concatenate([lp.col_upper_, lp.row_upper_]),
        )
        self._now = self.all

    def cost(self, box: Box, start: Basis | None, below: float) -> float:
        """What the optimum in a box costs: ``NOTHING``, if that is not ``below``; ``-NOTHING``, if
        the solver does not come to an end.
        """
        self._hold(box)
        self._highs.setOptionValue("objective_bound", below)
        value = run_linear(self._highs, start)
        if not is_solved(self._highs):
            return -NOTHING
        return value if value < below else NOTHING

    def optimum(self) -> Optimum:
        """The last optimum."""
        solution = self._highs.getSolution()
        return Optimum(
            values=np.concatenate([solution.col_value, solution.row_value]),
            reduced=np.array(solution.col_dual),
            basis=self._highs.getBasis(),
        )

    def _hold(self, box: Box) -> None:
        new = np.flatnonzero((box.least != self._now.least) | (box.most != self._now.most))
        columns = new[new < self.columns].astype(np.int32)
        self._highs.changeColsBounds(len(columns), columns, box.least[columns], box.most[columns])
        for at in new[new >= self.columns].tolist():
            self._highs.changeRowBounds(at - self.columns, box.least[at], box.most[at])
        self._now = box
