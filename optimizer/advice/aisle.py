"""For aisle and rack: what to do where a board is out or crooked, and what to measure first.

Each answer is the job solved again without that line of the price list, or without that piece.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from optimizer.advice.asking import Answer, Asking, Question
from optimizer.advice.variants import without
from optimizer.job.parts import Job
from optimizer.plan.comparison import Hinge, PlanB
from optimizer.plan.plan import Board, Plan, Purchase
from stock.lengths import Length
from stock.prices import Offer
from stock.stock_book import StockBook

Counted = tuple[tuple[int, str, str], ...]


def plans_b(stock: StockBook, job: Job, plan: Plan, asking: Asking) -> tuple[PlanB, ...]:
    """For each line of the shopping list: how many culls it stands, and what to buy instead."""

    def gone(line: Purchase) -> StockBook:
        return without(stock, lambda offer: _is(offer, line))

    answers = asking.ask({line: Question(stock=gone(line), job=job) for line in plan.buy})
    return tuple(_plan_b(stock, plan, line, answers[line]) for line in plan.buy if line in answers)


def _is(offer: Offer, line: Purchase) -> bool:
    return (offer.store, offer.name, offer.price) == (line.store, line.offer, line.each)


def _plan_b(stock: StockBook, plan: Plan, line: Purchase, other: Answer) -> PlanB:
    culls = _culls(stock, line)
    if not isinstance(other, Plan):
        return PlanB(store=line.store, offer=line.offer, culls=culls, more=None)
    ours, theirs = _counted(plan), _counted(other)
    more = theirs - ours
    less = ours - theirs
    del less[line.store, line.offer]
    return PlanB(
        store=line.store,
        offer=line.offer,
        culls=culls,
        more=max(other.cost.net - plan.cost.net, Decimal("0.00")),
        instead=_listed(more),
        not_needed=_listed(less),
    )


def _culls(stock: StockBook, line: Purchase) -> int | None:
    """How many may be crooked before the store has too few straight ones; None for plenty."""
    counts = [offer.in_stock for offer in stock.offers if _is(offer, line)]
    known = [count for count in counts if count is not None]
    return None if len(known) < len(counts) else sum(known) - line.count


def _counted(plan: Plan) -> Counter[tuple[str, str]]:
    counts: Counter[tuple[str, str]] = Counter()
    for line in plan.buy:
        counts[line.store, line.offer] += line.count
    return counts


def _listed(counts: Counter[tuple[str, str]]) -> Counted:
    return tuple((n, store, offer) for (store, offer), n in counts.items() if n > 0)


# --- the rack ------------------------------------------------------------------------------------


def hinges(
    stock: StockBook, job: Job, plan: Plan, within: Length, asking: Asking
) -> tuple[Hinge, ...]:
    """Rack pieces with less than ``within`` to spare in length, by what losing one would cost."""
    tight = list(_tight(plan, within))
    answers = asking.ask(
        {board.tag: Question(stock=_without_one(stock, board.tag), job=job) for board in tight}
    )
    found = [_hinge(plan, board, answers[board.tag]) for board in tight if board.tag in answers]
    return tuple(sorted(found, key=_weight, reverse=True))


def _tight(plan: Plan, within: Length) -> Iterator[Board]:
    """The tightest piece of each tag, if it is tight."""
    pulled: dict[str, Board] = {}
    for board in plan.boards:
        if board.from_rack and (
            board.tag not in pulled or spare(board)[0] < spare(pulled[board.tag])[0]
        ):
            pulled[board.tag] = board
    return (board for board in pulled.values() if spare(board)[0] < within)


def spare(board: Board) -> tuple[Length, Length]:
    """By how much the piece may be shorter and narrower than the book says (inches).

    Blanks are cut from its left end and lower edge, so what lies beyond the last is to spare.
    """
    right = max((blank.x + blank.length for blank in board.blanks), default=Length(0))
    top = max((blank.y + blank.width for blank in board.blanks), default=Length(0))
    return board.length - right, board.width - top


def _without_one(stock: StockBook, tag: str) -> StockBook:
    rack = tuple(replace(p, count=p.count - 1) if p.tag == tag else p for p in stock.rack)
    return replace(stock, rack=rack)


def _hinge(plan: Plan, board: Board, other: Answer) -> Hinge:
    more = None
    if isinstance(other, Plan):
        more = max(other.cost.net - plan.cost.net, Decimal("0.00"))
    length, width = spare(board)
    return Hinge(tag=board.tag, bay=board.bay, spare_length=length, spare_width=width, more=more)


def _weight(hinge: Hinge) -> Decimal:
    return Decimal("Infinity") if hinge.more is None else hinge.more
