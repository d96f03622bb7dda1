"""What may be bought and pulled, restated from the trade's rules: the second opinion at the stores.

A pack is bought whole. A board longer than the car carries is bought only where the store cuts, at
marks from one end: as long as the car carries, in equal shares, or where one blank or two end to
end just go in; each such end loses the yard's tolerance and is trimmed. What is bought and not sawn
goes on the rack as it is, and counts as long as it is once its ends are trimmed. Money is cents,
lengths are inches, both exact.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from stock.lengths import Unit
from stock.pieces import Lumber, RackPiece
from stock.prices import Offer
from stock.shop import Shop
from stock.stock_book import StockBook
from tests.independent_layups import Board, pay_per_minute

MOST_WAYS_TO_CUT = 64


class Lot(NamedTuple):
    """``times`` boards of an offer, each as these boards; its cost less what they are worth."""

    store: str
    offer: int
    times: int
    boards: list[Board]
    cost: Fraction


def boards_of(stock: StockBook) -> Iterator[Board]:
    """All boards that can be had one by one."""
    shop = stock.shop
    trims = 2 * pay_per_minute(shop) * Fraction(shop.minutes_per_crosscut) if shop.end_trim else 0
    for offer in stock.offers:
        usable = offer.length - 2 * shop.end_trim
        if usable > 0 and not in_lots(offer, shop):
            cost = taxed(offer, stock) + trims
            yield Board(offer.lumber, offer.width, usable, cost, offer.in_stock, offer.store)
    for piece in stock.rack:
        if not piece.held_for:
            yield from offcuts(piece, stock)


def offcuts(piece: RackPiece, stock: StockBook) -> Iterator[Board]:
    """What is sound between bad stretches, a kerf away from each; or all that lies between bad
    ends, in one: not both, for all of one ``piece``.
    """
    kerf, sound, left = stock.shop.crosscut_kerf, [], Fraction(0)
    for start, end in (*piece.bad, (piece.length + kerf, piece.length + kerf)):
        if start - kerf > left:
            sound.append((left, min(start - kerf, piece.length)))
        left = end + kerf
    name = f"{piece.tag} in its sound lengths" if len(sound) > 1 else ""
    worths = [
        Fraction(worth_in_cents(stock, piece.lumber, end - start, piece.width))
        for start, end in sound
    ]
    for (start, end), worth in zip(sound, worths, strict=True):
        length = end - start
        yield Board(piece.lumber, piece.width, length, worth, piece.count, piece=name)
    if name:
        lumber, length = replace(piece.lumber, faulty=True), sound[-1][1] - sound[0][0]
        yield Board(lumber, piece.width, length, sum(worths), piece.count, piece=piece.tag)


def lots_of(stock: StockBook, wanted: Mapping[Lumber, Sequence[Fraction]]) -> list[Lot]:
    """All lots, the yard cutting at blanks of the ``wanted`` lengths too."""
    lots = []
    for number, offer in enumerate(stock.offers):
        if not in_lots(offer, stock.shop):
            continue
        carried = stock.shop.longest_carried
        cuts = [[offer.length]]
        if carried is not None and offer.length > carried:
            store = next(s for s in stock.stores if s.name == offer.store)
            lengths = wanted.get(offer.lumber, ())
            cuts = ways_to_cut(offer.length, stock.shop, lengths) if store.cuts else []
        for cut in cuts:
            boards = [
                piece(stock, offer, number, length, n > 0, n < len(cut) - 1)
                for n, length in enumerate(cut)
            ]
            usable = [board.length for board in boards]
            worth = sum(worth_in_cents(stock, offer.lumber, each, offer.width) for each in usable)
            cost = offer.pack * (taxed(offer, stock) - worth)
            lots.append(Lot(offer.store, number, offer.pack, boards, cost))
    return lots


def in_lots(offer: Offer, shop: Shop) -> bool:
    carried = shop.longest_carried
    return offer.pack > 1 or (carried is not None and offer.length > carried)


def ways_to_cut(length: Fraction, shop: Shop, wanted: Sequence[Fraction]) -> list[list[Fraction]]:
    carried, kerf, least = shop.longest_carried, shop.crosscut_kerf, shop.least_yard_piece
    assert carried is not None
    step = Fraction(1, 16) if shop.unit is Unit.IN else Fraction(5, 127)
    fewest = next(n for n in range(1, 99) if n * carried + (n - 1) * kerf >= length)
    at_ends = shop.end_trim + rough_end(shop)
    marks = {carried, ceil((length - (fewest - 1) * kerf) / fewest / step) * step}
    for one in wanted:
        marks.add(ceil((one + at_ends) / step) * step)
        marks |= {ceil((one + kerf + other + at_ends) / step) * step for other in wanted}
    ways = []
    for first in sorted(marks):
        cut, left = [first], length - first - kerf
        while left > carried:
            cut.append(carried)
            left -= carried + kerf
        cut.append(left)
        if all(least <= each <= carried for each in cut):
            ways.append(cut)
    assert len(ways) <= MOST_WAYS_TO_CUT, "draw smaller jobs: not all of these are looked at"
    return ways


def rough_end(shop: Shop) -> Fraction:
    return max(shop.end_trim + shop.yard_tolerance, shop.crosscut_kerf)


def piece(
    stock: StockBook, offer: Offer, number: int, length: Fraction, left: bool, right: bool
) -> Board:
    """A board of a lot, or a piece of one with ends ``left`` or ``right`` cut by the yard."""
    shop = stock.shop
    ends = [rough_end(shop) if cut else shop.end_trim for cut in (left, right)]
    trims = sum(end > 0 for end in ends) * Fraction(shop.minutes_per_crosscut)
    usable = length - sum(ends)
    worth = worth_in_cents(stock, offer.lumber, usable, offer.width)
    cost = worth + trims * pay_per_minute(shop)
    name = f"{number}: {length} {left} {right}"
    return Board(offer.lumber, offer.width, usable, cost, None, offer.store, name)


def taxed(offer: Offer, stock: StockBook) -> Fraction:
    percent = next((s.tax_percent for s in stock.stores if s.name == offer.store), 0)
    return Fraction(offer.price) * (100 + Fraction(percent))


def worth_in_cents(stock: StockBook, lumber: Lumber, length: Fraction, width: Fraction) -> int:
    """Worth of an offcut: a share of the cheapest like wood, less for shorter pieces; nothing with
    bad stretches in it.
    """
    shop = stock.shop
    marks = Fraction(254, 10) if shop.unit is Unit.MM else Fraction(16)  # of a tape, to the inch
    length, width = floor(length * marks) / marks, floor(width * marks) / marks
    if lumber.faulty or length < shop.shortest_kept or width < shop.narrowest_kept:
        return 0
    cheapest_volume = min(
        (
            Fraction(o.price) * 100 / (o.lumber.thickness * o.width * o.length)
            for o in stock.offers
            if (o.lumber.wood, o.lumber.treated) == (lumber.wood, lumber.treated)
        ),
        default=Fraction(0),
    )
    two_feet, four_feet = floor(24 * marks) / marks, floor(48 * marks) / marks
    half, most = Fraction(1, 2), Fraction(3, 4)
    factor = half if length < two_feet else most if length < four_feet else Fraction(1)
    volume = lumber.thickness * width * length
    exact = Fraction(shop.offcut_value) / 100 * cheapest_volume * volume * factor
    return int(exact + Fraction(1, 2))
