"""A pattern: one way of cutting one board, as a tree of exact lengths."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeAlias

from stock.lengths import Length

Counts: TypeAlias = tuple[tuple[int, int], ...]
"""How many blanks of each kind, by kind."""

Key: TypeAlias = tuple[int, Counts]
"""What a plan sees of a pattern beside its cost: its supply, and its blanks."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of a segment, this wide (inches), crosscut into blanks (indices of kinds)."""

    width: Length
    blanks: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Segment:
    """A segment of a board, this long (inches), ripped into strips in order; where its pith is
    ripped out, these lie below it, and others ``above``.
    """

    length: Length
    strips: tuple[Strip, ...]
    above: tuple[Strip, ...] = ()

    @property
    def all_strips(self) -> tuple[Strip, ...]:
        return (*self.strips, *self.above)


Segments: TypeAlias = tuple[Segment, ...]


class Pattern:
    """One way of cutting one board of a supply (an index). Of thousands that are searched a few are
    sawn: so ``segments`` may be what puts them together, once they are asked for.
    """

    __slots__ = ("_segments", "supply")

    def __init__(self, supply: int, segments: Segments | Callable[[], Segments]) -> None:
        self.supply, self._segments = supply, segments

    @property
    def segments(self) -> Segments:
        return self.put_together()

    def put_together(self) -> Segments:
        """Its segments; from now on it holds nothing else."""
        if callable(self._segments):
            self._segments = self._segments()
        return self._segments

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Pattern):
            return NotImplemented
        return (self.supply, self.segments) == (other.supply, other.segments)

    def __hash__(self) -> int:
        return hash((self.supply, self.segments))

    def __repr__(self) -> str:
        return f"Pattern({self.supply}, {self.segments})"

    def counts(self) -> Counts:
        """Its blanks."""
        found = dict[int, int]()
        for segment in self.segments:
            for strip in segment.all_strips:
                for blank in strip.blanks:
                    found[blank] = found.get(blank, 0) + 1
        return tuple(sorted(found.items()))


@dataclass(frozen=True, slots=True)
class Column:
    """A pattern in the programme: its blanks by kind, and its cost in search units."""

    pattern: Pattern
    counts: Counts
    cost: int

    @property
    def key(self) -> Key:
        """By which columns are alike."""
        return self.pattern.supply, self.counts


Cheapest: TypeAlias = dict[Key, Column]
"""Of columns with the same blanks from the same supply, the cheapest."""


def keep_cheapest(best: Cheapest, columns: Iterable[Column]) -> None:
    """Add ``columns`` to those that are the cheapest so far."""
    for column in columns:
        key = column.key
        if key not in best or column.cost < best[key].cost:
            best[key] = column


def distinct(columns: Iterable[Column]) -> list[Column]:
    """The columns without repeats: of those with the same blanks from the same supply, the
    cheapest.
    """
    best: Cheapest = {}
    keep_cheapest(best, columns)
    return list(best.values())
