"""The bin packing classes have the shape that Falkenauer (1996) gives them."""

from __future__ import annotations

from collections import Counter

import pytest

from stock.shop import Sawing
from tests.benchmarks.cutting_stock import CuttingStock
from tests.benchmarks.falkenauer import TRIPLETS, UNIFORM, triplets, uniform


def lengths(example: CuttingStock) -> list[int]:
    return list(Counter({item.length: item.copies for item in example.items}).elements())


@pytest.mark.parametrize("count", UNIFORM)
def test_uniform_items_are_20_to_100_in_bins_of_150(count: int) -> None:
    drawn = [uniform(count, seed) for seed in range(20)]
    for example in drawn:
        assert [board.length for board in example.boards] == [150]
        assert len(lengths(example)) == count
    every = [length for example in drawn for length in lengths(example)]
    assert (min(every), max(every)) == (20, 100)
    # Evenly drawn, the mean is 60; its standard deviation 81 / sqrt(12) / sqrt(count * 20).
    assert abs(sum(every) / len(every) - 60) < 4 * 23.4 / len(every) ** 0.5


@pytest.mark.parametrize("count", TRIPLETS)
def test_triplets_fill_bins_of_1000_in_threes_and_only_so(count: int) -> None:
    for seed in range(20):
        example = triplets(count, seed)
        items = lengths(example)
        assert len(items) == count
        assert sum(items) == 1000 * count // 3
        # More than a quarter and less than a half each: no more than three fit, two do not fill.
        assert all(250 <= item < 500 for item in items)
        assert example.optima[Sawing.FREE].most == count // 3


def test_the_same_seed_gives_the_same_items_and_others_give_others() -> None:
    assert uniform(120, 1) == uniform(120, 1)
    assert triplets(60, 1) == triplets(60, 1)
    assert uniform(120, 1).items != uniform(120, 2).items
    assert triplets(60, 1).items != triplets(60, 2).items
