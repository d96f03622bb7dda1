"""All lay-ups of a job's parts, or why there is no plan.

Where a part cannot be made the message names it, the nearest miss, and what would make it possible.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from optimizer.job.bench import lay_ups
from optimizer.job.layups import LayUp
from optimizer.job.limits import Boards, Refusal
from optimizer.job.parts import Faces, Job, Make, Part, Treatment
from stock.errors import RackfirstError
from stock.lengths import Length
from stock.pieces import Lumber
from stock.shop import Shop
from stock.wood import stands_for


class NoPlanError(RackfirstError):
    """No plan is possible; one sentence for each part that cannot be made."""


def all_ways(
    job: Job, boards: Iterable[tuple[Lumber, Length, Length]], shop: Shop
) -> tuple[tuple[LayUp, ...], ...]:
    """For each part its lay-ups, from boards given as (lumber, usable length, width), in inches.

    Raises NoPlanError naming every part without a lay-up.
    """
    sizes: dict[Lumber, set[tuple[Length, Length]]] = defaultdict(set)
    for lumber, length, width in boards:
        sizes[lumber].add((length, width))
    stock = [Boards(lumber=lumber, sizes=tuple(sorted(s))) for lumber, s in sorted(sizes.items())]
    found, missing = [], []
    for part in job.parts:
        ways, refusals = _ways(part, stock, shop)
        found.append(tuple(ways))
        if not ways:
            missing.append(f"{part.name}: {_why(part, refusals, stock, shop)}")
    if missing:
        raise NoPlanError("\n".join(missing))
    return tuple(found)


def _ways(part: Part, stock: Sequence[Boards], shop: Shop) -> tuple[list[LayUp], list[Refusal]]:
    suits = [boards for boards in stock if _suits(part, boards.lumber)]
    return lay_ups(part, suits, shop)


def _suits(part: Part, lumber: Lumber) -> bool:
    if part.thickest_board is not None and lumber.thickness > part.thickest_board:
        return False
    if part.treated is not Treatment.EITHER and lumber.treated != (part.treated is Treatment.YES):
        return False
    return stands_for(lumber.wood, part.wood)


def _less_wished(part: Part) -> Iterator[tuple[Part, str]]:
    """What the maker could give up, and how it is said."""
    yield replace(part, make=Make.ANY), "with Make 'any'"
    yield replace(part, faces=Faces.ANY), "with Faces 'any'"
    yield replace(part, make=Make.ANY, faces=Faces.ANY), "with Make and Faces 'any'"
    yield replace(part, wood=""), "in any wood"
    yield replace(part, treated=Treatment.EITHER), "with Treated 'either'"


def _why(part: Part, refusals: list[Refusal], stock: Sequence[Boards], shop: Shop) -> str:
    if refusals:
        # Of misses equally near the last is told: that of the thickest board, planed if it may be.
        nearest = max(reversed(refusals), key=lambda refusal: refusal.step)
        reason, remedy = nearest.reason, nearest.remedy
    else:
        treated = "treated " if part.treated is Treatment.YES else ""
        wood = f"{part.wood} " if part.wood else ""
        suits = any(_suits(part, boards.lumber) for boards in stock)
        reason = f"no {treated}{wood}board {'serves' if suits else 'is on the rack or for sale'}"
        remedy = "a thicker one would do" if suits else "add one to Prices or Rack"
    for easier, words in _less_wished(part):
        ways, _ = _ways(easier, stock, shop)
        if ways:
            simplest = min(ways, key=lambda way: len(way.blanks))
            return f"{reason}; {words} it would go, {_told(simplest)}"
    if part.thickness > part.width:
        remedy += ", or are Thickness and Width swapped?"
    return f"{reason}; {remedy}"


def _told(way: LayUp) -> str:
    members = len(way.plies) if len(way.plies) > 1 else len(way.plies[0])
    if not way.glued:
        return "as one board" + (", planed" if way.planed else ", as bought")
    return f"as {members} {'plies' if len(way.plies) > 1 else 'strips'}"
