"""What plans come to beside their cost: boards to buy, glue lines, minutes at the saws, leftovers.

For the integer programme these are sums over patterns, lay-ups and lots, as if every blank of a
pattern were sawn; what a plan really comes to is told from its boards once it is laid out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from optimizer.plan.plan import Board, CutKind
from optimizer.search.answers import Sum, Whole
from optimizer.search.patterns import Column
from optimizer.search.problem import Problem
from optimizer.search.sawing import Sawyer
from stock.lengths import Length
from stock.pieces import Lumber
from stock.shop import default_shop
from stock.stock_book import StockBook
from stock.worth import Worth

A_BOARD, A_PIECE, A_LINE = 1e5, 0.01, 0.0001
"""A board more to buy, a leftover more and a glue line more count as so many cents on the rack:
fewest boards first, of leftovers worth as much the fewest pieces, and then the fewest lines.
"""


def worth_of_leftovers(stock: StockBook, times: int = 1) -> Worth:
    """What pieces are worth, or so many times as much; as by the default where this shop's offcuts
    count for nothing.
    """
    shop = stock.shop
    value = shop.offcut_value or default_shop(shop.unit).offcut_value
    return Worth(replace(shop, offcut_value=value * times), stock.offers)


def rack_gain(boards: Iterable[Board], worth: Worth) -> Decimal:
    """What goes back on the rack less what is pulled from it: so much more the rack is worth."""
    gain = Decimal("0.00")
    for board in boards:
        lumber = Lumber(wood=board.wood, treated=board.treated, thickness=board.thickness)
        left = () if board.whole else board.leftovers
        gain += sum(worth.of(lumber, rest.length, rest.width) for rest in left)
        gain -= worth.of(lumber, board.length, board.width) if board.from_rack else 0
    return gain


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawn:
    """A board sawn by a pattern: ``minutes`` at the saws, those ``trimming`` apart, and (length,
    width) of what is kept of the stretch that is sawn by it.
    """

    minutes: Fraction
    trimming: Fraction
    kept: tuple[tuple[Length, Length], ...]


def sawn(problem: Problem, column: Column) -> Sawn:
    """The board of one column, sawn in exact lengths."""
    sawyer, shop = Sawyer(problem, column.pattern), problem.shop
    supply = problem.supplies[column.pattern.supply]
    start, end = supply.sound[supply.stretch]
    cuts = Counter(cut.kind for cut in sawyer.cuts)
    rips = cuts[CutKind.RIP] + cuts[CutKind.JOINT]
    trims = cuts[CutKind.TRIM] if supply.bought else 0
    across = Fraction(shop.minutes_per_crosscut)
    kept = (piece for piece in sawyer.finished() if sawyer.kept(piece) and start <= piece.x < end)
    return Sawn(
        minutes=rips * Fraction(shop.minutes_per_rip) + cuts[CutKind.CROSSCUT] * across,
        trimming=trims * across,
        kept=tuple((piece.length, piece.width) for piece in kept),
    )


def boards_bought(problem: Problem, columns: Sequence[Column]) -> Sum:
    """Boards to buy: one by one, or in lots."""
    supplies = [problem.supplies[column.pattern.supply] for column in columns]
    return Sum(
        columns=[float(each.bought and not each.in_lots) for each in supplies],
        ways={},
        lots=[float(lot.boards) for lot in problem.lots],
    )


def glue_lines(problem: Problem, columns: Sequence[Column]) -> Sum:
    """Glue lines of all copies made."""
    ways = {
        (part, number): float(way.lay_up.glue_lines * way.copies)
        for part, several in enumerate(problem.ways)
        for number, way in enumerate(several)
    }
    return Sum(columns=[0.0] * len(columns), ways=ways, lots=[0.0] * len(problem.lots))


def minutes_at_saws(problem: Problem, columns: Sequence[Column]) -> Sum:
    """Minutes of rips and crosscuts."""
    boards = [sawn(problem, column) for column in columns]
    minutes = [float(board.minutes + board.trimming) for board in boards]
    return Sum(columns=minutes, ways={}, lots=[0.0] * len(problem.lots))


def rack_loss(problem: Problem, columns: Sequence[Column], worth: Worth) -> Sum:
    """Cents that are pulled from the rack beyond what goes back on it; then pieces."""

    def loss(column: Column) -> float:
        supply = problem.supplies[column.pattern.supply]
        kept = sawn(problem, column).kept
        cents = -100 * sum(worth.of(supply.lumber, *piece) for piece in kept)
        if not supply.bought:
            cents += 100 * worth.of(
                replace(supply.lumber, faulty=False), supply.usable, supply.width
            )
        return float(cents) + A_PIECE * len(kept)

    whole = [-float(100 * lot.kept) for lot in problem.lots]
    return Sum(columns=[loss(column) for column in columns], ways={}, lots=whole)


def demerits(problem: Problem, columns: Sequence[Column], worth: Worth) -> Sum:
    """The smaller, the better of plans as cheap: fewest boards to buy, then best leftovers, then
    fewest glue lines.
    """
    boards, lines = boards_bought(problem, columns), glue_lines(problem, columns)
    rack = rack_loss(problem, columns, worth)
    return Sum(
        columns=[A_BOARD * n + c for n, c in zip(boards.columns, rack.columns, strict=True)],
        ways={way: A_LINE * n for way, n in lines.ways.items()},
        lots=[A_BOARD * n + c for n, c in zip(boards.lots, rack.lots, strict=True)],
    )


def at_counts(what: Callable[[Sequence[Column]], Sum], whole: Whole) -> float:
    """What a sum comes to at whole counts."""
    amounts = what([column for column, _ in whole.boards])
    of_boards = zip(amounts.columns, (count for _, count in whole.boards), strict=True)
    return (
        sum(amount * count for amount, count in of_boards)
        + sum(amounts.ways.get(way, 0) * count for way, count in whole.made.items())
        + sum(amount * count for amount, count in zip(amounts.lots, whole.lots, strict=False))
    )
