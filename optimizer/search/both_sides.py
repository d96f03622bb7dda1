"""Segments out of fillings by strips, of one side of the pith or of both where it is ripped out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import TooManyError
from optimizer.search.knapsack import Ints
from optimizer.search.patterns import Segment, Strip
from optimizer.search.room_pieces import Pieces
from stock.lengths import Length

Strips = tuple[Strip, ...]


def segments_of(
    table: CuttingTables,
    row: int,
    board: int,
    sides: Sequence[Pieces[Strips]],
    budget: int,
    most: int,
) -> Pieces[Segment]:
    """Segments of a row and board out of the fillings of its one or two sides.

    Raises TooManyError where there are more than ``most`` that lose at most ``budget``.
    """
    if len(sides) > 1:
        return _both_sides(table, row, board, sides, budget, most)
    (one,), length = sides, table.segment_lengths[row]
    return Pieces(one.sizes, one.values, one.counts, lambda i: Segment(length, one.what(i)))


def _both_sides(
    table: CuttingTables,
    row: int,
    board: int,
    sides: Sequence[Pieces[Strips]],
    budget: int,
    most: int,
) -> Pieces[Segment]:
    """All pairs of fillings below the pith and above it; one side may stay as it is."""
    rooms = (table.rooms.below[row, board], table.rooms.above[row, board])
    below, above = (
        _or_nothing(side, int(table.segment_table.terminal[row, room]))
        for side, room in zip(sides, rooms, strict=True)
    )
    freed = int(table.rooms.freed[row, board])
    least = int(table.segment_best[row, board]) + freed - budget
    first, second = _pairs(below.values, above.values, least, most)
    some = (below.counts[first] + above.counts[second]).any(axis=1)
    first, second = first[some], second[some]
    return Pieces(
        np.zeros(len(first), dtype=np.int64),
        below.values[first] + above.values[second] - freed,
        below.counts[first] + above.counts[second],
        partial(_segment, table.segment_lengths[row], (below.what, first), (above.what, second)),
    )


def _or_nothing(side: Pieces[Strips], kept: int) -> Pieces[Strips]:
    """The fillings of a side, and the last of nothing, which is worth ``kept``."""
    what, last = side.what, len(side)
    return Pieces(
        np.append(side.sizes, 0),
        np.append(side.values, kept),
        np.vstack([side.counts, np.zeros_like(side.counts, shape=(1, side.counts.shape[1]))]),
        lambda i: what(i) if i < last else (),
    )


def _pairs(one: Ints, other: Ints, least: int, most: int) -> tuple[Ints, Ints]:
    """The indices of all pairs that together are worth at least so much."""
    order = np.argsort(-other, kind="stable")
    upto = np.searchsorted(-other[order], one - least, side="right")
    if upto.sum() > most:
        raise TooManyError
    first = np.repeat(np.arange(len(one)), upto)
    before = np.repeat(np.cumsum(upto) - upto, upto)
    return first, order[np.arange(len(first)) - before]


_Chosen = tuple[Callable[[int], Strips], Ints]


def _segment(length: Length, below: _Chosen, above: _Chosen, i: int) -> Segment:
    strips = (what(int(index[i])) for what, index in (below, above))
    return Segment(length, *strips)
