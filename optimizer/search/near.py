"""Plans beside the cheapest: as cheap and better, or a little dearer and better.

One integer programme serves both. Its columns are the patterns that the search has tried; one row
holds the cost within what the plan may cost, and another sum than the cost is minimised. What it
counts is laid out and added up like any plan, and only what then stands is taken. It looks among
these patterns only: that there is no better plan is not proven, and nobody says so.

*Ties.* Of plans as cheap as the cheapest, that with the fewest boards to buy; of these, that after
which the rack is worth most; of these, that with the fewest pieces to put back; of these, that with
the fewest glue lines.

*What a little more money buys.* For each aim the most that the amount gives, then the least cost
for as much; and the least cost of the first step on the way (the ε-constraint method; Haimes,
Lasdon and Wismer, On a bicriterion formulation of the problems of integrated system identification
and system optimization, IEEE Transactions on Systems, Man, and Cybernetics 1, 1971; cited from
memory). A pattern that serves an aim seldom is among those that served the cost, so patterns are
grown once more for each aim, at a price on what it wants less of.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import TypeAlias

import numpy as np

from optimizer.plan.figures import glue_lines as glue_lines_of
from optimizer.search.answers import Sum, Whole
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.layout import Answer
from optimizer.search.money import money_units
from optimizer.search.patterns import Column, distinct
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.sums import (
    A_LINE,
    at_counts,
    boards_bought,
    demerits,
    glue_lines,
    minutes_at_saws,
    rack_gain,
    rack_loss,
    sawn,
    worth_of_leftovers,
)
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme
from stock.stock_book import StockBook

Sums: TypeAlias = Callable[[Sequence[Column]], Sum]

FEWEST_TIE_COLUMNS, TIE_COLUMNS = 60, 2
"""So many patterns at the least, and for each kind of blank: among more the solver comes upon
fewer plans in its one node.
"""
TIE_NODES = 1
NEAR_COLUMNS = 3_000
NEAR_NODES = 20

WITHIN = 0.1
"""Cents by which the solver may miss a cost in whole cents."""

LEAST_LEFT = 25.0
"""Leftovers must be worth so many cents more to be told of."""

AN_HOUR = 6
"""Patterns with few cuts are grown as if ten minutes at the saws cost the whole amount."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A plan: its counts, and what it is laid out."""

    whole: Whole
    answer: Answer

    @property
    def net(self) -> Decimal:
        return self.answer.cost.net


