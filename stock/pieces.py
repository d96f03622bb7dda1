"""What lies on the rack."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import count

from stock.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Lumber:
    """Wood of one kind in one thickness (inches): what may be glued, ripped and planed alike.

    ``wood`` is the name as typed in the stock book; empty where the book does not say.
    """

    wood: str
    treated: bool
    thickness: Length

    def __post_init__(self) -> None:
        if self.thickness <= 0:
            raise ValueError(f"lumber {self.thickness} thick")


@dataclass(frozen=True, slots=True, kw_only=True)
class RackPiece:
    """One row of the rack: ``count`` equal offcuts, all usable from end to end (inches).

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

    def __post_init__(self) -> None:
        if not self.tag:
            raise ValueError("a rack piece needs a tag")
        if self.width <= 0 or self.length <= 0 or self.count < 0:
            raise ValueError(f"rack piece {self.tag}: {self.width} x {self.length} x {self.count}")


def free_tags(taken: Iterable[str]) -> Iterator[str]:
    """Tags R001, R002, … that are not yet taken, beginning after the highest taken one."""
    used = {tag.casefold() for tag in taken}
    numbers = [int(m[1]) for tag in used if (m := re.fullmatch(r"r(\d+)", tag))]
    return (f"R{n:03}" for n in count(max(numbers, default=0) + 1) if f"r{n:03}" not in used)
