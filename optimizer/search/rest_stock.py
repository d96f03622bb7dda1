"""The stock in the middle of a job: what lies there, beside rack and stores, for the rest of it.

Rests of boards cut into and boards bought and not cut into are pieces like those of the rack: what
they cost is paid, and what they are worth on the rack is what using them takes away.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from optimizer.plan.midway import Rest, Standing
from optimizer.plan.plan import Board, Plan
from optimizer.search.layout import Answer
from stock.errors import RackfirstError
from stock.lengths import Length
from stock.pieces import Lumber, RackPiece, free_tags
from stock.prices import Offer
from stock.shop import Sawing
from stock.stock_book import StockBook
from stock.wood import wood_key


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Of which board a piece is, and its name there; nothing if it is the whole board.

    ``narrow``: it was ripped, so that its edges are not the board's own.
    """

    board: str
    rest: str
    narrow: bool

    @property
    def key(self) -> tuple[str, str]:
        return self.board, self.rest


def stock_now(
    stock: StockBook, plan: Plan, all_stands: Sequence[Standing]
) -> tuple[StockBook, dict[str, Origin]]:
    """The stock as it stands: pieces of boards begun, boards bought, the rack, the stores.

    Also where each piece that is not on the rack comes from, by the tag that it has here.
    """
    rack = _without_pulled(stock, all_stands)
    origins: dict[str, Origin] = {}
    for stands in all_stands:
        board = stands.board
        for rest in _free_of(stock, stands):
            tag = f"{board.id}/{rest.name}"
            narrow = rest.width < board.width
            origins[tag] = Origin(board=board.id, rest=rest.name, narrow=narrow)
            rack.append(_piece(tag, board, rest))
    planned = {left.tag for board in plan.boards for left in board.leftovers}
    tags = {*stock.past_tags, *planned, *(piece.tag for piece in stock.rack)}
    book = replace(
        stock,
        rack=tuple(rack),
        offers=tuple(_not_bought_yet(stock, plan)),
        past_tags=frozenset(tags),
    )
    return book, origins


def _free_of(stock: StockBook, stands: Standing) -> Iterator[Rest]:
    """What can still be sawn of a board; one bought and not cut into as far as it is usable.

    A shop that rips first rips nothing that has been crosscut: such rests only go on the rack.
    """
    if not stands.untouched:
        rips_first = stock.shop.sawing is Sawing.RIP_FIRST
        yield from (rest for rest in stands.rests if not (rips_first and rest.crosscut))
    elif not stands.board.from_rack:
        board, trim = stands.board, stock.shop.end_trim
        usable = board.length - 2 * trim
        yield Rest(name="", x=trim, y=Length(0), length=usable, width=board.width)


def _piece(tag: str, board: Board, rest: Rest) -> RackPiece:
    return RackPiece(tag=tag, lumber=lumber_of(board), width=rest.width, length=rest.length)


def lumber_of(board: Board) -> Lumber:
    """The lumber of a board."""
    return Lumber(wood=board.wood, treated=board.treated, thickness=board.thickness)


def same_lumber(lumber: Lumber) -> tuple[str, bool, Length]:
    """What is one lumber, however its wood is spelled."""
    return wood_key(lumber.wood), lumber.treated, lumber.thickness


def _without_pulled(stock: StockBook, stands: Iterable[Standing]) -> list[RackPiece]:
    """The rack without the pieces that are cut into."""
    gone = Counter(each.board.tag for each in stands if not each.untouched)
    for tag, count in gone.items():
        lying = sum(piece.count for piece in stock.rack if piece.tag == tag)
        if tag and lying < count:
            raise RackfirstError(
                f"{tag} is in the plan and not on the rack of {stock.name}: if the plan is settled "
                "already, take that back with settle --undo"
            )
    left = [replace(piece, count=piece.count - gone[piece.tag]) for piece in stock.rack]
    return [piece for piece in left if piece.count]


def _not_bought_yet(stock: StockBook, plan: Plan) -> Iterator[Offer]:
    """What the stores have beside what was bought for the plan."""
    bought = Counter((b.store, b.offer, b.cost) for b in plan.boards if not b.from_rack)
    sold = {(offer.store, offer.name, offer.price) for offer in stock.offers}
    for store, name, price in bought:
        if (store, name, price) not in sold:
            raise RackfirstError(
                f"{store} does not sell {name} at {price} any more in {stock.name}: put that row "
                "back until the plan is carried out"
            )
    for offer in stock.offers:
        key = (offer.store, offer.name, offer.price)
        taken = bought[key] if offer.in_stock is None else min(offer.in_stock, bought[key])
        bought[key] -= taken
        yield offer if offer.in_stock is None else replace(offer, in_stock=offer.in_stock - taken)


def unused_tags(book: StockBook, answer: Answer) -> Iterator[str]:
    """Tags for leftovers that neither ``book`` nor ``answer`` knows."""
    given = (left.tag for board in answer.boards for left in board.leftovers)
    return free_tags([*book.past_tags, *given])
