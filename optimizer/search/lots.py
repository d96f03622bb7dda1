"""What is bought at once: a pack, or the pieces into which the yard cuts a board.

A lot is paid whole, whatever is sawn of it; a board of it that is not sawn goes on the rack. The
search prices each board of a lot at its share of the price, as if it could be bought alone: no plan
costs less. Only the integer programme counts whole lots.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from optimizer.job.blanks import BlankKind
from optimizer.search.offered import offered, splits_of, tax_on, too_long
from optimizer.search.supply import Supply
from stock.lengths import Length
from stock.prices import Offer
from stock.stock_book import StockBook
from stock.worth import Worth


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """``boards`` boards of ``offer``, which give so many of each supply, in the order of a board.

    ``price`` is before ``tax``; ``kept`` what all of it is worth unsawn. The yard saws ``cuts``.
    """

    offer: Offer
    boards: int
    gives: tuple[int, ...]
    price: Fraction
    tax: Fraction
    kept: Fraction
    cuts: int

    @property
    def counts(self) -> Counter[int]:
        """How many boards or pieces of each supply it gives."""
        each = Counter(self.gives)
        return Counter({supply: n * self.boards for supply, n in each.items()})


def lots_of(
    stock: StockBook, supplies: tuple[Supply, ...], kinds: Iterable[BlankKind]
) -> tuple[tuple[Lot, ...], tuple[Supply, ...]]:
    """All lots, and the supplies with the pieces of yards that cut at blanks of ``kinds``."""
    wanted: dict[object, set[Length]] = {}
    for kind in kinds:
        wanted.setdefault(kind.lumber, set()).add(kind.length)
    worth = Worth(stock.shop, stock.offers)
    index = {(supply.sources[0], supply.piece): s for s, supply in enumerate(supplies)}
    all_supplies, lots = list(supplies), list[Lot]()
    for supply in [each for each in supplies if each.in_lots]:
        offer = supply.sources[0]
        assert isinstance(offer, Offer)
        if any(lot.offer is offer for lot in lots):
            continue
        lengths = tuple(sorted(wanted.get(supply.lumber, ())))
        for piece in offered(stock, offer, supply.lumber, worth, lengths):
            if piece.usable > 0 and (offer, piece.piece) not in index:
                index[offer, piece.piece] = len(all_supplies)
                all_supplies.append(piece)
        splits = splits_of(stock, offer, lengths) if too_long(offer, stock.shop) else [(None,)]
        for split in splits:
            gives = tuple(index[offer, piece] for piece in split if (offer, piece) in index)
            if len(gives) == len(split):
                lots.append(_lot(stock, offer, gives, all_supplies))
    return tuple(lots), tuple(all_supplies)


def _lot(stock: StockBook, offer: Offer, gives: tuple[int, ...], supplies: list[Supply]) -> Lot:
    return Lot(
        offer=offer,
        boards=offer.pack,
        gives=gives,
        price=offer.pack * Fraction(offer.price),
        tax=offer.pack * tax_on(stock, offer),
        kept=offer.pack * sum((supplies[s].kept for s in gives), Fraction(0)),
        cuts=offer.pack * (len(gives) - 1),
    )
