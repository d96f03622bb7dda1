"""Where the number of each cut stands on a drawing, so that it covers neither mark nor number."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from optimizer.output.stick_scale import FIGURE, LETTER, Box, Scale
from optimizer.output.words import read
from optimizer.plan.plan import Plan
from optimizer.work.saw_cuts import SawCut

_RADIUS = 8.5
_STEP = 4.0  # pixels from one place that is tried to the next


@dataclass(frozen=True, slots=True, kw_only=True)
class Kerf:
    """A cut across the board at ``left``, or along it at ``top``, and where its number stands.

    ``left``, ``wide`` and ``number_left`` are percent of the length, the others pixels. Left of the
    number of a rip stands its ``reading``, where there is room.
    """

    n: int
    along: bool
    left: float
    wide: float
    top: float
    high: float
    number_left: float
    number_top: float
    reading: str


def kerfs(plan: Plan, cuts: Iterable[SawCut], scale: Scale, marks: Iterable[Box]) -> Iterator[Kerf]:
    """Every cut; its number keeps clear of ``marks`` and of the numbers before it."""
    taken = list(marks)
    for cut in cuts:
        x, y, long, wide = cut.kerf_place
        along = cut.kind.along
        left, right = scale.percent(x), scale.percent(long)
        top, high = scale.down(y + wide), scale.high(wide)
        begin, end = scale.pixels(left), scale.pixels(left + right)
        places = _along(begin, end, top + high / 2) if along else _over(begin, top, high)
        box, reading = _free(list(places), read(cut.tape, plan) if along else "", taken)
        taken.append(box)
        yield Kerf(
            n=cut.n,
            along=along,
            left=left,
            wide=right,
            top=top,
            high=high,
            number_left=round(100 * (box.right - _RADIUS) / scale.wide, 3),
            number_top=round((box.top + box.bottom) / 2, 2),
            reading=reading,
        )


def mark_box(mark: str, x: float, y: float, *, upright: bool) -> Box:
    """What a mark covers whose middle is at x, y."""
    wide, high = len(mark) * LETTER, 14.0
    if upright:
        wide, high = high, wide
    return Box(left=x - wide / 2, right=x + wide / 2, top=y - high / 2, bottom=y + high / 2)


def _along(begin: float, end: float, y: float) -> Iterator[tuple[float, float]]:
    """Places on a rip, from its right end leftward."""
    x = end - _RADIUS - _STEP
    yield x, y
    while (x := x - _STEP) > begin + _RADIUS:
        yield x, y


def _over(x: float, top: float, high: float) -> Iterator[tuple[float, float]]:
    """Places on a crosscut, from its lower end upward."""
    y = max(top + high - _RADIUS - 2, top + high / 2)
    yield x, y
    while (y := y - _STEP) > top + 2:
        yield x, y


def _free(
    places: Sequence[tuple[float, float]], reading: str, taken: Sequence[Box]
) -> tuple[Box, str]:
    """The first place that is free, with the reading if it fits there; else the least crowded."""
    for text in dict.fromkeys((reading, "")):
        boxes = [_around(x, y, text) for x, y in places]
        for box in boxes:
            if (not text or box.left > 0) and not any(box.meets(other) for other in taken):
                return box, text
    return min(boxes, key=lambda box: sum(box.meets(other) for other in taken)), ""


def _around(x: float, y: float, reading: str) -> Box:
    text = len(reading) * FIGURE + 4 if reading else 0
    return Box(left=x - _RADIUS - text, right=x + _RADIUS, top=y - _RADIUS, bottom=y + _RADIUS)
