"""Solid ways of making a part: one board, its faces as bought or planed."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.job.bench import Bench, Run
from optimizer.job.layups import LayUp
from optimizer.job.limits import Refusal
from optimizer.job.reckoning import Reckoning, reckoned
from stock.lengths import Length


def solid_as_bought(bench: Bench) -> Iterator[LayUp | Refusal]:
    """Sawn to size out of a board that is thick enough as it comes."""
    part = bench.part
    if not bench.within_as_bought(bench.thickness):
        wanted = f"{bench.tape(part.thickness)} thick"
        yield Refusal(
            step=1,
            reason=f"a board {bench.tape(bench.thickness)} thick does not serve as bought",
            remedy=f"a board {wanted} would do, within {bench.tape(bench.shop.as_bought_within)}",
        )
        return
    width = reckoned("width", ("finished", part.width))
    ripped = bench.runs(planed=False, ripped=True)
    own = bench.runs(planed=False, ripped=False)
    if bench.boards.lumber.treated or any(run not in ripped for run in own):
        # Too short to be ripped alone, or not to be ripped at all: a board just as wide serves.
        for run in own:
            yield from _of_one(bench, run, part.width, True, False, (width,))
    if not bench.boards.lumber.treated:
        for run in ripped:
            too_long = not bench.limits.may_be_ripped(run.length, part.width)
            yield from _of_one(bench, run, part.width, too_long, False, (width,))
        for run, across in bench.side_by_side(planed=False):
            yield from _of_one(bench, run, across.result, False, False, (across,))


def solid_planed(bench: Bench) -> Iterator[LayUp | Refusal]:
    """Planed to thickness; a board that is just as wide keeps its edges."""
    part, thickness = bench.part, bench.thickness_left(1)
    if thickness.total < part.least_thickness:
        left = bench.tape(max(thickness.total, Length(0)))
        yield Refusal(
            step=1,
            reason=f"a board {bench.tape(bench.thickness)} thick planes to {left} at the most",
            remedy="a thicker board in Prices or Rack would do",
        )
        return
    width = bench.width(("jointing", bench.jointing))
    if fault := bench.limits.planer_fault(width.result):
        yield fault
        return
    if part.width in bench.boards.widths:
        kept = reckoned("width", ("finished, both edges the board's own", part.width))
        for run in bench.runs(planed=True, ripped=False):
            yield from _of_one(bench, run, part.width, True, True, (kept, thickness))
    for run in bench.runs(planed=True, ripped=True):
        yield from _of_one(bench, run, width.result, False, True, (width, thickness))
    for run, across in bench.side_by_side(planed=True):
        if fault := bench.limits.planer_fault(across.result):
            yield fault
        else:
            yield from _of_one(bench, run, across.result, False, True, (across, thickness))


def _of_one(
    bench: Bench,
    run: Run,
    width: Length,
    own_edges: bool,
    planed: bool,
    reckonings: tuple[Reckoning, ...],
) -> Iterator[LayUp | Refusal]:
    blank = bench.blank(run.length, width, own_edges)
    if fault := bench.fault(blank):
        yield fault
    else:
        left = reckonings[-1].total if planed else bench.thickness
        yield bench.lay_up(run, [((blank,),)], planed=planed, left=left, reckonings=reckonings)
