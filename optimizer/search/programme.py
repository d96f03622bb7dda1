"""The linear and the integer programme; alone knows the solver.

minimise Σ cost(k)·z(k) + Σ (glue, time)(r)·x(r) + penalty · Σ missing(p) subject to every part is
made, every blank that a lay-up takes is sawn, no limited board is cut more often than it is there.
z counts boards cut by a pattern, x parts made by a lay-up. The model is that of Gilmore and Gomory
(A linear programming approach to the cutting-stock problem, Operations Research 9, 1961), with a
row for each kind of blank and the choice of lay-ups on top.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import highspy
import numpy as np
import pulp

from optimizer.search.knapsack import Ints
from optimizer.search.patterns import Column
from optimizer.search.problem import CENT_PARTS, Problem
from optimizer.search.watch import Watch

MANY_NODES = 20_000

ROUND_UP_FROM = -0.5 - 1e-5
"""A sum in whole cents is at least the exact one less half a cent, and the solver's tolerance."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Linear:
    """The linear optimum: its value, what each kind of blank is worth, parts that stay missing."""

    value: float
    blanks: Ints
    limits: dict[int, int]
    missing: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """Whole counts: boards by column, parts by (part, way), parts that stay missing; and how sure.

    ``bound`` is the solver's lower bound on the cost over these columns, in cents.
    """

    boards: tuple[tuple[Column, int], ...]
    made: dict[tuple[int, int], int]
    missing: tuple[int, ...]
    cost: float
    bound: float


