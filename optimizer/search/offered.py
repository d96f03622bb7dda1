"""What stores sell, as supplies.

The cost of one is its price with tax and the pay for its end trims. A board that is too long for
the car is bought where the yard cuts it: each length that its pieces may have is a supply of its
own.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from optimizer.search.supply import Supply
from optimizer.search.yard import Split, YardPiece, splits
from stock.lengths import Length
from stock.pieces import Lumber
from stock.pith import pith_of
from stock.prices import Offer
from stock.shop import Shop
from stock.stock_book import StockBook
from stock.worth import Worth


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
        sound=((trims[0], length - trims[1]),),
        cost=paid + trimming,
        limit=None if piece else _whole_packs(offer),
        sources=(offer,),
        store=offer.store,
        tax=tax,
        piece=piece,
        pith=pith_of(lumber, offer.width, shop),
    )
    if not supply.in_lots:
        return supply
    kept = Fraction(worth.of(lumber, supply.usable, offer.width))
    return replace(supply, tax=Fraction(0), share=paid, kept=kept)
