"""What an offcut or a kept leftover is worth: a share of the least that such wood costs new.

Worth = ``offcut value`` × the lowest price per volume among offers of the same wood and treatment
× the piece's volume × a factor by length, rounded half-up to the cent. One long piece is worth
more than five short ones: the factor is 1/2 from ``shortest kept``, 3/4 from 24 in, 1 from 48 in.
Length and width count as a tape shows them, down to 1/16 in or a millimetre. A piece shorter or
narrower than the shop keeps is worth nothing, nor is what is left of a piece whose bad stretches
were not cut out.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from functools import cache

from stock.lengths import Length, round_down
from stock.pieces import Lumber
from stock.prices import Offer, to_cent
from stock.shop import Shop
from stock.wood import wood_key

# From this length (inches) on, this share of the full worth: a rule of this program, no source.
FACTORS = (
    (Fraction(0), Fraction(1, 2)),
    (Fraction(24), Fraction(3, 4)),
    (Fraction(48), Fraction(1)),
)


class Worth:
    """The worth of pieces in one shop, at the prices of its stores."""

    def __init__(self, shop: Shop, offers: Iterable[Offer]) -> None:
        self._shop = shop
        self._per_volume: dict[tuple[str, bool], Fraction] = {}
        for offer in offers:
            key = (wood_key(offer.lumber.wood), offer.lumber.treated)
            volume = offer.lumber.thickness * offer.width * offer.length
            price = Fraction(offer.price) / volume
            self._per_volume[key] = min(price, self._per_volume.get(key, price))
        self.rates = cache(self._rates)
        """Of a lumber: from which length on a piece is worth how much for each square inch, exact:
        the longer, the more.
        """

    def _rates(self, lumber: Lumber) -> tuple[tuple[Length, Fraction], ...]:
        if lumber.faulty:
            return ()
        key = (wood_key(lumber.wood), lumber.treated)
        share = Fraction(self._shop.offcut_value) / 100
        full = share * self._per_volume.get(key, Fraction(0)) * lumber.thickness
        return tuple(
            (max(self._on_tape(least), self._shop.shortest_kept), full * factor)
            for least, factor in FACTORS
        )

    def of(self, lumber: Lumber, length: Length, width: Length) -> Decimal:
        """Worth of a piece, to the cent; 0 where it is too short or too narrow to keep."""
        length, width = self._on_tape(length), self._on_tape(width)
        if width < self._shop.narrowest_kept:
            return Decimal("0.00")
        rates = [rate for least, rate in self.rates(lumber) if length >= least]
        return to_cent(rates[-1] * length * width if rates else Fraction(0))

    def _on_tape(self, length: Length) -> Length:
        return round_down(length, self._shop.unit)
