"""A saw bench drawn by hypothesis: one board, a few kinds of blanks, the shop's saws and prices.

Small enough that every way of sawing the board can be tried.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

import numpy as np
from hypothesis import strategies as st

from optimizer.job.blanks import BlankKind
from optimizer.plan.plan import CutKind
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.knapsack import NEVER, Ints
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.sawing import THIN_CUT, Piece, Sawyer
from stock.lengths import MILLIMETRE
from stock.prices import Offer
from stock.shop import Sawing, Shop
from stock.stock_book import StockBook
from tests.independent import board_patterns
from tests.independent_layups import Board
from tests.independent_sawing import Blank, Counts
from tests.making_plans import inches
from tests.shop_floor import book, lumber, sawing_problem, shop, sold

PINE = lumber("1")


@dataclass(frozen=True, slots=True)
class Bench:
    """One board as sold (the only one in ``stock``), and what may be sawn from it."""

    stock: StockBook
    kinds: tuple[BlankKind, ...]

    def problem(self) -> Problem:
        return sawing_problem(self.stock, self.kinds)

    def tables(self, rounding: Rounding = Rounding.FOR_PLANS) -> CuttingTables:
        return CuttingTables(self.problem(), PINE, rounding)

    def every_way(self, most: Counts | None = None) -> dict[Counts, Fraction]:
        """Cents for every set of blanks that the board gives, by trying all ways to saw it."""
        (offer,), trim = self.stock.offers, self.stock.shop.end_trim
        usable = offer.length - 2 * trim
        board = Board(PINE, offer.width, usable, Fraction(0), None)
        blanks = [Blank(kind.length, kind.width, kind.own_edges) for kind in self.kinds]
        if most is None:
            most = tuple(
                floor(usable / kind.length) * floor(offer.width / kind.width) for kind in self.kinds
            )
        bought = Fraction(offer.price) * 100 + 2 * bool(trim) * cents(self.stock.shop, rip=False)
        ways = board_patterns(board, blanks, most, self.stock)
        return {counts: bought + cost for counts, cost in ways.items()}

    def best(self, values: Ints) -> Fraction | None:
        """The most cents that one board brings beyond its cost, by trying all ways."""
        return max(
            (
                Fraction(sum(int(v) * n for v, n in zip(values, counts, strict=True)), CENT_PARTS)
                - cost
                for counts, cost in self.every_way().items()
            ),
            default=None,
        )

    def found(self, values: Ints, rounding: Rounding = Rounding.FOR_PLANS) -> Fraction | None:
        """The same from the tables."""
        table = self.tables(rounding)
        (value,) = table.price(values)
        return Fraction(int(value - table.cost[0]), CENT_PARTS) if value > NEVER // 2 else None


def cents(of: Shop, *, rip: bool) -> Fraction:
    """Pay for one cut, in cents."""
    minutes = of.minutes_per_rip if rip else of.minutes_per_crosscut
    return Fraction(minutes) * Fraction(of.pay) * 100 / 60


def sawn_cost(problem: Problem, column: Column) -> Fraction:
    """What a column costs in cents once its board is really sawn: price, cuts, less leftovers."""
    sawyer, supply = Sawyer(problem, column.pattern), problem.supplies[column.pattern.supply]
    (offer,) = supply.sources
    assert isinstance(offer, Offer)
    leftovers = sum(
        Fraction(problem.worth.of(supply.lumber, piece.length, piece.width))
        for piece in sawyer.finished()
        if sawyer.kept(piece)
    )
    pay = sum(cents(problem.shop, rip=cut.kind in ALONG) for cut in sawyer.cuts)
    return 100 * (Fraction(offer.price) - leftovers) + pay


ALONG = (CutKind.RIP, CutKind.JOINT)
KERFS = tuple(map(inches, ("0", "1/8", "1/2")))


@st.composite
def shops(draw: st.DrawFn) -> Shop:
    """Every cut is paid in whole cents: 30.00 an hour, 2 minutes a crosscut, 4 a rip."""
    return shop(
        rip_kerf=draw(st.sampled_from(KERFS)),
        crosscut_kerf=draw(st.sampled_from(KERFS)),
        end_trim=draw(st.sampled_from((0, 1))),
        shortest_to_rip=draw(st.sampled_from((0, 0, 12, 20))),
        longest_to_rip=draw(st.sampled_from((30, 120, 120))),
        narrowest_rip=draw(st.sampled_from((0, 0, 2))),
        shortest_kept=draw(st.sampled_from((1, 12))),
        narrowest_kept=draw(st.sampled_from((1, 2))),
        pay=draw(st.sampled_from((Decimal(0), Decimal(30)))),
        offcut_value=draw(st.sampled_from((Decimal(0), Decimal(50)))),
        sawing=draw(st.sampled_from(Sawing)),
        pith_width=draw(st.sampled_from((0, 0, "1 1/4"))),
        pith_from=draw(st.sampled_from((5, 6))),
        pith_at=draw(st.sampled_from((Decimal(50), Decimal(40)))),
    )


@st.composite
def benches(draw: st.DrawFn, *, whole_cents: bool = False, odd: bool = False) -> Bench:
    """``whole_cents``: every leftover is worth whole cents before rounding. ``odd``: blanks are
    some millimetres over whole inches.
    """
    length, width = draw(st.integers(16, 60)), draw(st.integers(3, 8))
    if whole_cents:  # half the price is the offcut value, and the least share of that a quarter
        price = Decimal(draw(st.integers(1, 9)) * 8 * length * width) / 100
    else:
        price = Decimal(draw(st.integers(1, 4000))) / 100
    kinds = draw(st.sets(kinds_within(length, width, odd=odd), min_size=1, max_size=3))
    return Bench(
        stock=book(sold(f"1 x {width} x {length}", str(price)), shop=draw(shops())),
        kinds=tuple(sorted(kinds)),
    )


@st.composite
def kinds_within(draw: st.DrawFn, length: int, width: int, *, odd: bool) -> BlankKind:
    """Often half as long and wide as the board at the most, so that there is much to choose."""
    longest, widest = draw(st.sampled_from((length, length // 2))), max(width // 2, 1)
    over = draw(st.integers(0, 9)) * MILLIMETRE if odd else Fraction(0)
    as_wide, narrower = Fraction(width), draw(st.integers(1, widest)) + over
    return BlankKind(
        lumber=PINE,
        length=draw(st.integers(8, longest)) + over,
        width=draw(st.sampled_from((as_wide, narrower, narrower))),
        own_edges=draw(st.sampled_from((False, False, False, True))),
    )


@st.composite
def worths(draw: st.DrawFn, bench: Bench) -> Ints:
    """What each kind of blank is worth, in search units: more or less by its size."""
    cents = [draw(st.integers(0, 9)) * int(k.length * k.width) for k in bench.kinds]
    return np.array(cents, dtype=np.int64) * CENT_PARTS


def area(piece: Piece) -> Fraction:
    assert piece.length > 0
    assert piece.width > 0
    return piece.length * piece.width


def sawn_area(sawyer: Sawyer) -> Fraction:
    """Square inches of all that came off the board, sawdust included."""
    kerfs = {
        CutKind.RIP: sawyer.problem.shop.rip_kerf,
        CutKind.JOINT: sawyer.problem.shop.rip_kerf + THIN_CUT,
        CutKind.CROSSCUT: sawyer.problem.shop.crosscut_kerf,
        CutKind.TRIM: sawyer.problem.shop.crosscut_kerf,
    }
    total = sum(map(area, sawyer.finished()), Fraction(0))
    for cut in sawyer.cuts:
        sides = sum(area(side) for side in (cut.near, cut.far) if side)
        lost = area(cut.piece) - sides
        across = cut.piece.length if cut.kind in ALONG else cut.piece.width
        assert 0 <= lost <= kerfs[cut.kind] * across
        assert cut.far is None or lost == kerfs[cut.kind] * across
        total += lost
    return total
