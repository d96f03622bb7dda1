"""What lies on the rack."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from itertools import count

from stock.lengths import Length, Unit, round_up


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Lumber:
    """Wood of one kind in one thickness (inches): what may be glued, ripped and planed alike.

    ``wood`` is the name as typed in the stock book, ``grade`` one of the shop's; empty where the
    book does not say. ``faulty``: with bad stretches in it, for parts that do not mind.
    """

    wood: str
    treated: bool
    thickness: Length
    grade: str = ""
    faulty: bool = False

    def __post_init__(self) -> None:
        if self.thickness <= 0:
            raise ValueError(f"lumber {self.thickness} thick")


Stretch = tuple[Length, Length]
"""From where to where along a board, inches from its left (tagged) end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RackPiece:
    """One row of the rack: ``count`` equal offcuts, usable from end to end (inches) but for their
    ``bad`` stretches. ``crook`` is how far an edge is out of straight over the whole length;
    ``moisture`` percent, None where it was not measured.

    ``row`` is where it stands in its book; 0 where it stands in none.
    """

    tag: str
    lumber: Lumber
    width: Length
    length: Length
    size: str = ""
    count: int = 1
    bay: str = ""
    held_for: str = ""
    measured_on: date | None = None
    note: str = ""
    row: int = field(default=0, compare=False)
    moisture: Decimal | None = None
    crook: Length = field(default_factory=Length)
    bad: tuple[Stretch, ...] = ()

    def __post_init__(self) -> None:
        if not self.tag:
            raise ValueError("a rack piece needs a tag")
        if self.width <= 0 or self.length <= 0 or self.count < 0:
            raise ValueError(f"rack piece {self.tag}: {self.width} x {self.length} x {self.count}")


def sound_stretches(piece: RackPiece, kerf: Length) -> tuple[Stretch, ...]:
    """What is left of a piece between its bad stretches. The saw cuts beside these, not into them:
    a knot or a nail may lie at their very end.
    """
    found: list[Stretch] = []
    start = Length(0)
    for bad_from, bad_to in piece.bad:
        found.append((start, min(bad_from - kerf, piece.length)))
        start = bad_to + kerf
    found.append((start, piece.length))
    return tuple(stretch for stretch in found if stretch[1] > stretch[0])


def straight_width(piece: RackPiece, length: Length, unit: Unit) -> Length:
    """Width left of a segment so long once its edges are straight: W − c·(ℓ/L)².

    The geometry of a shallow arc: half the length has a quarter of the crook. What it takes is
    rounded up to the tape, and not counted up to 1/32 in, which jointing takes anyway.
    """
    lost = piece.crook * (length / piece.length) ** 2
    taken = round_up(lost, unit) if lost > HARDLY_CROOKED else Length(0)
    return max(piece.width - taken, Length(0))


HARDLY_CROOKED = Length(1, 32)  # inches; a rule of this program, no source


def free_tags(taken: Iterable[str]) -> Iterator[str]:
    """Tags R001, R002, … that are not yet taken, beginning after the highest taken one."""
    used = {tag.casefold() for tag in taken}
    numbers = [int(m[1]) for tag in used if (m := re.fullmatch(r"r(\d+)", tag))]
    return (f"R{n:03}" for n in count(max(numbers, default=0) + 1) if f"r{n:03}" not in used)


def free_marks(taken: Iterable[str]) -> Iterator[str]:
    """Marks B1, B2, … for boards that are bought, without those that are tags already."""
    used = {tag.casefold() for tag in taken}
    return (f"B{n}" for n in count(1) if f"b{n}" not in used)
