"""A second opinion on the least cost of a small job: every lay-up, every pattern, CP-SAT.

It is written from the rules of the trade alone and imports nothing from ``optimizer``, so that it
cannot repeat a mistake made there. Naive on purpose; meant for untreated jobs of a few parts.

CP-SAT brings a HiGHS of its own, which does not load beside that of ``optimizer``: it runs in a
process of its own.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from fractions import Fraction
from functools import cache
from math import lcm
from multiprocessing import get_context
from typing import TYPE_CHECKING

from stock.pieces import Lumber
from stock.stock_book import StockBook
from tests.independent_layups import Board, LayUp, PartLike, layups, pay_per_minute
from tests.independent_sawing import Blank, Counts, Number, Saw, patterns

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

Kind = tuple[Lumber, Blank]


def least_net(parts: Sequence[PartLike], stock: StockBook) -> tuple[Fraction, bool]:
    """The least net cost of a job, not rounded, and whether it is proven to be the least.

    A plan rounds the tax of each store, the glue and the time once each: see ``rounding_slack``.
    Rack pieces held for anyone are left alone. ValueError where the job cannot be made.
    """
    copies = [part.copies for part in parts]
    return alone().submit(cheapest, copies, ways_to_make(parts, stock), stock).result()


@cache
def alone() -> ProcessPoolExecutor:
    """A process without the modules that are loaded here."""
    return ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn"))


def ways_to_make(parts: Sequence[PartLike], stock: StockBook) -> list[list[LayUp]]:
    """For each part its lay-ups."""
    return [layups(part, stock.shop, list(boards_of(stock))) for part in parts]


def rounding_slack(stock: StockBook) -> Fraction:
    """How far a plan's rounded net may lie from the exact one: half a cent per rounded sum."""
    taxed = sum(1 for store in stock.stores if store.tax_percent)
    return Fraction(1, 200) * (taxed + bool(stock.shop.glue_price) + bool(stock.shop.pay))


def boards_of(stock: StockBook) -> Iterator[Board]:
    shop = stock.shop
    tax = {store.name: Fraction(store.tax_percent) / 100 for store in stock.stores}
    trims = 2 * pay_per_minute(shop) * Fraction(shop.minutes_per_crosscut) if shop.end_trim else 0
    for offer in stock.offers:
        price = Fraction(offer.price) * 100 * (1 + tax.get(offer.store, 0))
        usable = offer.length - 2 * shop.end_trim
        if usable > 0:
            yield Board(offer.lumber, offer.width, usable, price + trims, offer.in_stock)
    for piece in stock.rack:
        if not piece.held_for:
            worth = Fraction(worth_in_cents(stock, piece.lumber, piece.length, piece.width))
            yield Board(piece.lumber, piece.width, piece.length, worth, piece.count)


def worth_in_cents(stock: StockBook, lumber: Lumber, length: Fraction, width: Fraction) -> int:
    """Worth of an offcut: a share of the cheapest like wood, less for shorter pieces."""
    shop = stock.shop
    if length < shop.shortest_kept or width < shop.narrowest_kept:
        return 0
    cheapest_volume = min(
        (
            Fraction(o.price) * 100 / (o.lumber.thickness * o.width * o.length)
            for o in stock.offers
            if (o.lumber.wood, o.lumber.treated) == (lumber.wood, lumber.treated)
        ),
        default=Fraction(0),
    )
    factor = Fraction(1, 2) if length < 24 else Fraction(3, 4) if length < 48 else Fraction(1)
    volume = lumber.thickness * width * length
    exact = Fraction(shop.offcut_value) / 100 * cheapest_volume * volume * factor
    return int(exact + Fraction(1, 2))


