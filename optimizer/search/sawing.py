"""One board sawn by its pattern: where each blank and leftover lies, and the cuts in order.

Exact lengths throughout. A blank that is not wanted is not sawn: its wood stays in what is left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from optimizer.plan.plan import CutKind
from optimizer.search.patterns import Pattern, Segment, Strip
from optimizer.search.problem import Problem
from optimizer.search.supplies import Supply
from stock.lengths import Length
from stock.shop import Shop


@dataclass(slots=True, kw_only=True, eq=False)
class Piece:
    """A piece on the saw: the rectangle it covers on its board, and the kind of blank it became."""

    x: Length
    y: Length
    length: Length
    width: Length
    kind: int | None = None
    scrap: bool = False


@dataclass(frozen=True, slots=True)
class SawCut:
    """A cut: what is cut, how far from its left or lower side, and both sides (None: kerf)."""

    kind: CutKind
    piece: Piece
    at: Length
    near: Piece | None
    far: Piece | None


def take_wanted(pattern: Pattern, wanted: Counter[int]) -> Pattern:
    """``pattern`` with only wanted blanks, which are taken off ``wanted``; empty pieces are not
    cut.
    """

    def sawn(strip: Strip) -> Strip:
        blanks = []
        for kind in strip.blanks:
            if wanted[kind] > 0:
                wanted[kind] -= 1
                blanks.append(kind)
        return Strip(strip.width, tuple(blanks))

    segments = []
    for segment in pattern.segments:
        strips = tuple(strip for strip in map(sawn, segment.strips) if strip.blanks)
        if strips:
            segments.append(Segment(segment.length, strips))
    return Pattern(pattern.supply, tuple(segments))


@dataclass(slots=True)
class Sawyer:
    """Saws one board of ``problem`` by one pattern: trim, crosscut, rip, crosscut, rip.

    Of a board that the yard has cut ``pattern`` is that of its first piece, ``further`` are those
    of the others. A piece without blanks stays as it is.
    """

    problem: Problem
    pattern: Pattern
    further: tuple[Pattern, ...] = ()
    board: Piece = field(init=False)
    cuts: list[SawCut] = field(default_factory=list)
    _unsawn: dict[int, Supply] = field(default_factory=dict)

    def __post_init__(self) -> None:
        zero, patterns = Length(0), (self.pattern, *self.further)
        lengths = [self._supply(pattern).length for pattern in patterns]
        length = sum(lengths) + len(self.further) * self._shop.crosscut_kerf
        width = self._supply(self.pattern).width
        self.board = Piece(x=zero, y=zero, length=length, width=width)
        pieces = list(self._crosscut(self.board, lengths, CutKind.YARD))
        for piece, pattern in zip(pieces, patterns, strict=True):
            if pattern.segments:
                self._saw(piece, pattern)
            else:
                self._unsawn[id(piece)] = self._supply(pattern)

    def _saw(self, piece: Piece, pattern: Pattern) -> None:
        piece = self._trim(piece, *self._supply(pattern).trims)
        lengths = [segment.length for segment in pattern.segments]
        segments = list(self._crosscut(piece, lengths))
        for segment, part in zip(pattern.segments, segments, strict=True):
            self._rip_segment(part, segment)

    def _supply(self, pattern: Pattern) -> Supply:
        return self.problem.supplies[pattern.supply]

    @property
    def _shop(self) -> Shop:
        return self.problem.shop

    def finished(self) -> list[Piece]:
        """The board's blanks, leftovers and scrap, in the order in which they come off the saw."""
        cut = {id(c.piece) for c in self.cuts}
        sides = [side for c in self.cuts for side in (c.near, c.far) if side]
        return [piece for piece in (self.board, *sides) if id(piece) not in cut]

    def kept(self, piece: Piece) -> bool:
        """Whether a finished piece goes back to the rack."""
        long_enough = piece.length >= self._shop.shortest_kept
        wide_enough = piece.width >= self._shop.narrowest_kept
        kept = id(piece) in self._unsawn or (long_enough and wide_enough)
        return piece.kind is None and not piece.scrap and kept

    def usable(self, piece: Piece) -> Piece:
        """What of a piece counts on the rack: one that is not sawn has its ends still to trim."""
        if (supply := self._unsawn.get(id(piece))) is None:
            return piece
        x, length = piece.x + supply.trims[0], supply.usable
        return Piece(x=x, y=piece.y, length=length, width=piece.width)

    # cutting -------------------------------------------------------------------------------------

    def _trim(self, board: Piece, left: Length, right: Length) -> Piece:
        """Trim both ends; a trim includes its kerf."""
        kerf = self._shop.crosscut_kerf
        if left:
            at = left - kerf
            scrap = Piece(x=board.x, y=board.y, length=at, width=board.width, scrap=True)
            rest = Piece(x=board.x + left, y=board.y, length=board.length - left, width=board.width)
            self.cuts.append(SawCut(CutKind.TRIM, board, at, scrap if at else None, rest))
            board = rest
        if right:
            usable, waste = board.length - right, right - kerf
            sound = Piece(x=board.x, y=board.y, length=usable, width=board.width)
            end = board.x + usable + kerf
            scrap = Piece(x=end, y=board.y, length=waste, width=board.width, scrap=True)
            self.cuts.append(SawCut(CutKind.TRIM, board, usable, sound, scrap if waste else None))
            board = sound
        return board

    def _rip_segment(self, segment: Piece, pattern: Segment) -> None:
        widths = [strip.width for strip in pattern.strips]
        for strip, member in zip(pattern.strips, list(self._rip(segment, widths)), strict=True):
            lengths = [self.problem.kinds[kind].length for kind in strip.blanks]
            blanks = list(self._crosscut(member, lengths))
            for kind, blank in zip(strip.blanks, blanks, strict=True):
                (sawn,) = self._rip(blank, [self.problem.kinds[kind].width])
                sawn.kind = kind

    def _crosscut(
        self, piece: Piece | None, lengths: Sequence[Length], kind: CutKind = CutKind.CROSSCUT
    ) -> Iterator[Piece]:
        """Pieces so long off the left end, one after another."""
        for length in lengths:
            assert piece is not None
            if length == piece.length:
                yield piece
                piece = None
            else:
                near = Piece(x=piece.x, y=piece.y, length=length, width=piece.width)
                gone = length + self._shop.crosscut_kerf
                far = Piece(
                    x=piece.x + gone, y=piece.y, length=piece.length - gone, width=piece.width
                )
                rest = far if far.length > 0 else None
                self.cuts.append(SawCut(kind, piece, length, near, rest))
                yield near
                piece = rest

    def _rip(self, piece: Piece | None, widths: Sequence[Length]) -> Iterator[Piece]:
        """Pieces so wide off the lower edge, one after another."""
        for width in widths:
            assert piece is not None
            if width == piece.width:
                yield piece
                piece = None
            else:
                near = Piece(x=piece.x, y=piece.y, length=piece.length, width=width)
                gone = width + self._shop.rip_kerf
                far = Piece(
                    x=piece.x, y=piece.y + gone, length=piece.length, width=piece.width - gone
                )
                rest = far if far.width > 0 else None
                self.cuts.append(SawCut(CutKind.RIP, piece, width, near, rest))
                yield near
                piece = rest
