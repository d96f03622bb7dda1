"""A second opinion on the least cost of a small job: every lay-up, every pattern, CP-SAT.

It is written from the rules of the trade alone and imports nothing from ``optimizer``, so that it
cannot repeat a mistake made there. Naive on purpose; meant for untreated jobs of a few parts.

CP-SAT brings a HiGHS of its own, which does not load beside that of ``optimizer``: it runs in a
process of its own.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from fractions import Fraction
from functools import cache
from math import lcm
from multiprocessing import active_children, get_context
from typing import TYPE_CHECKING

from stock.lengths import Unit
from stock.pieces import Lumber
from stock.shop import Shop
from stock.stock_book import StockBook
from tests.independent_buying import boards_of, lots_of, worth_in_cents
from tests.independent_layups import Board, LayUp, PartLike, layups, pay_per_minute
from tests.independent_sawing import Blank, Counts, Number, Saw, patterns

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

Kind = tuple[Lumber, Blank]
Spent = list[tuple["cp_model.IntVar", Fraction]]


def least_net(
    parts: Sequence[PartLike], stock: StockBook, seconds: float | None = None
) -> tuple[Fraction, bool]:
    """The least net cost of a job, not rounded, and whether it is proven to be the least.

    A plan rounds the tax of each store, the glue and the time once each: see ``rounding_slack``.
    Rack pieces held for anyone are left alone. ValueError where the job cannot be made,
    TimeoutError where it takes longer than ``seconds``.
    """
    copies = [part.copies for part in parts]
    reckoned = alone().submit(cheapest, copies, ways_to_make(parts, stock), stock)
    try:
        return reckoned.result(timeout=seconds)
    except TimeoutError:
        for process in active_children():
            process.kill()
        alone.cache_clear()
        raise


@cache
def alone() -> ProcessPoolExecutor:
    """A process without the modules that are loaded here."""
    return ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn"))


def ways_to_make(parts: Sequence[PartLike], stock: StockBook) -> list[list[LayUp]]:
    """For each part its lay-ups."""
    of_lots = [board for lot in lots_of(stock, {}) for board in lot.boards]
    return [layups(part, stock.shop, [*boards_of(stock), *of_lots]) for part in parts]


def rounding_slack(stock: StockBook) -> Fraction:
    """How far a plan's rounded net may lie from the exact one: half a cent per rounded sum."""
    taxed = sum(1 for store in stock.stores if store.tax_percent)
    return Fraction(1, 200) * (taxed + bool(stock.shop.glue_price) + bool(stock.shop.pay))


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
    halves = halves_of(board, shop)
    exact = (board.length, board.width, *kerfs, *limits, *sizes, *halves)
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
    length, width = int(board.length * grid), int(board.width * grid)
    found = patterns(length, width, on_grid, most, saw, tuple(int(each * grid) for each in halves))
    return {counts: Fraction(cost) / grain for counts, cost in found.items()}


def halves_of(board: Board, shop: Shop) -> tuple[Fraction, ...]:
    """What is left of a board's width below and above its pith, where that is ripped out."""
    thick = board.lumber.thickness > 2 * shop.deepest_rip
    if not shop.pith_width or board.width < shop.pith_from or board.lumber.treated or thick:
        return ()
    step = Fraction(1, 16) if shop.unit is Unit.IN else Fraction(5, 127)
    below = board.width * Fraction(shop.pith_at) / 100 - shop.pith_width / 2
    below = below // step * step
    return below, board.width - below - shop.pith_width


