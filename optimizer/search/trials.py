"""Which count to branch on: that whose two halves raise the cost most.

A few are tried, first the half foretold to gain less; the other one too, if that may make the count
the best. One that has been tried often enough is foretold by what its halves cost before
(Achterberg, Koch and Martin, Branching rules revisited, Operations Research Letters 33, 2005).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from math import ceil, floor, prod
from typing import Generic, TypeVar

from optimizer.search.solver import NOTHING

Key = TypeVar("Key")

RELIABLE = 16
"""Halves of a count tried, after which what they cost is foretold."""

MOST_TRIED = 8
IN_VAIN = 4
"""So many counts are tried at once, or in a row none better than the best of them."""

LEAST_GAIN = 1e-3

HALVES = (False, True)
"""The lower, and the upper one."""


class _Gains:
    """What holding a count on one side of a half gained for each part that it was moved, on an
    average.
    """

    __slots__ = ("_sum", "mean", "times")

    def __init__(self) -> None:
        self.times, self._sum = 0, LEAST_GAIN
        self.mean = self._sum

    def add(self, gain: float) -> None:
        self.times += 1
        self._sum += gain
        self.mean = self._sum / self.times


def _both() -> tuple[_Gains, _Gains]:
    """Of the lower half, and of the upper one."""
    return _Gains(), _Gains()


class Trials(Generic[Key]):
    """What was learnt of all counts so far."""

    def __init__(self) -> None:
        self._of = defaultdict[Key, tuple[_Gains, _Gains]](_both)
        self._all = _both()

    def choose(
        self,
        halved: Mapping[Key, float],
        cost: float,
        below: float,
        cost_of: Callable[[Key, bool], float],
    ) -> Key:
        """The count to branch on, of those that the optimum (of this ``cost``) halves.

        ``cost_of`` tries a count's lower (False) or upper half, and says what that costs at the
        least: ``NOTHING``, where that is not ``below``.
        """
        best, in_vain, tried, chosen = -1.0, 0, 0, next(iter(halved))
        most = max(below - cost, LEAST_GAIN)

        def gain_of(key: Key, upper: bool) -> float:
            half, value = cost_of(key, upper), halved[key]
            gain = min(max(half - cost, LEAST_GAIN), most)
            for gains in (self._of[key], self._all):
                gains[upper].add(gain / (ceil(value) - value if upper else value - floor(value)))
            return NOTHING if half == NOTHING else gain

        foretold = {key: self._foretold(key, value) for key, value in halved.items()}
        for key in sorted(halved, key=lambda key: -prod(foretold[key])):
            score, (down, up) = prod(foretold[key]), self._of[key]
            if down.times + up.times < RELIABLE:
                if tried == MOST_TRIED:
                    continue
                tried += 1
                first, second = sorted(HALVES, key=lambda upper: foretold[key][upper])
                gain = gain_of(key, first)
                score = gain * gain_of(key, second) if gain * most > best else 0.0
                if score == NOTHING:
                    return key
            if score > best:
                best, chosen, in_vain = score, key, 0
            elif (in_vain := in_vain + 1) == IN_VAIN:
                break
        return chosen

    def gain_of(self, key: Key) -> float:
        """What both halves gained on an average, one times the other: 0, if one was never tried."""
        return prod(gains.mean if gains.times else 0.0 for gains in self._of[key])

    def renumber(self, keys: Mapping[Key, Key]) -> None:
        """Counts have other keys from now on; those that have none are forgotten."""
        was, self._of = self._of, defaultdict[Key, tuple[_Gains, _Gains]](_both)
        self._of |= {keys[key]: gains for key, gains in was.items() if key in keys}

    def _foretold(self, key: Key, value: float) -> tuple[float, float]:
        """What each half is foretold to gain: by what was learnt of all, if it was never tried."""
        down, up = self._of[key]
        if not down.times + up.times:
            down, up = self._all
        part = value % 1
        return max(down.mean * part, LEAST_GAIN), max(up.mean * (1 - part), LEAST_GAIN)
