"""The linear and the integer programme; alone knows the solver.

minimise Σ cost(k)·z(k) + Σ (glue, time)(r)·x(r) + penalty · Σ missing(p) subject to every part is
made, every blank that a lay-up takes is sawn, no limited board is cut more often than it is there.
z counts boards cut by a pattern, x parts made by a lay-up. The model is that of Gilmore and Gomory
(A linear programming approach to the cutting-stock problem, Operations Research 9, 1961), with a
row for each kind of blank and the choice of lay-ups on top.
"""

from __future__ import annotations

import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from fractions import Fraction
from math import lcm

import highspy
import numpy as np
import pulp

from optimizer.search.answers import Attempt, Linear, Whole
from optimizer.search.counts import Count, Range, Ranges, boards, bought, made
from optimizer.search.patterns import Column
from optimizer.search.problem import CENT_PARTS, Problem
from optimizer.search.watch import Watch

MANY_NODES = 20_000
TRIAL_STEPS = 60
MANY = 10**6
"""Boards: more than any job takes."""

_COMPLETE = (
    highspy.HighsModelStatus.kOptimal,
    highspy.HighsModelStatus.kInfeasible,
    highspy.HighsModelStatus.kObjectiveBound,
)

FINEST_STEP = 10_000
"""Sums that grow in finer parts of a cent than this are within the solver's tolerance of half."""


