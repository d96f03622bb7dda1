"""The patterns of one lumber whose reduced costs are within a gap, at the prices of any rows.

The tables price sums over blanks, a rounded row is none: so lists go by upper sums, and by what
pieces are worth in company, and what they hold beyond the gap leaves them.
"""

from __future__ import annotations

import numpy as np

from optimizer.search.company import Company
from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import TooManyError
from optimizer.search.listed import Listed
from optimizer.search.listing import Listing
from optimizer.search.pricing import Prices, within
from optimizer.search.upper_sums import UpperSums
from optimizer.search.watch import Watch

LESS_FAR = 0.95
"""After a list that was too long the next one goes no further than this share of it."""

NO_END = 2**60


class WithinGap:
    """Lists of the lumber of a table, and how far they go."""

    def __init__(self, table: CuttingTables, watch: Watch) -> None:
        self.table, self.watch = table, watch
        self._too_far = NO_END
        """A list of patterns within this gap was too long."""
        self._fitted: UpperSums | None = None

    def forget(self) -> None:
        """Go as far again as was too far before."""
        self._too_far = NO_END

    def listed(self, prices: Prices, gap: int, most: int, beam: int | None = None) -> list[Listed]:
        """Every pattern whose reduced cost is within the gap, or those in a beam. Raises
        TooManyError where they are more than ``most``.
        """
        table, useful, company = self.table, prices.first.useful, None
        if self.watch.over():
            raise TooManyError
        sums = UpperSums(prices, table)
        if prices.of_rounded.any():
            if beam is None:
                if gap > LESS_FAR * self._too_far:
                    raise TooManyError
                sums = self._fitting(prices)
            company = Company.of(sums, gap)
        listing = Listing(table, sums.kinds, useful, most, self.watch, company, beam)
        above = sums.boards - listing.best
        try:
            lists = within(prices, [*listing.lists(gap + sums.bonuses - above)], gap)
            if sum(map(len, lists)) > most:
                raise TooManyError
        except TooManyError:
            if company is not None and beam is None:
                self._too_far = gap
            raise
        if beam is None and gap >= self._too_far:  # at other worths
            self._too_far = NO_END
        return lists

    def as_far_as_goes(self, prices: Prices, gap: int, most: int) -> tuple[list[Listed], int]:
        """Every pattern whose reduced cost is within the gap or, where they are more than ``most``,
        within so much of it that they are not; and within how much.
        """
        sums, useful = UpperSums(prices, self.table), prices.first.useful
        listing = Listing(self.table, sums.kinds, useful, most, self.watch, yielding=True)
        above = sums.boards - listing.best
        found = [*listing.lists(gap + sums.bonuses - above)]
        gap -= listing.yielded
        lists = within(prices, found, gap)
        if sum(map(len, lists)) > most:
            gap = int(np.partition(np.concatenate(prices.of_lists(lists)), most)[most]) - 1
            lists = within(prices, lists, gap)
        return lists, gap

    def _fitting(self, prices: Prices) -> UpperSums:
        """The sums that fit best, once for the same prices."""
        if self._fitted is None or self._fitted.prices is not prices:
            self._fitted = UpperSums(prices, self.table)
            self._fitted.fit()
        return self._fitted
