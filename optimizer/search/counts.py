"""What is counted and branched on: boards of a supply, boards bought of a lumber, parts made a way,
lots.

A *range* holds a count between two whole numbers. The linear programme halves a count where it can;
most of the gap to whole numbers closes when these counts alone are whole.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

Count: TypeAlias = tuple[str, int, int]
"""("boards", supply, 0), ("lumber", its index, 0), ("made", part, way) or ("lots", lot, 0)."""


def boards(supply: int) -> Count:
    """How many boards of a supply are cut."""
    return ("boards", supply, 0)


def bought(lumber: int) -> Count:
    """How many boards of a lumber are bought."""
    return ("lumber", lumber, 0)


def made(part: int, way: int) -> Count:
    """How many copies of a part are made by a way."""
    return ("made", part, way)


def in_lots(lot: int) -> Count:
    """How many of a lot are bought."""
    return ("lots", lot, 0)


@dataclass(frozen=True, slots=True)
class Range:
    """At least ``least`` and at most ``most`` (None: no end)."""

    least: int = 0
    most: int | None = None

    def up_to(self, most: int) -> Range:
        return Range(self.least, most if self.most is None else min(most, self.most))

    def from_(self, least: int) -> Range:
        return Range(max(least, self.least), self.most)


Ranges: TypeAlias = Mapping[Count, Range]
"""The counts that are held narrower than the job itself holds them."""
