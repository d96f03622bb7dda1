"""A board as a story stick: where everything on the drawing goes, in percent and pixels.

Along the board all places are percent of its length, so that the drawing fills a phone as well as a
sheet of paper while the letters keep their size. Across it a scale of its own, in pixels, leaves
room for a mark on the narrowest strip. Both scales are true in themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from optimizer.output.words import read, read_size, shown
from optimizer.plan.plan import CutKind, Plan
from optimizer.work.saw_cuts import Fate, SawCut, SawnPiece
from optimizer.work.work import SawnBoard
from stock.lengths import Length

NARROWEST = 300  # pixels: a board on a phone 390 wide, beside its margins
FLAG = 15  # height of a reading above the board
LETTER = 7.2  # width of a letter of a mark
FIGURE = 6.4  # width of a letter of a reading
_LEAST_STRIP, _LEAST_BOARD, _MOST_BOARD = 27, 46, 330
_RADIUS = 8.5  # of a cut's number
_DISC = 20  # what a cut's number takes of the board's length
_TAPE_TICK = 12  # inches

_Y: TypeAlias = "_Across"


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
class Kerf:
    """A cut across the board at ``left``, or along it at ``top``, and where its number stands.

    Left of the number of a rip stands its ``reading``, where there is room.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Box:
    """What a mark or a number covers on a phone, in pixels."""

    left: float
    right: float
    top: float
    bottom: float

    def meets(self, other: _Box) -> bool:
        along = self.left < other.right and other.left < self.right
        return along and self.top < other.bottom and other.top < self.bottom


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A tape reading on its line above the board, ``row`` rows up."""

    left: float
    row: int
    reading: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stick:
    """The whole drawing, ``high`` pixels; the board's upper edge lies at ``top``."""

    high: float
    top: float
    bottom: float
    least_wide: int
    areas: tuple[Area, ...]
    kerfs: tuple[Kerf, ...]
    flags: tuple[Flag, ...]
    ticks: tuple[float, ...]
    told: str  # the drawing in words


@dataclass(frozen=True, slots=True, kw_only=True)
class _Across:
    """Pixels from the drawing's top for a height above the board's lower edge."""

    bottom: float
    scale: float

    def __call__(self, height: Length) -> float:
        return round(self.bottom - float(height) * self.scale, 2)


