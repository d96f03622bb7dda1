"""Pieces in order of the places that they need, against looking at each."""

from __future__ import annotations

import numpy as np
import pytest

from optimizer.search.knapsack import Knapsack
from optimizer.search.places import Places
from optimizer.search.room_pieces import Pieces

LONGEST = 30


def drawn(seed: int) -> tuple[Places[int], np.random.Generator, Knapsack]:
    """Pieces of some rows of a table, of a few sizes and values each; some too long for a room."""
    chance = np.random.default_rng(seed)
    table = Knapsack(np.arange(4, 12), chance.integers(0, 5, (6, 60)))
    table.fill(chance.integers(1, 50, (6, 8)))
    rows = np.array([1, 2, 4])
    sizes, values = chance.integers(3, 40, 50), chance.integers(0, 9, 50)
    counts = np.zeros((50, 1), dtype=np.int16)
    pieces = Pieces(sizes, values, counts, lambda i: i)
    return Places(table, rows, LONGEST, pieces, chance.choice(rows, 50)), chance, table


@pytest.mark.parametrize("seed", range(5))
def test_those_that_fit_are_found_and_no_others(seed: int) -> None:
    places, chance, _ = drawn(seed)
    rows, rooms = chance.choice([1, 2, 4], 200), chance.integers(0, LONGEST + 1, 200)
    at = places.of_rooms(rows, rooms)
    last = chance.integers(0, len(places.pieces), 200)
    row_of_piece = places.of_rooms(rows, np.zeros(200, dtype=np.int64))  # where its row begins
    first, count = places.fitting(at, last)
    begins = places.starts
    ends = np.append(begins[1:], len(places.pieces))
    for n in range(200):
        own = [
            group
            for group in range(len(begins))
            if row_of_piece[n] <= places.needed[group] < row_of_piece[n] + LONGEST + 1
            and places.sizes[group] <= rooms[n]
            and ends[group] > last[n]
        ]
        assert [*range(first[n], first[n] + count[n])] == own


@pytest.mark.parametrize("seed", range(5))
def test_pieces_worth_so_much_are_the_first_of_their_group(seed: int) -> None:
    places, _, _ = drawn(seed)
    for group, start in enumerate(places.starts.tolist()):
        values = places.pieces.values[places.group == group]
        assert (np.diff(values) <= 0).all()
        for needed in range(-1, 10):
            (end,) = places.worth_at_least(np.array([group]), np.array([needed]))
            assert end - start == (values >= needed).sum()


@pytest.mark.parametrize("seed", range(5))
def test_places_hold_what_the_rows_of_the_table_do(seed: int) -> None:
    places, chance, table = drawn(seed)
    rows, rooms = chance.choice([1, 2, 4], 50), chance.integers(0, LONGEST + 1, 50)
    at = places.of_rooms(rows, rooms)
    assert (places.best[at] == table.best[rows, rooms]).all()
    assert (places.terminal[at] == table.terminal[rows, rooms]).all()
    assert places.count(at).tolist() == [(rows == row).sum() for row in (1, 2, 4)]
    filled = places.filled(places.pieces.values.astype(np.float64))
    assert (filled[at] >= table.terminal[rows, rooms]).all()
