"""The audit at the desk: each worth, tax and sum of the bill, added up again from the boards.

Each worth is rounded half-up to the cent, tax once for each store, glue and time once for the job.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from optimizer.plan.audit_milling import Member, members_of
from optimizer.plan.audit_wood import TAPE_STEP, sound_lengths
from optimizer.plan.plan import Board, CutKind, MadePart, Plan, Purchase
from stock.lengths import Length
from stock.prices import to_cent
from stock.shop import Shop
from stock.stock_book import StockBook
from stock.wood import same_wood

SQUARE_INCHES_PER_SQUARE_FOOT = 144
NOTHING = Decimal("0.00")
LONG, MIDDLING = Fraction(48), Fraction(24)  # from these lengths on a piece counts full, 3/4


def bill_findings(plan: Plan, stock: StockBook) -> Iterator[str]:
    """Sentences on every amount of the plan that is not what the books make it."""
    yield from _worths(plan, stock)
    yield from _purchases(plan)
    yield from _taxes(plan, stock)
    yield from _at_stores(plan, stock)
    bought = [board.cost for board in plan.boards if not board.from_rack]
    pulled = [board.cost for board in plan.boards if board.from_rack]
    kept = [left.worth for board in plan.boards for left in board.leftovers]
    cost = plan.cost
    amounts = {
        "boards": (cost.boards, sum(bought, NOTHING)),
        "tax": (cost.tax, sum((line.tax for line in plan.taxes), NOTHING)),
        "trips": (cost.trips, _trips(plan, stock)),
        "yard cuts": (cost.yard_cuts, _yard_fees(plan, stock)),
        "glue": (cost.glue, _glue(plan, stock.shop)),
        "time": (cost.time, _time(plan, stock.shop)),
        "rack used": (cost.rack_used, sum(pulled, NOTHING)),
        "leftovers": (cost.leftovers, sum(kept, NOTHING)),
    }
    for what, (planned, known) in amounts.items():
        if planned != known:
            yield f"{what}: the plan has {planned}, it comes to {known}"
    if plan.bound > cost.net:
        yield f"the bound {plan.bound} is above the net {cost.net}"


def _worths(plan: Plan, stock: StockBook) -> Iterator[str]:
    for board in plan.boards:
        if board.from_rack:
            worths = (
                worth_of(board, length, board.width, stock)
                for length in sound_lengths(board, stock)
            )
            worth = sum(worths, NOTHING)
            if board.cost != worth:
                yield f"rack piece {board.tag} is worth {worth}, and the plan says {board.cost}"
        for left in board.leftovers:
            worth = worth_of(board, left.length, left.width, stock)
            if board.whole:  # its bad stretches may lie anywhere
                worth = NOTHING
            if left.worth != worth:
                yield f"leftover {left.tag} is worth {worth}, and the plan says {left.worth}"


def worth_of(board: Board, length: Length, width: Length, stock: StockBook) -> Decimal:
    """Worth of a piece of ``board``: a share of the cheapest way to buy as much of such wood."""
    shop = stock.shop
    mark = TAPE_STEP[shop.unit]
    length, width = length - length % mark, width - width % mark
    if length < shop.shortest_kept or width < shop.narrowest_kept:
        return NOTHING
    prices = [
        Fraction(offer.price) / (offer.lumber.thickness * offer.width * offer.length)
        for offer in stock.offers
        if same_wood(offer.lumber.wood, board.wood) and offer.lumber.treated == board.treated
    ]
    new = min(prices, default=Fraction(0)) * board.thickness * width * length
    by_length = Fraction(4 if length > LONG - mark else 3 if length > MIDDLING - mark else 2, 4)
    return to_cent(new * by_length * Fraction(shop.offcut_value) / 100)


def _purchases(plan: Plan) -> Iterator[str]:
    """The shopping list is the bought boards, one line for each kind, and nothing else."""
    boards = Counter(_line(board, board.cost) for board in plan.boards if not board.from_rack)
    listed = Counter(_line(line, line.each) for line in plan.buy for _ in range(line.count))
    for line in (boards - listed) + (listed - boards):
        store, offer, *_ = line
        yield f"buy {offer} at {store}: {listed[line]} on the list, {boards[line]} in the plan"
    if len({_line(line, line.each) for line in plan.buy}) < len(plan.buy):
        yield "the list to buy has two lines for the same boards"


def _line(goods: Board | Purchase, each: Decimal) -> tuple[str, str, object]:
    """What makes two bought boards one line of the shopping list."""
    measures = (goods.thickness, goods.width, goods.length)
    return goods.store, goods.offer, (each, goods.size, goods.wood, goods.treated, measures)


def _taxes(plan: Plan, stock: StockBook) -> Iterator[str]:
    percents = {store.name: store.tax_percent for store in stock.stores}
    spent: defaultdict[str, Decimal] = defaultdict(lambda: NOTHING)
    for board in plan.boards:
        if not board.from_rack:
            spent[board.store] += board.cost
    if len({line.store for line in plan.taxes}) < len(plan.taxes):
        yield "a store's tax stands twice"
    planned = {line.store: line.tax for line in plan.taxes}
    for line in plan.taxes:
        if line.percent != percents.get(line.store, 0):
            yield f"tax at {line.store} is not {line.percent} %"
    for store in spent | planned:
        tax = to_cent(Fraction(spent[store]) * Fraction(percents.get(store, Decimal(0))) / 100)
        if planned.get(store, NOTHING) != tax:
            yield f"tax at {store} is {tax}, and the plan has {planned.get(store, NOTHING)}"


def _at_stores(plan: Plan, stock: StockBook) -> Iterator[str]:
    """What each store takes for its cuts, and what the trip there costs."""
    trips = {store.name: store.trip_cost for store in stock.stores}
    for line in plan.taxes:
        if not _drives(line.trip, trips.get(line.store, NOTHING)):
            yield f"the trip to {line.store} does not cost {line.trip}"
        if line.cuts != (fees := _fees_at(line.store, plan, stock)):
            yield f"cuts at {line.store} cost {fees}, and the plan has {line.cuts}"


def _drives(paid: Decimal, trip: Decimal) -> bool:
    """Whether ``paid`` is that for one ``trip``, or more where one drove again for what failed."""
    return paid == trip if not trip else paid >= trip and not paid % trip


def _trips(plan: Plan, stock: StockBook) -> Decimal:
    """At least one trip to each store at which a board is bought."""
    visited = {board.store for board in plan.boards if not board.from_rack}
    paid = {line.store: line.trip for line in plan.taxes}
    return sum(
        (max(s.trip_cost, paid.get(s.name, NOTHING)) for s in stock.stores if s.name in visited),
        NOTHING,
    )


def _yard_fees(plan: Plan, stock: StockBook) -> Decimal:
    return sum((_fees_at(store.name, plan, stock) for store in stock.stores), NOTHING)


def _fees_at(name: str, plan: Plan, stock: StockBook) -> Decimal:
    """A store's fee for the cuts that it makes, but for the first few that are free."""
    cuts = [cut for board in plan.boards if board.store == name for cut in board.cuts]
    made = sum(cut.kind is CutKind.YARD for cut in cuts)
    for store in stock.stores:
        if store.name == name and store.fee_per_cut and made > store.free_cuts:
            return (made - store.free_cuts) * store.fee_per_cut
    return NOTHING


