"""Spare copies for pieces that will fail at the saw.

Not a flat percentage on the bill: of the parts of a grade so many in a hundred are made once more,
the longest first, since a long clear piece is the hardest to come by and a spare of it can be cut
down for the others (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from math import ceil

from optimizer.job.parts import Part


def with_spares(parts: Sequence[Part], rejected: Iterable[tuple[str, Decimal]]) -> list[Part]:
    """The parts, with as many more spares as the share of each grade that fails asks for."""
    spared = list(parts)
    for grade, percent in rejected:
        of_grade = [i for i, part in enumerate(parts) if part.grade.casefold() == grade.casefold()]
        copies = sum(parts[i].copies for i in of_grade)
        longest_first = sorted(
            of_grade,
            key=lambda i: (parts[i].length_with_tenons, parts[i].width, -i),
            reverse=True,
        )
        for n in range(ceil(copies * percent / 100)):
            i = longest_first[n % len(longest_first)]
            spared[i] = replace(spared[i], spare=spared[i].spare + 1)
    return spared
