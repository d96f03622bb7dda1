"""One board sawn by its pattern: where each blank and leftover lies, and the cuts in order.

Exact lengths throughout. A blank that is not wanted is not sawn: its wood stays in what is left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimizer.plan.plan import CutKind
from optimizer.search.patterns import Pattern, Segment, Strip
from optimizer.search.problem import Problem
from optimizer.search.supply import Supply
from stock.lengths import Length
from stock.pieces import Stretch
from stock.shop import Shop

THIN_CUT = Length(1, 16)
"""A cut that takes less than this beside its kerf is a jointer's (common practice, no source)."""


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
        strips, above = (
            tuple(strip for strip in map(sawn, side) if strip.blanks)
            for side in (segment.strips, segment.above)
        )
        if strips or above:
            segments.append(Segment(segment.length, strips, above))
    return Pattern(pattern.supply, tuple(segments))


class Sawyer:
    """Saws one board of ``problem``: bad wood off, and each sound stretch by its pattern, if it has
    one: crosscut, straighten, the pith out, rip, crosscut, rip.

    ``patterns`` are one for each stretch of which something is sawn; or, of a board that the yard
    has cut, one for each piece. What has no blanks stays as it is.
    """

    def __init__(self, problem: Problem, *patterns: Pattern) -> None:
        self.problem = problem
        supplies = [problem.supplies[each.supply] for each in patterns]
        self.supply = supply = supplies[0]
        self.cuts: list[SawCut] = []
        self._unsawn: dict[int, Supply] = {}
        zero, length, lengths = Length(0), supply.length, [supply.length]
        if supply.piece:
            lengths = [each.length for each in supplies]
            length = sum(lengths) + (len(lengths) - 1) * self._shop.crosscut_kerf
        self.board = Piece(x=zero, y=zero, length=length, width=supply.width)
        pieces = list(self._crosscut(self.board, lengths, CutKind.YARD))
        for n, piece in enumerate(pieces):
            self._saw_piece(piece, patterns[n : n + 1] if supply.piece else patterns)

    def _saw_piece(self, piece: Piece, patterns: Sequence[Pattern]) -> None:
        """A board, or a yard's piece of one."""
        supply = self.problem.supplies[patterns[0].supply]
        if not any(pattern.segments for pattern in patterns):
            self._unsawn[id(piece)] = supply
            return
        by_stretch = {self.problem.supplies[each.supply].stretch: each for each in patterns}
        for number, sound in enumerate(list(self._sound(piece, supply))):
            if number in by_stretch:
                self._saw(sound, by_stretch[number])

    def _saw(self, piece: Piece, pattern: Pattern) -> None:
        segments = pattern.segments
        lengths = [segment.length for segment in segments]
        for segment, part in zip(segments, list(self._crosscut(piece, lengths)), strict=True):
            self._rip_segment(part, segment)

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
        start, end = supply.sound[0]
        return Piece(x=piece.x + start, y=piece.y, length=end - start, width=piece.width)

    # cutting -------------------------------------------------------------------------------------

    def _sound(self, board: Piece, supply: Supply) -> Iterator[Piece]:
        """The sound stretches of a board; bad wood is trimmed off beside them, kerf included."""
        kerf, rest, right = self._shop.crosscut_kerf, board, board.x + board.length
        for start, end in ((board.x + a, board.x + b) for a, b in supply.sound):
            if rest.x < start:
                _, rest = self._across(CutKind.TRIM, rest, start - kerf - rest.x, bad="near")
            sound = rest
            if end < right:
                far = "" if end + kerf < right else "far"
                sound, rest = self._across(CutKind.TRIM, rest, end - rest.x, bad=far)
            yield sound
        if rest is not sound:
            rest.scrap = True

    def _across(
        self, kind: CutKind, piece: Piece, at: Length, bad: str = ""
    ) -> tuple[Piece, Piece]:
        """Both sides of a cut across a piece; one without any wood is not named by the cut."""
        gone = at + self._shop.crosscut_kerf
        near = Piece(x=piece.x, y=piece.y, length=at, width=piece.width, scrap=bad == "near")
        far = Piece(x=piece.x + gone, y=piece.y, length=piece.length - gone, width=piece.width)
        near_, far_ = (side if side.length > 0 else None for side in (near, far))
        self.cuts.append(SawCut(kind, piece, at, near_, far_))
        return near, far

    def _rip_segment(self, segment: Piece, pattern: Segment) -> None:
        straight = self.supply.straight(segment.length)
        if straight < segment.width:
            segment = self._along(CutKind.STRAIGHTEN, segment, straight)[0]
        if self.supply.pith is None:
            self._rip_strips(segment, pattern.strips)
            return
        below, above = self._rip_out(self.supply.pith, segment)
        self._rip_strips(below, pattern.strips)
        self._rip_strips(above, pattern.above)

    def _rip_out(self, pith: Stretch, segment: Piece) -> tuple[Piece, Piece]:
        """Both sides of a segment's pith, ripped out with its kerfs in the band."""
        bottom, top = pith
        below, rest = self._along(CutKind.RIP, segment, bottom)
        assert rest is not None
        band, above = self._along(CutKind.RIP, rest, top - self._shop.rip_kerf - rest.y)
        assert above is not None
        band.scrap = True
        return below, above

    def _rip_strips(self, segment: Piece, strips: Sequence[Strip]) -> None:
        widths = [min(strip.width, segment.width) for strip in strips]
        for strip, member in zip(strips, list(self._rip(segment, widths)), strict=True):
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
                near, far = self._across(kind, piece, length)
                yield near
                piece = far if far.length > 0 else None

    def _rip(self, piece: Piece | None, widths: Sequence[Length]) -> Iterator[Piece]:
        """Pieces so wide off the lower edge, one after another."""
        for width in widths:
            assert piece is not None
            if width == piece.width:
                yield piece
                piece = None
            else:
                thin = piece.width - width < self._shop.rip_kerf + THIN_CUT
                jointed = thin and piece.length >= self._shop.shortest_to_plane
                kind = CutKind.JOINT if jointed else CutKind.RIP
                near, piece = self._along(kind, piece, width)
                yield near

    def _along(self, kind: CutKind, piece: Piece, at: Length) -> tuple[Piece, Piece | None]:
        """Both sides of a cut along a piece; a jointer leaves nothing on the far one."""
        near = Piece(x=piece.x, y=piece.y, length=piece.length, width=at)
        gone = at + self._shop.rip_kerf
        far = Piece(x=piece.x, y=piece.y + gone, length=piece.length, width=piece.width - gone)
        rest = far if kind is CutKind.RIP and far.width > 0 else None
        self.cuts.append(SawCut(kind, piece, at, near, rest))
        return near, rest