class Programme:
    """The programme of one problem; ``whole`` asks for whole numbers and sums in whole cents."""

    def __init__(self, problem: Problem, *, whole: bool) -> None:
        self.problem, self.whole = problem, whole
        self.columns: list[Column] = []
        self._category = pulp.LpInteger if whole else pulp.LpContinuous
        self._model = pulp.LpProblem("job", pulp.LpMinimize)
        self._row: dict[Count, int] = {}
        self._made = {
            (p, r): self._variable(f"made_{p}_{r}")
            for p, ways in enumerate(problem.ways)
            for r in range(len(ways))
        }
        self._missing = [self._variable(f"missing_{p}") for p in range(len(problem.ways))]
        self._stores = sorted({supply.store for supply in problem.supplies if supply.tax})
        self._lumber = {lumber: index for index, lumber in enumerate(problem.by_lumber())}
        self._held: dict[Count, Range] = {}
        self._build()
        if whole:
            self._round_sums()
        self._highs = _solver(self._model, whole)
        self._first_column = self._highs.getNumCol()

    def _variable(self, name: str) -> pulp.LpVariable:
        return self._model.add_variable(name, lowBound=0, cat=self._category)

    def _require(self, row: Count, constraint: pulp.LpConstraint) -> None:
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
            self._require(("part", p, 0), by_any_way + missing[p] >= problem.copies[p])

        # Every blank that a lay-up takes is sawn from some board; patterns join these rows later.
        taken: dict[int, list[pulp.LpAffineExpression]] = {k: [] for k in range(len(problem.kinds))}
        for (p, r), x in made.items():
            for kind, count in problem.ways[p][r].blanks:
                taken[kind].append(-count * x)
        for kind, terms in taken.items():
            self._require(("blank", kind, 0), pulp.lpSum(terms) >= 0)

        # No more boards are cut than lie on the rack or stand in the store.
        for s, supply in enumerate(problem.supplies):
            self._require(
                boards(s), pulp.lpSum([]) <= (MANY if supply.limit is None else supply.limit)
            )

        # Boards bought of each lumber are counted too: a place to branch.
        for index in range(len(problem.by_lumber())):
            self._require(bought(index), pulp.lpSum([]) <= MANY)

    def _round_sums(self) -> None:
        """Tax and glue are paid in whole cents, rounded half-up once they are added up."""
        problem = self.problem

        # The tax of a store is no less than its exact sum, rounded; boards join this row later.
        for index, store in enumerate(self._stores):
            tax = self._variable(f"tax_{index}")
            self._model.setObjective(self._model.objective + tax)
            taxes = [supply.tax for supply in problem.supplies if supply.store == store]
            self._require(("tax", index, 0), tax >= least_rounding(taxes))

        # The glue of all parts is its exact sum, rounded; x already pays the exact one.
        glue = {(p, r): problem.ways[p][r].lay_up.glue(problem.shop) for p, r in self._made}
        if any(glue.values()):
            exact = pulp.lpSum(cents(glue[key]) * x for key, x in self._made.items())
            paid = self._variable("glue")
            self._model.setObjective(self._model.objective + paid - exact)
            self._require(("glue", 0, 0), paid >= exact + least_rounding(glue.values()))

    def _penalty(self) -> float:
        """Cents for a missing part: far more than a board of its own for each of its blanks."""
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
            entries = {self._row["blank", kind, 0]: float(n) for kind, n in column.counts}
            supply = self.problem.supplies[column.pattern.supply]
            cost = column.cost / CENT_PARTS
            entries[self._row[boards(column.pattern.supply)]] = 1
            if supply.bought:
                entries[self._row[bought(self._lumber[supply.lumber])]] = 1
            if self.whole and supply.tax:
                entries[self._row["tax", self._stores.index(supply.store), 0]] = -cents(supply.tax)
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

    def hold(self, ranges: Ranges) -> None:
        """Hold counts in these ranges, and all others as the job does."""
        for count in self._held.keys() - ranges.keys():
            self._bound(count, self.free(count))
        for count, span in ranges.items():
            if self._held.get(count) != span:
                self._bound(count, span)
        self._held = dict(ranges)

    def free(self, count: Count) -> Range:
        """The range in which the job itself holds a count."""
        of_supply = count[0] == "boards"
        return Range(0, self.problem.supplies[count[1]].limit if of_supply else None)

    def _bound(self, count: Count, span: Range) -> None:
        most = highspy.kHighsInf if span.most is None else span.most
        if count[0] == "made":
            self._highs.changeColBounds(self._made[count[1:]].index, span.least, most)
        else:
            self._highs.changeRowBounds(self._row[count], span.least, most)

    def solve_linear(self) -> Linear:
        """The linear optimum over the columns so far, warm from the last one."""
        self._highs.run()
        solution = self._highs.getSolution()
        duals, activity = np.array(solution.row_dual) * CENT_PARTS, solution.row_value
        value = solution.col_value
        kinds = range(len(self.problem.kinds))
        worths = np.array([duals[self._row["blank", kind, 0]] for kind in kinds])
        rows = {count: row for count, row in self._row.items() if count[0] in ("boards", "lumber")}
        counts = {count: activity[row] for count, row in rows.items()}
        counts |= {made(*way): value[x.index] for way, x in self._made.items()}
        return Linear(
            value=self._highs.getInfo().objective_function_value,
            blanks=np.maximum(np.floor(worths), 0).astype(np.int64),
            extra={count: int(duals[row]) for count, row in rows.items()},
            counts=counts,
            missing=any(value[part.index] > 1e-6 for part in self._missing),
        )

    @contextmanager
    def trial(self) -> Iterator[None]:
        """Trials begin from the last solution, and leave no trace."""
        self._basis, held = self._highs.getBasis(), dict(self._held)
        self._highs.setOptionValue("simplex_iteration_limit", TRIAL_STEPS)
        yield
        self._highs.setOptionValue("simplex_iteration_limit", highspy.kHighsIInf)
        self.hold(held)
        self._highs.setBasis(self._basis)

    def tried(self, ranges: Ranges) -> float:
        """The linear cost (cents) with counts held so, after a few steps of the simplex method."""
        self.hold(ranges)
        self._highs.setBasis(self._basis)
        self._highs.run()
        return float(self._highs.getInfo().objective_function_value)

    def solve_whole(
        self, watch: Watch, *, below: float | None = None, nodes: int = MANY_NODES
    ) -> Attempt:
        """The best whole counts over the columns so far, and a bound.

        Only what costs less than ``below`` cents is of interest. Ends after ``nodes`` nodes, or
        when ``watch`` says so.
        """
        highs = self._highs
        highs.setOptionValue("mip_max_nodes", nodes)
        highs.setOptionValue("objective_bound", highspy.kHighsInf if below is None else below)
        _run_until(highs, watch)
        info, status = highs.getInfo(), highs.getModelStatus()
        found = info.primal_solution_status == 2  # a feasible point
        complete = status in _COMPLETE
        bound = info.mip_dual_bound
        if complete and not found:
            bound = highspy.kHighsInf if below is None else below
        return Attempt(whole=self._counts() if found else None, bound=bound, complete=complete)

    def _counts(self) -> Whole:
        counts = [round(v) for v in self._highs.getSolution().col_value]
        cut = zip(self.columns, counts[self._first_column :], strict=True)
        return Whole(
            boards=tuple((column, count) for column, count in cut if count),
            made={way: counts[x.index] for way, x in self._made.items() if counts[x.index]},
            missing=tuple(counts[part.index] for part in self._missing),
            cost=self._highs.getInfo().objective_function_value,
        )


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


def least_rounding(amounts: Iterable[Fraction]) -> float:
    """How much a sum of any of these amounts changes at the least when rounded half-up, in cents.

    Exact sums grow in steps: half a cent, which is rounded up, can be told from a step more.
    """
    steps = lcm(2, *((100 * amount).denominator for amount in amounts))
    return -0.5 + 0.5 / steps if steps <= FINEST_STEP else -0.5 - 1e-5


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
