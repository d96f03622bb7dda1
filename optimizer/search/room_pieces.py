"""Pieces that fill a room, and which of them others better."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Generic, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from optimizer.search.knapsack import Ints

T = TypeVar("T")
Counts: TypeAlias = NDArray[np.int16]

AT_ONCE = 2**22
"""Comparisons made at once."""

FEW = 400
"""Pieces of which each is compared with each."""


@dataclass(frozen=True, slots=True)
class Pieces(Generic[T]):
    """Pieces that fit in a room: ``sizes[i]``, ``values[i]`` at the worths of the blanks (search
    units), ``counts[i, k]`` blanks of each kind, and ``what(i)`` a piece is.
    """

    sizes: Ints
    values: Ints
    counts: Counts
    what: Callable[[int], T]

    def __len__(self) -> int:
        return len(self.sizes)

    def rests(self, worths: Ints) -> Ints:
        """What each is worth beside its blanks: its leftovers, less its cuts."""
        rests: Ints = self.values - self.counts.astype(np.int64) @ worths
        return rests

    def chosen(self, index: Ints) -> Pieces[T]:
        """Those of an index, in its order."""
        what = self.what
        return Pieces(
            self.sizes[index],
            self.values[index],
            self.counts[index],
            lambda i: what(int(index[i])),
        )

    def undominated(self, worths: Ints, caps: Ints) -> Pieces[T]:
        """Those (all of one size) that no other betters in useful blanks and in rest.

        ``caps[k]`` blanks of a kind are useful.
        """
        if len(self) < 2:
            return self
        useful = np.minimum(self.counts, caps).astype(np.int16)
        marks = useful.astype(np.int64) @ marks_of(len(caps))
        rests = self.rests(worths)
        order = np.lexsort((-rests, marks))
        first = np.ones(len(order), dtype=bool)
        first[1:] = marks[order][1:] != marks[order][:-1]
        kept = order[first]
        several = len(kept) <= FEW
        bettered = (_bettered if several else _bettered_by_one_more)(
            useful[kept], rests[kept], marks[kept]
        )
        return self.chosen(kept[~bettered])


def joined(several: Sequence[Pieces[T]]) -> Pieces[T]:
    """All pieces of several lists."""
    if len(several) == 1:
        return several[0]
    ends = np.cumsum([len(pieces) for pieces in several])

    def what(i: int) -> T:
        n = int(np.searchsorted(ends, i, side="right"))
        return several[n].what(i - int(ends[n]) + len(several[n]))

    return Pieces(
        np.concatenate([pieces.sizes for pieces in several]),
        np.concatenate([pieces.values for pieces in several]),
        np.concatenate([pieces.counts for pieces in several]),
        what,
    )


@cache
def marks_of(kinds: int) -> Ints:
    """For each kind: numbers that tell sums of kinds apart; a sum of marks wraps around."""
    drawn = np.random.default_rng(kinds).integers(-(2**62), 2**62, kinds)
    return drawn.astype(np.int64)


def _bettered(counts: Counts, rests: Ints, marks: Ints) -> NDArray[np.bool_]:
    """For each row (none are equal): does another have as much everywhere, and as good a rest."""
    bettered = np.zeros(len(counts), dtype=bool)
    most = max(1, AT_ONCE // counts.size)
    for start in range(0, len(counts), most):
        some, rest = counts[start : start + most], rests[start : start + most]
        covered = rests[None, :] >= rest[:, None]
        for column in range(counts.shape[1]):
            covered &= counts[None, :, column] >= some[:, None, column]
        bettered[start : start + most] = covered.sum(axis=1) > 1
    return bettered


def _bettered_by_one_more(counts: Counts, rests: Ints, marks: Ints) -> NDArray[np.bool_]:
    """For each row: is there another with one blank more, and as good a rest. ``marks`` ascend."""
    bettered = np.zeros(len(counts), dtype=bool)
    for kind, mark in enumerate(marks_of(counts.shape[1])):
        wanted = marks + mark
        other = np.minimum(np.searchsorted(marks, wanted), len(marks) - 1)
        bettered |= (
            (marks[other] == wanted)
            & (rests[other] >= rests)
            & (counts[other, kind] > counts[:, kind])
        )
    return bettered
