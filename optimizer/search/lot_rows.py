"""Rows of the integer programme for what is bought at once: packs, boards cut by the yard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

import pulp

from optimizer.search.counts import Count
from optimizer.search.lots import Lot
from optimizer.search.money import cents
from optimizer.search.problem import Problem

Bought: TypeAlias = Sequence[tuple[Lot, pulp.LpVariable]]


def buy_lots(
    problem: Problem, model: pulp.LpProblem, lots: Bought, *, whole: bool
) -> Iterator[tuple[Count, pulp.LpConstraint]]:
    """Pay for ``lots`` in the objective of ``model``; the rows that hold them, by name.

    Where sums are ``whole`` a row of its own rounds the tax of a store, else it is paid here.
    """
    if not lots:
        return

    # A lot costs its price, less what its boards would be worth unsawn; they pay that if sawn.
    paid = [cents(lot.price - lot.kept + (0 if whole else lot.tax)) * count for lot, count in lots]
    model.setObjective(model.objective + pulp.lpSum(paid))

    # No more boards are sawn than the lots give; patterns join these rows later.
    for s, supply in enumerate(problem.supplies):
        if supply.in_lots:
            yield ("lot", s, 0), pulp.lpSum(-lot.counts[s] * count for lot, count in lots) <= 0

    # No more boards are bought in lots than the store has.
    for n, offer in enumerate(dict.fromkeys(lot.offer for lot, _ in lots)):
        if offer.in_stock is not None:
            boards = [lot.boards * count for lot, count in lots if lot.offer == offer]
            yield ("in stock", n, 0), pulp.lpSum(boards) <= offer.in_stock

    # Cuts of a yard beyond its free ones cost a fee each.
    for n, (store, fee, free) in enumerate(problem.yard_fees):
        cuts = [lot.cuts * count for lot, count in lots if lot.offer.store == store and lot.cuts]
        if cuts and fee:
            charged = model.add_variable(
                f"cuts_{n}", lowBound=0, cat=pulp.LpInteger if whole else pulp.LpContinuous
            )
            model.setObjective(model.objective + cents(fee) * charged)
            yield ("cuts", n, 0), charged - pulp.lpSum(cuts) >= -free
