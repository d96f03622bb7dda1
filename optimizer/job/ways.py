"""All lay-ups of a job's parts, or why there is no plan.

Where a part cannot be made the message names it, the nearest miss, and what would make it possible.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain

from optimizer.job.bench import Bench
from optimizer.job.grain import lines_of, searched_as
from optimizer.job.layups import LayUp
from optimizer.job.limits import Boards, Refusal
from optimizer.job.panels import panels
from optimizer.job.parts import Faces, Job, Make, Part, Treatment
from optimizer.job.solid import solid_as_bought, solid_planed
from optimizer.job.stacks import mixed_stacks, stacks_as_bought, stacks_planed
from stock.errors import RackfirstError
from stock.lengths import Length, format_length
from stock.pieces import Lumber
from stock.shop import Shop, promises
from stock.wood import stands_for


class NoPlanError(RackfirstError):
    """No plan is possible; one sentence for each part that cannot be made."""


BoardSizes = Sequence[tuple[Lumber, Length, Length]]


def all_ways(
    job: Job,
    boards: BoardSizes,
    shop: Shop,
    odd: BoardSizes = (),
    left_behind: BoardSizes = (),
) -> tuple[tuple[LayUp, ...], ...]:
    """For each part as it is searched its lay-ups, from boards given as (lumber, usable length,
    width), in inches; ``odd`` boards as they are once straight and without their pith. Boards
    ``left_behind`` are sold, and the car does not carry them.

    Raises NoPlanError naming every part without a lay-up.
    """
    stock = _stock(boards, odd)
    found, missing = [], []
    for part in searched_as(job.parts):
        ways, refusals = _ways(part, stock, shop)
        found.append(tuple(ways))
        if not ways:
            of_all, _ = _ways(part, _stock([*boards, *left_behind], odd), shop)
            why = _too_long_to_carry(shop) if of_all else _why(part, refusals, stock, shop)
            missing.append(f"{part.name}: {why}")
    if missing:
        raise NoPlanError("\n".join(missing))
    return tuple(found)


def _stock(boards: BoardSizes, odd: BoardSizes) -> list[Boards]:
    plain, shaped = _by_lumber(boards), _by_lumber(odd)
    return [
        Boards(lumber=lumber, sizes=plain.get(lumber, ()), odd=shaped.get(lumber, ()))
        for lumber in sorted(plain | shaped)
    ]


def _by_lumber(boards: BoardSizes) -> dict[Lumber, tuple[tuple[Length, Length], ...]]:
    sizes: dict[Lumber, set[tuple[Length, Length]]] = defaultdict(set)
    for lumber, length, width in boards:
        sizes[lumber].add((length, width))
    return {lumber: tuple(sorted(each)) for lumber, each in sizes.items()}


def lay_ups(part: Part, stock: Iterable[Boards], shop: Shop) -> tuple[list[LayUp], list[Refusal]]:
    """Every way of making ``part`` from lumber that suits it, and why the other ways do not go."""
    found: list[LayUp] = []
    refusals: list[Refusal] = []
    benches = [Bench(part, boards, shop) for boards in stock]
    for way in chain(*map(_of_one_lumber, benches), _of_several_thicknesses(benches)):
        (found if isinstance(way, LayUp) else refusals).append(way)  # type: ignore[arg-type]
    # More planed away than the shop likes only where nothing else can make the part.
    return [way for way in found if not way.last_resort] or found, refusals


def _of_one_lumber(bench: Bench) -> Iterator[LayUp | Refusal]:
    part, treated = bench.part, bench.boards.lumber.treated
    as_bought = part.faces is not Faces.PLANED
    planed = part.faces is not Faces.AS_BOUGHT and not treated
    glued = part.make is not Make.SOLID and not treated
    if part.make is not Make.GLUED:
        if as_bought:
            yield from solid_as_bought(bench)
        if planed and not (as_bought and bench.within_as_bought(bench.thickness)):
            yield from solid_planed(bench)
    if glued and planed:
        yield from stacks_planed(bench)
        yield from panels(bench)
    if glued and part.faces is Faces.AS_BOUGHT:
        yield from stacks_as_bought(bench)


def _of_several_thicknesses(benches: Iterable[Bench]) -> Iterator[LayUp | Refusal]:
    """Stacks of lumbers that differ in nothing but their thickness."""
    alike: dict[Lumber, list[Bench]] = defaultdict(list)
    for bench in benches:
        part = bench.part
        glued = part.make is not Make.SOLID and part.faces is not Faces.AS_BOUGHT
        if glued and not bench.boards.lumber.treated:
            alike[replace(bench.boards.lumber, thickness=Length(1))].append(bench)
    for group in alike.values():
        yield from mixed_stacks(group)


def _ways(part: Part, stock: Sequence[Boards], shop: Shop) -> tuple[list[LayUp], list[Refusal]]:
    suits = [boards for boards in stock if _all_suit(part, boards.lumber, shop)]
    return lay_ups(part, suits, shop)


def _all_suit(part: Part, lumber: Lumber, shop: Shop) -> bool:
    return all(_suits(line, lumber, shop) for line in lines_of(part))


def _suits(part: Part, lumber: Lumber, shop: Shop) -> bool:
    if part.thickest_board is not None and lumber.thickness > part.thickest_board:
        return False
    if lumber.faulty and not part.knots_ok:
        return False
    if part.grade and not promises(lumber.grade, part.grade, shop):
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
    yield replace(part, grade=""), "in any grade"
    yield replace(part, treated=Treatment.EITHER), "with Treated 'either'"
    yield replace(part, same_board=False, members=()), "without Same board"
    yield replace(part, pairs=False), "without Pairs"
    yield replace(part, knots_ok=True), "with Knots ok 'yes'"
    if not part.carries_load:
        yield replace(part, butt_joints=True), "with Butt joints 'yes'"


def _too_long_to_carry(shop: Shop) -> str:
    carried = format_length(shop.longest_carried or Length(0), shop.unit)
    return (
        f"the boards that would do are longer than the longest carried, {carried}; "
        "a higher `longest carried` would do, or an empty one where they are delivered"
    )


def _why(part: Part, refusals: list[Refusal], stock: Sequence[Boards], shop: Shop) -> str:
    if refusals:
        # Of misses equally near the last is told: that of the thickest board, planed if it may be.
        nearest = max(reversed(refusals), key=lambda refusal: refusal.nearness)
        reason, remedy = nearest.reason, nearest.remedy
    else:
        treated = "treated " if part.treated is Treatment.YES else ""
        wood = f"{part.wood} " if part.wood else ""
        suits = any(_all_suit(part, boards.lumber, shop) for boards in stock)
        grade = f" of grade {part.grade}" if part.grade else ""
        reason = (
            f"no {treated}{wood}board{grade} {'serves' if suits else 'is on the rack or for sale'}"
        )
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
