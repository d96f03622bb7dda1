"""Lists that are too short for all patterns: they prove less, and never too much."""

from __future__ import annotations

import random

import pytest

from optimizer.search import closing, company, levels
from tests.benchmarks.cutting_stock import Valued, ValuedPlate
from tests.benchmarks.measure import solved

NEAR, MOST_LISTED, FEW, SECONDS = 30, 2_000, 50, 3.0


def drawn_plate(seed: int) -> ValuedPlate:
    """A plate and what may come out of it; so many patterns are near the best that lists grow."""
    chance = random.Random(seed)
    length, width = chance.randint(60, 140), chance.randint(60, 140)
    items = tuple(
        Valued(
            chance.randint(length // 8, length // 2),
            chance.randint(width // 8, width // 2),
            chance.randint(100, 900),
            chance.randint(1, 4),
        )
        for _ in range(chance.randint(8, 28))
    )
    return ValuedPlate(
        name=f"plate {seed}", length=length, width=width, items=items, along=0, across=0
    )


@pytest.mark.parametrize("seed", [13, 18, 24, 32, 33])
def test_no_bound_by_short_lists_is_above_a_plan(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    plate = drawn_plate(seed)
    stock, job = plate.books()
    best = solved(stock, job, 60, plate.lay_ups(job)).plan
    monkeypatch.setattr(closing, "NEAR", NEAR)
    monkeypatch.setattr(levels, "MOST_LISTED", MOST_LISTED)
    monkeypatch.setattr(closing, "MOST_LISTED", MOST_LISTED)
    monkeypatch.setattr(closing, "FEW", FEW)
    monkeypatch.setattr(company, "MANY", 1)
    other = solved(stock, job, SECONDS, plate.lay_ups(job)).plan
    assert best is not None
    assert other is not None
    assert other.bound <= best.cost.net
    assert best.bound <= other.cost.net
