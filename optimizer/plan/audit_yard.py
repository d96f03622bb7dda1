"""The audit at the door: boards as they come into the shop, whole or in the yard's pieces."""

from __future__ import annotations

from fractions import Fraction

from optimizer.plan.plan import Board, CutKind
from stock.lengths import Length
from stock.shop import Shop

Stretch = tuple[Length, Length]


def as_handed_over(board: Board, shop: Shop) -> list[tuple[Stretch, Stretch]]:
    """Each piece along the board, and where it is usable once its ends are trimmed.

    A yard's saw is off by its tolerance, and the end that it leaves is trimmed like any other. A
    rack piece is usable from end to end.
    """
    at, marks = Fraction(0), []
    for cut in board.cuts:
        if cut.kind is CutKind.YARD:
            marks.append(at + cut.at)
            at = marks[-1] + shop.crosscut_kerf
    starts = [Fraction(0), *(mark + shop.crosscut_kerf for mark in marks)]
    factory = Fraction(0) if board.from_rack else shop.end_trim
    rough = max(shop.end_trim + shop.yard_tolerance, shop.crosscut_kerf)
    return [
        (
            (start, end),
            (
                start + (rough if start else factory),
                end - (factory if end == board.length else rough),
            ),
        )
        for start, end in zip(starts, [*marks, board.length], strict=True)
    ]
