"""The boards that a job may use, as the search sees them.

Boards that are all alike are one *supply*: equal rack pieces are one with a limit, each offer is
one. The cost of a supply is its price with tax, or the worth of the offcut, and the pay for its end
trims. A board that is too long for the car is bought where the yard cuts it: each length that its
pieces may have is a supply of its own.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from fractions import Fraction

from optimizer.search.yard import Split, YardPiece, splits
from stock.lengths import Length
from stock.pieces import Lumber, RackPiece
from stock.prices import Offer
from stock.shop import Shop
from stock.stock_book import StockBook
from stock.wood import wood_key
from stock.worth import Worth


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A kind of board: what one costs (exact, ``tax`` of ``store`` in it), and how many there are.

    ``limit`` is None where there are plenty; ``trims`` are taken off its left and right end. Of a
    board that is sold in a lot only, ``share`` is the part of its cost that is paid with the lot,
    and ``kept`` what it is worth if it is not sawn.
    """

    lumber: Lumber
    width: Length
    length: Length
    trims: tuple[Length, Length]
    cost: Fraction
    limit: int | None
    sources: tuple[RackPiece, ...] | tuple[Offer]
    store: str = ""
    tax: Fraction = Fraction(0)
    share: Fraction = Fraction(0)
    kept: Fraction = Fraction(0)
    piece: YardPiece | None = None

    @property
    def usable(self) -> Length:
        return self.length - sum(self.trims)

    @property
    def bought(self) -> bool:
        return isinstance(self.sources[0], Offer)

    @property
    def in_lots(self) -> bool:
        """Whether it is bought with others, whether or not these are of use."""
        source = self.sources[0]
        return isinstance(source, Offer) and (self.piece is not None or source.pack > 1)


def supplies_of(stock: StockBook, *jobs: str) -> tuple[Supply, ...]:
    """All boards that ``jobs`` may use, offers first; pieces held for another job are left alone.

    Woods that differ only in spelling are one lumber, under the first spelling.
    """
    spelled: dict[str, str] = {}

    def lumber_of(lumber: Lumber) -> Lumber:
        return replace(lumber, wood=spelled.setdefault(wood_key(lumber.wood), lumber.wood))

    free_for = {"", *(job.casefold() for job in jobs)}
    worth = Worth(stock.shop, stock.offers)
    offers = [
        supply
        for offer in stock.offers
        if offer.in_stock is None or offer.in_stock >= offer.pack
        for supply in offered(stock, offer, lumber_of(offer.lumber), worth)
        if supply.usable > 0
    ]
    alike: dict[tuple[Lumber, Length, Length], list[RackPiece]] = defaultdict(list)
    for piece in stock.rack:
        if piece.count and piece.held_for.casefold() in free_for:
            alike[lumber_of(piece.lumber), piece.width, piece.length].append(piece)
    on_rack = [
        Supply(
            lumber=lumber,
            width=width,
            length=length,
            trims=(Fraction(0), Fraction(0)),
            cost=Fraction(worth.of(lumber, length, width)),
            limit=sum(piece.count for piece in pieces),
            sources=tuple(pieces),
        )
        for (lumber, width, length), pieces in alike.items()
    ]
    return (*offers, *on_rack)


def offered(
    stock: StockBook,
    offer: Offer,
    lumber: Lumber,
    worth: Worth,
    wanted: tuple[Length, ...] = (),
) -> list[Supply]:
    """An offer as supplies: itself, or each piece of a yard that makes it fit the car.

    ``wanted`` are lengths of blanks, at which the yard may cut too.
    """
    shop = stock.shop
    if not too_long(offer, shop):
        trims = (shop.end_trim, shop.end_trim)
        return [_supply(stock, offer, lumber, worth, offer.length, trims, None)]
    if not sold_cut(stock, offer):
        return []
    pieces = dict.fromkeys(piece for split in splits(offer.length, shop, wanted) for piece in split)
    return [
        _supply(stock, offer, lumber, worth, piece.length, piece.trims(shop), piece)
        for piece in pieces
    ]


def too_long(offer: Offer, shop: Shop) -> bool:
    """Whether the car does not carry it in one piece."""
    return shop.longest_carried is not None and offer.length > shop.longest_carried


def sold_cut(stock: StockBook, offer: Offer) -> bool:
    """Whether its store cuts boards."""
    return any(store.cuts for store in stock.stores if store.name == offer.store)


def splits_of(stock: StockBook, offer: Offer, wanted: tuple[Length, ...]) -> list[Split]:
    """The ways in which the yard may cut a board of ``offer`` for the car."""
    return splits(offer.length, stock.shop, wanted) if sold_cut(stock, offer) else []


def tax_on(stock: StockBook, offer: Offer) -> Fraction:
    """Sales tax on one board of ``offer``, exact."""
    percent = {store.name: Fraction(store.tax_percent) for store in stock.stores}
    return Fraction(offer.price) * percent.get(offer.store, Fraction(0)) / 100


def _whole_packs(offer: Offer) -> int | None:
    return None if offer.in_stock is None else offer.in_stock // offer.pack * offer.pack


def _supply(
    stock: StockBook,
    offer: Offer,
    lumber: Lumber,
    worth: Worth,
    length: Length,
    trims: tuple[Length, Length],
    piece: YardPiece | None,
) -> Supply:
    shop = stock.shop
    tax, of_board = tax_on(stock, offer), length / offer.length
    trimming = Fraction(shop.pay) * Fraction(shop.minutes_per_crosscut) / 60
    trimming *= sum(trim > 0 for trim in trims)
    paid = (Fraction(offer.price) + tax) * of_board
    supply = Supply(
        lumber=lumber,
        width=offer.width,
        length=length,
        trims=trims,
        cost=paid + trimming,
        limit=None if piece else _whole_packs(offer),
        sources=(offer,),
        store=offer.store,
        tax=tax,
        piece=piece,
    )
    if not supply.in_lots:
        return supply
    kept = Fraction(worth.of(lumber, supply.usable, offer.width))
    return replace(supply, tax=Fraction(0), share=paid, kept=kept)
