"""Patterns of one supply that a list holds, in arrays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from optimizer.search.knapsack import Ints
from optimizer.search.patterns import Column, Pattern, Segment
from optimizer.search.room_pieces import Counts, Pieces


@dataclass(frozen=True, slots=True)
class Listed:
    """Patterns of one supply: ``counts[i, k]`` of ``kinds[k]``, ``costs[i]`` in search units."""

    supply: int
    kinds: tuple[int, ...]
    counts: Counts
    costs: Ints
    segments: Pieces[tuple[Segment, ...]]

    def __len__(self) -> int:
        return len(self.costs)

    def chosen(self, index: Ints) -> Listed:
        """Those of an index."""
        pieces = self.segments.chosen(index)
        return Listed(self.supply, self.kinds, pieces.counts, self.costs[index], pieces)

    def columns(self, index: Ints | None = None) -> Iterator[Column]:
        """All of them, or those of an index, for the programme. What their patterns are is put
        together when it is asked for; until then they hold all lists out of which they are made.
        """
        index = np.arange(len(self)) if index is None else index
        counts = self.counts[index]
        row, at = np.nonzero(counts)
        each = [*zip((self.kinds[k] for k in at.tolist()), counts[row, at].tolist(), strict=True)]
        ends = np.searchsorted(row, np.arange(len(index) + 1)).tolist()
        costs = self.costs[index].tolist()
        for n, i in enumerate(index.tolist()):
            pattern = Pattern(self.supply, partial(self.segments.what, i))
            yield Column(pattern, tuple(each[ends[n] : ends[n + 1]]), costs[n])