def board_patterns(
    board: Board, blanks: Sequence[Blank], most: Counts, stock: StockBook
) -> dict[Counts, Fraction]:
    """Every useful pattern of a board and what its cuts cost less its leftovers, in cents."""
    shop = stock.shop
    minute = pay_per_minute(shop)
    crosscut = minute * Fraction(shop.minutes_per_crosscut)
    rip = minute * Fraction(shop.minutes_per_rip)
    limits = (shop.shortest_to_rip, shop.longest_to_rip, shop.narrowest_rip)
    kerfs = (shop.crosscut_kerf, shop.rip_kerf)
    sizes = [size for blank in blanks for size in (blank.length, blank.width)]
    # Whole numbers only, for speed: lengths in ticks of 1/grid inch, money in 1/grain cent.
    exact = (board.length, board.width, *kerfs, *limits, *sizes)
    grid = lcm(*(Fraction(length).denominator for length in exact))
    grain = lcm(crosscut.denominator, rip.denominator)

    @cache
    def worth(length: Number, width: Number) -> int:
        inches = Fraction(length) / grid, Fraction(width) / grid
        return worth_in_cents(stock, board.lumber, *inches) * grain

    saw = Saw(
        crosscut_kerf=int(shop.crosscut_kerf * grid),
        rip_kerf=int(shop.rip_kerf * grid),
        shortest_to_rip=int(shop.shortest_to_rip * grid),
        longest_to_rip=int(shop.longest_to_rip * grid),
        narrowest_rip=int(shop.narrowest_rip * grid),
        sawing=shop.sawing,
        pay_per_crosscut=int(crosscut * grain),
        pay_per_rip=int(rip * grain),
        worth=worth,
    )
    on_grid = [Blank(int(b.length * grid), int(b.width * grid), b.own_edges) for b in blanks]
    found = patterns(int(board.length * grid), int(board.width * grid), on_grid, most, saw)
    return {counts: Fraction(cost) / grain for counts, cost in found.items()}


def cheapest(
    copies: Sequence[int], ways: Sequence[Sequence[LayUp]], stock: StockBook
) -> tuple[Fraction, bool]:
    """Whole numbers of patterns and lay-ups that make all copies at the least cost."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    spent: list[tuple[cp_model.IntVar, Fraction]] = []
    needed: dict[Kind, list[cp_model.LinearExpr]] = defaultdict(list)
    most: dict[Kind, int] = defaultdict(int)

    # Every copy of a part is made in one of its ways.
    for number, part_ways in zip(copies, ways, strict=True):
        made = [model.new_int_var(0, number // way.copies, "") for way in part_ways]
        copied = zip(made, part_ways, strict=True)
        model.add(sum(count * way.copies for count, way in copied) == number)
        for count, way in zip(made, part_ways, strict=True):
            spent.append((count, way.cost))
            for lumber, blank, each in way.blanks:
                needed[lumber, blank].append(count * each)
                most[lumber, blank] += number // way.copies * each

    # No more boards of a kind are sawn than there are.
    sawn: dict[Kind, list[cp_model.LinearExpr]] = defaultdict(list)
    enough = sum(most.values())
    for board in boards_of(stock):
        blanks = sorted(blank for lumber, blank in most if lumber == board.lumber)
        limits = tuple(most[board.lumber, blank] for blank in blanks)
        used = []
        for counts, cost in board_patterns(board, blanks, limits, stock).items():
            limit = enough if board.limit is None else min(enough, board.limit)
            times = model.new_int_var(0, limit, "")
            used.append(times)
            spent.append((times, board.cost + cost))
            for blank, n in zip(blanks, counts, strict=True):
                sawn[board.lumber, blank].append(times * n)
        if board.limit is not None:
            model.add(sum(used) <= board.limit)

    # Every blank that a lay-up needs is sawn.
    for kind, uses in needed.items():
        model.add(sum(sawn[kind]) >= sum(uses))

    scale = lcm(*(cost.denominator for _, cost in spent))
    model.minimize(sum(int(cost * scale) * count for count, cost in spent))
    solver, proven = solved(model)
    return sum((solver.value(count) * cost for count, cost in spent), Fraction(0)) / 100, proven


def solved(model: cp_model.CpModel) -> tuple[cp_model.CpSolver, bool]:
    """The solver with its best answer, and whether that is proven; always the same answer."""
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2  # without it some small jobs take minutes
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 60
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        raise ValueError("the job cannot be made from this stock")
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise RuntimeError(f"no answer: {solver.status_name(status)}")
    return solver, status == cp_model.OPTIMAL
