"""Pieces that fill a room, and which of them others better."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import accumulate, pairwise
from typing import Generic, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from optimizer.search.alike import changes
from optimizer.search.knapsack import Ints

T = TypeVar("T")
Counts: TypeAlias = NDArray[np.int16]

AT_ONCE = 2**22
"""Comparisons made at once, or counts summed."""

MOST_COUNTED = np.iinfo(np.int16).max

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
        return self.values - sums_of(self.counts, worths)

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
        return self.undominated_of(np.zeros(len(self), dtype=np.int64), 1, worths, caps)[0]

    def undominated_of(self, rooms: Ints, count: int, worths: Ints, caps: Ints) -> list[Pieces[T]]:
        """The same of each of so many rooms, where piece i fills ``rooms[i]``."""
        useful = np.minimum(self.counts, np.minimum(caps, MOST_COUNTED).astype(np.int16))
        marks = sums_of(useful, marks_of(len(caps)))
        rests = self.rests(worths)
        order = np.lexsort((-rests, marks, rooms))
        kept = order[changes(marks[order]) | changes(rooms[order])]
        useful, rests, marks, rooms = useful[kept], rests[kept], marks[kept], rooms[kept]
        ends = np.searchsorted(rooms, np.arange(count + 1))
        of_rooms = [slice(*span) for span in pairwise(ends.tolist())]
        bettered = np.zeros(len(kept), dtype=bool)
        for some in _few_at_once(of_rooms):
            few = some.stop - some.start <= FEW
            bettered[some] = (
                _bettered(useful[some], rests[some], rooms[some])
                if few
                else _bettered_by_one_more(useful[some], rests[some], marks[some])
            )
        return [self.chosen(kept[some][~bettered[some]]) for some in of_rooms]


def joined(several: Sequence[Pieces[T]]) -> Pieces[T]:
    """All pieces of several lists."""
    if len(several) == 1:
        return several[0]
    starts = [0, *accumulate(len(pieces) for pieces in several[:-1])]

    def what(i: int) -> T:
        n = bisect_right(starts, i) - 1
        return several[n].what(i - starts[n])

    return Pieces(
        np.concatenate([pieces.sizes for pieces in several]),
        np.concatenate([pieces.values for pieces in several]),
        np.concatenate([pieces.counts for pieces in several]),
        what,
    )


def _few_at_once(spans: Sequence[slice]) -> Iterator[slice]:
    """Neighbours put together, as long as they are few."""
    begin, end = 0, 0
    for span in spans:
        if span.stop - begin > FEW and end > begin:
            yield slice(begin, end)
            begin = end
        end = span.stop
    yield slice(begin, end)


@cache
def marks_of(kinds: int) -> Ints:
    """For each kind: numbers that tell sums of kinds apart; a sum of marks wraps around."""
    drawn = np.random.default_rng(kinds).integers(-(2**62), 2**62, kinds)
    return drawn.astype(np.int64)


def sums_of(counts: Counts, of_kinds: Ints) -> Ints:
    """``counts @ of_kinds``, some at once: all counts in wider numbers take four times the room."""
    sums = np.zeros(len(counts), dtype=np.int64)
    step = max(1, AT_ONCE // max(1, counts.shape[1]))
    for start in range(0, len(counts), step):
        some = slice(start, start + step)
        sums[some] = counts[some].astype(np.int64) @ of_kinds
    return sums


def _bettered(counts: Counts, rests: Ints, rooms: Ints) -> NDArray[np.bool_]:
    """For each row: does another of its room have as much everywhere, and as good a rest. No two of
    a room are equal.
    """
    bettered = np.zeros(len(counts), dtype=bool)
    unlike = np.ascontiguousarray(counts[:, (counts != counts[:1]).any(axis=0)].T)
    most = max(1, AT_ONCE // max(1, counts.size))
    for start in range(0, len(counts), most):
        some = slice(start, start + most)
        covered = rests[None, :] >= rests[some, None]
        covered &= rooms[None, :] == rooms[some, None]
        for column in unlike:
            covered &= column[None, :] >= column[some, None]
        bettered[some] = covered.sum(axis=1) > 1
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
