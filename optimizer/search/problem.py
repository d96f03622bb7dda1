"""The job as the search sees it: kinds of boards, kinds of blanks, and lay-ups by index."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import ceil, gcd

import numpy as np
from numpy.typing import NDArray

from optimizer.job.blanks import BlankKind
from optimizer.job.layups import LayUp
from optimizer.job.parts import Part
from optimizer.search.lots import Lot, lots_of
from optimizer.search.supply import Supply
from stock.pieces import Lumber
from stock.shop import Shop
from stock.stock_book import StockBook
from stock.worth import Worth


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A lay-up by index: blank kinds and how many of each, the copies that it makes at once, the
    exact price of glue and time.
    """

    lay_up: LayUp
    blanks: tuple[tuple[int, int], ...]
    cost: Fraction
    copies: int = 1


@dataclass(frozen=True, kw_only=True, eq=False)
class Problem:
    """Make ``copies[p]`` of part p by its ``ways[p]``, out of ``supplies``. Each problem equals
    itself alone: what is built for it once is found again by it.
    """

    shop: Shop
    worth: Worth
    supplies: tuple[Supply, ...]
    kinds: tuple[BlankKind, ...]
    ways: tuple[tuple[Way, ...], ...]
    copies: tuple[int, ...]
    lots: tuple[Lot, ...] = ()
    yard_fees: tuple[tuple[str, Fraction, int], ...] = ()
    """Of each store that cuts: its name, the fee for a cut, and how many are free."""
    rounded_sums: int
    """How many sums of the bill are rounded after adding up: each may take half a cent."""

    @cached_property
    def useful_blanks(self) -> NDArray[np.int64]:
        """How many blanks of each kind a plan can use at the most that makes nothing for nothing.

        Without any one of its makings a part lacks copies. So a way that makes n at once is taken
        for ⌈copies / n⌉ of them at the most; and beside ways that make other numbers, for fewer
        than n copies more than are asked.
        """
        taken = np.zeros(len(self.kinds), dtype=np.int64)
        for copies, ways in zip(self.copies, self.ways, strict=True):
            of_kinds = defaultdict[int, list[tuple[int, int]]](list)
            for way in ways:
                for kind, count in way.blanks:
                    of_kinds[kind].append((count, way.copies))
            for kind, those in of_kinds.items():
                most = max(n for _, n in those)
                alike = all(n == most for _, n in those)
                made = most * ceil(copies / most) if alike else copies + most - 1
                taken[kind] += int(max(Fraction(count, n) for count, n in those) * made)
        taken.flags.writeable = False
        return taken

    def blanks_of(self, made: Mapping[tuple[int, int], int]) -> NDArray[np.int64]:
        """How many blanks of each kind so many makings, by part and way, take."""
        taken = np.zeros(len(self.kinds), dtype=np.int64)
        for (part, way), times in made.items():
            for kind, count in self.ways[part][way].blanks:
                taken[kind] += times * count
        return taken

    @cached_property
    def stretches(self) -> dict[int, tuple[int, ...]]:
        """Of each supply of offcuts that are cut whole, bad wood and all: the supplies of their
        sound stretches. A piece is cut one way or the other.
        """
        of_pieces: dict[object, list[int]] = defaultdict(list)
        for s, supply in enumerate(self.supplies):
            if not supply.bought and not supply.lumber.faulty:
                of_pieces[supply.sources].append(s)
        return {
            s: tuple(of_pieces[supply.sources])
            for s, supply in enumerate(self.supplies)
            if supply.lumber.faulty
        }

    def step(self) -> int:
        """Cents of which every plan's net is a whole multiple, lots and cuts paid; mostly 1."""
        ways = [way.cost for ways in self.ways for way in ways]
        if self.rounded_sums or any(ways) or self.shop.pay or self.shop.offcut_value:
            return 1
        cutting = {lot.offer.store for lot in self.lots if lot.cuts}
        costs = [supply.cost for supply in self.supplies if not supply.in_lots]
        costs += [lot.price for lot in self.lots]
        costs += [fee for store, fee, _ in self.yard_fees if store in cutting]
        cents = [100 * cost for cost in costs]
        if any(cost.denominator > 1 for cost in cents):
            return 1
        return gcd(*map(int, cents)) or 1

    @cached_property
    def by_lumber(self) -> dict[Lumber, tuple[tuple[int, ...], tuple[int, ...]]]:
        """For each lumber that has both: the indices of its supplies and of its blank kinds."""
        kinds, supplies = defaultdict(list), defaultdict(list)
        for index, kind in enumerate(self.kinds):
            kinds[kind.lumber].append(index)
        for index, supply in enumerate(self.supplies):
            supplies[supply.lumber].append(index)
        both = [lumber for lumber in kinds if lumber in supplies]
        return {lumber: (tuple(supplies[lumber]), tuple(kinds[lumber])) for lumber in both}