def cheapest(
    copies: Sequence[int], ways: Sequence[Sequence[LayUp]], stock: StockBook
) -> tuple[Fraction, bool]:
    """Whole numbers of patterns and lay-ups that make all copies at the least cost."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    spent: Spent = []
    needed, most = made(model, copies, ways, spent)
    driven, given, pieces = bought(model, stock, most, spent)

    # No more boards of a kind are sawn than there are.
    sawn: dict[Kind, list[cp_model.LinearExpr]] = defaultdict(list)
    of_piece: dict[str, list[tuple[Board, cp_model.LinearExpr]]] = defaultdict(list)
    enough = sum(most.values())
    for board in [*boards_of(stock), *pieces]:
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
        if board.piece:
            of_piece[board.piece].append((board, sum(used)))
        if board.in_lot:
            model.add(sum(used) <= sum(given[board.in_lot]))
        elif board.store:
            model.add(sum(used) <= enough * driven[board.store])

    cut_one_way(model, of_piece)

    # Every blank that a lay-up needs is sawn.
    for kind, uses in needed.items():
        model.add(sum(sawn[kind]) >= sum(uses))

    scale = lcm(*(cost.denominator for _, cost in spent))
    model.minimize(sum(int(cost * scale) * count for count, cost in spent))
    solver, proven = solved(model)
    return sum((solver.value(count) * cost for count, cost in spent), Fraction(0)) / 100, proven


def cut_one_way(
    model: cp_model.CpModel, of_piece: Mapping[str, Sequence[tuple[Board, cp_model.LinearExpr]]]
) -> None:
    """An offcut is cut whole or in its sound lengths: cut one way, it is not there the other."""
    for name, (whole, *_) in of_piece.items():
        for board, count in of_piece.get(f"{name} in its sound lengths", []):
            model.add(whole[1] + count <= board.limit)


def made(
    model: cp_model.CpModel, copies: Sequence[int], ways: Sequence[Sequence[LayUp]], spent: Spent
) -> tuple[dict[Kind, list[cp_model.LinearExpr]], dict[Kind, int]]:
    """Every copy of a part is made in one of its ways: the blanks needed, and the most of them."""
    needed: dict[Kind, list[cp_model.LinearExpr]] = defaultdict(list)
    most: dict[Kind, int] = defaultdict(int)
    for number, part_ways in zip(copies, ways, strict=True):
        counts = [model.new_int_var(0, number // way.copies, "") for way in part_ways]
        chosen = list(zip(counts, part_ways, strict=True))
        model.add(sum(count * way.copies for count, way in chosen) == number)
        for count, way in chosen:
            spent.append((count, way.cost))
            for lumber, blank, each in way.blanks:
                needed[lumber, blank].append(count * each)
                most[lumber, blank] += number // way.copies * each
    return needed, most


def bought(
    model: cp_model.CpModel, stock: StockBook, most: Mapping[Kind, int], spent: Spent
) -> tuple[dict[str, cp_model.IntVar], dict[str, list[cp_model.LinearExpr]], list[Board]]:
    """The stores driven to, how many boards of each kind the lots give, and these kinds."""
    # A store is driven to or not, and to no more of them than the shop wants.
    trips = {store.name: Fraction(store.trip_cost) * 100 for store in stock.stores}
    driven = {name: model.new_bool_var("") for name in {o.store for o in stock.offers}}
    spent += [(there, trips.get(name, Fraction(0))) for name, there in driven.items()]
    if stock.shop.most_stores is not None:
        model.add(sum(driven.values()) <= stock.shop.most_stores)

    # Packs, and boards that the yard cuts, are bought whole, as many as the store has.
    enough = sum(most.values())
    lengths = {lumber: sorted({b.length for at, b in most if at == lumber}) for lumber, _ in most}
    given: dict[str, list[cp_model.LinearExpr]] = defaultdict(list)
    cuts: dict[str, list[cp_model.LinearExpr]] = defaultdict(list)
    of_offer: dict[int, list[cp_model.LinearExpr]] = defaultdict(list)
    lots = lots_of(stock, lengths)
    for lot in lots:
        count = model.new_int_var(0, enough, "")
        model.add(count <= enough * driven[lot.store])
        spent.append((count, lot.cost))
        for board in lot.boards:
            given[board.in_lot].append(lot.times * count)
        cuts[lot.store].append(lot.times * (len(lot.boards) - 1) * count)
        of_offer[lot.offer].append(lot.times * count)
    for number, counts in of_offer.items():
        if (in_stock := stock.offers[number].in_stock) is not None:
            model.add(sum(counts) <= in_stock)

    # The first cuts of a store may be free, the others cost its fee.
    for store in stock.stores:
        if store.fee_per_cut and cuts[store.name]:
            charged = model.new_int_var(0, 10 * enough, "")
            model.add(charged >= sum(cuts[store.name]) - store.free_cuts)
            spent.append((charged, Fraction(store.fee_per_cut) * 100))
    return (
        driven,
        given,
        list({board.in_lot: board for lot in lots for board in lot.boards}.values()),
    )


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
