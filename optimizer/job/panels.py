"""Edge glue-ups: strips of one width, or of several, side by side.

Each strip is jointed on both edges; an edge of the board's own that meets glue loses ``edge trim``
if that is more, for it is eased. Any strip may have come from a board's edge, so all are reckoned
so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement
from math import ceil

from optimizer.job.bench import Bench
from optimizer.job.layups import LayUp
from optimizer.job.limits import Refusal
from optimizer.job.reckoning import reckoned
from stock.lengths import Length

MOST_UNEQUAL = 4
"""Panels of unequal strips that are looked at for a part and a lumber, the least wood first; a rule
of this program, no source."""

Widths = tuple[Length, ...]


def panels(bench: Bench) -> Iterator[LayUp | Refusal]:
    """Every panel of equal strips, and the thriftiest of unequal ones."""
    part, shop = bench.part, bench.shop
    thickness = bench.thickness_left(1)
    if thickness.total < part.least_thickness:
        yield Refusal(
            step=3 if part.width > bench.boards.widest else 0,
            reason=f"boards {bench.tape(bench.thickness)} thick, glued edge to edge, plane to "
            f"{bench.tape(max(thickness.total, Length(0)))} at the most",
            remedy="a thinner part would do, or thicker boards in Prices or Rack",
        )
        return
    wide = reckoned("width", ("finished", part.width), ("jointing", bench.jointing))
    members = [*_equal(bench, wide.total), *_unequal(bench, wide.total)]
    if not members:
        yield Refusal(
            step=0,
            reason=f"{shop.most_strips} strips do not make {bench.tape(part.width)}",
            remedy="a higher `most strips` or `widest strip` would do",
        )
    for strips in members:
        for run in bench.runs(planed=True, ripped=True):
            blanks = [bench.blank(run.length, width) for width in strips]
            if fault := bench.fault(*blanks):
                yield fault
                continue
            width = reckoned(
                "width",
                ("finished", part.width),
                ("jointing", bench.jointing),
                (f"at the glue, × {len(strips)}", len(strips) * bench.lost_at_glue),
            )
            yield bench.lay_up(
                run,
                [tuple((blank,) for blank in blanks)],
                planed=True,
                left=thickness.total,
                reckonings=(width, thickness),
                remarks=(sections(bench, strips),),
            )


def _equal(bench: Bench, panel: Length) -> list[Widths]:
    shop, lost = bench.shop, bench.lost_at_glue
    sawn = ((n, bench.up(panel / n + lost)) for n in range(2, shop.most_strips + 1))
    own = ((ceil(panel / (width - lost)), width) for width in bench.boards.widths if width > lost)
    members = {(n, width) for n, width in (*sawn, *own) if 2 <= n <= shop.most_strips}
    return [(width,) * n for n, width in sorted(members) if _serves(bench, width)]


def _serves(bench: Bench, width: Length) -> bool:
    shop = bench.shop
    most = min(shop.widest_strip, shop.widest_to_plane)
    return shop.narrowest_strip <= width <= most


def _unequal(bench: Bench, panel: Length) -> list[Widths]:
    """Boards of several own widths, or such and a strip that is ripped to what is missing."""
    lost, own = bench.lost_at_glue, [w for w in bench.boards.widths if _serves(bench, w)]
    found: set[Widths] = set()
    for count in range(1, bench.shop.most_strips + 1):
        for chosen in combinations_with_replacement(own, count):
            left = panel - sum((width - lost for width in chosen), Length(0))
            if left <= 0 and not _more_than_needed(own, chosen, -left, lost):
                found.add(chosen)
            last = bench.up(left + lost)
            if left > 0 and count < bench.shop.most_strips and _serves(bench, last):
                found.add(tuple(sorted((*chosen, last))))
    unequal = [strips[::-1] for strips in found if len(set(strips)) > 1]
    return sorted(unequal, key=lambda strips: (sum(strips), len(strips), strips))[:MOST_UNEQUAL]


def _more_than_needed(own: Sequence[Length], chosen: Widths, spare: Length, lost: Length) -> bool:
    """Whether a strip could be left away, or a board of the next narrower width do in its place."""
    if chosen[0] - lost <= spare:
        return True
    return any(
        width - own[own.index(width) - 1] <= spare for width in chosen if own.index(width) > 0
    )


def sections(bench: Bench, strips: Sequence[Length]) -> str:
    """How a panel too wide for the planer is made all the same; empty where it passes."""
    most, lost = bench.shop.widest_to_plane, bench.lost_at_glue
    if bench.part.width + bench.jointing <= most:
        return ""
    counts, room = [0], most
    for width in strips:
        if width - lost > room:
            counts.append(0)
            room = most
        counts[-1] += 1
        room -= width - lost
    told = " + ".join(map(str, counts))
    return f"glue and plane it in sections of {told} strips, then joint and join these"
