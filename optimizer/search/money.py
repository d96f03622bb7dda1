"""Money as the search counts it: exact whole parts of a cent, and sums that are rounded once.

A bill rounds each store's tax, the glue and the time half-up to the cent, once each. The programmes
pay the exact sums, so a plan's net lies less than half a cent for each such sum below its exact
cost, and a bound on the exact cost becomes one on the net when as much is taken off.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor, lcm

CENT_PARTS = 2**20
"""The search counts money in whole 2^-20 cents, so that tables and bounds are exact integers."""

ALLOWED = CENT_PARTS // 2
"""Half a cent: so far reduced costs below nothing may lower a bound."""

FINEST_STEP = 10_000
"""Sums that grow in finer parts of a cent than this are within the solver's tolerance of half."""


def money_units(dollars: Fraction) -> int:
    """Whole search units at or below an exact amount in the book's currency."""
    return int(dollars * 100 * CENT_PARTS // 1)


def cents(amount: Fraction) -> float:
    """An exact amount as the solver takes it."""
    return float(amount * 100)


def least_rounding(amounts: Iterable[Fraction]) -> float:
    """How much a sum of any of these amounts changes at the least when rounded half-up, in cents.

    Exact sums grow in steps: half a cent, which is rounded up, can be told from a step more.
    """
    steps = lcm(2, *((100 * amount).denominator for amount in amounts))
    return -0.5 + 0.5 / steps if steps <= FINEST_STEP else -0.5 - 1e-5


def as_money(cents: Fraction, rounded_sums: int, step: int = 1) -> Decimal:
    """The least ``net`` above an exact cost, where so many of its sums are rounded after adding up,
    and all of it is a whole multiple of ``step`` cents.

    Rounding half-up takes less than half a cent off each sum.
    """
    least = cents - Fraction(rounded_sums, 2)
    whole = floor(least) + 1 if rounded_sums else ceil(least)
    return Decimal(-(-whole // step) * step).scaleb(-2)
