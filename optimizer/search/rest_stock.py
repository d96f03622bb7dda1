"""The stock in the middle of a job: what lies there, beside rack and stores, for the rest of it.

Rests of boards cut into and boards bought and not cut into are pieces like those of the rack: what
they cost is paid, and what they are worth on the rack is what using them takes away.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from optimizer.plan.handed_over import handed_over
from optimizer.plan.left_of import piece_of
from optimizer.plan.midway import Rest, Standing
from optimizer.plan.plan import Board, CutKind, Plan
from optimizer.search.layout import Answer
from stock.errors import RackfirstError
from stock.home_boards import CAME_HOME
from stock.lengths import Length
from stock.pieces import Lumber, RackPiece, free_tags
from stock.prices import Offer, Store
from stock.shop import Sawing, Shop
from stock.stock_book import StockBook
from stock.wood import wood_key


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Of which board a piece is, and its name there; nothing if it is the whole board.

    ``narrow``: it was ripped, so that its edges are not the board's own. ``untrimmed``: it is as it
    was handed over, and its ends come off before it is sawn.
    """

    board: str
    rest: str
    narrow: bool
    untrimmed: bool

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
        came = {piece.name for piece in handed_over(board, stock.shop)}
        for rest in _free_of(stock, stands):
            name = "" if stands.untouched else rest.name
            tag = f"{board.id}/{name}"
            origins[tag] = Origin(
                board=board.id,
                rest=name,
                narrow=rest.width < board.width,
                untrimmed=rest.name in came,
            )
            left = usable(rest, board, stock.shop)
            piece = piece_of(board, left.x, left.length, left.width, tag, stock)
            if board.whole:  # it goes on as it was begun
                piece = _whole(piece, left, board)
            rack.append(piece)
    planned = {left.tag for board in plan.boards for left in board.leftovers}
    tags = {*stock.past_tags, *planned, *(piece.tag for piece in stock.rack)}
    book = replace(
        stock,
        shop=_may_drive_on(stock.shop, plan),
        rack=tuple(rack),
        offers=tuple(_not_bought_yet(stock, plan)),
        stores=tuple(_fewer_free_cuts(stock, plan)),
        past_tags=frozenset(tags),
    )
    return book, origins


def _whole(piece: RackPiece, rest: Rest, board: Board) -> RackPiece:
    """A piece of a board that is cut with its bad stretches in it: only its own ends are bad."""
    right = board.length - rest.x
    bad = [(a, b) for a, b in piece.bad if (rest.x == 0 and a == 0) or b == right]
    return replace(piece, lumber=replace(piece.lumber, faulty=True), bad=tuple(bad))


def _free_of(stock: StockBook, stands: Standing) -> Iterator[Rest]:
    """What can still be sawn of a board; one bought and not cut into is there as a whole.

    A shop that rips first rips nothing that has been crosscut: such rests only go on the rack.
    """
    if not stands.untouched:
        rips_first = stock.shop.sawing is Sawing.RIP_FIRST
        yield from (rest for rest in stands.rests if not (rips_first and rest.crosscut))
    elif not stands.board.from_rack:
        board = stands.board
        yield Rest(name=board.id, x=Length(0), y=Length(0), length=board.length, width=board.width)


def usable(rest: Rest, board: Board, shop: Shop) -> Rest:
    """``rest`` without what comes off its ends, where it is as it was handed over."""
    for piece in handed_over(board, shop):
        if piece.name == rest.name:
            return replace(rest, x=piece.x, length=piece.usable)
    return rest


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
                f"{tag} is in the plan and not on the rack of {stock.name}: put it there "
                f"({CAME_HOME}); or if the plan is settled already, take that back with "
                "settle --undo"
            )
    left = [replace(piece, count=piece.count - gone[piece.tag]) for piece in stock.rack]
    return [piece for piece in left if piece.count]


def _not_bought_yet(stock: StockBook, plan: Plan) -> Iterator[Offer]:
    """What the stores have beside what was bought for the plan."""
    bought = Counter((b.store, b.offer, b.cost) for b in plan.boards if not b.from_rack)
    visited, most = {line.store for line in plan.buy}, stock.shop.most_stores
    enough = most is not None and len(visited) >= most  # then one drives nowhere else
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
        if enough and offer.store not in visited:
            yield replace(offer, in_stock=0)
        else:
            left = None if offer.in_stock is None else offer.in_stock - taken
            yield replace(offer, in_stock=left)


def _may_drive_on(shop: Shop, plan: Plan) -> Shop:
    """The shop, with so many stores to drive to yet as it wants, beside those visited."""
    if shop.most_stores is None:
        return shop
    visited = {line.store for line in plan.buy}
    return replace(shop, most_stores=max(shop.most_stores - len(visited), 0) or None)


def _fewer_free_cuts(stock: StockBook, plan: Plan) -> Iterator[Store]:
    """The stores, less the cuts that they have made already without a fee."""
    made = Counter(b.store for b in plan.boards for cut in b.cuts if cut.kind is CutKind.YARD)
    for store in stock.stores:
        yield replace(store, free_cuts=max(store.free_cuts - made[store.name], 0))


def unused_tags(book: StockBook, answer: Answer) -> Iterator[str]:
    """Tags for leftovers that neither ``book`` nor ``answer`` knows."""
    given = (left.tag for board in answer.boards for left in board.leftovers)
    return free_tags([*book.past_tags, *given])
