"""The pith of wide flat-sawn boards: a band along the middle that is ripped out.

A board sawn through the heart of the log has its pith in the middle of its width; it cups and
cracks there, and is sounder as two narrower ones (common practice, no source).
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from stock.lengths import Length, Unit, round_up
from stock.pieces import Lumber, Stretch
from stock.shop import Shop


class PithRule(Protocol):
    """The settings that say where the pith lies, of a shop or of a plan's practice."""

    @property
    def pith_width(self) -> Length: ...

    @property
    def pith_from(self) -> Length: ...

    @property
    def pith_at(self) -> Decimal: ...


def pith_band(width: Length, rule: PithRule, unit: Unit) -> Stretch | None:
    """From where to where across a board so wide its pith is ripped out; None if it is not.

    Inches from the lower edge, both kerfs included; the lower end is rounded down to the tape.
    """
    if not rule.pith_width or width < rule.pith_from:
        return None
    middle = width * Fraction(rule.pith_at) / 100
    bottom = -round_up(rule.pith_width / 2 - middle, unit)
    return bottom, bottom + rule.pith_width


def pith_of(lumber: Lumber, width: Length, shop: Shop) -> Stretch | None:
    """The band of a board; treated wood and what is too thick for the saw is not ripped."""
    if lumber.treated or lumber.thickness > 2 * shop.deepest_rip:
        return None
    return pith_band(width, shop, shop.unit)
