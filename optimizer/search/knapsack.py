"""Tables of the best filling of every room by items that may be repeated."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

NEVER = np.int64(-(2**60))
"""Value of what may not be done."""


class Knapsack:
    """Tables ``best[row, room]`` of the best filling of every room by items that may be repeated.

    Item i takes ``sizes[i]`` of room and is worth ``values[row, i]``; what stays free is worth
    ``terminal[row, free]``. Filled in blocks as long as the smallest item, so that each block looks
    only at finished ones: no loop over positions.
    """

    def __init__(self, sizes: Ints, terminal: Ints) -> None:
        self.sizes, self.terminal = sizes, terminal

    def fill(self, values: Ints) -> None:
        self.values = values
        self.best = best = self.terminal.copy()
        room = best.shape[1]
        step = int(self.sizes.min()) if self.sizes.size else room
        for start in range(step, room, step):
            stop = min(start + step, room)
            for item, size in enumerate(self.sizes):
                first = max(start, int(size))
                if first < stop:
                    behind = best[:, first - size : stop - size] + values[:, item, None]
                    np.maximum(best[:, first:stop], behind, out=best[:, first:stop])

    def with_an_item(self, rows: Ints, rooms: Ints) -> Ints:
        """The best filling by at least one item; rows and rooms broadcast against each other."""
        rows, rooms = np.broadcast_arrays(rows, rooms)
        found = np.full(rooms.shape, NEVER)
        for item, size in enumerate(self.sizes):
            fits = rooms >= size
            row = rows[fits]
            value = self.values[row, item] + self.best[row, rooms[fits] - size]
            found[fits] = np.maximum(found[fits], value)
        return found

    def items(self, row: int, room: int) -> list[int]:
        """The items of the best filling by at least one item, the largest first."""
        chosen: list[int] = []
        target = self.with_an_item(np.array(row), np.array(room))
        while not chosen or target != self.terminal[row, room]:
            item = next(
                i
                for i in np.argsort(-self.sizes, kind="stable")
                if self.sizes[i] <= room
                and self.values[row, i] + self.best[row, room - self.sizes[i]] == target
            )
            chosen.append(int(item))
            room -= int(self.sizes[item])
            target = self.best[row, room]
        return sorted(chosen, key=lambda i: -self.sizes[i])
