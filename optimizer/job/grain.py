"""Parts with matching grain: all out of one blank, in rows and columns, sawn apart last.

Lines that name one board under ``Same board`` are one part of the search, which the plan takes
apart again. Where they are equally wide they lie end to end, and the same again beside it; where
they are equally long side by side, and the same again behind it. So each cut that takes them apart
runs right through.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import gcd

from optimizer.job.parts import Faces, Make, Part

Share = tuple[tuple[Part, int], ...]
"""Parts one after another, and how many of each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """How all copies lie in one blank: ``along`` it end to end, ``across`` it side by side."""

    along: Share
    across: Share

    @property
    def abreast(self) -> int:
        return sum(n for _, n in self.across)

    @property
    def copies(self) -> int:
        return sum(n for _, n in self.along) * self.abreast


def lines_of(part: Part) -> tuple[Part, ...]:
    """The lines of the drawing that a part of the search stands for."""
    return part.members or (part,)


def grids(part: Part) -> Iterator[Grid]:
    """Each way in which all copies of a part may lie in one blank."""
    lines = lines_of(part)
    shares = gcd(*(line.copies for line in lines))
    for n in (n for n in range(1, shares + 1) if shares % n == 0):
        share = tuple((line, line.copies // n) for line in lines)
        if len({line.width for line in lines}) == 1:
            yield Grid(along=share, across=((lines[0], n),))
        if len(lines) > 1 and len({line.length_with_tenons for line in lines}) == 1:
            yield Grid(along=((lines[0], n),), across=share)


def searched_as(parts: Sequence[Part]) -> tuple[Part, ...]:
    """The parts as they are searched: those that name one board are one, where the first stood."""
    by_board: dict[object, list[Part]] = {}
    for number, part in enumerate(parts):
        by_board.setdefault(part.of_board.casefold() or number, []).append(part)
    return tuple(_joined(lines) if lines[0].of_board else lines[0] for lines in by_board.values())


def _joined(lines: Sequence[Part]) -> Part:
    """One part for several lines, as large as the largest of them."""
    least = [line.thickness_at_least or line.thickness for line in lines]
    faces = {line.faces for line in lines} - {Faces.ANY}
    return replace(
        lines[0],
        name=" + ".join(line.name for line in lines),
        count=sum(line.copies for line in lines),
        spare=0,
        length=max(line.length_with_tenons for line in lines),
        tenons=(),
        width=max(line.width for line in lines),
        thickness_at_least=max(least),
        make=Make.SOLID,
        faces=min(faces, default=Faces.ANY),
        same_board=True,
        members=tuple(lines),
    )
