"""What a maker does without a program: the longest blank first, rack pieces first.

Every part is built the way whose blanks are cheapest by the foot. All blanks of a lumber are then
taken longest first (first-fit decreasing). Each goes where it first fits: into what is left of a
strip on a board begun already, beside the strips of a segment begun, into a new segment of a board
begun; else on the smallest offcut that holds it; else on a new board, of those that hold it the one
that is cheapest by the foot. At last each bought board is changed for the cheapest as wide that
holds all that was drawn on it. Crooked boards, and those whose pith is ripped out, are left alone.

The plan is laid out, costed and audited by the code that does so for all plans. Boards are crosscut
first, whatever the shop's sawing. Other makers do better or worse: common practice, no source. Only
the sequence has one: Johnson, Demers, Ullman, Garey and Graham, Worst-case performance bounds for
simple one-dimensional packing algorithms, SIAM Journal on Computing 3 (1974).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from optimizer.job.blanks import BlankKind
from optimizer.job.parts import Job
from optimizer.plan.plan import Plan
from optimizer.search.patterns import Pattern, Segment, Strip
from optimizer.search.problem import Problem, Way
from optimizer.search.supply import Supply
from stock.lengths import Length
from stock.shop import Shop
from stock.stock_book import StockBook
from tests.benchmarks.drawn_plan import drawn_plan, posed_job


def plan_by_hand(stock: StockBook, job: Job) -> Plan:
    """The maker's plan, audited. Raises ValueError where boards run out."""
    problem = posed_job(stock, job)
    ways = [_by_the_foot(problem, part) for part in range(len(problem.ways))]
    wanted: Counter[int] = Counter()
    for part, way in enumerate(ways):
        for kind, number in problem.ways[part][way].blanks:
            wanted[kind] += number * ceil(problem.copies[part] / problem.ways[part][way].copies)
    yard = _Yard(problem)
    for kind in sorted(wanted, key=lambda k: (-problem.kinds[k].length, -problem.kinds[k].width)):
        for _ in range(wanted[kind]):
            yard.place(kind)
    patterns = (board.pattern() for board in yard.exchanged())
    made = {
        (part, way): ceil(problem.copies[part] / problem.ways[part][way].copies)
        for part, way in enumerate(ways)
    }
    return drawn_plan(stock, job, problem, patterns, made)


def _by_the_foot(problem: Problem, part: int) -> int:
    """The way of a part whose blanks, out of boards in plenty, are cheapest by the foot."""
    shop = problem.shop

    def price(blank: BlankKind) -> Fraction:
        return min(
            (
                blank.length * supply.cost / supply.length
                for supply in problem.supplies
                if supply.limit is None and holds(supply, blank, shop)
            ),
            default=Fraction(10**6),
        )

    def cost(way: Way) -> tuple[Fraction, int]:
        blanks = way.lay_up.blanks
        return sum(map(price, blanks), way.cost) / way.copies, len(blanks)

    ways = problem.ways[part]
    return min(range(len(ways)), key=lambda way: cost(ways[way]))


# --- boards begun --------------------------------------------------------------------------------


@dataclass(slots=True)
class _Strip:
    """A strip with what is still free of its length."""

    width: Length
    free: Length
    blanks: list[int] = field(default_factory=list)


@dataclass(slots=True)
class _Segment:
    """A segment with what is still free of its width."""

    length: Length
    free: Length
    strips: list[_Strip] = field(default_factory=list)


@dataclass(slots=True)
class _Begun:
    """A board begun, with what is still free of its length."""

    supply: int
    free: Length
    segments: list[_Segment] = field(default_factory=list)

    def pattern(self) -> Pattern:
        return Pattern(
            self.supply,
            tuple(
                Segment(
                    segment.length,
                    tuple(Strip(strip.width, tuple(strip.blanks)) for strip in segment.strips),
                )
                for segment in self.segments
            ),
        )


def holds(supply: Supply, blank: BlankKind, shop: Shop) -> bool:
    """Whether the blank may be sawn out of a board of the supply."""
    if supply.odd:
        return False
    long_enough = supply.lumber == blank.lumber and supply.usable >= blank.length
    return long_enough and _out_of(supply.width, True, blank, shop)


def _out_of(width: Length, full: bool, blank: BlankKind, shop: Shop) -> bool:
    """Whether the blank may be sawn out of a strip so wide, ``full`` if as wide as its board."""
    if blank.own_edges or width == blank.width:
        return width == blank.width and (full or not blank.own_edges)
    return blank.width < width and _may_be_ripped(blank.length, blank, shop)