def pose(
    stock: StockBook,
    parts: Sequence[Part],
    lay_ups: Sequence[Sequence[LayUp]],
    supplies: tuple[Supply, ...],
) -> Problem:
    """The problem of making ``parts`` by their ``lay_ups`` (one sequence for each part)."""
    shop = stock.shop
    lay_ups = [undominated(ways, shop) for ways in lay_ups]
    kinds = sorted({blank for ways in lay_ups for way in ways for blank in way.blanks})
    index = {kind: i for i, kind in enumerate(kinds)}

    def way(lay_up: LayUp) -> Way:
        counts = Counter(index[blank] for blank in lay_up.blanks)
        cost = lay_up.glue(shop) + lay_up.time(shop)
        blanks = tuple(sorted(counts.items()))
        return Way(lay_up=lay_up, blanks=blanks, cost=cost, copies=lay_up.copies)

    lots, supplies = lots_of(stock, supplies, kinds)
    sold_at = {offer.store for offer in stock.offers}
    taxed = sum(store.name in sold_at and store.tax_percent > 0 for store in stock.stores)
    return Problem(
        shop=shop,
        worth=Worth(shop, stock.offers),
        supplies=supplies,
        kinds=tuple(kinds),
        ways=tuple(tuple(way(lay_up) for lay_up in ways) for ways in lay_ups),
        copies=tuple(part.copies for part in parts),
        lots=lots,
        yard_fees=tuple(
            (store.name, Fraction(store.fee_per_cut), store.free_cuts)
            for store in stock.stores
            if store.fee_per_cut is not None
        ),
        rounded_sums=taxed + (shop.glue_price > 0) + (shop.pay > 0),
    )


def undominated(lay_ups: Sequence[LayUp], shop: Shop) -> list[LayUp]:
    """The lay-ups of a part without those whose blanks are only wider than another's.

    A narrower blank is ripped from the place of the wider one. So the wider lay-up is left out if
    the other's cost, with a rip for each such blank, is no higher.
    """
    a_rip = Fraction(shop.pay) * Fraction(shop.minutes_per_rip) / 60
    blanks = {id(way): sorted(way.blanks) for way in lay_ups}
    costs = {id(way): way.glue(shop) + way.time(shop) for way in lay_ups}

    def rips(way: LayUp, other: LayUp) -> int | None:
        """How many blanks of ``way`` are ripped from places of ``other``; None if one is not."""
        count = 0
        for blank, place in zip(blanks[id(way)], blanks[id(other)], strict=True):
            if blank != place:
                rippable = blank.width >= shop.narrowest_rip and not blank.own_edges
                rippable &= blank.lumber.thickness <= 2 * shop.deepest_rip
                long_enough = shop.shortest_to_rip <= blank.length <= shop.longest_to_rip
                if (blank.lumber, blank.length) != (place.lumber, place.length):
                    return None
                if blank.width > place.width or not (rippable and long_enough):
                    return None
                count += 1
        return count

    def betters(way: LayUp, other: LayUp) -> bool:
        if way is other or len(way.blanks) != len(other.blanks) or way.copies != other.copies:
            return False
        narrower = rips(way, other)
        if narrower is None or narrower == 0:
            return False
        return costs[id(way)] + narrower * a_rip <= costs[id(other)]

    return [way for way in lay_ups if not any(betters(better, way) for better in lay_ups)]
