"""Wood and water: what moisture a room gives wood, how wood moves with it, and what it weighs.

Everything is worked out in exact fractions of published numbers; the numbers themselves are good
to two or three places, and a single board may differ by a fifth. Moisture is percent of the dry
weight. Sources: Wood Handbook (FPL-GTR-282) chapters 4 and 13, PS 20-20, NDS 2018, FPL-RP-489; the
values of each wood stand in data/movement.csv, with source and standing.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache

from stock.lengths import Length
from stock.tables import read_table
from stock.wood import members, wood_key

SATURATED = Fraction(30)
"""Percent; wetter wood no longer moves: fiber saturation on average (Wood Handbook ch. 4)."""

RULE = Fraction(1, 400)
RULE_OF_CEDARS = Fraction(7, 4000)
"""1 % for 4 points of moisture, 0.7 % in redwood and cedars: the rule of PS 20 where the species is
not known (as the southern pine grading rules quote it)."""

CUBIC_INCHES = 1728  # in a cubic foot
POUNDS_OF_WATER = Fraction(624, 10)  # a cubic foot
POUND = Fraction(45359237, 100000000)  # in kilograms, exactly (agreement of 1959)


class Grain(Enum):
    """How the growth rings stand to a board's face."""

    FLAT = "flat-sawn"
    QUARTERED = "quarter-sawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """How much of a dimension is gained with each point of moisture; ``source`` says after whom."""

    radial: Fraction
    tangential: Fraction
    source: str

    def width(self, grain: Grain) -> Fraction:
        """Across the face: along the rings where the board is flat-sawn."""
        return self.tangential if grain is Grain.FLAT else self.radial

    def thickness(self, grain: Grain) -> Fraction:
        """Through the board."""
        return self.radial if grain is Grain.FLAT else self.tangential


def equilibrium_moisture(fahrenheit: Fraction, humidity: Fraction) -> Fraction:
    """The moisture that wood comes to in air of this temperature and relative humidity (percent).

    Wood Handbook Eq. 4-5, the curve through its Table 4-2.
    """
    t, h = fahrenheit, humidity / 100
    w = 330 + Fraction("0.452") * t + Fraction("0.00415") * t**2
    k = Fraction("0.791") + Fraction("0.000463") * t - Fraction("0.000000844") * t**2
    k1 = Fraction("6.34") + Fraction("0.000775") * t - Fraction("0.0000935") * t**2
    k2 = Fraction("1.09") + Fraction("0.0284") * t - Fraction("0.0000904") * t**2
    free = k * h / (1 - k * h)
    bound = k1 * k * h + 2 * k1 * k2 * (k * h) ** 2
    return 1800 / w * (free + bound / (1 + k1 * k * h + k1 * k2 * (k * h) ** 2))


def fahrenheit(celsius: Fraction) -> Fraction:
    """A temperature in °C as °F."""
    return celsius * 9 / 5 + 32


def coefficient_of(shrinkage: Fraction) -> Fraction:
    """Change for each point of moisture, from total shrinkage (percent, green to dry).

    How Table 13-5 of the Wood Handbook follows from Table 4-3, with 30 % as fiber saturation.
    """
    return shrinkage / (100 * SATURATED - shrinkage * (SATURATED - 10))


def moved(size: Length, coefficient: Fraction, before: Fraction, after: Fraction) -> Length:
    """``size`` at moisture ``before``, once it has come to ``after`` (percent).

    Wood Handbook Eq. 13-2, meant for 6 to 14 %; above fiber saturation nothing moves.
    """
    points = min(after, SATURATED) - min(before, SATURATED)
    return size * (1 + coefficient * points)


def lumber_moved(
    width: Length, thickness: Length, before: Fraction, after: Fraction
) -> tuple[Length, Length]:
    """Width and thickness of softwood lumber by the formulas of FPL-RP-489, green to dry."""

    def left(at: str, slope: str, moisture: Fraction) -> Fraction:
        shrunk = Fraction(at) - Fraction(slope) * min(moisture, SATURATED)
        return 1 - max(shrunk, Fraction(0)) / 100

    wide = left("6.031", "0.215", after) / left("6.031", "0.215", before)
    thick = left("5.062", "0.181", after) / left("5.062", "0.181", before)
    return width * wide, thickness * thick


def movement_of(wood: str) -> Movement:
    """What is published of a species; of a wood that is none, the rule of the standard."""
    row = _table().get(wood_key(wood), {})
    if row.get("tangential"):
        return Movement(
            radial=Fraction(row["radial"]),
            tangential=Fraction(row["tangential"]),
            source=row["coefficient_source"],
        )
    cedars = all(_is_cedar(each) for each in members(wood)) if members(wood) else False
    rule = RULE_OF_CEDARS if cedars else RULE
    percent = "0.7" if cedars else "1"
    return Movement(radial=rule, tangential=rule, source=f"{percent} % for 4 points, PS 20")


def _is_cedar(key: str) -> bool:
    return "cedar" in key or "redwood" in key


def density(gravity: Fraction, moisture: Fraction) -> Fraction:
    """Pounds in a cubic foot, of wood with this specific gravity (dry weight and dry volume).

    62.4 · G / (1 + 0.009 · G · M) · (1 + M/100), the form of the NDS.
    """
    volume = 1 + Fraction("0.009") * gravity * moisture
    return POUNDS_OF_WATER * gravity / volume * (1 + moisture / 100)


def gravity_of(wood: str) -> Fraction | None:
    """Specific gravity on dry volume; of a group that is not published, its heaviest species.

    None where nothing is known of the wood.
    """
    own = _gravity(wood_key(wood))
    if own is not None:
        return own
    return max((g for g in map(_gravity, members(wood)) if g is not None), default=None)


def _gravity(key: str) -> Fraction | None:
    row = _table().get(key)
    if row is None or not row["gravity"]:
        return None
    gravity = Fraction(row["gravity"])
    # What is given on the volume at 12 % is turned about by the form of the NDS above.
    at_12 = row["gravity_volume"] == "12 %"
    return gravity / (1 - Fraction("0.108") * gravity) if at_12 else gravity


def weight(wood: str, volume: Fraction, moisture: Fraction) -> Fraction | None:
    """Pounds of so many cubic inches; None where the wood is not known."""
    gravity = gravity_of(wood)
    return None if gravity is None else density(gravity, moisture) * volume / CUBIC_INCHES


@cache
def _table() -> dict[str, dict[str, str]]:
    return {wood_key(row["wood"]): row for row in read_table("movement")}