class Programme:
    """The programme of one problem; ``whole`` asks for whole numbers and sums in whole cents."""

    def __init__(self, problem: Problem, *, whole: bool) -> None:
        self.problem, self.whole = problem, whole
        self.columns: list[Column] = []
        self._category = pulp.LpInteger if whole else pulp.LpContinuous
        self._model = pulp.LpProblem("job", pulp.LpMinimize)
        self._row: dict[tuple[str, object], int] = {}
        self._made = {
            (p, r): self._variable(f"made_{p}_{r}")
            for p, ways in enumerate(problem.ways)
            for r in range(len(ways))
        }
        self._missing = [self._variable(f"missing_{p}") for p in range(len(problem.ways))]
        self._sums: dict[str, pulp.LpVariable] = {}
        self._build()
        if whole:
            self._round_sums()
        self._highs = _solver(self._model, whole)
        self._first_column = self._highs.getNumCol()

    def _variable(self, name: str) -> pulp.LpVariable:
        return self._model.add_variable(name, lowBound=0, cat=self._category)

    def _require(self, row: tuple[str, object], constraint: pulp.LpConstraint) -> None:
        """Rows go by what they say: names of PuLP collide where they differ by a blank."""
        self._row[row] = len(self._row)
        self._model += constraint

    def _build(self) -> None:
        problem, made, missing = self.problem, self._made, self._missing

        # Glue and time are paid for each part made; a missing part costs more than any board.
        self._model += pulp.lpSum(
            [cents(problem.ways[p][r].cost) * x for (p, r), x in made.items()]
            + [self._penalty() * part for part in missing]
        )

        # Every part is made as often as the job asks for, by one lay-up or another.
        for p, ways in enumerate(problem.ways):
            by_any_way = pulp.lpSum(made[p, r] for r in range(len(ways)))
            self._require(("part", p), by_any_way + missing[p] >= problem.copies[p])

        # Every blank that a lay-up takes is sawn from some board; patterns join these rows later.
        taken: dict[int, list[pulp.LpAffineExpression]] = {k: [] for k in range(len(problem.kinds))}
        for (p, r), x in made.items():
            for kind, count in problem.ways[p][r].blanks:
                taken[kind].append(-count * x)
        for kind, terms in taken.items():
            self._require(("blank", kind), pulp.lpSum(terms) >= 0)

        # No more boards are cut than lie on the rack or stand in the store.
        for s, supply in enumerate(problem.supplies):
            if supply.limit is not None:
                self._require(("limit", s), pulp.lpSum([]) <= supply.limit)

    def _round_sums(self) -> None:
        """Tax and glue are paid in whole cents, rounded half-up once they are added up."""
        problem = self.problem

        # The tax of a store is no less than its exact sum, rounded; boards join this row later.
        for store in sorted({supply.store for supply in problem.supplies if supply.tax}):
            self._sums[store] = tax = self._variable(f"tax_{len(self._sums)}")
            self._model.setObjective(self._model.objective + tax)
            self._require(("tax", store), tax >= ROUND_UP_FROM)

        # The glue of all parts is its exact sum, rounded; x already pays the exact one.
        glue = {
            key: cents(problem.ways[key[0]][key[1]].lay_up.glue(problem.shop)) for key in self._made
        }
        if any(glue.values()):
            exact = pulp.lpSum(glue[key] * x for key, x in self._made.items())
            self._sums["glue"] = paid = self._variable("glue")
            self._model.setObjective(self._model.objective + paid - exact)
            self._require(("glue", 0), paid >= exact + ROUND_UP_FROM)

    def _penalty(self) -> float:
        """Cents for a missing part: far more than sawing each of its blanks from a board of its
        own.
        """
        dearest = max((float(supply.cost) for supply in self.problem.supplies), default=1.0)
        most = max(
            sum(n for _, n in way.blanks) * dearest + float(way.cost)
            for ways in self.problem.ways
            for way in ways
        )
        return 100 * 100 * max(most, 1.0)

    def add(self, columns: Sequence[Column]) -> None:
        """Let boards be cut by these patterns too; the last solution stays a start for the next."""
        starts: list[int] = []
        rows: list[int] = []
        values: list[float] = []
        costs: list[float] = []
        for column in columns:
            starts.append(len(rows))
            entries = {self._row["blank", kind]: float(count) for kind, count in column.counts}
            supply = self.problem.supplies[column.pattern.supply]
            cost = column.cost / CENT_PARTS
            if supply.limit is not None:
                entries[self._row["limit", column.pattern.supply]] = 1
            if supply.store in self._sums:
                entries[self._row["tax", supply.store]] = -cents(supply.tax)
                cost -= cents(supply.tax)
            rows += entries
            values += entries.values()
            costs.append(cost)
        first, count = self._highs.getNumCol(), len(columns)
        if not count:
            return
        self._highs.addCols(
            count,
            np.array(costs, dtype=np.float64),
            np.zeros(count),
            np.full(count, highspy.kHighsInf),
            len(rows),
            np.array(starts, dtype=np.int32),
            np.array(rows, dtype=np.int32),
            np.array(values, dtype=np.float64),
        )
        if self.whole:
            new = np.arange(first, first + count, dtype=np.int32)
            whole = np.full(count, highspy.HighsVarType.kInteger)
            self._highs.changeColsIntegrality(count, new, whole)
        self.columns += columns

    def solve_linear(self) -> Linear:
        """The linear optimum over the columns so far, warm from the last one."""
        self._highs.run()
        solution = self._highs.getSolution()
        duals = np.array(solution.row_dual) * CENT_PARTS
        kinds = range(len(self.problem.kinds))
        blanks = np.array([duals[self._row["blank", kind]] for kind in kinds])
        return Linear(
            value=self._highs.getInfo().objective_function_value,
            blanks=np.maximum(np.floor(blanks), 0).astype(np.int64),
            limits={
                s: int(duals[self._row["limit", s]])
                for s, supply in enumerate(self.problem.supplies)
                if supply.limit is not None
            },
            missing=tuple(solution.col_value[part.index] for part in self._missing),
        )

    def solve_whole(
        self, watch: Watch, start: Whole | None = None, nodes: int = MANY_NODES
    ) -> Whole | None:
        """The best whole counts over the columns so far, and a bound; None if none was found.

        ``start`` is a known plan over these columns. Ends after ``nodes`` nodes, or when ``watch``
        says so.
        """
        highs = self._highs
        highs.setOptionValue("mip_max_nodes", nodes)
        if start is not None:
            self._begin_with(start)
        _run_until(highs, watch)
        info = highs.getInfo()
        if info.primal_solution_status != 2:  # no feasible point
            return None
        counts = [round(v) for v in highs.getSolution().col_value]
        boards = zip(self.columns, counts[self._first_column :], strict=True)
        return Whole(
            boards=tuple((column, count) for column, count in boards if count),
            made={way: counts[x.index] for way, x in self._made.items() if counts[x.index]},
            missing=tuple(counts[part.index] for part in self._missing),
            cost=info.objective_function_value,
            bound=info.mip_dual_bound,
        )

    def _begin_with(self, start: Whole) -> None:
        """Offer a known plan; the solver works out the rounded sums itself."""
        known = {x.index: start.made.get(way, 0) for way, x in self._made.items()}
        known |= {p.index: n for p, n in zip(self._missing, start.missing, strict=True)}
        counts = {column.pattern: count for column, count in start.boards}
        for place, column in enumerate(self.columns, self._first_column):
            known[place] = counts.get(column.pattern, 0)
        index = np.array(list(known), dtype=np.int32)
        self._highs.setSolution(len(known), index, np.array(list(known.values()), dtype=np.float64))


def _solver(model: pulp.LpProblem, whole: bool) -> highspy.Highs:
    """The solver's own object, built by PuLP, to which columns can be added without a rebuild."""
    solver = pulp.HiGHS(msg=False, threads=1, mip=whole, gapRel=0.0, gapAbs=0.0)
    solver.createAndConfigureSolver(model)
    solver.buildSolverModel(model)
    highs: highspy.Highs = model.solverModel
    return highs


def cents(amount: Fraction) -> float:
    """An exact amount as the solver takes it."""
    return float(amount * 100)


def _run_until(highs: highspy.Highs, watch: Watch) -> None:
    """Run in a thread of its own, so that the watch can end it and keep the best found."""
    done = threading.Event()

    def work() -> None:
        try:
            highs.run()
        finally:
            done.set()

    highs.HandleUserInterrupt = True
    threading.Thread(target=work, daemon=True).start()
    while not done.wait(0.05):
        if watch.over():
            highs.cancelSolve()  # type: ignore[no-untyped-call]


def distinct(columns: Iterable[Column]) -> list[Column]:
    """The columns without repeats: of those with the same blanks from the same supply, the
    cheapest.
    """
    best: dict[tuple[int, tuple[tuple[int, int], ...]], Column] = {}
    for column in columns:
        key = (column.pattern.supply, column.counts)
        if key not in best or column.cost < best[key].cost:
            best[key] = column
    return list(best.values())
