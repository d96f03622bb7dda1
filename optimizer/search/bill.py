"""The bill of a plan: every sum added up anew, in exact numbers.

Tax is rounded half-up once for each store, glue and time once each; prices and worths already are.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

from optimizer.job.layups import LayUp
from optimizer.plan.plan import Board, Cost, CutKind, Purchase, StoreTax
from stock.prices import Store, to_cent
from stock.shop import Shop
from stock.stock_book import StockBook


def shopping_list(stock: StockBook, boards: Iterable[Board]) -> Iterator[Purchase]:
    """Equal boards at the same price from the same store are one line."""
    dates = {(o.store, o.name, o.price): o.priced_on for o in stock.offers if o.priced_on}
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
            priced_on=str(dates.get((board.store, board.offer, board.cost), "")),
        )


def store_taxes(
    stock: StockBook, buy: Iterable[Purchase], boards: Iterable[Board]
) -> Iterator[StoreTax]:
    """Each store's tax on the sum of its boards, rounded once; its trip, and its fees for cuts."""
    stores = {store.name: store for store in stock.stores}
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for line in buy:
        sums[line.store] += line.sum
    cuts = Counter(
        board.store for board in boards for cut in board.cuts if cut.kind is CutKind.YARD
    )
    for name, spent in sums.items():
        store = stores.get(name, Store(name=name))
        charged = max(cuts[name] - store.free_cuts, 0)
        yield StoreTax(
            store=name,
            percent=store.tax_percent,
            tax=to_cent(Fraction(spent) * Fraction(store.tax_percent) / 100),
            cuts=to_cent(charged * (store.fee_per_cut or Decimal(0))),
            trip=to_cent(store.trip_cost),
        )


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
    shop: Shop,
    boards: Iterable[Board],
    lay_ups: Iterable[LayUp],
    buy: Iterable[Purchase],
    taxes: Iterable[StoreTax],
) -> Cost:
    """All sums of a plan: its shopping list with the stores' taxes, glue, time, worths."""
    boards, taxes = list(boards), list(taxes)
    made = [(len([*alike]), each) for each, alike in groupby(lay_ups)]
    minutes = sum(_minutes(cut.kind, board, shop) for board in boards for cut in board.cuts)
    time = Fraction(minutes) / 60 * Fraction(shop.pay)
    time += sum(n * each.time(shop) for n, each in made)
    zero = Decimal("0.00")
    return Cost(
        boards=sum((line.sum for line in buy), zero),
        tax=sum((line.tax for line in taxes), zero),
        glue=to_cent(sum((n * each.glue(shop) for n, each in made), Fraction(0))),
        time=to_cent(time),
        rack_used=sum((board.cost for board in boards if board.from_rack), zero),
        leftovers=sum((rest.worth for board in boards for rest in board.leftovers), zero),
        yard_cuts=sum((line.cuts for line in taxes), zero),
        trips=sum((line.trip for line in taxes), zero),
    )
