"""A board as a story stick: where everything on the drawing goes, in percent and pixels."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from optimizer.output.stick_numbers import Kerf, kerfs, mark_box
from optimizer.output.stick_scale import (
    DISC,
    FIGURE,
    LETTER,
    Scale,
    across,
    least_wide,
    lies,
)
from optimizer.output.words import read, read_size, shown
from optimizer.plan.plan import Plan
from optimizer.work.saw_cuts import Fate, SawCut, SawnPiece
from optimizer.work.work import SawnBoard
from stock.lengths import MILLIMETRE, Length, Unit

_FLAG = 15  # height of a row of readings above the board
_STANDING = 13  # width of a reading that stands on its line
_MOST_ROWS = 6  # more rows of lying flags than this, and readings stand
TICKS = {Unit.IN: Length(12), Unit.MM: 250 * MILLIMETRE}  # how far apart on the lower edge


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A piece: ``left`` and ``wide`` in percent, ``top`` and ``high`` in pixels."""

    fate: str
    mark: str
    size: str
    left: float
    wide: float
    top: float
    high: float
    upright: bool  # its mark is written across the board
    size_shown: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A tape reading at its line above the board, ``rise`` pixels up; it lies or stands there."""

    left: float
    rise: float
    upright: bool
    reading: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """The whole drawing, ``high`` pixels, ``least_wide`` at the least; the board's upper edge lies
    at ``top``, its lower edge at ``bottom``.
    """

    high: float
    top: float
    bottom: float
    least_wide: int
    areas: tuple[Area, ...]
    kerfs: tuple[Kerf, ...]
    flags: tuple[Flag, ...]
    ticks: tuple[float, ...]
    told: str  # the drawing in words


def stick(plan: Plan, sawn: SawnBoard) -> Stick:
    """The drawing of a board."""
    board = sawn.board
    pieces = sawn.pieces or (_whole(sawn),)
    wide = least_wide(pieces, board.length)
    scale = Scale(
        length=board.length,
        wide=wide,
        across=across(pieces, board.length, board.width, wide),
        bottom=0,
    )
    flags, top = _flags(plan, sawn.cuts, scale)
    scale = replace(scale, bottom=round(top + scale.high(board.width), 2))
    areas = tuple(_area(plan, piece, scale) for piece in pieces)
    marks = [
        mark_box(
            area.mark,
            scale.pixels(area.left + area.wide / 2),
            area.top + area.high / 2,
            upright=area.upright,
        )
        for area in areas
        if area.mark
    ]
    tick = TICKS[plan.unit]
    return Stick(
        high=scale.bottom + 9,
        top=top,
        bottom=scale.bottom,
        least_wide=wide,
        areas=areas,
        kerfs=tuple(kerfs(plan, sawn.cuts, scale, marks)),
        flags=flags,
        ticks=tuple(scale.percent(tick * n) for n in range(1, int(board.length // tick) + 1)),
        told=_told(plan, sawn, pieces),
    )


def _whole(sawn: SawnBoard) -> SawnPiece:
    """A board without a cut: it is its blank as it is."""
    board, zero = sawn.board, Length(0)
    return SawnPiece(
        mark=sawn.mark, fate=Fate.BLANK, x=zero, y=zero, length=board.length, width=board.width
    )


def _area(plan: Plan, piece: SawnPiece, scale: Scale) -> Area:
    mark, size = shown(piece.mark), read_size(plan, piece.length, piece.width)
    high, flat = scale.high(piece.width), lies(piece, scale.length, scale.wide)
    room = scale.along(piece.length) - DISC
    return Area(
        fate=str(piece.fate),
        mark=mark,
        size=size,
        left=scale.percent(piece.x),
        wide=scale.percent(piece.length),
        top=scale.down(piece.y + piece.width),
        high=high,
        upright=not flat,
        size_shown=flat and high > 40 and room > max(len(size) * FIGURE, len(mark) * LETTER),
    )


def _flags(plan: Plan, cuts: Iterable[SawCut], scale: Scale) -> tuple[tuple[Flag, ...], float]:
    """Each tape reading once, and the pixels that all of them take above the board.

    They lie to the right of their lines, or where that takes too many rows, stand on them.
    """
    places = sorted({cut.tape for cut in cuts if not cut.kind.along}, reverse=True)
    readings = {place: read(place, plan) for place in places}
    widths = {place: len(text) * FIGURE + 8 for place, text in readings.items()}
    rows = _rows({place: (scale.along(place), wide) for place, wide in widths.items()})
    upright = max(rows.values(), default=0) >= _MOST_ROWS
    high = float(_FLAG)
    if upright:
        rows = _rows({place: (scale.along(place), _STANDING) for place in places})
        high = max(widths.values())
    flags = tuple(
        Flag(
            left=scale.percent(place),
            rise=6 + high * rows[place],
            upright=upright,
            reading=readings[place],
        )
        for place in places
    )
    return flags, 6 + high * (1 + max(rows.values(), default=-1))


def _rows(places: dict[Length, tuple[float, float]]) -> dict[Length, int]:
    """A row for each reading, from where it begins and how wide it is, the rightmost lowest: the
    line of one then crosses no reading of another.
    """
    rows: dict[Length, int] = {}
    for place, (begin, wide) in places.items():
        met = [
            row
            for other, row in rows.items()
            if places[other][0] < begin + wide and begin < places[other][0] + places[other][1]
        ]
        rows[place] = 1 + max(met, default=-1)
    return rows


def _told(plan: Plan, sawn: SawnBoard, pieces: Sequence[SawnPiece]) -> str:
    """What the drawing shows, for those who do not see it."""
    said = ", ".join(_said(plan, pieces))
    return shown(f"Board {sawn.mark} with its cuts, from the left end: {said}")


def _said(plan: Plan, pieces: Sequence[SawnPiece]) -> Iterator[str]:
    for piece in sorted(pieces, key=lambda piece: (piece.x, piece.y)):
        if piece.fate is not Fate.SCRAP:
            yield f"{piece.mark} {read_size(plan, piece.length, piece.width)}"