def stick(plan: Plan, sawn: SawnBoard) -> Stick:
    """The drawing of a board."""
    board = sawn.board
    pieces = sawn.pieces or (_whole(sawn),)
    flags = tuple(_flags(plan, sawn.cuts, board.length))
    top = 6 + FLAG * (1 + max((flag.row for flag in flags), default=-1))
    scale = _scale(board.width, pieces, board.length)
    across = _Across(bottom=top + round(float(board.width) * scale, 2), scale=scale)
    areas = tuple(_area(plan, piece, board.length, across) for piece in pieces)
    ticks = range(1, int(board.length // _TAPE_TICK) + 1)
    return Stick(
        high=across.bottom + 9,
        top=top,
        bottom=across.bottom,
        least_wide=_least_wide(pieces, board.length),
        areas=areas,
        kerfs=tuple(_kerfs(plan, sawn.cuts, board.length, across, areas)),
        flags=flags,
        ticks=tuple(_percent(Length(_TAPE_TICK * n), board.length) for n in ticks),
        told=_told(plan, sawn, pieces),
    )


def _whole(sawn: SawnBoard) -> SawnPiece:
    """A board without a cut: it is its blank as it is."""
    board, zero = sawn.board, Length(0)
    return SawnPiece(
        mark=sawn.mark, fate=Fate.BLANK, x=zero, y=zero, length=board.length, width=board.width
    )


def _percent(part: Length, whole: Length) -> float:
    return round(100 * float(part / whole), 3)


def _scale(width: Length, pieces: Iterable[SawnPiece], length: Length) -> float:
    """Pixels an inch across the board: room for each mark, lying or standing."""
    least = _LEAST_BOARD / float(width)
    for piece in pieces:
        if piece.fate in (Fate.BLANK, Fate.LEFTOVER):
            lies = _pixels(piece, length) - _DISC > len(piece.mark) * LETTER
            needed = _LEAST_STRIP if lies else len(piece.mark) * LETTER + 8
            least = max(least, needed / float(piece.width))
    return min(least, _MOST_BOARD / float(width))


def _pixels(piece: SawnPiece, length: Length) -> float:
    return NARROWEST * float(piece.length / length)


def _least_wide(pieces: Iterable[SawnPiece], length: Length) -> int:
    """How wide the drawing must be for a standing mark on the shortest piece; it then scrolls."""
    kept = [piece.length for piece in pieces if piece.fate is not Fate.SCRAP]
    return min(1600, int(float(length / min(kept)) * 14)) if kept else 0


def _area(plan: Plan, piece: SawnPiece, length: Length, across: _Y) -> Area:
    mark, size = shown(piece.mark), read_size(plan, piece.length, piece.width)
    high = round(float(piece.width) * across.scale, 2)
    room = _pixels(piece, length) - _DISC
    lies = room > len(mark) * LETTER
    return Area(
        fate=str(piece.fate),
        mark=mark,
        size=size,
        left=_percent(piece.x, length),
        wide=_percent(piece.length, length),
        top=across(piece.y + piece.width),
        high=high,
        upright=not lies,
        size_shown=lies and high > 40 and room > len(size) * FIGURE,
    )


def _kerfs(
    plan: Plan, cuts: Iterable[SawCut], length: Length, across: _Y, areas: Iterable[Area]
) -> Iterator[Kerf]:
    """Every cut, its number where it covers neither a mark nor another number on a phone."""
    taken = [_around_mark(area) for area in areas if area.mark]
    for cut in cuts:
        x, y, long, wide = cut.kerf_place
        along = cut.kind is CutKind.RIP
        left, right = _percent(x, length), _percent(long, length)
        top, high = across(y + wide), round(float(wide) * across.scale, 2)
        reading = read(cut.tape, plan) if along else ""
        places = list(_along(left, right, top + high / 2) if along else _over(left, top, high))
        box, reading = _free(places, reading, taken)
        taken.append(box)
        yield Kerf(
            n=cut.n,
            along=along,
            left=left,
            wide=right,
            top=top,
            high=high,
            number_left=round(100 * (box.right - _RADIUS) / NARROWEST, 3),
            number_top=round((box.top + box.bottom) / 2, 2),
            reading=reading,
        )


def _along(left: float, wide: float, top: float) -> Iterator[tuple[float, float]]:
    """Places for a number on a rip, from its right end leftward: pixels on a phone."""
    begin, end = left * NARROWEST / 100, (left + wide) * NARROWEST / 100
    at = end - _RADIUS - 4
    while at > begin + _RADIUS or at == end - _RADIUS - 4:
        yield at, top
        at -= 6


def _over(left: float, top: float, high: float) -> Iterator[tuple[float, float]]:
    """… on a crosscut, from its lower end upward."""
    at = max(top + high - _RADIUS - 2, top + high / 2)
    while at > top or at == max(top + high - _RADIUS - 2, top + high / 2):
        yield left * NARROWEST / 100, at
        at -= 4


def _around_mark(area: Area) -> _Box:
    wide, high = len(area.mark) * LETTER, 14.0
    if area.upright:
        wide, high = high, wide
    x, y = (area.left + area.wide / 2) * NARROWEST / 100, area.top + area.high / 2
    return _Box(left=x - wide / 2, right=x + wide / 2, top=y - high / 2, bottom=y + high / 2)


def _free(
    places: Sequence[tuple[float, float]], reading: str, taken: Sequence[_Box]
) -> tuple[_Box, str]:
    """The first place that is free, with the reading if it fits there; else the least crowded."""
    for text in dict.fromkeys((reading, "")):
        boxes = [_around_number(x, y, text) for x, y in places]
        for box in boxes:
            if (not text or box.left > 0) and not any(box.meets(other) for other in taken):
                return box, text
    return min(boxes, key=lambda box: sum(box.meets(other) for other in taken)), ""


def _around_number(x: float, y: float, reading: str) -> _Box:
    text = len(reading) * FIGURE + 4 if reading else 0
    return _Box(left=x - _RADIUS - text, right=x + _RADIUS, top=y - _RADIUS, bottom=y + _RADIUS)


def _flags(plan: Plan, cuts: Iterable[SawCut], length: Length) -> Iterator[Flag]:
    """Each tape reading once, as a flag to the right of its line: the lines cross no flag."""
    places = {cut.tape for cut in cuts if cut.kind is not CutKind.RIP}
    rows: list[tuple[float, float, int]] = []
    for place in sorted(places, reverse=True):
        reading = read(place, plan)
        begin = NARROWEST * float(place / length)
        end = begin + len(reading) * FIGURE + 8
        under = [row for left, right, row in rows if left < end and begin < right]
        row = 1 + max(under, default=-1)
        rows.append((begin, end, row))
        yield Flag(left=_percent(place, length), row=row, reading=reading)


def _told(plan: Plan, sawn: SawnBoard, pieces: Sequence[SawnPiece]) -> str:
    """What the drawing shows, for those who do not see it."""
    said = [
        f"{piece.mark or 'scrap'} {read_size(plan, piece.length, piece.width)}"
        for piece in sorted(pieces, key=lambda piece: (piece.x, piece.y))
        if piece.fate is not Fate.SCRAP
    ]
    return shown(f"Board {sawn.mark} with its cuts, from the left end: {', '.join(said)}")
