"""The bill of a plan: every sum added up anew, in exact numbers.

Tax is rounded half-up once for each store, glue and time once each; prices and worths already are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction

from optimizer.plan.plan import Board, Cost, CutKind, Purchase, StoreTax
from optimizer.search.problem import Problem, Way
from stock.prices import to_cent
from stock.shop import Shop
from stock.stock_book import StockBook


def shopping_list(boards: Iterable[Board]) -> Iterator[Purchase]:
    """Equal boards at the same price from the same store are one line."""
    lines: dict[tuple[object, ...], list[Board]] = defaultdict(list)
    for board in boards:
        if not board.from_rack:
            key = (board.store, board.offer, board.cost, board.size, board.wood, board.treated)
            lines[*key, board.thickness, board.width, board.length].append(board)
    for alike in lines.values():
        board = alike[0]
        yield Purchase(
            store=board.store,
            offer=board.offer,
            count=len(alike),
            each=board.cost,
            size=board.size,
            wood=board.wood,
            treated=board.treated,
            thickness=board.thickness,
            width=board.width,
            length=board.length,
        )


def store_taxes(stock: StockBook, buy: Iterable[Purchase]) -> Iterator[StoreTax]:
    """Each store's tax on the sum of its boards, rounded once."""
    percent = {store.name: store.tax_percent for store in stock.stores}
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for line in buy:
        sums[line.store] += line.sum
    for store, boards in sums.items():
        rate = percent.get(store, Decimal(0))
        tax = to_cent(Fraction(boards) * Fraction(rate) / 100)
        yield StoreTax(store=store, percent=rate, tax=tax)


def _minutes(kind: CutKind, board: Board, shop: Shop) -> Decimal:
    """What a cut takes; to get an offcut's faults out of the way is not paid, whatever is made."""
    match kind:
        case CutKind.RIP | CutKind.JOINT:
            return shop.minutes_per_rip
        case CutKind.TRIM if not board.from_rack:
            return shop.minutes_per_crosscut
        case CutKind.CROSSCUT:
            return shop.minutes_per_crosscut
        case _:
            return Decimal(0)


def bill(
    problem: Problem,
    boards: Iterable[Board],
    ways: Iterable[Way],
    buy: Iterable[Purchase],
    taxes: Iterable[StoreTax],
) -> Cost:
    """All sums of a plan: its shopping list with the stores' taxes, glue, time, worths."""
    shop, ways, boards = problem.shop, list(ways), list(boards)
    minutes = sum(_minutes(cut.kind, board, shop) for board in boards for cut in board.cuts)
    time = Fraction(minutes) / 60 * Fraction(shop.pay) + sum(w.lay_up.time(shop) for w in ways)
    zero = Decimal("0.00")
    return Cost(
        boards=sum((line.sum for line in buy), zero),
        tax=sum((line.tax for line in taxes), zero),
        glue=to_cent(sum((way.lay_up.glue(shop) for way in ways), Fraction(0))),
        time=to_cent(time),
        rack_used=sum((board.cost for board in boards if board.from_rack), zero),
        leftovers=sum((rest.worth for board in boards for rest in board.leftovers), zero),
    )
