"""What patterns bring at the most, as sums over their blanks.

The tables price sums over blanks, and a rounded row is none. Two sums are never less: its plain sum
and its *bonus*, for rounding up adds less than one; and what each blank brings by itself, rounded
up, for ⌈x + y⌉ ≤ ⌈x⌉ + ⌈y⌉. The first serves where boards hold many blanks, the second where they
hold few or shares are almost whole. Of each row that one is taken which makes boards seem to bring
less beyond their cost; so fewer patterns need to be listed to be sure.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import NEVER, Ints
from optimizer.search.pricing import Prices


class UpperSums:
    """Of one lumber at ``prices``: no pattern brings more than its blanks at the worths ``kinds``
    (by kind of the problem) and the bonus of its supply, beyond what its board costs and is worth
    where it lies (search units; ``boards`` and ``bonuses`` by the lumber's supplies).

    ``apart[i]``: of a rounded row each blank is rounded up by itself.
    """

    def __init__(self, prices: Prices, table: CuttingTables) -> None:
        self.prices, self.table = prices, table
        self.apart = np.zeros(len(prices.rounded), dtype=bool)
        first, plain = prices.first, prices.rounded.plain()
        self._rows = first.of_kinds.start + np.array(table.kinds)
        self._of_blanks = plain[:, self._rows]
        self._of_boards = plain[:, first.of_supplies] @ first.takes[list(table.supplies)].T

    @property
    def _plain(self) -> Ints:
        """The worths of rows that are summed plainly."""
        worths: Ints = np.where(self.apart, 0, self.prices.of_rounded)
        return worths

    @property
    def kinds(self) -> Ints:
        """``[kind]``"""
        prices, plain = self.prices, self._plain
        of_blanks = plain @ self._of_blanks
        if self.apart.any():
            of_blanks += (prices.of_rounded - plain) @ self._of_blanks_apart
        kinds = prices.kinds.copy()
        kinds[list(self.table.kinds)] += np.ceil(of_blanks).astype(np.int64)
        return kinds

    @property
    def boards(self) -> Ints:
        """``[supply of the lumber]``"""
        taken = np.floor(self._plain @ self._of_boards).astype(np.int64)
        boards: Ints = self.table.cost + taken
        boards += self.prices.supplies[list(self.table.supplies)]
        return boards

    @property
    def bonuses(self) -> Ints:
        """``[supply of the lumber]``"""
        bonuses: Ints = np.ceil(self._row_bonuses @ self._plain).astype(np.int64)
        return bonuses

    @cached_property
    def _of_blanks_apart(self) -> Floats:
        """``[rounded row, kind of the lumber]``: what one blank alone has in a row."""
        alone = np.eye(len(self.prices.first))[:, self._rows]
        return self.prices.rounded.coefficients(alone)

    @cached_property
    def _row_bonuses(self) -> Floats:
        """``[supply of the lumber, rounded row]``"""
        first, rounded = self.prices.first, self.prices.rounded
        within = first.within[list(self.table.supplies)] & rounded.held()
        _, unlike, which = np.unique(
            np.packbits(within, axis=1), axis=0, return_index=True, return_inverse=True
        )
        bonuses = np.array([rounded.most_bonus(marked) for marked in within[unlike]])
        of_supplies: Floats = bonuses[which.ravel()]
        return of_supplies

    def beyond_cost(self) -> Ints:
        """``[supply of the lumber]``: what a board seems to bring beyond its cost, if it does."""
        best = self.table.price(self.kinds)
        beyond = np.where(best > NEVER // 2, best + self.bonuses - self.boards, 0)
        return np.maximum(beyond, 0)

    def fit(self) -> None:
        """Take for each row the sum that makes boards seem to bring less, the dearest row first."""
        worths, least = self.prices.of_rounded, self.beyond_cost().sum()
        for row in np.argsort(-worths, kind="stable")[: np.count_nonzero(worths)].tolist():
            self.apart[row] = True
            beyond = self.beyond_cost().sum()
            self.apart[row] = beyond < least
            least = min(beyond, least)
