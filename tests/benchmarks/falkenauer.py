"""Bin packing classes after Falkenauer, made here by number.

Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of Heuristics 2 (1996):
*uniform*, items of 20 to 100 in bins of 150, 120 or 250 of them (and more); *triplets*, items of
250 to 499 that fill bins of 1000 three by three, so that the optimum, a third of the items, leaves
no waste: the largest of a triplet is from 380 to 490, the next at least 250 and at most half of the
rest. (The published files give triplets in tenths of a bin of 100; here they are whole numbers.)
"""

from __future__ import annotations

import random

from tests.benchmarks.cutting_stock import CuttingStock, Known

UNIFORM = (120, 250)
TRIPLETS = (60, 120, 249)


def uniform(count: int, seed: int) -> CuttingStock:
    """``count`` items of 20 to 100 in bins of 150."""
    chance = random.Random(f"uniform {count} {seed}")
    lengths = [chance.randint(20, 100) for _ in range(count)]
    least = -(-sum(lengths) // 150)
    return _packed(f"uniform {count}, {seed}", 150, lengths, Known(least=least))


def triplets(count: int, seed: int) -> CuttingStock:
    """``count`` items (a multiple of three) that fill bins of 1000 in threes."""
    chance = random.Random(f"triplets {count} {seed}")
    lengths: list[int] = []
    while len(lengths) < count:
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        lengths += [first, second, 1000 - first - second]
    return _packed(f"triplets {count}, {seed}", 1000, lengths, Known.just(count // 3))


def _packed(name: str, room: int, lengths: list[int], optimum: Known) -> CuttingStock:
    counts = {length: lengths.count(length) for length in sorted(set(lengths), reverse=True)}
    return CuttingStock.of_lengths(name, {room: 1}, counts, optimum)
