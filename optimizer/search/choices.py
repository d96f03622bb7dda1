"""Pieces to choose from when a room is filled, and which of them another betters."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Generic, TypeAlias, TypeVar

import numpy as np

from optimizer.search.knapsack import Ints

T = TypeVar("T")
Counts: TypeAlias = tuple[int, ...]

AT_ONCE = 2**22
"""Comparisons made at once."""


@dataclass(frozen=True, slots=True)
class Choice(Generic[T]):
    """Something that fits in a room: its size, its value at the worths, its blanks, what it is."""

    size: int
    value: int
    counts: Counts
    what: T


def undominated(choices: Iterable[Choice[T]], values: Ints, caps: Counts) -> list[Choice[T]]:
    """The choices (all of one size) that no other betters in useful blanks and in rest.

    ``values`` are the worths of the blanks, ``caps`` how many of each are useful.
    """
    best: dict[Counts, tuple[int, Choice[T]]] = {}
    worths = values.tolist()
    for choice in choices:
        rest = choice.value - sum(map(int.__mul__, choice.counts, worths))
        useful = tuple(map(min, choice.counts, caps))
        if useful not in best or rest > best[useful][0]:
            best[useful] = rest, choice
    if len(best) < 2:
        return [choice for _, choice in best.values()]
    counts = np.array(list(best))
    rests = np.array([rest for rest, _ in best.values()])
    return [
        choice
        for (_, choice), bettered in zip(best.values(), _bettered(counts, rests), strict=True)
        if not bettered
    ]


def by_size(choices: Iterable[Choice[T]]) -> list[tuple[int, list[Choice[T]]]]:
    """Choices of each size, the largest first, and of a size the most worth first."""
    groups: dict[int, list[Choice[T]]] = defaultdict(list)
    for choice in sorted(choices, key=lambda choice: -choice.value):
        groups[choice.size].append(choice)
    return sorted(groups.items(), reverse=True)


def _bettered(counts: Ints, rests: Ints) -> Iterator[bool]:
    """For each row (none are equal): does another have as much everywhere, and as good a rest."""
    most = max(1, AT_ONCE // counts.size)
    for start in range(0, len(counts), most):
        some, rest = counts[start : start + most], rests[start : start + most]
        covered = rests[None, :] >= rest[:, None]
        for column in range(counts.shape[1]):
            covered &= counts[None, :, column] >= some[:, None, column]
        yield from (covered.sum(axis=1) > 1).tolist()
