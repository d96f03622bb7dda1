"""What stores sell, and for how much. Money is Decimal, in the currency of the book."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from stock.lengths import Length
from stock.pieces import Lumber

CENT = Decimal("0.01")


def to_cent(amount: Fraction | Decimal) -> Decimal:
    """``amount`` rounded half-up to the cent, exactly (no float on the way)."""
    exact = Fraction(amount)
    cents = (abs(exact) * 200 + 1) // 2
    return Decimal(int(cents) if exact >= 0 else -int(cents)).scaleb(-2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """A store; ``tax_percent`` is sales tax on everything bought there, not on the trip or on cuts.

    ``fee_per_cut`` is None where the store does not cut; the first ``free_cuts`` of a visit cost
    nothing.
    """

    name: str
    tax_percent: Decimal = Decimal(0)
    note: str = ""
    trip_cost: Decimal = Decimal(0)
    fee_per_cut: Decimal | None = None
    free_cuts: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.tax_percent < 100:
            raise ValueError(f"store {self.name}: tax {self.tax_percent} %")
        if self.trip_cost < 0 or self.free_cuts < 0 or (self.fee_per_cut or 0) < 0:
            raise ValueError(f"store {self.name}: a trip or a cut costs less than nothing")

    @property
    def cuts(self) -> bool:
        """Whether the store cuts boards to length."""
        return self.fee_per_cut is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One length of one line of a store's price list, as sold (inches), priced by the piece.

    ``in_stock`` is None where the store has plenty. It is sold only in packs of ``pack`` boards;
    ``price`` is that of one. ``green`` wood was surfaced before it dried.
    """

    store: str
    lumber: Lumber
    width: Length
    length: Length
    name: str
    price: Decimal
    size: str = ""
    in_stock: int | None = None
    note: str = ""
    pack: int = 1
    priced_on: date | None = None
    green: bool = False

    def __post_init__(self) -> None:
        if self.width <= 0 or self.length <= 0:
            raise ValueError(f"offer {self.name}: {self.width} x {self.length}")
        if self.price < 0 or self.price != self.price.quantize(CENT, ROUND_HALF_UP):
            raise ValueError(f"offer {self.name}: price {self.price} is not whole cents")
        if self.in_stock is not None and self.in_stock < 0:
            raise ValueError(f"offer {self.name}: {self.in_stock} in stock")
        if self.pack < 1:
            raise ValueError(f"offer {self.name}: packs of {self.pack}")


def price_notes(offers: Sequence[Offer], today: date, good_for: int) -> Iterator[str]:
    """A sentence for each store with boards at no price, or with prices that are old."""
    free: dict[str, list[str]] = {}
    for offer in offers:
        if not offer.price:
            free.setdefault(offer.store, []).append(offer.name)
    for store, (first, *others) in free.items():
        more = f" and {len(others)} more" if others else ""
        yield f"{store}: {first}{more} at a price of 0, planned as given away"
    yield from old_prices(offers, today, good_for)


def old_prices(offers: Iterable[Offer], today: date, good_for: int) -> Iterator[str]:
    """A sentence for each store with prices older than ``good_for`` days; no date is no age."""
    oldest: dict[str, date] = {}
    stale: dict[str, int] = {}
    for offer in offers:
        if offer.priced_on and (today - offer.priced_on).days > good_for:
            oldest[offer.store] = min(offer.priced_on, oldest.get(offer.store, offer.priced_on))
            stale[offer.store] = stale.get(offer.store, 0) + 1
    for store, day in oldest.items():
        days = "1 day" if good_for == 1 else f"{good_for} days"
        prices = "1 price is" if stale[store] == 1 else f"{stale[store]} prices are"
        yield f"{store}: {prices} older than {days}, the oldest of {day}; ask again"
