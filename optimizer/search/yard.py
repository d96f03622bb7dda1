"""Where the yard may cut a board that is too long for the car.

All marks are measured from one end, and each may be off by ``yard tolerance``: so a piece loses the
tolerance at each end that the yard sawed, before that end is trimmed like any other. A piece is as
long as the car carries, or an equal share of the board, or just holds blanks of one or two kinds
end to end; what is left of the board must fit the car too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import ceil
from typing import TypeAlias

from stock.lengths import Length, round_up
from stock.shop import Shop

MOST_SPLITS = 64
"""Ways to cut one offer; those at the longest blanks come first."""


@dataclass(frozen=True, slots=True)
class YardPiece:
    """A piece of a board as the yard hands it over; which of its ends the yard has cut."""

    length: Length
    left_cut: bool
    right_cut: bool

    def trims(self, shop: Shop) -> tuple[Length, Length]:
        """What is trimmed off its left and right end at home."""
        rough = max(shop.end_trim + shop.yard_tolerance, shop.crosscut_kerf)
        return (
            rough if self.left_cut else shop.end_trim,
            rough if self.right_cut else shop.end_trim,
        )


Split: TypeAlias = tuple[YardPiece, ...]


def splits(length: Length, shop: Shop, wanted: Iterable[Length] = ()) -> list[Split]:
    """The ways to cut a board ``length`` long for the car, with blanks of ``wanted`` lengths."""
    found: dict[Split, None] = {}
    for first in _firsts(length, shop, sorted(set(wanted), reverse=True)):
        if split := _split(length, first, shop):
            found.setdefault(split)
    return list(found)[:MOST_SPLITS]


def _firsts(length: Length, shop: Shop, wanted: list[Length]) -> Iterator[Length]:
    """Lengths that a first piece may have."""
    carried = shop.longest_carried
    assert carried is not None
    kerf = shop.crosscut_kerf
    yield carried
    pieces = ceil((length + kerf) / (carried + kerf))
    yield _marked((length - (pieces - 1) * kerf) / pieces, shop)
    at_ends = sum(YardPiece(length, False, True).trims(shop))
    for count in (1, 2):
        for blanks in combinations_with_replacement(wanted, count):
            yield _marked(sum(blanks) + (count - 1) * kerf + at_ends, shop)


def _marked(length: Length, shop: Shop) -> Length:
    """A length that can be set on a tape, no shorter."""
    return round_up(length, shop.unit)


def _split(length: Length, first: Length, shop: Shop) -> Split | None:
    """A board cut at ``first``, and on at the length that the car carries; None if it cannot be."""
    carried, kerf, least = shop.longest_carried, shop.crosscut_kerf, shop.least_yard_piece
    assert carried is not None
    lengths = [first]
    left = length - first - kerf
    while left > carried:
        lengths.append(carried)
        left -= carried + kerf
    lengths.append(left)
    if not all(least <= each <= carried for each in lengths):
        return None
    last = len(lengths) - 1
    return tuple(YardPiece(each, n > 0, n < last) for n, each in enumerate(lengths))
