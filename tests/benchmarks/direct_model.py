"""What a programmer does: the direct model, board by board, for a general solver.

Each board that might be sawn stands in the model by itself, a rack piece once, an offer in a few
copies. A board has a few places for sections; a section is as long as one of the blanks and is
ripped into blanks side by side, each crosscut to its own length (two stages, crosscut first, with
trimming: the one-board-one-variable formulation after Kantorovich, Management Science 6, 1960, with
levels as by Lodi, Martello and Vigo, Journal of Combinatorial Optimization 8, 2004). Lay-ups are
chosen in the same model.

What is sought are the least costs of boards, tax, glue and time; leftovers are not in the model but
are counted for the plan that it gives. The same model is given to CBC through PuLP and to CP-SAT,
with their own defaults but for the time.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from optimizer.job.parts import Job
from optimizer.plan.plan import Plan
from optimizer.search.patterns import Pattern, Segment, Strip
from optimizer.search.problem import Problem
from optimizer.search.supply import Supply
from stock.lengths import Length
from stock.stock_book import StockBook
from tests.benchmarks.drawn_plan import drawn_plan, posed_job
from tests.benchmarks.general_solvers import Model

MOST_COPIES = 3
"""Copies of an offer in the model."""

MOST_SECTIONS = 5
"""Sections of a board in the model."""


@dataclass(frozen=True, slots=True)
class _Section:
    """A section of a board: lengths it may have and blanks side by side, each with its count."""

    lengths: tuple[tuple[Length, int], ...]
    blanks: tuple[tuple[int, int], ...]


class DirectModel:
    """The model of one job, and how to read its answer."""

    def __init__(self, stock: StockBook, job: Job) -> None:
        self.stock, self.job = stock, job
        self.problem = problem = posed_job(stock, job)
        self.model = Model()
        self.sections: list[tuple[int, list[_Section]]] = []
        self.grid = _grid(problem)
        self.sawn: dict[int, list[int]] = defaultdict(list)
        self.ways = [
            [self.model.count(copies, way.cost) for way in ways]
            for copies, ways in zip(problem.copies, problem.ways, strict=True)
        ]
        for number, supply in enumerate(problem.supplies):
            self._add_boards(number, supply)
        self._add_parts()

    def _ticks(self, length: Length) -> int:
        return int(length * self.grid)

    def _add_parts(self) -> None:
        """Each part is made, each blank is sawn."""
        problem = self.problem
        needs: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for copies, ways, counts in zip(problem.copies, problem.ways, self.ways, strict=True):
            made = zip(counts, ways, strict=True)
            self.model.at_most(-copies, *((count, -way.copies) for count, way in made))
            for way, count in zip(ways, counts, strict=True):
                for kind, number in way.blanks:
                    needs[kind].append((count, number))
        for kind, uses in needs.items():
            self.model.at_most(0, *uses, *((sawn, -1) for sawn in self.sawn[kind]))

    def _add_boards(self, number: int, supply: Supply) -> None:
        """Copies of a supply, used one after another."""
        kinds = [k for k in range(len(self.problem.kinds)) if self._fits(supply, k)]
        before: int | None = None
        for _ in range(min(supply.limit or MOST_COPIES, MOST_COPIES) if kinds else 0):
            used = self.model.count(1, supply.cost)
            if before is not None:
                self.model.at_most(0, (used, 1), (before, -1))
            before = used
            self.sections.append((number, self._board(supply, kinds, used)))

    def _fits(self, supply: Supply, kind: int) -> bool:
        blank, shop = self.problem.kinds[kind], self.problem.shop
        if supply.lumber != blank.lumber or supply.usable < blank.length:
            return False
        if blank.width == supply.width:
            return True
        long_enough = shop.shortest_to_rip <= blank.length <= shop.longest_to_rip
        wide_enough = shop.narrowest_rip <= blank.width < supply.width
        return not blank.own_edges and long_enough and wide_enough

    def _board(self, supply: Supply, kinds: Sequence[int], used: int) -> list[_Section]:
        """Sections along a board, no longer together than the board."""
        kerf = self._ticks(self.problem.shop.crosscut_kerf)
        lengths = sorted({self.problem.kinds[kind].length for kind in kinds})
        room = self._ticks(supply.usable) + kerf
        places = min(MOST_SECTIONS, room // (self._ticks(lengths[0]) + kerf))
        sections = [self._section(supply, kinds, lengths) for _ in range(places)]
        taken = [
            (chosen, self._ticks(length) + kerf)
            for section in sections
            for length, chosen in section.lengths
        ]
        self.model.at_most(0, *taken, (used, -room))
        return sections

    def _section(self, supply: Supply, kinds: Sequence[int], lengths: Sequence[Length]) -> _Section:
        """One length or none, and blanks that are no wider together than the board."""
        problem, model = self.problem, self.model
        kerf = self._ticks(problem.shop.rip_kerf)
        room = self._ticks(supply.width) + kerf
        chosen = [(length, model.count(1)) for length in lengths]
        model.at_most(1, *((choice, 1) for _, choice in chosen))
        blanks = []
        for kind in kinds:
            blank = problem.kinds[kind]
            most = room // (self._ticks(blank.width) + kerf)
            count = model.count(most)
            blanks.append((kind, count))
            self.sawn[kind].append(count)
            whole = blank.width == supply.width
            longer = [
                choice
                for length, choice in chosen
                if blank.length <= length and (whole or length <= problem.shop.longest_to_rip)
            ]
            model.at_most(0, (count, 1), *((choice, -most) for choice in longer))
        taken = [(c, self._ticks(problem.kinds[kind].width) + kerf) for kind, c in blanks]
        model.at_most(0, *taken, *((choice, -room) for _, choice in chosen))
        return _Section(tuple(chosen), tuple(blanks))

    def plan(self, values: Sequence[int]) -> Plan:
        """The plan that an answer of the model means, audited."""
        patterns = []
        for supply, sections in self.sections:
            segments = [self._segment(section, values) for section in sections]
            sawn = tuple(segment for segment in segments if segment.strips)
            if sawn:
                patterns.append(Pattern(supply, sawn))
        made = {
            (part, way): values[count]
            for part, counts in enumerate(self.ways)
            for way, count in enumerate(counts)
        }
        return drawn_plan(self.stock, self.job, self.problem, patterns, made)

    def _segment(self, section: _Section, values: Sequence[int]) -> Segment:
        length = next((length for length, choice in section.lengths if values[choice]), Fraction(0))
        strips = (
            Strip(self.problem.kinds[kind].width, (kind,))
            for kind, count in section.blanks
            for _ in range(values[count])
        )
        return Segment(length, tuple(strips))


def _grid(problem: Problem) -> int:
    """Ticks in an inch on which all lengths are whole."""
    shop = problem.shop
    lengths = [shop.rip_kerf, shop.crosscut_kerf]
    lengths += [each for kind in problem.kinds for each in (kind.length, kind.width)]
    lengths += [each for supply in problem.supplies for each in (supply.usable, supply.width)]
    return lcm(*(length.denominator for length in lengths))
