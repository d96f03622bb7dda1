"""What each piece of a board that the yard cuts pays of the board's price.

Any shares that add up to no more than the price give a bound, since no plan pays less for all
pieces of a board than the board. The linear programme over whole lots says which shares give the
best one: what a piece brings there. They are rounded down, then scaled until no lot is overpaid.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from optimizer.search.answers import Linear
from optimizer.search.counts import Range, Ranges, boards, in_lots
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.lots import Lot
from optimizer.search.money import CENT_PARTS, money_units
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.watch import Watch


def fair_shares(problem: Problem, watch: Watch) -> Problem:
    """``problem`` with the shares of yard pieces that give the best bound."""
    if not any(len(set(lot.gives)) > 1 for lot in problem.lots):
        return problem  # boards of a pack are all alike
    tables = [CuttingTables(problem, each, Rounding.FOR_PLANS) for each in problem.by_lumber]
    linear = grow(problem, tables, Programme(problem, lots=True), watch)
    brings = {
        s: max(supply.share - supply.kept - _units(linear.extra[boards(s)]), Fraction(0))
        for s, supply in enumerate(problem.supplies)
        if supply.piece
    }
    lots: dict[object, list[Lot]] = defaultdict(list)
    for lot in problem.lots:
        lots[lot.offer].append(lot)
    supplies = list(problem.supplies)
    for s, brought in brings.items():
        supply = supplies[s]
        paid = min(
            (_scale(problem, lot, brings) for lot in lots[supply.sources[0]]), default=Fraction(0)
        )
        share = brought * paid + supply.kept
        supplies[s] = replace(supply, cost=supply.cost - supply.share + share, share=share)
    return replace(problem, supplies=tuple(supplies))


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPrices:
    """What boards of lots pay instead of their shares: supply s is ``dearer[s]`` than with its
    share; and the least that all lots ``cost`` beyond what their boards pay (search units).
    """

    dearer: Mapping[int, int]
    cost: int


def lot_prices(problem: Problem, linear: Linear, ranges: Ranges) -> LotPrices:
    """What boards of lots pay by a linear optimum with lots, so that a bound may go by it.

    Whatever they pay, it is a bound: a lot costs so much beyond what its boards pay, or less, and
    is bought as often as ``ranges`` and the store's stock allow, where that makes the least.
    """
    fees, cost = {}, 0
    for n, (store, fee, free) in enumerate(problem.yard_fees):
        fees[store] = min(max(linear.fees.get(n, 0), 0), money_units(fee))
        cost -= fees[store] * free
    by_offer: dict[object, list[tuple[int, Lot]]] = defaultdict(list)
    for n, lot in enumerate(problem.lots):
        by_offer[lot.offer].append((n, lot))
    pays = dict(linear.pays)
    for lots in by_offer.values():
        asked = [
            money_units(lot.price + lot.tax - lot.kept) + lot.cuts * fees.get(lot.offer.store, 0)
            for _, lot in lots
        ]
        spans = [ranges.get(in_lots(n), Range()) for n, _ in lots]
        stock, boards_each = lots[0][1].offer.in_stock, lots[0][1].boards
        left = None if stock is None else stock // boards_each
        endless = [left is None and span.most is None for span in spans]
        _lower(pays, [lot for _, lot in lots], asked, endless)
        above = [
            each - sum(n * pays[s] for s, n in lot.counts.items())
            for each, (_, lot) in zip(asked, lots, strict=True)
        ]
        cost += _least(above, spans, left)
    dearer = {
        s: paid - money_units(problem.supplies[s].share - problem.supplies[s].kept) - 1
        for s, paid in pays.items()
    }
    return LotPrices(dearer=dearer, cost=cost)


def _lower(
    pays: dict[int, int], lots: Sequence[Lot], asked: Sequence[int], endless: Sequence[bool]
) -> None:
    """Let boards pay so little that no lot of which there is plenty is overpaid."""
    share = Fraction(1)
    for lot, cost, plenty in zip(lots, asked, endless, strict=True):
        paid = sum(n * pays[s] for s, n in lot.counts.items())
        if plenty and paid > cost:
            share = min(share, Fraction(max(cost, 0), paid))
    for s in {s for lot in lots for s in lot.counts}:
        pays[s] = int(pays[s] * share)


def _least(above: Sequence[int], spans: Sequence[Range], left: int | None) -> int:
    """The least that lots of one offer cost above what is paid; ``left`` is how many there are."""
    cost = sum(a * span.least for a, span in zip(above, spans, strict=True))
    held = sum(span.least for span in spans)
    rest = None if left is None else max(left - held, 0)
    for a, span in sorted(zip(above, spans, strict=True), key=lambda each: each[0]):
        if a >= 0:
            break
        most = None if span.most is None else span.most - span.least
        some = min(n for n in (most, rest) if n is not None)
        cost += a * some
        rest = None if rest is None else rest - some
    return cost


def _scale(problem: Problem, lot: Lot, brings: dict[int, Fraction]) -> Fraction:
    """How many times what its pieces bring a lot costs, beyond what they are worth unsawn."""
    fees = {store: fee for store, fee, free in problem.yard_fees if not free}
    cost = lot.price + lot.tax - lot.kept + lot.cuts * fees.get(lot.offer.store, Fraction(0))
    brought = sum((n * brings[s] for s, n in lot.counts.items()), Fraction(0))
    return cost / brought if brought else Fraction(10**6)


def _units(amount: int) -> Fraction:
    """Search units as money."""
    return Fraction(amount, 100 * CENT_PARTS)
