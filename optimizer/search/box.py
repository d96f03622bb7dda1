"""A box: what each count of an integer programme is at least and at most."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints


@dataclass(frozen=True, slots=True)
class Box:
    """What each of so many ``columns``, and then each row, is at least and at most."""

    least: Floats
    most: Floats
    columns: int

    def within(self, ranges: Mapping[int, tuple[float, float]]) -> Box:
        """The same with some counts held in ranges."""
        box = Box(self.least.copy(), self.most.copy(), self.columns)
        for at, (least, most) in ranges.items():
            box.least[at], box.most[at] = least, most
        return box

    def kept(self, columns: Ints) -> Kept:
        """What it says of some columns, and of all rows."""
        at = self._with_rows(columns)
        return Kept(self.least[at].astype(np.float32), self.most[at].astype(np.float32))

    def of_only(self, columns: Ints, kept: Kept) -> Box:
        """What was kept of some columns, and of all rows; and none of the others."""
        box = Box(self.least.copy(), self.most.copy(), self.columns)
        box.most[: self.columns] = 0
        at = self._with_rows(columns)
        box.least[at], box.most[at] = kept.least, kept.most
        return box

    def _with_rows(self, columns: Ints) -> Ints:
        return np.concatenate([columns, np.arange(self.columns, len(self.least))])

    def tightened(self, values: Floats, reduced: Floats, gap: float) -> Box:
        """Without counts that cost more than the gap beyond an optimum, by their reduced costs:
        ``values`` and costs of columns, then rows.
        """
        room = np.floor(gap / np.maximum(np.abs(reduced), 1e-6) + 1e-9)
        box = Box(self.least.copy(), self.most.copy(), self.columns)
        dear = (reduced > 1e-6) & (values <= box.least + 1e-6)
        box.most[dear] = np.minimum(box.most[dear], box.least[dear] + room[dear])
        cheap = (reduced < -1e-6) & (values >= box.most - 1e-6)
        box.least[cheap] = np.maximum(box.least[cheap], box.most[cheap] - room[cheap])
        return box


@dataclass(frozen=True, slots=True)
class Kept:
    """What some columns, and then all rows, are at least and at most: small numbers, and small to
    keep.
    """

    least: npt.NDArray[np.float32]
    most: npt.NDArray[np.float32]
