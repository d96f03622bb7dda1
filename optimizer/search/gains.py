"""What one plan gives beside another, and which of many are worth telling."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from optimizer.plan.comparison import Gain
from optimizer.plan.figures import figures
from optimizer.plan.plan import CutKind, Plan
from optimizer.search.sums import rack_gain, worth_of_leftovers
from stock.lengths import Length
from stock.stock_book import StockBook


def gain_of(plan: Plan, other: Plan, stock: StockBook) -> Gain:
    """What ``other`` costs more than ``plan``, and what there is less of."""
    now, then = figures(plan, stock.shop), figures(other, stock.shop)
    worth = worth_of_leftovers(stock)
    left = [rest.length for board in other.boards for rest in board.leftovers]
    return Gain(
        plan=other,
        more=other.cost.net - plan.cost.net,
        boards=now.boards - then.boards,
        glue_lines=now.glue_lines - then.glue_lines,
        cuts=_cuts(plan) - _cuts(other),
        minutes=now.minutes - then.minutes,
        left=rack_gain(other.boards, worth) - rack_gain(plan.boards, worth),
        longest=max(left, default=Length(0)),
    )


def _cuts(plan: Plan) -> int:
    return sum(cut.kind is not CutKind.YARD for board in plan.boards for cut in board.cuts)


def worth_telling(gains: Iterable[Gain], most: Decimal) -> tuple[Gain, ...]:
    """Those that cost no more than ``most``, gain something, and are not bettered by another; the
    cheapest first.
    """
    told: list[Gain] = []
    for gain in sorted(gains, key=lambda gain: (gain.more, *(-each for each in gain.gained))):
        something = gain.more <= most and max(gain.gained) > 0
        if something and not any(other.betters(gain) for other in told):
            told.append(gain)
    return tuple(told)
