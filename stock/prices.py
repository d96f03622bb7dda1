"""What stores sell, and for how much. Money is Decimal, in the currency of the book."""

from __future__ import annotations

from dataclasses import dataclass
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
    """A store; ``tax_percent`` is sales tax on everything bought there."""

    name: str
    tax_percent: Decimal = Decimal(0)
    note: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.tax_percent < 100:
            raise ValueError(f"store {self.name}: tax {self.tax_percent} %")


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One length of one line of a store's price list, as sold (inches), priced by the piece.

    ``in_stock`` is None where the store has plenty; ``green`` wood was surfaced before it dried.
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
    green: bool = False

    def __post_init__(self) -> None:
        if self.width <= 0 or self.length <= 0:
            raise ValueError(f"offer {self.name}: {self.width} x {self.length}")
        if self.price < 0 or self.price != self.price.quantize(CENT, ROUND_HALF_UP):
            raise ValueError(f"offer {self.name}: price {self.price} is not whole cents")
        if self.in_stock is not None and self.in_stock < 0:
            raise ValueError(f"offer {self.name}: {self.in_stock} in stock")
