"""Boards as *supplies*: equal rack pieces are one with a limit, each offer is one, and each sound
stretch of an offcut with faults.

The cost of a supply is its price with tax, or the worth of the offcut, and the pay for its end
trims.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from optimizer.job.parts import Part
from stock.lengths import Length, Unit
from stock.pieces import Lumber, RackPiece, Stretch, sound_stretches, straight_width
from stock.prices import Offer
from stock.shop import Shop, promises
from stock.stock_book import StockBook
from stock.wood import wood_key
from stock.worth import Worth


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """A kind of board: what one costs (exact, ``tax`` of ``store`` in it), and how many there are.

    ``limit`` is None where there are plenty. Of a board that is sound in several stretches, each is
    a supply of its own: ``stretch`` is its number among ``sound``; ``worth`` is that of the whole.
    """

    lumber: Lumber
    width: Length
    length: Length
    sound: tuple[Stretch, ...]
    cost: Fraction
    limit: int | None
    sources: tuple[RackPiece, ...] | tuple[Offer]
    store: str = ""
    tax: Fraction = Fraction(0)
    stretch: int = 0
    worth: Decimal = Decimal("0.00")
    unit: Unit = Unit.IN

    @property
    def usable(self) -> Length:
        start, end = self.sound[self.stretch]
        return end - start

    @property
    def crook(self) -> Length:
        """Over the whole length of the board."""
        source = self.sources[0]
        return source.crook if isinstance(source, RackPiece) else Length(0)

    def straight(self, length: Length) -> Length:
        """Width of a segment so long once its edges are straight."""
        source = self.sources[0]
        if isinstance(source, RackPiece) and source.crook:
            return straight_width(source, length, self.unit)
        return self.width

    def as_straight(self) -> list[tuple[Length, Length]]:
        """(length, width) of straight boards that give just what this crooked one does."""
        found = {(self.usable, self.straight(self.usable))}
        length = self.usable
        while length > 1 and self.straight(length) < self.width:
            length -= 1
            found.add((length, self.straight(length)))
        return sorted(found)

    @property
    def bought(self) -> bool:
        return isinstance(self.sources[0], Offer)


def supplies_of(stock: StockBook, job_name: str, parts: Sequence[Part] = ()) -> tuple[Supply, ...]:
    """All boards that the job may use, offers first; pieces held for another job are left alone.

    Woods that differ only in spelling are one lumber, under the first spelling; grades are told
    apart only as far as ``parts`` ask for them.
    """
    spelled: dict[str, str] = {}
    shop = stock.shop
    asked = [grade for grade in shop.grades if any(part.grade == grade for part in parts)]

    def lumber_of(lumber: Lumber) -> Lumber:
        wood = spelled.setdefault(wood_key(lumber.wood), lumber.wood)
        met = (grade for grade in asked if promises(lumber.grade, grade, shop))
        return replace(lumber, wood=wood, grade=next(met, ""))

    offers = [
        _offered(stock, offer, lumber_of(offer.lumber))
        for offer in stock.offers
        if offer.length > 2 * shop.end_trim and offer.in_stock != 0
    ]
    alike: dict[tuple[object, ...], list[RackPiece]] = defaultdict(list)
    for piece in stock.rack:
        if piece.count and piece.held_for.casefold() in ("", job_name.casefold()):
            # Boards with faults of their own are told apart by their tags.
            own = piece.tag if piece.crook or piece.bad else ""
            alike[lumber_of(piece.lumber), piece.width, piece.length, own].append(piece)
    worth = Worth(shop, stock.offers)
    on_rack = [
        supply
        for pieces in alike.values()
        for supply in _pulled(pieces, lumber_of(pieces[0].lumber), shop, worth, parts)
    ]
    return (*offers, *on_rack)


def _offered(stock: StockBook, offer: Offer, lumber: Lumber) -> Supply:
    shop = stock.shop
    percent = {store.name: Fraction(store.tax_percent) for store in stock.stores}
    tax = Fraction(offer.price) * percent.get(offer.store, Fraction(0)) / 100
    trims = 2 if shop.end_trim else 0
    trimming = Fraction(shop.pay) * Fraction(shop.minutes_per_crosscut) / 60 * trims
    return Supply(
        lumber=lumber,
        width=offer.width,
        length=offer.length,
        sound=((shop.end_trim, offer.length - shop.end_trim),),
        cost=Fraction(offer.price) + tax + trimming,
        limit=offer.in_stock,
        sources=(offer,),
        store=offer.store,
        tax=tax,
    )


def _pulled(
    pieces: Sequence[RackPiece], lumber: Lumber, shop: Shop, worth: Worth, parts: Sequence[Part]
) -> Iterator[Supply]:
    """Equal offcuts: each sound stretch by itself, or the whole for parts that do not mind."""
    first = pieces[0]
    sound = sound_stretches(first, shop.crosscut_kerf)
    worths = [worth.of(lumber, end - start, first.width) for start, end in sound]
    if given_whole(first, sound, parts):
        lumber = replace(lumber, faulty=True)
        sound, costs = ((Length(0), first.length),), [sum(worths, Decimal("0.00"))]
    else:
        costs = worths
    for stretch, cost in enumerate(costs):
        yield Supply(
            lumber=lumber,
            width=first.width,
            length=first.length,
            sound=sound,
            cost=Fraction(cost),
            limit=sum(piece.count for piece in pieces),
            sources=tuple(pieces),
            stretch=stretch,
            worth=sum(worths, Decimal("0.00")),
            unit=shop.unit,
        )


def given_whole(piece: RackPiece, sound: Sequence[Stretch], parts: Sequence[Part]) -> bool:
    """Whether a piece with bad stretches goes whole to the parts that do not mind: where no sound
    stretch of it is long enough for any part that does.
    """
    if not piece.bad or not any(part.knots_ok for part in parts):
        return False
    longest = max((end - start for start, end in sound), default=Length(0))
    return all(part.knots_ok or part.length_with_tenons > longest for part in parts)
