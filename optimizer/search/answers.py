"""What the linear and the integer programme answer, in no solver's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from optimizer.search.counts import Count
from optimizer.search.knapsack import Ints
from optimizer.search.patterns import Column


@dataclass(frozen=True, slots=True, kw_only=True)
class Linear:
    """The linear optimum in cents; what is worth how much (search units); and the counts.

    ``rows`` are the worths of all first rows, ``rounded`` those of rounded rows (search units).
    ``extra`` is what one more board of a supply or a lumber saves, ``missing`` whether parts are.
    With lots, ``pays`` is what a board of each supply in lots pays of the lot's price, beyond what
    it is worth unsawn; ``fees`` what one more cut of a yard costs, by its place in ``yard_fees``.
    """

    value: float
    rows: Ints
    rounded: Ints
    blanks: Ints
    extra: dict[Count, int]
    counts: dict[Count, float]
    missing: bool
    pays: dict[int, int]
    fees: dict[int, int]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Whole:
    """Whole counts: boards by column, parts by (part, way), parts that stay missing; in cents.

    ``lots`` counts those of the problem; empty where it has none.
    """

    boards: tuple[tuple[Column, int], ...]
    made: dict[tuple[int, int], int]
    missing: tuple[int, ...]
    cost: float
    lots: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """What a plan comes to beside its cost: so much with each board by its column (in the order of
    the programme's), each (part, way) made, each lot of the problem bought.
    """

    columns: Sequence[float]
    ways: Mapping[tuple[int, int], float]
    lots: Sequence[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """What the integer programme came to: its best counts, if any below the cutoff, and a bound.

    ``complete``: nothing over these columns is below ``bound`` (cents).
    """

    whole: Whole | None
    bound: float
    complete: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pending:
    """An attempt that is made beside other work: ``wait`` for what it comes to, as often as it is
    asked for, or ``stop`` it, once that is of no use any more.
    """

    wait: Callable[[], Attempt]
    stop: Callable[[], None]
