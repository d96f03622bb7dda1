"""Edge glue-ups: strips of one width, or of several, side by side.

Each strip is jointed on both edges; an edge of the board's own that meets glue loses ``edge trim``
if that is more, for it is eased. Any strip may have come from a board's edge, so all are reckoned
so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
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
    asked_for = part.width > bench.boards.widest
    if thickness.total < part.least_thickness:
        yield Refusal(
            step=2 if asked_for else 0,
            reason=f"boards {bench.tape(bench.thickness)} thick, glued edge to edge, plane to "
            f"{bench.tape(max(thickness.total, Length(0)))} at the most",
            remedy="a thinner part would do, or thicker boards in Prices or Rack",
        )
        return
    wide = reckoned("width", ("finished", part.width), ("jointing", bench.jointing))
    members = [*_equal(bench, wide.total), *_unequal(bench, wide.total)]
    if not members:
        yield Refusal(
            step=3 if asked_for else 0,
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
    """Boards of several own widths, or such and a strip that is ripped to what is missing; those of
    the least wood.
    """
    own = tuple(width for width in bench.boards.widths if _serves(bench, width))
    found: list[Widths] = []
    for count in range(2, bench.shop.most_strips + 1):
        if len(found) == MOST_UNEQUAL and panel + count * bench.lost_at_glue >= sum(found[-1]):
            break  # as many strips and more take more wood
        members = {*_of_boards(bench, own, panel, count), *_with_a_rip(bench, own, panel, count)}
        found += [strips[::-1] for strips in members if len(set(strips)) > 1]
        found = sorted(found, key=lambda strips: (sum(strips), len(strips), strips))[:MOST_UNEQUAL]
    return found


def _of_boards(bench: Bench, own: Widths, panel: Length, count: int) -> Iterator[Widths]:
    """So many boards of several own widths, none of which could be left away or be narrower."""
    lost, steps = bench.lost_at_glue, {w: w - narrower for narrower, w in pairwise(own)}
    most = panel + max(steps.values(), default=Length(0))
    for chosen in _choices([width - lost for width in own], count, panel, most):
        strips = tuple(own[i] for i in chosen)
        spare = sum(strips) - count * lost - panel
        if spare < min([strips[0] - lost, *(steps[w] for w in strips if w in steps)]):
            yield strips


def _with_a_rip(bench: Bench, own: Widths, panel: Length, count: int) -> Iterator[Widths]:
    """Boards of their own widths, and one strip that makes them so many."""
    lost = bench.lost_at_glue
    least = panel + lost - bench.shop.widest_strip
    for chosen in _choices([width - lost for width in own], count - 1, least, panel):
        strips = [own[i] for i in chosen]
        left = panel - sum(strips) + (count - 1) * lost
        last = bench.up(left + lost)
        if left > 0 and _serves(bench, last):
            yield tuple(sorted((*strips, last)))


def _choices(
    widths: Sequence[Length], count: int, least: Length, most: Length, first: int = 0
) -> Iterator[tuple[int, ...]]:
    """So many of ascending widths, by index, with repeats, that come to ``least`` to ``most``."""
    if count == 0:
        if least <= 0 <= most:
            yield ()
        return
    for i in range(first, len(widths)):
        if count * widths[i] > most:
            break
        if widths[i] + (count - 1) * widths[-1] >= least:
            for rest in _choices(widths, count - 1, least - widths[i], most - widths[i], i):
                yield (i, *rest)


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
