"""Which count to branch on: that whose two halves raise the cost most.

A few are tried; one that has been tried often enough is foretold by what its halves cost before
(Achterberg, Koch and Martin, Branching rules revisited, Operations Research Letters 33, 2005).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from math import ceil, floor
from typing import Generic, TypeVar

from optimizer.search.solver import NOTHING

Key = TypeVar("Key")

RELIABLE = 8
"""Trials of a count after which what its halves cost is foretold."""

MOST_TRIED = 8
IN_VAIN = 4
"""So many counts are tried at once, or in a row none better than the best of them."""

LEAST_GAIN = 1e-3


class _Record:
    """What holding one count below and above a half gained for each part that it was moved, on
    an average.
    """

    __slots__ = ("_sums", "down", "times", "up")

    def __init__(self) -> None:
        self.times, self._sums = 0, [LEAST_GAIN, LEAST_GAIN]
        self.down, self.up = self._sums

    def add(self, gains: tuple[float, float]) -> None:
        self.times += 1
        self._sums = [had + new for had, new in zip(self._sums, gains, strict=True)]
        self.down, self.up = (gained / self.times for gained in self._sums)


class Trials(Generic[Key]):
    """What was learnt of all counts so far."""

    def __init__(self) -> None:
        self._of = defaultdict[Key, _Record](_Record)
        self._all = _Record()

    def choose(
        self,
        halved: Mapping[Key, float],
        cost: float,
        below: float,
        cost_of: Callable[[Key, bool], float],
    ) -> tuple[Key, tuple[float, float]]:
        """The count to branch on, of those that the optimum (of this ``cost``) halves, and what its
        lower and upper half cost at the least: ``NOTHING``, where that is not ``below``.

        ``cost_of`` tries a count's lower (False) or upper half.
        """
        best, in_vain, tried = -1.0, 0, 0
        chosen, costs_of_chosen = next(iter(halved)), (cost, cost)
        for key in sorted(halved, key=lambda key: -self._foretold(key, halved[key])):
            value, costs = halved[key], (cost, cost)
            if self._of[key].times >= RELIABLE:
                score = self._foretold(key, value)
            elif tried == MOST_TRIED:
                continue
            else:
                tried += 1
                costs = (cost_of(key, False), cost_of(key, True))
                score = self._learn(key, value, cost, below, costs)
                if NOTHING in costs:
                    return key, costs
            if score > best:
                best, chosen, costs_of_chosen, in_vain = score, key, costs, 0
            elif (in_vain := in_vain + 1) == IN_VAIN:
                break
        return chosen, costs_of_chosen

    def _learn(
        self, key: Key, value: float, cost: float, below: float, costs: tuple[float, float]
    ) -> float:
        down, up = (max(min(each, below) - cost, LEAST_GAIN) for each in costs)
        for record in (self._of[key], self._all):
            record.add((down / (value - floor(value)), up / (ceil(value) - value)))
        return down * up

    def _foretold(self, key: Key, value: float) -> float:
        """What both halves are foretold to gain, one times the other."""
        record = self._of[key] if self._of[key].times else self._all
        part = value % 1
        return max(record.down * part, LEAST_GAIN) * max(record.up * (1 - part), LEAST_GAIN)