def _may_be_ripped(length: Length, blank: BlankKind, shop: Shop) -> bool:
    long_enough = shop.shortest_to_rip <= length <= shop.longest_to_rip
    return long_enough and blank.width >= shop.narrowest_rip


class _Yard:
    """All boards begun, and how many are left of each supply (None: plenty)."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.shop = problem, problem.shop
        self.begun: list[_Begun] = []
        self.left = [supply.limit for supply in problem.supplies]

    def place(self, kind: int) -> None:
        """Put one blank where it first fits, on a new board if it must be."""
        blank = self.problem.kinds[kind]
        for board in self.begun:
            supply = self.problem.supplies[board.supply]
            if supply.lumber == blank.lumber and self._put(board, supply, kind, blank):
                return
        board = self._fetch(blank)
        self.begun.append(board)
        assert self._put(board, self.problem.supplies[board.supply], kind, blank)

    def _put(self, board: _Begun, supply: Supply, kind: int, blank: BlankKind) -> bool:
        """Whether the blank found room on the board: a strip, beside strips, a new segment."""
        strip = self._strip(board, supply, blank)
        if strip is None:
            return False
        strip.blanks.append(kind)
        strip.free = max(strip.free - blank.length - self.shop.crosscut_kerf, Fraction(0))
        return True

    def _strip(self, board: _Begun, supply: Supply, blank: BlankKind) -> _Strip | None:
        for segment in board.segments:
            for strip in segment.strips:
                full = strip.width == supply.width
                if strip.free >= blank.length and _out_of(strip.width, full, blank, self.shop):
                    return strip
            if segment.length >= blank.length and segment.free >= blank.width:
                ripped = blank.width < segment.free or segment.free < supply.width
                if not blank.own_edges and (
                    not ripped or _may_be_ripped(segment.length, blank, self.shop)
                ):
                    return _ripped_off(segment, blank.width, self.shop.rip_kerf)
        if board.free < blank.length or not holds(supply, blank, self.shop):
            return None
        segment = _Segment(blank.length, supply.width)
        board.segments.append(segment)
        board.free = max(board.free - blank.length - self.shop.crosscut_kerf, Fraction(0))
        return _ripped_off(segment, blank.width, self.shop.rip_kerf)

    def _fetch(self, blank: BlankKind) -> _Begun:
        """The smallest offcut that holds the blank, else the cheapest board by the foot."""

        def order(supply: int) -> tuple[bool, Fraction]:
            each = self.problem.supplies[supply]
            size = each.cost / each.length if each.bought else each.length * each.width
            return each.bought, size

        holding = [
            number
            for number, supply in enumerate(self.problem.supplies)
            if self.left[number] != 0 and holds(supply, blank, self.shop)
        ]
        if not holding:
            raise ValueError(f"no board is left for a blank {blank.length} x {blank.width}")
        chosen = min(holding, key=order)
        self._take(chosen, 1)
        return _Begun(chosen, self.problem.supplies[chosen].usable)

    def _take(self, supply: int, number: int) -> None:
        left = self.left[supply]
        if left is not None:
            self.left[supply] = left - number

    def exchanged(self) -> Iterator[_Begun]:
        """The boards begun, each bought one changed for the cheapest as wide that holds its blanks.

        No segment of it gets longer or wider, so the cuts stay as they are.
        """
        for board in self.begun:
            supply = self.problem.supplies[board.supply]
            if supply.bought:
                kerfs = (len(board.segments) - 1) * self.shop.crosscut_kerf
                need = sum(segment.length for segment in board.segments) + kerfs
                alike = [
                    number
                    for number, other in enumerate(self.problem.supplies)
                    if (other.lumber, other.width, other.bought)
                    == (supply.lumber, supply.width, True)
                    and other.usable >= need
                    and (self.left[number] != 0 or number == board.supply)
                ]
                cheapest = min(alike, key=lambda number: self.problem.supplies[number].cost)
                self._take(board.supply, -1)
                self._take(cheapest, 1)
                board.supply = cheapest
            yield board


def _ripped_off(segment: _Segment, width: Length, kerf: Length) -> _Strip:
    """Rip a strip off what is free of the segment."""
    strip = _Strip(width, segment.length)
    segment.strips.append(strip)
    segment.free = max(segment.free - width - kerf, Fraction(0))
    return strip
