"""The audit of matching grain: how parts may lie in one blank, in rows that are all alike, so that
each cut that takes them apart runs right through.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from optimizer.job.parts import Part
from stock.lengths import Length

Lengths = list[Length]


def laid_in_one(
    parts: Sequence[Part], counts: Mapping[str, int]
) -> Iterator[tuple[Lengths, Lengths]]:
    """The finished lengths end to end and widths side by side of each way to lay so many copies."""
    for n in range(1, min(counts.values()) + 1):
        if any(count % n for count in counts.values()):
            continue
        share = [part for part in parts for _ in range(counts[part.name] // n)]
        lengths = [part.length + sum(part.tenons) for part in share]
        widths = [part.width for part in share]
        if len(set(widths)) == 1:
            yield lengths, widths[:1] * n
        if len(set(lengths)) == 1:
            yield lengths[:1] * n, widths