def _glue(plan: Plan, shop: Shop) -> Decimal:
    """Price of the glue: strips meet edge to edge, plies on the smaller one's face."""
    area = Fraction(0)
    for _, plies in _made_of(plan):
        here = Fraction(0)
        for ply in plies:
            for one, other in pairwise(ply):
                thickness = min(one[0].thickness, other[0].thickness)
                here += min(_length(one), _length(other)) * thickness
        for lower, upper in pairwise(plies):
            widths = (sum(strip[0].blank.width for strip in ply) for ply in (lower, upper))
            here += min(_length(lower[0]), _length(upper[0])) * min(widths)
        area += here / plies[0][0][0].blank.holds
    gallons = area / SQUARE_INCHES_PER_SQUARE_FOOT / Fraction(shop.glue_spread)
    gallons += gallons * Fraction(shop.glue_waste) / 100
    return to_cent(gallons * Fraction(shop.glue_price))


def _length(strip: list[Member]) -> Length:
    return sum((member.blank.length for member in strip), Fraction(0))


def _time(plan: Plan, shop: Shop) -> Decimal:
    """Pay for all cuts, planed faces and glue lines."""
    minutes = Fraction(0)
    for board in plan.boards:
        kinds = Counter(cut.kind for cut in board.cuts)
        # To get bad wood and crooked edges out of the way is not paid: it must be done anyway.
        across = kinds[CutKind.CROSSCUT] + (0 if board.from_rack else kinds[CutKind.TRIM])
        along = kinds[CutKind.RIP] + kinds[CutKind.JOINT]
        minutes += along * Fraction(shop.minutes_per_rip)
        minutes += across * Fraction(shop.minutes_per_crosscut)
    for made, plies in _made_of(plan):
        members = [member for ply in plies for strip in ply for member in strip]
        # Each member has two faces to plane; what is glued of them has two more, and so has a ply
        # of strips before it is glued to others.
        wholes = int(len(members) > 1)
        if len(plies) > 1:
            wholes += sum(len(ply) > 1 for ply in plies)
        faces = 2 * (len(members) + wholes) if made.planed else 0
        work = faces * Fraction(shop.minutes_per_planed_face)
        work += (len(members) - 1) * Fraction(shop.minutes_per_glue_line)
        minutes += work / members[0].blank.holds
    return to_cent(minutes / 60 * Fraction(shop.pay))


def _made_of(plan: Plan) -> Iterator[tuple[MadePart, list[list[list[Member]]]]]:
    """The blanks of each copy; short copies that share a blank share the work on it."""
    sawn = members_of(plan)
    for made in plan.parts:
        if all(blank in sawn for blank in made.blanks) and made.blanks:
            plies = [[[sawn[blank] for blank in strip] for strip in ply] for ply in made.layup]
            yield made, plies
