"""Which stores are worth the trip.

A trip is paid once, however much is bought there. A row of the programme for it makes the bound far
too low, so the whole job is solved for sets of stores instead: the trips of a set are then a sum
that stands. The set whose bound is the lowest comes first, and no set is solved whose bound says
that it cannot be cheaper than the best plan so far. What a wider set cannot go below, a narrower
one cannot either: so most sets are never looked at.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import IntEnum
from itertools import combinations

from optimizer.job.ways import NoPlanError
from optimizer.plan.plan import Plan, Status
from optimizer.search.watch import StoppedError, Watch
from stock.stock_book import StockBook

Stores = frozenset[str]
SolveAt = Callable[[StockBook, Watch], Plan]

MOST_STORES = 12
"""Beyond so many stores with a trip to pay, sets of them are too many to go through: those with the
cheapest trips belong to every set, and no bound counts their trips.
"""


NEVER, UNKNOWN = Decimal("Infinity"), Decimal("-Infinity")
"""The bound of stores that do not sell what the job needs; and before anything is known."""

FEW_SETS = 8
"""So few sets are looked at each, without a floor under all of them."""


class _Looked(IntEnum):
    """How far a set of stores has been looked into; then it is solved."""

    NOT = 0
    ONCE = 1  # its linear bound and a first plan


@dataclass(frozen=True, slots=True, order=True)
class _Visit:
    """A set of stores, ``trips`` to those chosen for it, and a ``bound`` on the net of a plan that
    visits these; the lowest first.
    """

    bound: Decimal
    stores: tuple[str, ...]
    looked: _Looked
    trips: Decimal


@dataclass(slots=True, kw_only=True)
class _Look(Watch):
    """A watch over one set of stores, within that over the whole search; its bound counts no
    ``trips``.
    """

    whole: Watch
    trips: Decimal
    once: bool

    def ended(self) -> bool:
        return self.whole.ended()

    def over(self) -> bool:
        looked = self.once and self.best is not None and self.bound is not None
        return looked or self._hopeless() or self.whole.over()

    def _hopeless(self) -> bool:
        """Whether no plan of this set can be cheaper than the best, by more than the wished gap."""
        best, gap = self.whole.best, self.whole.gap_percent
        if best is None or self.bound is None:
            return False
        return self.bound + self.trips >= best - abs(best) * gap / 100


def cheapest_visits(
    stock: StockBook, solve_at: SolveAt, watch: Watch, *, at_least: int = 0
) -> Plan:
    """The cheapest plan over all sets of stores, with its trips paid; ``solve_at`` knows no trips.

    ``at_least`` so many stores are visited, whether or not anything is worth buying there.
    Raises NoPlanError where no set of stores makes the job possible.
    """
    search = _Visits(stock, solve_at, watch, at_least)
    return search.run() if search.to_decide else solve_at(stock, watch)


class _Visits:
    def __init__(self, stock: StockBook, solve_at: SolveAt, watch: Watch, at_least: int) -> None:
        self.stock, self.solve_at, self.watch, self.at_least = stock, solve_at, watch, at_least
        self.costs = {store.name: store.trip_cost for store in stock.stores}
        self.selling = frozenset(o.store for o in stock.offers if o.in_stock != 0)
        most = stock.shop.most_stores
        self.most = len(self.selling) if most is None else min(most, len(self.selling))
        limited = self.most < len(self.selling) or at_least
        paid = {name for name in self.selling if self.costs.get(name)}
        self.to_decide = self.selling if limited else frozenset(paid)
        self.best: Plan | None = None
        self.nothing: NoPlanError | None = None

    def run(self) -> Plan:
        waiting = self._all_sets()
        heapq.heapify(waiting)
        done: list[Decimal] = []
        while waiting and not self.watch.over():
            if self.best and waiting[0].bound >= self.best.cost.net:
                break
            visit = heapq.heappop(waiting)
            once = visit.looked is _Looked.NOT
            found = self._look(frozenset(visit.stores), visit.trips, once=once)
            bound = visit.bound if found is None else max(visit.bound, found + visit.trips)
            if visit.looked is _Looked.ONCE or bound == NEVER:
                done.append(bound)
            else:
                heapq.heappush(waiting, replace(visit, bound=bound, looked=_Looked.ONCE))
            if self.best:
                self.watch.proved(min([self.best.cost.net, *done, *(v.bound for v in waiting)]))
        if self.best is None:
            raise self._no_plan()
        return self._finished(min([self.best.cost.net, *done, *(v.bound for v in waiting)]))

    def _all_sets(self) -> list[_Visit]:
        """Every set that may be visited; none has a plan below the floor of the widest."""
        always = self.selling - self.to_decide
        names = sorted(self.to_decide, key=lambda name: (-self.costs.get(name, 0), name))
        always |= frozenset(names[MOST_STORES:])
        names = names[:MOST_STORES]
        fewest = max(self.at_least - len(always), 0)
        sets = {
            tuple(sorted([*chosen, *always])): self._trips(chosen)
            for size in range(fewest, min(self.most, len(names)) + 1)
            for chosen in combinations(names, size)
        }
        floor: Decimal | None = UNKNOWN
        if len(sets) > FEW_SETS or tuple(sorted(self.selling)) in sets:
            floor = self._look(self.selling, self._trips(names), once=True)
        if floor is None or floor == NEVER:
            return []
        return [
            _Visit(bound=floor + trips, stores=stores, looked=_Looked.NOT, trips=trips)
            for stores, trips in sets.items()
        ]

    def _look(self, stores: Stores, trips: Decimal, *, once: bool) -> Decimal | None:
        """Solve with ``stores`` alone and keep the plan if it is the best; a bound, to which
        ``trips`` are to be added.

        NEVER where nothing can be made, None where the time was up before there was a bound.
        """
        most, allowed = self._trips(stores), len(stores) <= self.most
        look = _Look(whole=self.watch, trips=trips, once=once)
        if allowed:
            look.tell = lambda best, _: None if best is None else self.watch.found(best + most)
        try:
            plan = self.solve_at(_open(self.stock, stores), look)
        except StoppedError:
            return look.bound
        except NoPlanError as error:
            self.nothing = self.nothing or error
            return NEVER
        visited = {line.store for line in plan.buy}
        if len(visited) <= self.most:
            cost = replace(plan.cost, trips=self._trips(stores if self.at_least else visited))
            if self.best is None or cost.net < self.best.cost.net:
                taxes = tuple(replace(t, trip=self._trips([t.store])) for t in plan.taxes)
                self.best = replace(plan, cost=cost, taxes=taxes, bound=min(plan.bound, cost.net))
                self.watch.found(cost.net)
        return plan.bound

    def _no_plan(self) -> NoPlanError:
        if self.nothing is None:
            return StoppedError()
        if self.most == len(self.selling):
            return self.nothing
        try:
            self.solve_at(_open(self.stock, self.selling), Watch(seconds=0))
        except StoppedError:
            pass  # all stores together might do
        except NoPlanError as error:
            return error
        few = "single store sells" if self.most == 1 else f"{self.most} stores together sell"
        return NoPlanError(f"no {few} all that the job needs; raise most stores\n{self.nothing}")

    def _trips(self, stores: Iterable[str]) -> Decimal:
        return sum((self.costs.get(store, Decimal(0)) for store in stores), Decimal("0.00"))

    def _finished(self, bound: Decimal) -> Plan:
        assert self.best is not None
        plan = self.best
        if bound == UNKNOWN:
            bound = min(plan.cost.net, Decimal("0.00"))
        self.watch.proved(bound)
        status = Status.OUT_OF_TIME
        if bound == plan.cost.net:
            status = Status.PROVEN
        elif self.watch.near_enough():
            status = Status.WITHIN_GAP
        return replace(plan, bound=bound, status=status)


def _open(stock: StockBook, stores: Stores) -> StockBook:
    """The book with nothing in stock elsewhere, and no trips; prices stand, for worths."""
    offers = [
        offer if offer.store in stores else replace(offer, in_stock=0) for offer in stock.offers
    ]
    free = [replace(store, trip_cost=Decimal(0)) for store in stock.stores]
    shop = replace(stock.shop, most_stores=None)
    return replace(stock, offers=tuple(offers), stores=tuple(free), shop=shop)
