"""Whole ticks: the coarsest grid on which all lengths of a problem are whole numbers.

Where that grid is too fine to be fast, a coarser one is taken: for plans blanks and kerfs are
rounded up and boards down, so that what is planned fits; for bounds the other way round, so that
nothing possible is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from stock.lengths import Length


class Rounding(Enum):
    """Which way a coarse grid errs."""

    FOR_PLANS = "blanks up, boards down"
    FOR_BOUNDS = "blanks down, boards up"


@dataclass(frozen=True, slots=True)
class Grid:
    """One direction of a board, in ticks (inches each).

    ``exact``: all lengths are whole ticks; ``exact_blanks``: at least those of blanks and kerfs.
    """

    tick: Length
    exact: bool
    exact_blanks: bool
    rounding: Rounding

    def taken(self, length: Length) -> int:
        """Ticks of a blank or a kerf."""
        return self._up(length) if self.rounding is Rounding.FOR_PLANS else self._down(length)

    def given(self, length: Length) -> int:
        """Ticks of a board, or of what is left of one."""
        return self._down(length) if self.rounding is Rounding.FOR_PLANS else self._up(length)

    def _up(self, length: Length) -> int:
        return ceil(length / self.tick)

    def _down(self, length: Length) -> int:
        return floor(length / self.tick)


def fit_grid(
    taken: Sequence[Length], given: Sequence[Length], *, most: int, rounding: Rounding
) -> Grid:
    """The coarsest grid, of at most ``most`` ticks, that holds all lengths, or at least the taken
    ones.

    Blanks and kerfs add up to multiples of their own grid, so a board rounded to it loses no cut.
    """
    longest = max(*taken, *given)
    for lengths in ((*taken, *given), taken):
        tick = _common_measure(lengths)
        if longest <= most * tick:
            return Grid(tick, lengths is not taken, True, rounding)
    return Grid(tick * ceil(longest / (most * tick)), False, False, rounding)


def _common_measure(lengths: Sequence[Length]) -> Length:
    denominator = lcm(*(length.denominator for length in lengths))
    return Fraction(gcd(*(int(length * denominator) for length in lengths)), denominator)
