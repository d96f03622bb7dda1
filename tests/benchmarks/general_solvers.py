"""General solvers for a model of whole numbers: CBC through PuLP, and CP-SAT.

Nothing here imports ``optimizer``: CP-SAT brings a HiGHS of its own, which does not load beside
that of ``optimizer``, so it is called in a process of its own (``tests.independent.alone``).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

PARTS_OF_A_CENT = 100


@dataclass(slots=True)
class Model:
    """Whole numbers from 0 to ``most``, each at a cost; every row's sum is at most its limit."""

    most: list[int] = field(default_factory=list)
    costs: list[int] = field(default_factory=list)
    rows: list[tuple[dict[int, int], int]] = field(default_factory=list)

    def count(self, most: int, cost: Fraction = Fraction(0)) -> int:
        """A new variable, by its index; cost in the book's currency."""
        self.most.append(most)
        self.costs.append(round(100 * PARTS_OF_A_CENT * cost))
        return len(self.most) - 1

    def at_most(self, limit: int, *terms: tuple[int, int]) -> None:
        """The sum of (variable, factor) is at most the limit."""
        row: dict[int, int] = defaultdict(int)
        for variable, factor in terms:
            row[variable] += factor
        self.rows.append((dict(row), limit))


def by_cbc(model: Model, seconds: float) -> list[int] | None:
    """The best answer that CBC finds through PuLP; None where it finds none in time."""
    import pulp

    programme = pulp.LpProblem("direct", pulp.LpMinimize)
    counts = [
        programme.add_variable(f"n{n}", 0, most, cat="Integer") for n, most in enumerate(model.most)
    ]
    programme += pulp.LpAffineExpression(
        [(count, cost) for count, cost in zip(counts, model.costs, strict=True) if cost]
    )
    for row, limit in model.rows:
        programme += pulp.LpAffineExpression([(counts[n], f) for n, f in row.items()]) <= limit
    bundled = pulp.PULP_CBC_CMD.pulp_cbc_path
    programme.solve(pulp.COIN_CMD(path=bundled, msg=False, timeLimit=seconds))
    values = [round(count.value() or 0) for count in counts]
    return values if _holds(model, values) else None


def by_cp_sat(model: Model, seconds: float) -> list[int] | None:
    """The best answer that CP-SAT finds; None where it finds none in time.

    To be called in a process of its own, see ``tests.independent.alone``.
    """
    from ortools.sat.python import cp_model

    asked = cp_model.CpModel()
    counts = [asked.new_int_var(0, most, "") for most in model.most]
    for row, limit in model.rows:
        asked.add(
            cp_model.LinearExpr.weighted_sum([counts[n] for n in row], list(row.values())) <= limit
        )
    asked.minimize(cp_model.LinearExpr.weighted_sum(counts, model.costs))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    if solver.solve(asked) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return [solver.value(count) for count in counts]


def _holds(model: Model, values: Sequence[int]) -> bool:
    """Whether the values keep every row: a solver that ran out of time may give any."""
    return all(sum(f * values[n] for n, f in row.items()) <= limit for row, limit in model.rows)
