"""What is left of a board, as a piece of the rack: with the grade and the faults of its board."""

from __future__ import annotations

from dataclasses import replace

from optimizer.plan.plan import Board
from stock.lengths import Length
from stock.pieces import Lumber, RackPiece
from stock.stock_book import StockBook


def lumber_of(board: Board) -> Lumber:
    """The lumber of a board; its grade is told by the stock book."""
    return Lumber(wood=board.wood, treated=board.treated, thickness=board.thickness)


def piece_of(
    board: Board, x: Length, length: Length, width: Length, tag: str, stock: StockBook
) -> RackPiece:
    """What lies on ``board`` from ``x`` on, so long and wide, under a tag of its own.

    A piece as wide as its board keeps as much crook as so long a stretch of it has; of a narrower
    one an edge was straightened. Bad stretches are those within it.
    """
    piece = RackPiece(tag=tag, lumber=lumber_of(board), width=width, length=length)
    if not board.from_rack:
        named = (board.store, board.offer, board.cost)
        sold = (o.lumber.grade for o in stock.offers if (o.store, o.name, o.price) == named)
        return replace(piece, lumber=replace(piece.lumber, grade=next(sold, "")))
    whole = next(each for each in stock.rack if each.tag.casefold() == board.tag.casefold())
    crook = Length(0) if width < board.width else whole.crook * (length / board.length) ** 2
    bad = ((max(start - x, Length(0)), min(end - x, length)) for start, end in whole.bad)
    return replace(
        piece,
        lumber=replace(piece.lumber, grade=whole.lumber.grade),
        moisture=whole.moisture,
        crook=crook,
        bad=tuple(stretch for stretch in bad if stretch[0] < stretch[1]),
    )
