"""A plan as tables: what to buy, what to pull, what each part is made of, what is left.

Rows hold exact values, lengths in inches (Fraction) and money in Decimal; how they look is the
output's work. Where a row names boards, it names them by their marks: a bought one by its id, which
is written on it at the store, a rack piece by its tag.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Hashable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TypeAlias

from optimizer.plan.plan import Blank, Board, MadePart, Plan, Purchase
from stock.lengths import Length

_Places: TypeAlias = dict[str, tuple[Blank, Board]]  # where each blank lies, by its id


@dataclass(frozen=True, slots=True, kw_only=True)
class PulledPieces:
    """``count`` equal pieces of one tag to pull from the rack; ``worth`` is that of one."""

    bay: str
    tag: str
    size: str
    wood: str
    treated: bool
    thickness: Length
    width: Length
    length: Length
    worth: Decimal
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SawnBlanks:
    """``count`` blanks alike, rough ``length`` × ``width``, out of ``boards`` of one size.

    Each ``holds`` so many copies of its part end to end; ``ids`` are theirs in the plan.
    """

    length: Length
    width: Length
    holds: int
    size: str
    wood: str
    treated: bool
    thickness: Length
    count: int = 1
    boards: tuple[str, ...] = ()
    ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeAlike:
    """``copies`` of a part, ``spares`` among them, that are made alike; measures are finished.

    ``tenons`` are in the length. ``plies`` are glued face to face, ``strips`` (the most in any ply)
    edge to edge. ``places`` are theirs in the plan's list of parts.
    """

    part: str
    copies: int
    spares: int
    length: Length
    width: Length
    thickness: Length
    tenons: tuple[Length, ...]
    planed: bool
    plies: int
    strips: int
    remarks: tuple[str, ...]
    blanks: tuple[SawnBlanks, ...]
    places: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPiece:
    """A piece that goes back on the rack under a new ``tag``, left of ``board``."""

    tag: str
    board: str
    size: str
    wood: str
    treated: bool
    thickness: Length
    width: Length
    length: Length
    worth: Decimal


def marks(plan: Plan) -> dict[str, str]:
    """What is written on each board, by its id: the id on a bought one, on a rack piece its tag.

    Where a plan takes several pieces of one tag they are numbered: ``R010 (1)``, ``R010 (2)``.
    """
    pulled = Counter(board.tag for board in plan.boards)
    numbers: Counter[str] = Counter()
    found = {}
    for board in plan.boards:
        found[board.id] = board.tag or board.id
        if board.from_rack and pulled[board.tag] > 1:
            numbers[board.tag] += 1
            found[board.id] += f" ({numbers[board.tag]})"
    return found


def bought_as(line: Purchase, plan: Plan) -> tuple[str, ...]:
    """The marks of the boards that ``line`` of the shopping list buys."""
    return tuple(
        board.id
        for board in plan.boards
        if (board.store, board.offer, board.cost) == (line.store, line.offer, line.each)
        and _lumber(board) == _lumber(line)
    )


def shopping_list(plan: Plan) -> dict[str, list[Purchase]]:
    """What to buy at each store: stores as the plan names them, each in the order of its yard.

    Sizes lie in a yard by thickness, then width, then length.
    """
    stores: dict[str, list[Purchase]] = {}
    for line in plan.buy:
        stores.setdefault(line.store, []).append(line)
    for lines in stores.values():
        lines.sort(key=_in_the_yard)
    return stores


def _lumber(of: Board | Purchase) -> Hashable:
    return (of.size, of.wood, of.treated, of.thickness, of.width, of.length)


def _in_the_yard(line: Purchase) -> tuple[Length, Length, Length, bool, str, str]:
    return (line.thickness, line.width, line.length, line.treated, line.wood, line.offer)


def rack_list(plan: Plan) -> list[PulledPieces]:
    """What to pull, as one walks along the rack: by bay, then by tag, pieces without a bay last."""
    counts = Counter(_pulled(board) for board in plan.boards if board.from_rack)
    return sorted(
        (replace(piece, count=count) for piece, count in counts.items()),
        key=lambda piece: (not piece.bay, _counting(piece.bay), _counting(piece.tag)),
    )


def parts_made(plan: Plan) -> list[MadeAlike]:
    """What each part is made of; copies made alike stand together, parts in the plan's order.

    Blanks out of boards of different size but of one thickness count as alike.
    """
    places = {blank.id: (blank, board) for board in plan.boards for blank in board.blanks}
    mark = marks(plan)
    ways: dict[Hashable, list[int]] = {}
    for place, made in enumerate(plan.parts):
        layup = tuple(
            tuple(
                tuple(replace(_sawn(*places[blank]), size="") for blank in strip) for strip in ply
            )
            for ply in made.layup
        )
        finished = (made.length, made.width, made.thickness)
        way = (made.part, finished, made.tenons, made.planed, made.remarks, layup)
        ways.setdefault(way, []).append(place)
    return [_made_alike(plan, alike, places, mark) for alike in ways.values()]


def leftovers(plan: Plan) -> list[KeptPiece]:
    """What goes back on the rack, by its new tag."""
    mark = marks(plan)
    kept = [
        KeptPiece(
            tag=left.tag,
            board=mark[board.id],
            size=board.size if left.width == board.width else "",
            wood=board.wood,
            treated=board.treated,
            thickness=board.thickness,
            width=left.width,
            length=left.length,
            worth=left.worth,
        )
        for board in plan.boards
        for left in board.leftovers
    ]
    return sorted(kept, key=lambda piece: _counting(piece.tag))


def _counting(name: str) -> list[tuple[int, str]]:
    """A sort key by which R2 stands before R10."""
    words = re.split(r"(\d+)", name.casefold())
    return [(int(word), "") if word.isdecimal() else (0, word) for word in words]


def _pulled(board: Board) -> PulledPieces:
    return PulledPieces(
        bay=board.bay,
        tag=board.tag,
        size=board.size,
        wood=board.wood,
        treated=board.treated,
        thickness=board.thickness,
        width=board.width,
        length=board.length,
        worth=board.cost,
    )


def _sawn(blank: Blank, board: Board) -> SawnBlanks:
    return SawnBlanks(
        length=blank.length,
        width=blank.width,
        holds=blank.holds,
        size=board.size,
        wood=board.wood,
        treated=board.treated,
        thickness=board.thickness,
    )


def _made_alike(plan: Plan, alike: list[int], places: _Places, mark: dict[str, str]) -> MadeAlike:
    copies = [plan.parts[place] for place in alike]
    first = copies[0]
    return MadeAlike(
        part=first.part,
        copies=len(copies),
        spares=sum(made.spare for made in copies),
        length=first.length,
        width=first.width,
        thickness=first.thickness,
        tenons=first.tenons,
        planed=first.planed,
        plies=len(first.layup),
        strips=max(len(ply) for ply in first.layup),
        remarks=first.remarks,
        blanks=_sawn_for(copies, places, mark),
        places=tuple(alike),
    )


def _sawn_for(
    copies: list[MadePart], places: _Places, mark: dict[str, str]
) -> tuple[SawnBlanks, ...]:
    alike: dict[SawnBlanks, list[str]] = {}
    # A long blank that several copies share is sawn once.
    for blank in dict.fromkeys(blank for made in copies for blank in made.blanks):
        alike.setdefault(_sawn(*places[blank]), []).append(blank)
    return tuple(
        replace(
            blanks,
            count=len(ids),
            boards=tuple(sorted({mark[places[each][1].id] for each in ids}, key=_counting)),
            ids=tuple(ids),
        )
        for blanks, ids in alike.items()
    )
