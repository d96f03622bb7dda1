"""What each piece of a board that the yard cuts pays of the board's price.

Any shares that add up to no more than the price give a bound, since no plan pays less for all
pieces of a board than the board. The linear programme over whole lots says which shares give the
best one: what a piece brings there. They are rounded down, then scaled until no lot is overpaid.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from optimizer.search.counts import boards
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.lots import Lot
from optimizer.search.money import CENT_PARTS
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.watch import Watch


def fair_shares(problem: Problem, watch: Watch) -> Problem:
    """``problem`` with the shares of yard pieces that give the best bound."""
    if not any(len(set(lot.gives)) > 1 for lot in problem.lots):
        return problem  # boards of a pack are all alike
    tables = [CuttingTables(problem, each, Rounding.FOR_PLANS) for each in problem.by_lumber()]
    linear = grow(problem, tables, Programme(problem, whole=False, lots=True), watch)
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


def _scale(problem: Problem, lot: Lot, brings: dict[int, Fraction]) -> Fraction:
    """How many times what its pieces bring a lot costs, beyond what they are worth unsawn."""
    fees = {store: fee for store, fee, free in problem.yard_fees if not free}
    cost = lot.price + lot.tax - lot.kept + lot.cuts * fees.get(lot.offer.store, Fraction(0))
    brought = sum((n * brings[s] for s, n in lot.counts.items()), Fraction(0))
    return cost / brought if brought else Fraction(10**6)


def _units(amount: int) -> Fraction:
    """Search units as money."""
    return Fraction(amount, 100 * CENT_PARTS)
