"""What fails by a hair: parts that a board would make, or fewer plies and strips, were these a
little shorter, narrower or thinner.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from optimizer.advice.asking import Asking, Question
from optimizer.advice.wishes import GAP, savings
from optimizer.job.grain import searched_as
from optimizer.job.layups import LayUp
from optimizer.job.parts import Job, Part
from optimizer.job.ways import NoPlanError, all_ways
from optimizer.plan.comparison import Saving
from optimizer.plan.plan import Plan
from optimizer.search.supplies import board_sizes
from optimizer.search.supply import Supply
from optimizer.solve import ways_of
from stock.lengths import Length, Unit, format_length, round_up
from stock.pieces import Lumber
from stock.prices import Offer
from stock.stock_book import StockBook

MOST_MISSES = 24
MOST_COPIES = 12  # of a part end to end in one board


@dataclass(frozen=True, slots=True, order=True)
class _Miss:
    """A part that is too long, wide or thick by ``amount`` (inches)."""

    amount: Length
    part: str
    measure: str


_TOO = {
    "length": ("too long", "shortening"),
    "width": ("too wide", "narrowing"),
    "thickness": ("too thick", "thinning"),
}


def near_misses(
    stock: StockBook, job: Job, plan: Plan, within: Length, asking: Asking
) -> tuple[Saving, ...]:
    """What making a part smaller by at most ``within`` would save; only what saves something."""
    missed = misses(stock, job, within)
    chosen = sorted(missed)[:MOST_MISSES]
    asked = {
        _said(miss, missed[miss], stock.shop.unit): Question(
            stock=stock, job=_job_with(job, miss), ceiling=plan.cost.net, gap=GAP
        )
        for miss in chosen
    }
    found = savings(plan, asking.ask(asked), stock)
    return tuple(saving for saving in found if saving.at_least)


def misses(stock: StockBook, job: Job, within: Length) -> dict[_Miss, list[str]]:
    """Each part that fails boards by at most ``within`` in one measure, and which boards, or how
    many plies and strips of which.
    """
    try:
        supplies, ways = ways_of(stock, job)
    except NoPlanError:
        return {}
    found: dict[_Miss, dict[str, None]] = defaultdict(dict)
    for part, lay_ups in zip(searched_as(job.parts), ways, strict=True):
        if part.members:  # a hair of one line is none of the others
            continue
        for way in lay_ups:
            for supply in supplies:
                if way.blanks[0].lumber == supply.lumber:
                    for measure, amount, board in _fails(way, supply, stock):
                        if 0 < amount <= within:
                            found[_Miss(amount, part.name, measure)][board] = None
        for miss, built in _otherwise(stock, part, lay_ups, supplies, within):
            found[miss][built] = None
    return {miss: list(boards) for miss, boards in found.items()}


def _otherwise(
    stock: StockBook,
    part: Part,
    lay_ups: Iterable[LayUp],
    supplies: Sequence[Supply],
    within: Length,
) -> Iterator[tuple[_Miss, str]]:
    """Ways of building that a part a little thinner or narrower would have, and it has not."""
    straight, crooked = board_sizes(supplies)
    smallest = round_up(Length(1, 1000), stock.shop.unit)  # one step of the tape
    for measure in ("thickness", "width"):
        known = {_built(way) for way in lay_ups}
        for steps in range(1, int(within / smallest) + 1):
            amount = steps * smallest
            if (smaller := _smaller(part, measure, amount)) is None:
                break
            alone = Job(name="", parts=(smaller,))
            try:
                (ways,) = all_ways(alone, straight, stock.shop, crooked)
            except NoPlanError:
                continue
            new = {_built(way): way for way in ways if _built(way) not in known}
            known |= set(new)
            for way in new.values():
                yield _Miss(amount, part.name, measure), _building(way, stock.shop.unit)


def _built(way: LayUp) -> tuple[tuple[Lumber, int], ...]:
    """How a part is built: the lumber of each ply, and of how many strips it is."""
    return tuple((ply[0][0].lumber, len(ply)) for ply in way.plies)


def _building(way: LayUp, unit: Unit) -> str:
    """``one board of 1 1/2``, ``3 strips of 3/4``, ``2 plies of 1 1/2``, ``plies of 1 1/2 + 1``."""
    thick = [format_length(ply[0][0].lumber.thickness, unit) for ply in way.plies]
    wood = f" {way.blanks[0].lumber.wood}".rstrip()
    if not way.glued:
        return f"one board of {thick[0]}{wood}"
    if len(thick) == 1:
        return f"{len(way.plies[0])} strips of {thick[0]}{wood}"
    if len(set(thick)) == 1:
        return f"{len(thick)} plies of {thick[0]}{wood}"
    return f"plies of {' + '.join(thick)}{wood}"


def _fails(way: LayUp, supply: Supply, stock: StockBook) -> Iterator[tuple[str, Length, str]]:
    """By how much a lay-up's blank fails a board: once, or so many in a row or side by side."""
    blank, shop = way.blanks[0], stock.shop
    source = supply.sources[0]
    board = f"{source.name} ({source.store})" if isinstance(source, Offer) else source.tag
    if blank.width <= supply.width:
        more, over = _one_more(blank.length, supply.usable, shop.crosscut_kerf)
        copies = f"{more} out of " if more > 1 else ""
        if more <= MOST_COPIES:
            yield "length", round_up(over, shop.unit), copies + board
    if blank.length <= supply.usable and all(len(ply) == 1 for ply in way.plies):
        more, over = _one_more(blank.width, supply.width, shop.rip_kerf)
        copies = f"{more} side by side out of " if more > 1 else ""
        if more == 1 or not blank.own_edges:
            yield "width", round_up(over, shop.unit), copies + board


def _one_more(blank: Length, board: Length, kerf: Length) -> tuple[int, Length]:
    """One blank more than fits, and by how much each is then too large."""
    more = int((board + kerf) // (blank + kerf)) + 1
    return more, (more * blank + (more - 1) * kerf - board) / more


def _job_with(job: Job, miss: _Miss) -> Job:
    """The job with the part made smaller, so that it does not miss."""
    parts = tuple(
        _smaller(part, miss.measure, miss.amount) or part if part.name == miss.part else part
        for part in job.parts
    )
    return replace(job, parts=parts)


def _smaller(part: Part, measure: str, amount: Length) -> Part | None:
    """``part`` smaller by ``amount``; None where nothing would be left of it. What may come out
    thinner than drawn may do so by as much more.
    """
    if measure == "thickness" and part.thickness_at_least is not None:
        measure = "thickness_at_least"
    left = getattr(part, measure) - amount
    return replace(part, **{measure: left}) if left > 0 else None


def _said(miss: _Miss, boards: list[str], unit: Unit) -> str:
    fails, mending = _TOO[miss.measure]
    amount = f"{format_length(miss.amount, unit)} {unit}"
    boards = sorted(boards, key=lambda board: "(" in board)  # the rack first
    few = ", ".join(boards[:3]) + (" …" if len(boards) > 3 else "")
    return f"{miss.part} is {amount} {fails} for {few}: {mending} it"
