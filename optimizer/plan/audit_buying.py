"""The audit at the stores: packs, what the car carries, and how many stores are visited."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from optimizer.plan.plan import Board, CutKind, Plan
from stock.lengths import exact_text
from stock.prices import Offer
from stock.stock_book import StockBook


def buying_findings(plan: Plan, stock: StockBook) -> Iterator[str]:
    """Sentences on every board that cannot be bought or driven home so."""
    visited = {board.store for board in plan.boards if not board.from_rack}
    most = stock.shop.most_stores
    if most is not None and len(visited) > most:
        yield f"{len(visited)} stores are visited, and the most is {most}"
    yield from _packs(plan, stock)
    yield from _dates(plan, stock)
    for board in plan.boards:
        if board.from_rack:
            if any(cut.kind is CutKind.YARD for cut in board.cuts):
                yield f"board {board.id}: no yard cuts what is on the rack"
        else:
            for finding in _carried(board, stock):
                yield f"board {board.id}: {finding}"


def _packs(plan: Plan, stock: StockBook) -> Iterator[str]:
    """Boards come in whole packs, and each pack has a board that is used.

    In the middle of a job what is bought is bought, and may not be needed any more.
    """
    begun = any(board.made or board.spoiled for board in plan.boards)
    bought: dict[Offer, list[Board]] = defaultdict(list)
    for board in plan.boards:
        if not board.from_rack and (offer := _offer(board, stock)):
            bought[offer].append(board)
    for offer, boards in bought.items():
        if len(boards) % offer.pack:
            yield f"{offer.name} at {offer.store} comes in packs of {offer.pack}"
        unused = sum(not (board.blanks or board.spoiled) for board in boards)
        if unused >= offer.pack and not begun:
            yield f"{unused} of {offer.name} at {offer.store} are bought, and no blank is of them"


def _dates(plan: Plan, stock: StockBook) -> Iterator[str]:
    """Each line of the shopping list tells the day of a price that stands in the book."""
    for line in plan.buy:
        named = (line.store, line.offer, line.each)
        days = {str(o.priced_on or "") for o in stock.offers if (o.store, o.name, o.price) == named}
        if days and line.priced_on not in days:
            yield f"{line.offer} at {line.store} is not priced on {line.priced_on or 'no day'}"


def _offer(board: Board, stock: StockBook) -> Offer | None:
    named = (board.store, board.offer, board.cost)
    return next((o for o in stock.offers if (o.store, o.name, o.price) == named), None)


def _carried(board: Board, stock: StockBook) -> Iterator[str]:
    """A board fits the car, or its store cuts it into pieces that do; others it leaves whole."""
    shop, at, pieces = stock.shop, Fraction(0), []
    for cut in board.cuts:
        if cut.kind is CutKind.YARD:
            pieces.append(cut.at)
            at += cut.at + shop.crosscut_kerf
    if pieces and not any(s.fee_per_cut is not None for s in stock.stores if s.name == board.store):
        yield f"{board.store} does not cut"
    carried = shop.longest_carried
    if carried is None or board.length <= carried:
        if pieces:
            yield "the car carries it uncut"
        return
    for piece in [*pieces, board.length - at]:
        if piece > carried:
            yield f"the car does not carry {exact_text(piece, shop.unit)}"
        elif piece < shop.least_yard_piece:
            yield f"the yard saws no piece of {exact_text(piece, shop.unit)}"
