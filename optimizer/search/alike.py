"""Fillings with the same blanks: which of them no other betters."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from optimizer.search.knapsack import Ints


def spared_of(terminal: Ints) -> Ints:
    """Of each row what a room filled to the last tick is worth more than one with a little left: a
    cut.
    """
    spared: Ints = terminal[:, 0] - terminal.min(axis=1)
    return spared


def best_alike(task: Ints, mark: Ints, room: Ints, value: Ints, spare: Ints) -> Ints:
    """Of fillings with the same blanks those that no other betters in room left and in value; with
    more room by what may be spared, ``spare``, where the room is filled to the last tick.

    Of equals the first by its pieces stays; so whatever may follow it, the best filling of all, and
    of such the first, stays at each step.
    """
    order = np.lexsort((-value, -room, mark, task))
    group = np.cumsum(changes(task[order]) | changes(mark[order]))
    if not len(group) or group[-1] == len(group):
        return np.arange(len(group))
    alike = ~(changes(group) | changes(room[order]))
    order, group = order[~alike], group[~alike]
    values, rank = np.unique(value[order], return_inverse=True)
    # A later group stands above all of an earlier one, so the highest so far is of the own group.
    highest = np.maximum.accumulate(group * len(values) + rank)
    before = np.append(-1, highest[:-1])
    roomier = before // len(values) == group
    better = values[before % len(values)] >= value[order] + spare[order]
    best: Ints = np.sort(order[~(roomier & better)])
    return best


def changes(values: NDArray[Any]) -> NDArray[np.bool_]:
    """Where a value is another than the one before it, and at first."""
    changed = np.ones(len(values), dtype=bool)
    np.not_equal(values[1:], values[:-1], out=changed[1:])
    return changed
