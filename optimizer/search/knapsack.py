"""Tables of the best filling of every room by items that may be repeated.

The unbounded knapsack by dynamic programming, as in Gilmore and Gomory (The theory and computation
of knapsack functions, Operations Research 14, 1966; cited from memory):

    best(x) = max(terminal(x), max over items i of value(i) + best(x − size(i)))

All rooms up to the longest board are filled at once, and all rows (a row for each strip width, or
each segment length) beside each other. The *deficit* of an item in a room is what is lost at the
least by a filling that uses it: listing goes by it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

NEVER = np.int64(-(2**60))
"""Value of what may not be done."""

MOST_ROOMS, AT_ONCE = 256, 2**15
"""Rooms that are filled at once, and sums of these and rows and items that are made at once: no
more than fit in the processor.
"""


class Knapsack:
    """Tables ``best[row, room]`` of the best filling of every room by items that may be repeated.

    Item i takes ``sizes[i]`` of room and is worth ``values[row, i]``; what stays free is worth
    ``terminal[row, free]``. Filled in blocks no longer than the smallest item, so that each block
    looks only at finished ones: no loop over positions or items. The best filling by at least one
    item is kept beside, as it is found on the way. Of a row no more room is asked for than its
    ``longest``; what stands beyond is not filled.
    """

    def __init__(self, sizes: Ints, terminal: Ints, longest: Ints | None = None) -> None:
        self.sizes, self.terminal = sizes, terminal
        self._ascending = np.argsort(sizes, kind="stable")
        self._by_size = sorted(enumerate(sizes.tolist()), key=lambda pair: -pair[1])
        highest = np.maximum.accumulate(terminal, axis=1)
        self._spared = (highest - terminal).max(initial=0)  # so much less may more room be worth
        # With rooms below nothing and beyond the last every item fits and every block is full.
        rows, room = terminal.shape
        self._before = int(sizes.max(initial=0))
        self._every = np.full((2, rows, self._before + room + MOST_ROOMS), NEVER)
        self.best, self._begun = self._every[:, :, self._before :][:, :, :room]
        times = (np.full(rows, room) if longest is None else longest) // MOST_ROOMS + 1
        self._alike = [(np.flatnonzero(times == n), n * MOST_ROOMS) for n in np.unique(times)]
        """Rows of which about as much room is asked for, and no more than how much."""

    def fill(self, values: Ints) -> None:
        self.values = values
        sizes, worths, counts = self._undominated()
        self.best[:], self._begun[:] = self.terminal, NEVER
        filled, begun = self._every
        rows, most = sizes.shape
        step, before = min(int(sizes.min(initial=MOST_ROOMS)), MOST_ROOMS), self._before
        if rows * most * step <= AT_ONCE:
            _fill_blocks(filled, begun, sizes, worths, before, step)
            return
        for alike, room in self._alike:  # few rows at a time, of about as many items
            order = alike[np.argsort(-counts[alike], kind="stable")]
            asked = slice(before + room + MOST_ROOMS)
            while len(order) and (most := int(counts[order[0]])):
                some, order = np.split(order, [max(AT_ONCE // (most * step), 1)])
                rows_filled, rows_begun = filled[some, asked], begun[some, asked]
                several = sizes[some, :most], worths[some, :most]
                _fill_blocks(rows_filled, rows_begun, *several, before, step)
                filled[some, asked], begun[some, asked] = rows_filled, rows_begun

    def _undominated(self) -> tuple[Ints, Ints, Ints]:
        """``[row, n]``: sizes and values of the items that no item as small or smaller outdoes;
        rows that have fewer are filled up with values of NEVER. ``[row]``: how many these are.
        """
        values = self.values[:, self._ascending]
        smaller = np.full_like(values, NEVER)
        np.maximum.accumulate(values[:, :-1], axis=1, out=smaller[:, 1:])
        useful = (values > smaller - self._spared) & (values > NEVER // 2)
        counts = useful.sum(axis=1)
        chosen = np.argsort(~useful, axis=1, kind="stable")[:, : counts.max(initial=0)]
        worths = np.where(useful, values, NEVER)[np.arange(len(values))[:, None], chosen]
        return self.sizes[self._ascending[chosen]], worths, counts

    def with_each_item(self, rows: Ints, rooms: Ints) -> Ints:
        """``[…, item]``: the best filling by that item and others; rows and rooms broadcast."""
        after = np.asarray(rooms)[..., None] - self.sizes
        values = self.values[rows] + self.best[np.asarray(rows)[..., None], np.maximum(after, 0)]
        return np.where(after >= 0, values, NEVER)

    def with_an_item(self, rows: Ints, rooms: Ints) -> Ints:
        """The best filling by at least one item; rows and rooms broadcast against each other."""
        best: Ints = self._begun[rows, rooms]
        return best

    def deficits(self, rows: Ints, rooms: Ints) -> Ints:
        """``[n, item]``: how much less the best filling of the n-th room, of the n-th row, is worth
        that uses an item; ``-NEVER`` or nearly so much where none does.

        ``reached`` is the least that is lost on the way from nothing filled to so much, against the
        best filling by at least one item, and the best filling of what is then free; found in
        blocks, for all rooms at once. Beyond a room's end the best is ``NEVER``.
        """
        never, values = -NEVER, self.values[rows]
        least, longest = np.full(values.shape, never), int(rooms.max(initial=0))
        free = rooms[:, None] - np.arange(longest + 1)
        best = np.where(free < 0, NEVER, self.best[rows[:, None], np.maximum(free, 0)])
        before, smallest = int(self.sizes.max(initial=0)), int(self.sizes.min(initial=longest + 1))
        reached = np.full((len(rows), before + longest + 1), never)
        most = self.with_an_item(rows, rooms)
        reached[:, before] = np.where(most > NEVER // 2, most, never)
        step = min(smallest, MOST_ROOMS)
        for start in range(smallest, longest + 1, step):
            block = best[:, start : start + step]
            width = block.shape[1]
            behind = _windows(reached, width)
            lost = behind[:, before + start - self.sizes] - values[:, :, None] - block[:, None]
            np.minimum(least, lost.min(axis=2), out=least)
            here = slice(before + start, before + start + width)
            reached[:, here] = np.minimum(lost.min(axis=1), never) + block
        return least

    def items(self, row: int, room: int, first: int | None = None) -> list[int]:
        """The items of the best filling by at least one item (by ``first`` and others), the largest
        first.
        """
        best, terminal = memoryview(self.best[row]), memoryview(self.terminal[row])
        values = self.values[row].tolist()
        fitting = [(i, size) for i, size in self._by_size if size <= room]
        if first is None:
            first, _ = max(fitting, key=lambda each: values[each[0]] + best[room - each[1]])
        chosen, room = [first], room - int(self.sizes[first])
        while best[room] != terminal[room]:
            item, size = next(
                (i, size)
                for i, size in fitting
                if size <= room and values[i] + best[room - size] == best[room]
            )
            chosen.append(item)
            room -= size
        return sorted(chosen, key=lambda i: -self.sizes[i])


def _fill_blocks(
    filled: Ints, begun: Ints, sizes: Ints, worths: Ints, before: int, step: int
) -> None:
    """Fill rooms from ``before`` on, so many at a time, of rows that have these items."""
    behind, each = _windows(filled, step), np.arange(len(filled))[:, None]
    smallest = int(sizes.min(initial=filled.shape[1]))
    for start in range(before + smallest, filled.shape[1] - MOST_ROOMS, step):
        block, first = filled[:, start : start + step], begun[:, start : start + step]
        rests = behind[each, start - sizes]
        rests += worths[:, :, None]
        np.maximum.reduce(rests, axis=1, out=first)
        np.maximum(block, first, out=block)


def _windows(rooms: Ints, width: int) -> Ints:
    """``[row, room]``: so many rooms from that one on, looked at where they lie (as numpy's
    ``sliding_window_view``, which takes ten times as long to say so).
    """
    (rows, count), (row, room) = rooms.shape, rooms.strides
    shape, strides = (rows, count - width + 1, width), (row, room, room)
    return np.ndarray(shape, rooms.dtype, rooms, strides=strides)
