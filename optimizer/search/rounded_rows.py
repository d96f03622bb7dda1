"""Rows that hold for whole numbers only: sums of rows, rounded.

Take any share of each row of the programme and add them up. Where all counts are whole, the
coefficients of the sum may be rounded up, and so may what it must reach (Gomory, Outline of an
algorithm for integer solutions to linear programs, Bulletin of the AMS 64, 1958; Chvátal, Edmonds
polytopes, Discrete Mathematics 4, 1973). The shares that serve stand in the simplex tableau of a
solution that halves something. Such rows close most of the gap of a cutting-stock problem (Belov
and Scheithauer, European Journal of Operational Research 171, 2006).

Shares are whole multiples of 1/5040, so the rows of patterns found later are computed in exact
integers. A pattern's coefficient exceeds the plain sum by less than one, by its *bonus*: the tables
price the plain sums, and the lists allow for the bonus.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints
from optimizer.search.row_layers import PARTS, AnyFloats, RowLayers

Flags = NDArray[np.bool_]
Numbers = TypeVar("Numbers", Ints, Floats)

VIOLATED = 0.005
"""A row is of use if a solution falls short of it by so much."""

DEEPER = 0.3
"""What a row of rounded rows is worth beside one of first rows only: its bonus is larger."""


@dataclass(frozen=True)
class RoundedRow:
    """Shares (over PARTS, not negative) of the first rows and of earlier rounded ones; what the
    rounded sum must reach.
    """

    of_first: Floats
    of_rounded: Floats
    least: float


class RoundedRows:
    """Rounded rows over first rows that reach ``first`` each; later ones may hold earlier ones."""

    def __init__(self, first: Floats) -> None:
        self.first = first
        self.rows: list[RoundedRow] = []
        self._layers: RowLayers | None = None

    def __len__(self) -> int:
        return len(self.rows)

    def copy(self) -> RoundedRows:
        """The rows as they are now."""
        copied = RoundedRows(self.first)
        copied.rows, copied._layers = [*self.rows], self._layers
        return copied

    def least(self) -> Floats:
        """What each rounded row must reach."""
        return np.array([row.least for row in self.rows], dtype=np.float64)

    def held(self) -> Flags:
        """``[first row]``: whether any rounded row has a share of it."""
        held = np.zeros(len(self.first), dtype=bool)
        for row in self.rows:
            held |= row.of_first > 0
        return held

    def coefficients(self, entries: Floats) -> Floats:
        """``[rounded row, column]`` of columns given by their ``[first row, column]``."""
        layers = self._in_layers()
        found = np.empty((len(self.rows), entries.shape[1]))
        found[layers.order] = layers.sums(entries, None, np.ceil)
        return found

    def brought(
        self,
        worths: Numbers,
        entries: Floats,
        among: Ints | None = None,
        whole: Callable[..., AnyFloats] = np.ceil,
    ) -> Numbers:
        """What columns bring, ``[column]``, where each row is worth so much: the coefficients at
        their ``worths``, whole numbers where these are. Entries are of all first rows, or of those
        ``among`` which all are.

        Of differences of columns, with ``whole`` rounding down: by how much they differ at least.
        """
        layers = self._in_layers()
        sums = layers.sums(entries, among, whole).astype(worths.dtype)
        brought: Numbers = worths[layers.order] @ sums
        return brought

    def _in_layers(self) -> RowLayers:
        if self._layers is None:
            self._layers = RowLayers.of(self.rows, len(self.first))
        return self._layers

    def plain(self) -> Floats:
        """``[rounded row, first row]``: each as a sum of first rows, before all rounding."""
        plain = np.zeros((len(self.rows), len(self.first)))
        for i, row in enumerate(self.rows):
            plain[i] = (row.of_first + row.of_rounded @ plain[:i]) / PARTS
        return plain

    def most_bonus(self, marked: Flags) -> Floats:
        """The most by which each row's coefficient exceeds its plain sum, in columns that have
        entries in ``marked`` first rows only.
        """
        bonus, varies = np.zeros(len(self.rows)), np.zeros(len(self.rows), dtype=bool)
        for i, row in enumerate(self.rows):
            shares = np.append(row.of_first[marked], row.of_rounded[varies[:i]])
            step = np.gcd.reduce(np.append(shares, PARTS).astype(np.int64))
            varies[i] = bool(shares.any())
            bonus[i] = 1 - step / PARTS + row.of_rounded @ bonus[:i] / PARTS
        return bonus

    def extend(self, multipliers: Floats, entries: Floats, counts: Floats, most: int) -> int:
        """Add the rows, at most ``most``, that a solution falls short of; how many there are.

        ``multipliers`` are of ``[candidate, first and rounded row]``; ``entries`` of ``[first row,
        column]`` and ``counts`` are those of the columns that the solution uses.
        """
        first = len(self.first)
        flat = np.zeros_like(multipliers)
        flat[:, :first] = multipliers[:, :first] + multipliers[:, first:] @ self.plain()
        shares = np.round(np.vstack([flat, multipliers]) * PARTS)
        shares -= np.floor(shares / PARTS) * PARTS
        rows = np.vstack([entries, self.coefficients(entries)])
        coefficients = np.ceil(shares @ rows / PARTS)
        least = np.ceil(shares @ np.append(self.first, self.least()) / PARTS)
        short = least - coefficients @ counts
        before, seen = len(self.rows), set[bytes]()
        worth = np.where(shares[:, first:].any(axis=1), short * DEEPER, short)
        for i in np.argsort(-worth, kind="stable"):
            if worth[i] < VIOLATED or len(self.rows) - before == most:
                break
            if (key := coefficients[i].tobytes()) not in seen:
                seen.add(key)
                of_rounded = np.append(shares[i, first:], np.zeros(len(self.rows) - before))
                self.rows.append(RoundedRow(shares[i, :first].copy(), of_rounded, float(least[i])))
        self._layers = None
        return len(self.rows) - before

    def join(self, others: RoundedRows) -> None:
        """Others of the same first rows join, behind these."""
        before = np.zeros(len(self.rows))
        self.rows += [
            RoundedRow(row.of_first, np.append(before, row.of_rounded), row.least)
            for row in others.rows
        ]
        self._layers = None

    def keep(self, wanted: Flags) -> Flags:
        """Forget rows that are neither wanted nor held by wanted ones; which are kept."""
        kept = wanted.copy()
        for i in reversed(range(len(self.rows))):
            if kept[i]:
                kept[:i] |= self.rows[i].of_rounded > 0
        self.rows = [
            RoundedRow(row.of_first, row.of_rounded[kept[:i]], row.least)
            for i, row in enumerate(self.rows)
            if kept[i]
        ]
        self._layers = None
        return kept
