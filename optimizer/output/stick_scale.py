"""The two scales of a story stick, and what letters and numbers cover on it.

Along the board places are percent of its length: the drawing fills a phone as well as a sheet of
paper, while letters keep their size. What covers what is judged at the narrowest it is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from optimizer.work.saw_cuts import Fate, SawnPiece
from stock.lengths import Length

NARROWEST = 300  # pixels: a board on a phone 390 wide, beside its margins
LETTER, FIGURE = 7.2, 6.4  # width of a letter of a mark, of a reading
DISC = 20  # what a cut's number takes of the board's length
_LEAST_STRIP, _LEAST_BOARD, _MOST_BOARD = 32, 46, 330  # pixels across
_SHORTEST = 24  # pixels along for a standing mark beside a number
_WIDEST = 1600


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A board ``length`` long on ``wide`` pixels at the least, ``across`` pixels to the inch of
    width; its lower edge lies ``bottom`` pixels from the drawing's top.
    """

    length: Length
    wide: int
    across: float
    bottom: float

    def percent(self, part: Length) -> float:
        """``part`` of the board's length."""
        return round(100 * float(part / self.length), 3)

    def along(self, part: Length) -> float:
        """Pixels for ``part`` of the length at the narrowest."""
        return self.wide * float(part / self.length)

    def pixels(self, percent: float) -> float:
        """Pixels at the narrowest for a percentage of the length."""
        return self.wide * percent / 100

    def high(self, part: Length) -> float:
        """Pixels for ``part`` of the width."""
        return round(float(part) * self.across, 2)

    def down(self, height: Length) -> float:
        """Pixels from the drawing's top to what lies ``height`` above the lower edge."""
        return round(self.bottom - float(height) * self.across, 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """What a mark, a number or a reading covers at the narrowest, in pixels."""

    left: float
    right: float
    top: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether the two cover a common spot."""
        along = self.left < other.right and other.left < self.right
        return along and self.top < other.bottom and other.top < self.bottom


def least_wide(pieces: Iterable[SawnPiece], length: Length) -> int:
    """Pixels that the drawing needs for the shortest piece to show its mark beside a number."""
    kept = [piece.length for piece in pieces if piece.fate is not Fate.SCRAP]
    needed = int(float(length / min(kept)) * _SHORTEST) if kept else 0
    return max(NARROWEST, min(_WIDEST, needed))


def lies(piece: SawnPiece, length: Length, wide: int) -> bool:
    """Whether the piece is long enough for its mark to lie along it, with a number beside it."""
    return wide * float(piece.length / length) - DISC > len(piece.mark) * LETTER


def across(pieces: Iterable[SawnPiece], length: Length, width: Length, wide: int) -> float:
    """Pixels to the inch of width: room for every mark, lying or standing."""
    least = _LEAST_BOARD / float(width)
    for piece in pieces:
        if piece.fate in (Fate.BLANK, Fate.LEFTOVER):
            standing = len(piece.mark) * LETTER + 8
            needed = _LEAST_STRIP if lies(piece, length, wide) else standing
            least = max(least, needed / float(piece.width))
    return min(least, _MOST_BOARD / float(width))
