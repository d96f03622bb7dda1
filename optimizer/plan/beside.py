"""What stands beside the wood of a plan: glue, finish and hardware, and the load to drive home."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumable:
    """What else to have at hand, and ``how`` that came about; ``in_cash``: the bill has it."""

    item: str
    amount: str
    sum: Decimal
    in_cash: bool = False
    how: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Weight of the boards to bring home, and what the car may carry (0: not said), in whole
    pounds, in a book in millimetres kilograms. ``unknown`` boards are of a wood not in the tables.
    """

    weight: int = 0
    limit: int = 0
    unknown: int = 0

    def __post_init__(self) -> None:
        if min(self.weight, self.limit, self.unknown) < 0:
            raise ValueError(f"a load of {self.weight}, limit {self.limit}, {self.unknown} unknown")

    @property
    def too_heavy(self) -> bool:
        return 0 < self.limit < self.weight
