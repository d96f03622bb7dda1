"""Coefficients in layers are those of exact fractions, in numbers of 32 bits and of 64."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

import numpy as np
import pytest

from optimizer.search.first_rows import Floats
from optimizer.search.rounded_rows import RoundedRow
from optimizer.search.row_layers import MANY, PARTS, RowLayers

FIRST, ROWS = 5, 12


def drawn_rows(chance: np.random.Generator) -> list[RoundedRow]:
    """Rows of which half hold earlier ones, not all in order of their layers."""
    rows = list[RoundedRow]()
    for i in range(ROWS):
        of_first = chance.integers(0, PARTS, FIRST).astype(float)
        of_rounded = chance.integers(0, PARTS, i) * (chance.random(i) < 0.4) * (i % 2)
        rows.append(RoundedRow(of_first, of_rounded.astype(float), 0.0))
    return rows


def exactly(rows: list[RoundedRow], column: list[int], up: bool) -> list[int]:
    found = list[int]()
    for row in rows:
        total = sum(int(share) * n for share, n in zip(row.of_first, column, strict=True))
        total += sum(int(share) * n for share, n in zip(row.of_rounded, found, strict=True))
        found.append((ceil if up else floor)(Fraction(total, PARTS)))
    return found


@pytest.mark.parametrize("up", [True, False])
@pytest.mark.parametrize(
    ("columns", "largest", "bits"), [(5, 9, 64), (MANY, 9, 32), (MANY, 30_000, 64)]
)
def test_sums_are_exact_however_many_and_however_large(
    columns: int, largest: int, bits: int, up: bool
) -> None:
    chance = np.random.default_rng(columns + largest)
    rows = drawn_rows(chance)
    layers = RowLayers.of(rows, FIRST)
    entries: Floats = chance.integers(-largest, largest + 1, (FIRST, columns)).astype(float)
    sums = layers.sums(entries, None, np.ceil if up else np.floor)
    assert sums.dtype.itemsize == bits // 8
    for n, column in enumerate(entries.T.astype(int).tolist()):
        assert sums[:, n].tolist() == [exactly(rows, column, up)[i] for i in layers.order]


def test_numbers_of_32_bits_would_not_do_for_large_entries() -> None:
    """So that the test above would fail if they were taken for all."""
    chance = np.random.default_rng(0)
    of_first = chance.integers(0, PARTS, (ROWS, FIRST)).astype(float)
    entries = chance.integers(-30_000, 30_001, (FIRST, MANY)).astype(float)
    single = of_first.astype(np.float32) @ entries.astype(np.float32)
    assert (single != of_first @ entries).any()


def test_entries_among_some_rows_are_as_if_the_others_were_nothing() -> None:
    chance = np.random.default_rng(1)
    layers, among = RowLayers.of(drawn_rows(chance), FIRST), np.array([1, 3])
    some = chance.integers(0, 9, (2, MANY)).astype(float)
    every = np.zeros((FIRST, MANY))
    every[among] = some
    assert (layers.sums(some, among, np.ceil) == layers.sums(every, None, np.ceil)).all()


def test_of_no_rows_there_is_nothing() -> None:
    assert RowLayers.of([], FIRST).sums(np.ones((FIRST, 2)), None, np.ceil).shape == (0, 2)
