"""Coefficients of rounded rows for very many columns: layer by layer, in the least room.

Rows that hold no other rounded ones come first, then those that hold only these, and so on; a whole
layer is summed and rounded at once. All shares are whole, and so are all entries: numbers of 32
bits are as exact as of 64 as long as no sum reaches 2**24, and take half the room and the time.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints

AnyFloats = NDArray[np.floating[Any]]
"""Of 32 or 64 bits."""

PARTS = 5040
"""Shares are multiples of 1/5040: halves to tenths are exact."""

EXACT = 2.0**24
"""Below it every whole number is one of 32 bits, and so is every sum of such; and division by PARTS
never rounds to a whole number that is not the quotient: that is 1/5040 away, others are nearer.
"""

MANY = 500
"""Of fewer columns it is not worth asking how large their sums are."""


class Shares(Protocol):
    """Shares (over PARTS, not negative) of first rows and of earlier rounded ones."""

    @property
    def of_first(self) -> Floats: ...

    @property
    def of_rounded(self) -> Floats: ...


@dataclass(frozen=True, eq=False)
class RowLayers:
    """``order``: the rows by layer. ``of_first`` is ``[row in order, first row]``, and each layer
    in ``of_earlier`` is ``[its row, earlier row in order]``.
    """

    order: Ints
    of_first: Floats
    of_earlier: tuple[Floats, ...]

    @classmethod
    def of(cls, rows: Sequence[Shares], first: int) -> RowLayers:
        """Of rows over so many ``first`` rows."""
        depths = np.zeros(len(rows), dtype=np.int64)
        every = np.zeros((len(rows), len(rows)))
        for i, row in enumerate(rows):
            every[i, : len(row.of_rounded)] = row.of_rounded
            depths[i] = 1 + depths[np.flatnonzero(row.of_rounded)].max(initial=0)
        order = np.argsort(depths, kind="stable")
        every = every[order][:, order]
        sizes = np.bincount(depths)[1:]
        ends = np.cumsum(sizes)
        of_first = np.array([row.of_first for row in rows]).reshape(len(rows), first)
        return cls(
            order=order,
            of_first=of_first[order],
            of_earlier=tuple(
                every[start:end, :start].copy()
                for start, end in zip(ends - sizes, ends, strict=True)
            ),
        )

    def sums(
        self, entries: Floats, among: Ints | None, whole: Callable[..., AnyFloats]
    ) -> AnyFloats:
        """``[row in order, column]`` of columns given by their whole ``[first row, column]``: of
        all first rows, or of those ``among`` which all their entries are; rounded by ``whole``.
        """
        of_first = self.of_first if among is None else self.of_first[:, among]
        layers: Sequence[AnyFloats] = self.of_earlier
        sums: AnyFloats
        if entries.shape[1] >= MANY and self._most(of_first, entries) < EXACT:
            sums, layers = of_first.astype(np.float32) @ entries.astype(np.float32), self._single
        else:
            sums = of_first @ entries
        start = 0
        for of_earlier in layers:
            of_layer = sums[start : start + len(of_earlier)]
            if start:
                of_layer += of_earlier @ sums[:start]
            of_layer /= PARTS
            whole(of_layer, out=of_layer)
            start += len(of_earlier)
        return sums

    def _most(self, of_first: Floats, entries: Floats) -> float:
        """No sum, nor part of one, is larger."""
        largest = max(entries.max(initial=0), -entries.min(initial=0))
        sums, most = of_first.sum(axis=1) * largest, 0.0
        start = 0
        for of_earlier in self.of_earlier:
            of_layer = sums[start : start + len(of_earlier)]
            of_layer += of_earlier @ sums[:start]
            most = max(most, of_layer.max(initial=0))
            of_layer /= PARTS
            of_layer += 1
            start += len(of_earlier)
        return most

    @cached_property
    def _single(self) -> tuple[AnyFloats, ...]:
        """``of_earlier`` in 32 bits."""
        return tuple(each.astype(np.float32) for each in self.of_earlier)
