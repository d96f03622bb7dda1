"""Rows of a table one behind the other, and the pieces that fill their rooms.

A *place* is a room of a certain row. Pieces lie in order of the places that they need, the largest
first: so those that fit are the last of a row. Pieces of one row and size are a *group*, the best
first.
"""

from __future__ import annotations

from typing import Generic

import numpy as np

from optimizer.search.alike import changes
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints, Knapsack
from optimizer.search.room_pieces import Pieces, T


class Places(Generic[T]):
    """Places of the rows of a table in ``rows``, up to the ``longest`` room; ``best[place]`` and
    ``terminal[place]`` as in the table.

    ``of_rows[i]`` is the row of piece i; ``group[i]`` the group of the i-th in order. Pieces of
    group g begin at ``starts[g]``, take ``sizes[g]`` each, and fit from place ``needed[g]`` on.
    """

    def __init__(
        self, table: Knapsack, rows: Ints, longest: int, pieces: Pieces[T], of_rows: Ints
    ) -> None:
        self._rows = np.unique(rows)
        self._width = longest + 1
        self.best: Ints = table.best[self._rows, : self._width].ravel()
        self.terminal: Ints = table.terminal[self._rows, : self._width].ravel()
        needed = self.of_rooms(of_rows, pieces.sizes)
        order = np.lexsort((-pieces.values, -needed))
        order = order[pieces.sizes[order] <= longest]
        self.pieces, needed = pieces.chosen(order), needed[order]
        values = self.pieces.values
        self.starts = np.flatnonzero(changes(needed))
        self.sizes = self.pieces.sizes[self.starts]
        self.group = np.repeat(np.arange(len(self.starts)), np.diff(self.starts, append=len(order)))
        self.needed = needed[self.starts]
        # Pieces of a group have descending values: ranks ascend from the first piece to the last.
        self._worths, rank = np.unique(values, return_inverse=True)
        self._ranks = (self.group + 1) * (len(self._worths) + 1) - rank

    def of_rooms(self, rows: Ints, rooms: Ints) -> Ints:
        """The places that rooms of rows are."""
        places: Ints = np.searchsorted(self._rows, rows) * self._width + rooms
        return places

    def count(self, places: Ints, each: Ints | None = None) -> Ints:
        """How many are of each row, or what ``each`` comes to."""
        return np.bincount(places // self._width, each, len(self._rows)).astype(np.int64)

    def row(self, places: Ints) -> Ints:
        """The row of each place, by its number among these."""
        rows: Ints = places // self._width
        return rows

    def rank_in_rows(self, places: Ints, promise: Floats) -> Ints:
        """Of how many of its row each promises less, or no more and comes after."""
        row = places // self._width
        order = np.lexsort((-promise, row))
        rank = np.empty_like(order)
        rank[order] = np.arange(len(order)) - np.searchsorted(row[order], row[order])
        return rank

    def fitting(self, place: Ints, last: Ints) -> tuple[Ints, Ints]:
        """The first group that fits in each place and has pieces from the ``last`` on, and how many
        such there are.
        """
        first = np.searchsorted(-self.needed, -place)
        if len(self.group):
            first = np.maximum(first, self.group[last])
        ends = np.searchsorted(-self.needed, -(place - place % self._width), side="right")
        return first, np.maximum(ends - first, 0)

    def worth_at_least(self, group: Ints, needed: Ints) -> Ints:
        """Where in each group the pieces end that are worth so much."""
        lower = np.searchsorted(self._worths, needed)
        ends: Ints = np.searchsorted(
            self._ranks, (group + 1) * (len(self._worths) + 1) - lower, side="right"
        )
        return ends

    def filled(self, of_pieces: Floats) -> Ints:
        """``[place]``: what fills it brings at the most, where pieces, in order, bring so much."""
        found = self.terminal.reshape(-1, self._width).copy()
        if len(self.starts):
            most = np.maximum.reduceat(np.ceil(of_pieces), self.starts).astype(np.int64)
            row = self.needed // self._width
            for this in np.unique(row).tolist():
                table = Knapsack(self.sizes[row == this], found[[this]])
                table.fill(most[None, row == this])
                found[this] = table.best[0]
        return found.ravel()
