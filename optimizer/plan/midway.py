"""Where a job stands in the middle of the sawing: what is cut stays cut.

A blank is cut once every cut on its way from the board is made; so is whatever else these cuts set
free. What remains of a board that is cut into are its *rests*: rectangles that can still be sawn.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from optimizer.plan.plan import Blank, Board, Cut, CutKind, Plan
from stock.lengths import Length
from stock.pith import pith_band


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """A piece of a board that is cut into, free to be sawn; ``name`` as the cuts have it.

    ``crosscut``: a crosscut, and not only trims and rips, was made on its way.
    """

    name: str
    x: Length
    y: Length
    length: Length
    width: Length
    crosscut: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A board, the cuts made on it so far, the blanks that they gave, and its rests.

    ``untouched``: nothing of it is cut, nor used whole. ``spoiled`` are the blanks of it that are
    no good.
    """

    board: Board
    cuts: tuple[Cut, ...]
    blanks: tuple[Blank, ...]
    rests: tuple[Rest, ...]
    spoiled: tuple[str, ...]

    @property
    def untouched(self) -> bool:
        return not (self.cuts or self.blanks or self.spoiled)


def standing(plan: Plan, board: Board, cut: Collection[str], spoiled: Collection[str]) -> Standing:
    """How ``board`` stands when the blanks ``cut`` and ``spoiled`` (by id) came off the saw.

    Spoiled blanks are among neither the blanks nor the rests.
    """
    off = {blank.id for blank in board.blanks} & {*cut, *spoiled}
    no_good = (*board.spoiled, *(b.id for b in board.blanks if b.id in spoiled))
    if not board.cuts and (off or board.spoiled or board.kept_whole):
        blanks = tuple(b for b in board.blanks if b.id not in spoiled)
        return Standing(board=board, cuts=(), blanks=blanks, rests=(), spoiled=no_good)
    by_gift = {name: each for each in board.cuts for name in each.gives if name}
    made = set(range(1, board.made + 1))
    made |= {each.n for each in board.cuts if each.kind is CutKind.YARD}  # before it came home
    for name in off:
        while name in by_gift:
            made.add(by_gift[name].n)
            name = by_gift[name].piece
    made |= {each.n for each in _pith_comes_out_at_once(plan, board, made)}
    cuts = tuple(each for each in board.cuts if each.n in made)
    free = list(_free(plan, board, cuts))
    ids = {blank.id for blank in board.blanks}
    freed = {rest.name for rest in free} & ids - {*spoiled}
    return Standing(
        board=board,
        cuts=cuts,
        blanks=tuple(blank for blank in board.blanks if blank.id in freed),
        rests=tuple(rest for rest in free if rest.name not in ids),
        spoiled=no_good,
    )


def _pith_comes_out_at_once(plan: Plan, board: Board, made: Collection[int]) -> Iterator[Cut]:
    """The second rip beside the pith, where the first is made: no piece is kept with half of it."""
    band = pith_band(board.width, plan.practice, plan.unit)
    after = {cut.piece: cut for cut in board.cuts if cut.kind is CutKind.RIP}
    for cut in board.cuts if band else ():
        second = after.get(cut.gives[1])
        if band and second and cut.n in made and cut.kind is CutKind.RIP:
            between = band[1] - band[0] - 2 * plan.rip_kerf
            if (cut.at, second.at, second.gives[0]) == (band[0], between, ""):
                yield second


def _free(plan: Plan, board: Board, cuts: Collection[Cut]) -> Iterator[Rest]:
    """The pieces that lie there after ``cuts``; scrap aside."""
    zero = Length(0)
    whole = Rest(name=board.id, x=zero, y=zero, length=board.length, width=board.width)
    pieces = {board.id: whole}
    for cut in cuts:
        piece = pieces.pop(cut.piece)
        across = piece.crosscut or cut.kind is CutKind.CROSSCUT
        for name, side in zip(cut.gives, _sides(plan, piece, cut), strict=True):
            x, y, length, width = side
            if name:
                pieces[name] = Rest(
                    name=name, x=x, y=y, length=length, width=width, crosscut=across
                )
    yield from pieces.values()


_Sides = tuple[Length, Length, Length, Length]


def _sides(plan: Plan, piece: Rest, cut: Cut) -> tuple[_Sides, _Sides]:
    """What lies on both sides of the kerf, as x, y, length and width."""
    x, y, length, width, at = piece.x, piece.y, piece.length, piece.width, cut.at
    if cut.kind.along:
        far = at + plan.rip_kerf if cut.kind is CutKind.RIP else width  # a jointer leaves nothing
        return (x, y, length, at), (x, y + far, length, width - far)
    far = at + plan.crosscut_kerf
    return (x, y, at, width), (x + far, y, length - far, width)
