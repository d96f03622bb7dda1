"""The boards that jobs may use, as *supplies*: boards that are all alike are one.

Equal rack pieces are one with a limit, each offer is one, equal rows of a price list together, and
each sound stretch of an offcut with faults. Where parts do not mind, such an offcut is one more as
a whole: it is cut so, or in its sound stretches (``Problem.stretches``). An offcut costs what it is
worth.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache, partial

from optimizer.job.parts import Part
from optimizer.search.offered import offered
from optimizer.search.supply import Supply
from stock.lengths import Length
from stock.pieces import Lumber, RackPiece, sound_stretches
from stock.pith import pith_of
from stock.prices import Offer
from stock.shop import Shop, promises
from stock.stock_book import StockBook
from stock.wood import wood_key
from stock.worth import Worth

BoardSizes = list[tuple[Lumber, Length, Length]]


def supplies_of(
    stock: StockBook, parts: Sequence[Part], *jobs: str, never_whole: Collection[str] = ()
) -> tuple[Supply, ...]:
    """All boards that ``jobs`` may use, offers first; pieces held for another job are left alone.

    Woods that differ only in spelling are one lumber, under the first spelling; grades are told
    apart only as far as ``parts`` ask for them. Pieces with the tags ``never_whole`` are cut in
    their sound stretches, whether or not parts mind.
    """
    spelled: dict[str, str] = {}
    shop = stock.shop
    asked = [grade for grade in shop.grades if any(part.grade == grade for part in parts)]

    @cache
    def lumber_of(lumber: Lumber) -> Lumber:
        wood = spelled.setdefault(wood_key(lumber.wood), lumber.wood)
        met = (grade for grade in asked if promises(lumber.grade, grade, shop))
        return replace(lumber, wood=wood, grade=next(met, ""))

    unminding = any(part.knots_ok for part in parts)
    free_for = {"", *(job.casefold() for job in jobs)}
    worth = Worth(shop, stock.offers)
    offers = [
        supply
        for offer in _distinct(stock.offers)
        if offer.in_stock is None or offer.in_stock >= offer.pack
        for supply in offered(stock, offer, lumber_of(offer.lumber), worth)
        if supply.usable > 0
    ]
    alike: dict[tuple[object, ...], list[RackPiece]] = defaultdict(list)
    for piece in stock.rack:
        if piece.count and piece.held_for.casefold() in free_for:
            # Boards with faults of their own are told apart by their tags.
            own = piece.tag if piece.crook or piece.bad else ""
            alike[lumber_of(piece.lumber), piece.width, piece.length, own].append(piece)
    on_rack = [
        supply
        for pieces in alike.values()
        for supply in _pulled(
            pieces,
            lumber_of(pieces[0].lumber),
            shop,
            worth,
            whole=unminding and pieces[0].tag not in never_whole,
        )
    ]
    return (*offers, *on_rack)


def _distinct(offers: Iterable[Offer]) -> Iterator[Offer]:
    """Each offer once; equal rows have their stocks together."""
    for offer, rows in Counter(offers).items():
        yield offer if offer.in_stock is None else replace(offer, in_stock=rows * offer.in_stock)


def board_sizes(supplies: Iterable[Supply]) -> tuple[BoardSizes, BoardSizes]:
    """(lumber, usable length, width) of boards as they are, and of odd ones: what these give once
    they are straight and their pith is out.
    """
    plain = [(s.lumber, s.usable, s.width) for s in supplies if not s.odd]
    odd = [(s.lumber, *size) for s in supplies if s.odd for size in s.as_straight()]
    return plain, odd


def _pulled(
    pieces: Sequence[RackPiece], lumber: Lumber, shop: Shop, worth: Worth, *, whole: bool
) -> Iterator[Supply]:
    """Equal offcuts: each sound stretch by itself; those that are bad between two as a ``whole``
    too. Bad ends come off in any case.
    """
    first = pieces[0]
    sound = sound_stretches(first, shop.crosscut_kerf)
    if not sound:
        return
    worths = [worth.of(lumber, end - start, first.width) for start, end in sound]
    pulled = partial(
        Supply,
        width=first.width,
        length=first.length,
        limit=sum(piece.count for piece in pieces),
        sources=tuple(pieces),
        worth=sum(worths, Decimal("0.00")),
        unit=shop.unit,
        pith=pith_of(lumber, first.width, shop),
    )
    for stretch, cost in enumerate(worths):
        yield pulled(lumber=lumber, sound=sound, cost=Fraction(cost), stretch=stretch)
    if whole and len(sound) > 1:
        yield pulled(
            lumber=replace(lumber, faulty=True),
            sound=((sound[0][0], sound[-1][1]),),
            cost=Fraction(sum(worths)),
        )
