"""Whole ticks: the coarsest grid on which all lengths of a problem are whole numbers.

Blanks and kerfs add up to multiples of their own grid, so a board rounded down to it loses no cut.
Nor does it lose any worth where what is left counts as a tape shows it, and the tape's marks are on
the grid. Only whether nothing is left at all, so that the last cut is not paid for, goes by the
last bit: then ticks are half as long, and any bit of a board beyond the grid is one tick. So boards
in millimetres are exact beside blanks in inches.

Where each such grid is too fine to be fast, a coarser one is taken: for plans blanks and kerfs are
rounded up and boards down, so that what is planned fits; for bounds the other way round, so that
nothing possible is left out. Lengths of blanks that boards have too stay whole ticks, if they can:
else such a board would seem too short for its blank.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from optimizer.search.knapsack import Ints
from stock.lengths import Length


class Rounding(Enum):
    """Which way a coarse grid errs."""

    FOR_PLANS = "blanks up, boards down"
    FOR_BOUNDS = "blanks down, boards up"


@dataclass(frozen=True, slots=True)
class Grid:
    """One direction of a board, in ticks (inches each).

    ``exact``: nothing is lost; ``exact_blanks``: those of blanks and kerfs are whole ticks.
    """

    tick: Length
    exact: bool
    exact_blanks: bool
    rounding: Rounding
    bits: bool = False
    """Two ticks are the grid, and one is any bit beyond it."""

    def taken(self, length: Length) -> int:
        """Ticks of a blank or a kerf."""
        return self._up(length) if self.rounding is Rounding.FOR_PLANS else self._down(length)

    def given(self, length: Length) -> int:
        """Ticks of a board, or of what is left of one."""
        if self.bits:
            whole, bit = divmod(length, 2 * self.tick)
            return 2 * whole + bool(bit)
        return self._down(length) if self.rounding is Rounding.FOR_PLANS else self._up(length)

    def marks(self, ticks: Ints, mark: Length) -> Ints:
        """How many whole marks of a tape so many ticks are."""
        each = self.tick / mark
        return ticks * each.numerator // each.denominator

    def _up(self, length: Length) -> int:
        return ceil(length / self.tick)

    def _down(self, length: Length) -> int:
        return floor(length / self.tick)


def fit_grid(
    taken: Sequence[Length],
    given: Sequence[Length],
    marks: Sequence[Length],
    *,
    most: int,
    rounding: Rounding,
    bits: bool,
) -> Grid:
    """The coarsest grid, of at most ``most`` ticks, on which nothing is lost; else one that holds
    at least the lengths taken.

    ``marks`` show what is left of a board, where that is worth anything; ``bits``: it matters
    whether anything is left at all.
    """
    shown = _common_measure([*taken, *marks]) / (1 + bits)
    by_all = Grid(_common_measure([*taken, *given]), True, True, rounding)
    by_the_tape = Grid(shown, True, True, rounding, bits)
    by_blanks = Grid(_common_measure(taken), False, True, rounding)
    exact = sorted((by_all, by_the_tape), key=lambda grid: grid.tick, reverse=True)
    longest = max(*taken, *given)
    for grid in (*exact, by_blanks):
        if longest <= most * grid.tick:
            return grid
    least = longest / most
    shared = _common_measure([*set(taken).intersection(given)] or [longest])
    tick = shared / floor(shared / least) if shared >= least else least
    return Grid(tick, False, False, rounding)


def _common_measure(lengths: Sequence[Length]) -> Length:
    denominator = lcm(*(length.denominator for length in lengths))
    return Fraction(gcd(*(int(length * denominator) for length in lengths)), denominator)
