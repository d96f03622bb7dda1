"""Each board's cuts as they are made: where on the tape, against which stop or fence, what comes.

Lengths are exact; what is shown of them is rounded where it is shown, so that no rounding adds up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from optimizer.plan.marks import Marks
from optimizer.plan.plan import Board, Cut, CutKind, Plan
from stock.errors import RackfirstError
from stock.lengths import MILLIMETRE, Length
from stock.pith import pith_band

# 3/4 in: a thinner strip never runs between fence and blade. Common practice, no source.
THIN = 19 * MILLIMETRE


class Fate(StrEnum):
    """What becomes of a piece."""

    BLANK = "blank"
    LEFTOVER = "leftover"
    WORK = "cut on"
    SCRAP = "scrap"


class Setup(StrEnum):
    """How a cut is set: by the tape alone, by the stop, by the fence; at the store,
    or on the jointer.

    A thin strip comes off the outer edge: the fence then holds what remains.
    """

    TAPE = "tape"
    STOP = "stop"
    FENCE = "fence"
    OUTER = "outer edge"
    STORE = "at the store"
    JOINTER = "jointer"


@dataclass(frozen=True, slots=True, kw_only=True)
class SawnPiece:
    """A piece on the saw with its mark; it lies on its board at x, y. ``pith``: it is the band
    along the middle of a wide board; ``bad``: it is a bad stretch of an offcut.
    """

    mark: str
    fate: Fate
    x: Length
    y: Length
    length: Length
    width: Length
    pith: bool = False
    bad: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SawCut:
    """The ``n``-th cut on ``board`` (its id).

    ``tape`` runs from the board's left end (trim, crosscut) or its lower edge (rip) to the near
    side of the kerf, ``setting`` from the stop or the fence to the blade. ``near`` is what lies
    left of the cut or below it, ``far`` the other side, None where the kerf took it. ``planned`` is
    the cut's number in the plan, ``after`` that of the cut from which its piece came.
    """

    board: str
    n: int
    kind: CutKind
    piece: SawnPiece
    tape: Length
    setup: Setup
    setting: Length | None
    near: SawnPiece | None
    far: SawnPiece | None
    planned: int
    after: int | None

    @property
    def at(self) -> Length:
        """Where the tape reads on the piece in hand: ``tape``, but from its own end or edge."""
        return self.tape - (self.piece.y if self.kind.along else self.piece.x)

    @property
    def kerf_place(self) -> tuple[Length, Length, Length, Length]:
        """x, y, length and width of the wood that turns to dust, on the board."""
        piece, near, far = self.piece, self.near, self.far
        if self.kind.along:
            begin = near.y + near.width if near else piece.y
            end = far.y if far else piece.y + piece.width
            return piece.x, begin, piece.length, end - begin
        begin = near.x + near.length if near else piece.x
        end = far.x if far else piece.x + piece.length
        return begin, piece.y, end - begin, piece.width

    @property
    def sides(self) -> tuple[SawnPiece, ...]:
        """What the cut gives, near side first."""
        return tuple(side for side in (self.near, self.far) if side)


def saw_cuts(plan: Plan, board: Board, marks: Marks) -> list[SawCut]:
    """The cuts of ``board`` in the order in which they stand there, with what each gives.

    Raises:
        RackfirstError: where a cut wants a piece that is not there, which no audited plan does.
    """
    return list(_Board(plan, board, marks).cuts())


class _Board:
    def __init__(self, plan: Plan, board: Board, marks: Marks) -> None:
        self.plan, self.board, self.marks = plan, board, marks
        zero = Length(0)
        whole = SawnPiece(
            mark=marks.boards[board.id],
            fate=Fate.WORK,
            x=zero,
            y=zero,
            length=board.length,
            width=board.width,
        )
        self.pieces: dict[str, tuple[SawnPiece, int | None]] = {board.id: (whole, None)}
        self.tags = {left.tag for left in board.leftovers}
        self.blanks = {blank.id for blank in board.blanks}
        self.pith = pith_band(board.width, plan.practice, plan.unit)
        self.segments = 0

    def cuts(self) -> Iterator[SawCut]:
        for n, cut in enumerate(self.board.cuts, 1):
            if cut.piece not in self.pieces:
                raise RackfirstError(
                    f"board {self.board.id}, cut {cut.n}: there is no piece {cut.piece!r} to cut"
                )
            piece, after = self.pieces.pop(cut.piece)
            near, far = self._sides(cut, piece)
            for name, side in zip(cut.gives, (near, far), strict=True):
                if side and name:
                    self.pieces[name] = (side, cut.n)
            setup, setting = _set(cut, piece, near, far)
            yield SawCut(
                board=self.board.id,
                n=n,
                kind=cut.kind,
                piece=piece,
                tape=cut.at + (piece.y if cut.kind.along else piece.x),
                setup=setup,
                setting=setting,
                near=near,
                far=far,
                planned=cut.n,
                after=after,
            )

    def _sides(self, cut: Cut, piece: SawnPiece) -> tuple[SawnPiece | None, SawnPiece | None]:
        fates = [self._fate(name) for name in cut.gives]
        names = [
            self._mark(name, fate, mark)
            for name, fate, mark in zip(
                cut.gives, fates, self._work_marks(cut, piece, fates), strict=True
            )
        ]
        along = cut.kind.along
        kerf = self.plan.rip_kerf if along else self.plan.crosscut_kerf
        if along and cut.kind is not CutKind.RIP:  # a jointer leaves nothing
            kerf = piece.width - cut.at
        whole = piece.width if along else piece.length
        near, far = (
            _part(piece, along, begin, size) if size > 0 else None
            for begin, size in ((Length(0), cut.at), (cut.at + kerf, whole - cut.at - kerf))
        )
        return (
            near and self._named(cut, near, names[0], fates[0]),
            far and self._named(cut, far, names[1], fates[1]),
        )

    def _work_marks(self, cut: Cut, piece: SawnPiece, fates: list[Fate]) -> tuple[str, str]:
        """What near and far side go by if they are cut on. Where both are, the far one keeps the
        mark; of a board cut by the yard the near one, as it was marked at its left end.
        """
        yards = cut.kind is CutKind.YARD
        if not yards and fates != [Fate.WORK, Fate.WORK]:
            return piece.mark, piece.mark
        self.segments += 1
        own = f"{self.marks.boards[self.board.id]}.{self.segments}"
        return (piece.mark, own) if yards else (own, piece.mark)

    def _named(self, cut: Cut, piece: SawnPiece, mark: str, fate: Fate) -> SawnPiece:
        bottom, top = self.pith or (self.board.width, self.board.width)
        scrap = fate is Fate.SCRAP
        pith = scrap and bottom <= piece.y and piece.y + piece.width <= top
        bad = scrap and cut.kind is CutKind.TRIM and self.board.from_rack
        return replace(piece, mark=mark, fate=fate, pith=pith, bad=bad)

    def _fate(self, name: str) -> Fate:
        if not name:
            return Fate.SCRAP
        if name in self.blanks:
            return Fate.BLANK
        return Fate.LEFTOVER if name in self.tags else Fate.WORK

    def _mark(self, name: str, fate: Fate, mark: str) -> str:
        match fate:
            case Fate.BLANK:
                return self.marks.blanks[name]
            case Fate.LEFTOVER:
                return name
            case Fate.WORK:
                return mark
            case Fate.SCRAP:
                return ""


def _part(piece: SawnPiece, along: bool, begin: Length, size: Length) -> SawnPiece:
    x, y = (piece.x, piece.y + begin) if along else (piece.x + begin, piece.y)
    length, width = (piece.length, size) if along else (size, piece.width)
    return SawnPiece(mark="", fate=Fate.SCRAP, x=x, y=y, length=length, width=width)


def _set(
    cut: Cut, piece: SawnPiece, near: SawnPiece | None, far: SawnPiece | None
) -> tuple[Setup, Length | None]:
    """A strip of 3/4 in and wider runs between fence and blade, pushed by a block, and equal strips
    need one setting. A thinner one falls off the outer edge, so the fence holds what remains and
    moves for the next one. Common practice, no source; the saw's manual rules.
    """
    match cut.kind:
        case CutKind.YARD:
            return Setup.STORE, None
        case CutKind.JOINT | CutKind.STRAIGHTEN:
            return Setup.JOINTER, None
        case CutKind.TRIM:
            return Setup.TAPE, None
        case CutKind.CROSSCUT:
            return Setup.STOP, cut.at
        case CutKind.RIP:
            if near and far and near.width < THIN and far.width > near.width:
                return Setup.OUTER, far.width
            return Setup.FENCE, cut.at
