"""Boards as they come into the shop: whole, or in the pieces that the yard sawed for the car.

Each end that factory or yard left is trimmed before anything else is sawn; one that the yard's saw
left is off by its tolerance and loses that too. A rack piece's length is usable as it is.
"""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.plan.plan import Board, CutKind, Plan
from stock.lengths import Length
from stock.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver:
    """A board or a yard's piece of it, by its ``name`` in the cuts: from ``start`` to ``end`` of
    the board; ``left`` and ``right`` come off its ends.
    """

    name: str
    start: Length
    end: Length
    left: Length
    right: Length

    @property
    def x(self) -> Length:
        """Where its usable wood begins."""
        return self.start + self.left

    @property
    def usable(self) -> Length:
        """How long that is."""
        return self.end - self.right - self.x


def handed_over(board: Board, shop: Shop) -> list[HandedOver]:
    """The pieces of ``board`` as they are carried home, from its left end to its right one."""
    ends = {board.id: (Length(0), board.length)}
    for cut in board.cuts:
        if cut.kind is CutKind.YARD:
            start, end = ends.pop(cut.piece)
            ends[cut.gives[0]] = start, start + cut.at
            ends[cut.gives[1]] = start + cut.at + shop.crosscut_kerf, end
    factory = Length(0) if board.from_rack else shop.end_trim
    sawn = max(shop.end_trim + shop.yard_tolerance, shop.crosscut_kerf)
    pieces = [
        HandedOver(
            name=name,
            start=start,
            end=end,
            left=sawn if start else factory,
            right=factory if end == board.length else sawn,
        )
        for name, (start, end) in ends.items()
    ]
    return sorted(pieces, key=lambda piece: piece.start)


def yard_marks(board: Board, plan: Plan) -> tuple[Length, ...]:
    """Where the yard cuts ``board``, measured from its left end."""
    at, marks = Length(0), list[Length]()
    for cut in board.cuts:
        if cut.kind is CutKind.YARD:
            marks.append(at + cut.at)
            at = marks[-1] + plan.crosscut_kerf
    return tuple(marks)