class Beside:
    """Plans beside the ``best`` of a problem, out of ``columns`` and those of the best."""

    def __init__(
        self,
        problem: Problem,
        columns: Sequence[Column],
        best: Found,
        lay_out: Callable[[Whole], Answer],
        stock: StockBook,
        watch: Watch,
    ) -> None:
        self.problem, self.best, self.lay_out, self.watch = problem, best, lay_out, watch
        self.columns = distinct([*(column for column, _ in best.whole.boards), *columns])
        self.stock, self.worth = stock, (worth := worth_of_leftovers(stock))
        self.boards: Sums = partial(boards_bought, problem)
        self.lines: Sums = partial(glue_lines, problem)
        self.minutes: Sums = partial(minutes_at_saws, problem)
        self.rack: Sums = partial(rack_loss, problem, worth=worth)
        self.demerits: Sums = partial(demerits, problem, worth=worth)

    # ties ---------------------------------------------------------------------------------------

    def best_of_ties(self) -> Found:
        """As cheap as the best: the fewest boards bought, then the best leftovers, then the fewest
        glue lines.
        """
        best, most = self.best, max(FEWEST_TIE_COLUMNS, TIE_COLUMNS * len(self.problem.kinds))
        columns = self._nearest(self.columns, most)
        below = at_counts(self.demerits, best.whole) - A_LINE / 2
        found = self._least(columns, self.demerits, below=below, cost=best.net, nodes=TIE_NODES)
        if found and found.net == best.net and self._better(found, best):
            return found
        return best

    def _better(self, one: Found, other: Found) -> bool:
        return self._merit(one.answer) < self._merit(other.answer)

    def _merit(self, answer: Answer) -> tuple[int, Decimal, int, int]:
        """The smaller, the better of plans as cheap."""
        return (
            sum(not board.from_rack for board in answer.boards),
            -rack_gain(answer.boards, self.worth),
            sum(len(board.leftovers) for board in answer.boards),
            sum(map(glue_lines_of, answer.parts)),
        )

    # what a little more money buys --------------------------------------------------------------

    def near(self, tables: Sequence[CuttingTables], amount: Decimal) -> Iterator[Found]:
        """For each aim, plans that cost up to ``amount`` more: the first step, and the last."""
        most = self.best.net + amount
        columns = [*self.columns, *self._grown(tables, amount)]
        columns = self._nearest(distinct(columns), NEAR_COLUMNS)
        steps: tuple[tuple[Sums, float], ...] = (
            (self.boards, 1.0),
            (self.lines, 1.0),
            (self.minutes, 1.0),
            (self.rack, LEAST_LEFT),
        )
        for aim, step in steps:
            now = at_counts(aim, self.best.whole)
            last = self._least(columns, aim, below=now - step / 2, cost=most)
            if last is None:
                continue
            reached = at_counts(aim, last.whole)
            for goal in dict.fromkeys((now - step, reached)):
                found = self._least(columns, None, cost=most, also=[(aim, goal)])
                if found:
                    yield found
            yield last

    def _grown(self, tables: Sequence[CuttingTables], amount: Decimal) -> list[Column]:
        """Patterns that serve the aims, each at its own cost."""
        problem, dollars = self.problem, Fraction(amount)
        grown: list[Column] = []
        grown += self._for_fewer_boards(dollars)
        # Fewer glue lines: each costs more.
        glued = tuple(
            tuple(
                replace(way, cost=way.cost + dollars * way.lay_up.glue_lines * way.copies)
                for way in ways
            )
            for ways in problem.ways
        )
        grown += self._patterns(replace(problem, ways=glued), tables)
        # Less sawing: an hour at the saws costs more.
        shop = replace(problem.shop, pay=problem.shop.pay + AN_HOUR * amount)
        paid = replace(problem, shop=shop)
        for column in self._patterns(paid, self._tables(paid)):
            minutes = sawn(problem, column).minutes
            charge = money_units(AN_HOUR * dollars * minutes / 60)
            grown.append(replace(column, cost=column.cost - charge))
        # Longer leftovers: they are worth twice as much.
        worth = worth_of_leftovers(self.stock, times=2)
        valued = replace(problem, worth=worth)
        for column in self._patterns(valued, self._tables(valued)):
            lumber = problem.supplies[column.pattern.supply].lumber
            more = sum(
                Fraction(worth.of(lumber, *piece) - problem.worth.of(lumber, *piece))
                for piece in sawn(problem, column).kept
            )
            grown.append(replace(column, cost=column.cost + money_units(Fraction(more))))
        return grown

    def _for_fewer_boards(self, each: Fraction) -> list[Column]:
        """Patterns that serve where each board to buy costs so much more, at their own cost."""
        bought = np.array([supply.bought for supply in self.problem.supplies], dtype=np.int64)
        dearer = self._tables(self.problem)
        for table in dearer:
            table.cost = table.cost + money_units(each) * bought[list(table.supplies)]
        return [
            replace(
                column, cost=column.cost - money_units(each) * int(bought[column.pattern.supply])
            )
            for column in self._patterns(self.problem, dearer)
        ]

    def _tables(self, problem: Problem) -> list[CuttingTables]:
        of_lumbers = problem.by_lumber
        return [CuttingTables(problem, lumber, Rounding.FOR_PLANS) for lumber in of_lumbers]

    def _patterns(self, problem: Problem, tables: Sequence[CuttingTables]) -> list[Column]:
        programme = Programme(problem)
        root = grow(problem, tables, programme, self.watch)
        return [*programme.columns, *spare_patterns(tables, root.blanks, self.watch)]

    # the programme ------------------------------------------------------------------------------

    def _nearest(self, columns: Sequence[Column], most: int) -> list[Column]:
        """The columns of the best plan, and the cheapest beside the linear optimum."""
        if len(columns) <= most:
            return [*columns]
        programme = Programme(self.problem)
        programme.add(columns)
        programme.solve_linear()
        own = [column for column, _ in self.best.whole.boards]
        return distinct([*own, *programme.nearest(most)])

    def _least(
        self,
        columns: Sequence[Column],
        aim: Sums | None,
        *,
        cost: Decimal,
        below: float | None = None,
        also: Sequence[tuple[Sums, float]] = (),
        nodes: int = NEAR_NODES,
    ) -> Found | None:
        """The least of an aim (of the cost, if none) at a cost of at most ``cost``, and at most so
        much of the aims in ``also``; None where nothing below ``below`` is found.
        """
        if self.watch.over():
            return None
        programme = WholeProgramme(self.problem)
        programme.add(columns)
        programme.keep_within(float(cost) * 100 + WITHIN)
        for held, most in also:
            programme.keep_within(most + WITHIN, held(columns))
        programme.minimise(aim(columns) if aim else None)
        whole = programme.solve_whole(self.watch, below=below, nodes=nodes).whole
        if whole is None or any(whole.missing):
            return None
        return Found(whole=whole, answer=self.lay_out(whole))
