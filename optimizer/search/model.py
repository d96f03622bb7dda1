"""The model in PuLP's words, as far as it stands before there are patterns.

minimise Σ cost(k)·z(k) + Σ (glue, time)(r)·x(r) + penalty · Σ missing(p) subject to every part is
made, every blank that a lay-up takes is sawn, no limited board is cut more often than it is there.
z counts boards cut by a pattern, x parts made by a lay-up. The model is that of Gilmore and Gomory
(A linear programming approach to the cutting-stock problem, Operations Research 9, 1961), with a
row for each kind of blank and the choice of lay-ups on top.
"""

from __future__ import annotations

from functools import lru_cache

import pulp

from optimizer.search.counts import Count, boards, bought
from optimizer.search.lot_rows import buy_lots
from optimizer.search.money import cents, least_rounding
from optimizer.search.problem import Problem
from optimizer.search.solver import solver_of

MANY = 10**6
"""Boards: more than any job takes."""

KEPT = 8
"""Models of so many problems are built once."""


@lru_cache(maxsize=KEPT)
def model_of(job: Problem, *, whole: bool, lots: bool = False) -> Model:
    """The model of a problem, built once."""
    return Model(job, whole=whole, lots=lots)


class Model:
    """PuLP's ``problem`` and the ``solver`` built from it; ``row`` tells what each row of it says,
    in order.

    ``made[part, way]``, ``missing[part]`` and the counts beside ``lots`` are its variables.
    ``whole`` asks for whole numbers and sums in whole cents. Without ``lots`` their boards are
    bought one by one.
    """

    def __init__(self, job: Problem, *, whole: bool, lots: bool = False) -> None:
        self.job = job
        self.problem = pulp.LpProblem("job", pulp.LpMinimize)
        self.row: dict[Count, int] = {}
        self._category = pulp.LpInteger if whole else pulp.LpContinuous
        self.made = {
            (p, r): self._variable(f"made_{p}_{r}")
            for p, ways in enumerate(job.ways)
            for r in range(len(ways))
        }
        self.missing = [self._variable(f"missing_{p}") for p in range(len(job.ways))]
        taxed = {supply.store for supply in job.supplies if supply.tax}
        self.stores = sorted(taxed | {lot.offer.store for lot in job.lots if lot.tax})
        counted = job.lots if lots else ()
        self.lots = [(lot, self._variable(f"lot_{n}")) for n, lot in enumerate(counted)]
        self.lumber = {lumber: index for index, lumber in enumerate(job.by_lumber)}
        self._build()
        for row, constraint in buy_lots(job, self.problem, self.lots, whole=whole):
            self._require(row, constraint)
        if whole:
            self._round_sums()
        self.solver = solver_of(self.problem, whole=whole)

    def _variable(self, name: str) -> pulp.LpVariable:
        return self.problem.add_variable(name, lowBound=0, cat=self._category)

    def _require(self, row: Count, constraint: pulp.LpConstraint) -> None:
        """Rows go by what they say: names of PuLP collide where they differ by a blank."""
        self.row[row] = len(self.row)
        self.problem += constraint

    def _build(self) -> None:
        problem, made, missing = self.job, self.made, self.missing
        penalty = self._penalty()

        # Glue and time are paid for each part made; a missing one costs more than any board or lot.
        self.problem += pulp.lpSum(
            [cents(problem.ways[p][r].cost) * x for (p, r), x in made.items()]
            + [penalty * part for part in missing]
        )

        # Every part is made as often as the job asks for, by one lay-up or another; some make
        # several copies at once.
        for p, ways in enumerate(problem.ways):
            by_any_way = pulp.lpSum(way.copies * made[p, r] for r, way in enumerate(ways))
            self._require(("part", p, 0), by_any_way + missing[p] >= problem.copies[p])

        # Every blank that a lay-up takes is sawn from some board; patterns join these rows later.
        taken: dict[int, list[pulp.LpAffineExpression]] = {k: [] for k in range(len(problem.kinds))}
        for (p, r), x in made.items():
            for kind, count in problem.ways[p][r].blanks:
                taken[kind].append(-count * x)
        for kind, terms in taken.items():
            self._require(("blank", kind, 0), pulp.lpSum(terms) >= 0)

        # No more boards are cut than lie on the rack or stand in the store. Offcuts that are cut
        # whole join the rows of their sound stretches too.
        for s, supply in enumerate(problem.supplies):
            self._require(
                boards(s), pulp.lpSum([]) <= (MANY if supply.limit is None else supply.limit)
            )

        # Boards bought of each lumber are counted too: a place to branch.
        for index in range(len(problem.by_lumber)):
            self._require(bought(index), pulp.lpSum([]) <= MANY)

    def _round_sums(self) -> None:
        """Tax and glue are paid in whole cents, rounded half-up once they are added up."""
        problem = self.job

        # The tax of a store is no less than its exact sum, rounded; boards join this row later.
        for index, store in enumerate(self.stores):
            tax = self._variable(f"tax_{index}")
            self.problem.setObjective(self.problem.objective + tax)
            lots = [(lot.tax, count) for lot, count in self.lots if lot.offer.store == store]
            taxes = [supply.tax for supply in problem.supplies if supply.store == store]
            least = least_rounding([*taxes, *(amount for amount, _ in lots)])
            of_lots = pulp.lpSum(cents(amount) * count for amount, count in lots)
            self._require(("tax", index, 0), tax - of_lots >= least)

        # The glue of all parts is its exact sum, rounded; x already pays the exact one.
        glue = {(p, r): problem.ways[p][r].lay_up.glue(problem.shop) for p, r in self.made}
        if any(glue.values()):
            exact = pulp.lpSum(cents(glue[key]) * x for key, x in self.made.items())
            paid = self._variable("glue")
            self.problem.setObjective(self.problem.objective + paid - exact)
            self._require(("glue", 0, 0), paid >= exact + least_rounding(glue.values()))

    def _penalty(self) -> float:
        """Cents for a missing part: far more than a board or a lot of its own for each blank."""
        job = self.job
        fees = {store: fee for store, fee, _ in job.yard_fees}
        lots = [lot.price + lot.tax + lot.cuts * fees.get(lot.offer.store, 0) for lot in job.lots]
        dearest = float(max([*(supply.cost for supply in job.supplies), *lots], default=1))
        most = max(
            sum(n for _, n in way.blanks) * dearest + float(way.cost)
            for ways in job.ways
            for way in ways
        )
        return 100 * 100 * max(most, 1.0)
