"""What came to the rack and what went; the rack is its sum.

Nothing in a journal is ever changed: what was wrong is set right by a further line. A line moves
``count`` pieces, in above zero and out below it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from typing import TypeAlias

from stock.errors import RackfirstError
from stock.lengths import Length
from stock.pieces import RackPiece
from stock.wood import wood_key


class What(StrEnum):
    """What happened to pieces."""

    BOUGHT = "bought"
    SAWN = "sawn"
    KEPT = "kept"  # a leftover came back
    COUNTED = "counted"  # the shelf, or a hand-edited rack, says otherwise than the journal
    UNDONE = "undone"  # takes back the lines of a plan
    HELD = "held"  # for a job; no wood moves
    FREED = "freed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """What makes pieces of the rack the same: their tag, wood and measures (inches)."""

    tag: str
    wood: str
    treated: bool
    thickness: Length
    width: Length
    length: Length


def stack_of(piece: RackPiece) -> Stack:
    """The stack that ``piece`` lies on, whatever its count and bay."""
    return Stack(
        tag=piece.tag.casefold(),
        wood=wood_key(piece.lumber.wood),
        treated=piece.lumber.treated,
        thickness=piece.lumber.thickness,
        width=piece.width,
        length=piece.length,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the journal: ``count`` pieces like ``piece`` came (above 0) or went (below 0).

    ``plan`` says because of which plan. ``also`` is what else stood in the piece's row of the
    rack, by its header, so that it can be put back.
    """

    day: date
    what: What
    piece: RackPiece
    count: int
    plan: str = ""
    note: str = ""
    also: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        still = self.what in (What.HELD, What.FREED)
        if (self.count == 0) != still:
            raise ValueError(f"{self.what} {self.count} of {self.piece.tag}")


Journal: TypeAlias = Sequence[Line]


def sums(journal: Iterable[Line]) -> dict[Stack, int]:
    """How many pieces of each stack lie on the rack, by the journal; empty stacks left out."""
    counts: Counter[Stack] = Counter()
    for line in journal:
        if line.count:
            counts[stack_of(line.piece)] += line.count
    return {stack: count for stack, count in counts.items() if count}


def rack_sum(journal: Iterable[Line]) -> list[RackPiece]:
    """The rack as the journal has it: each stack as it came last, with its count."""
    lines = list(journal)
    counts = sums(lines)
    latest = {stack_of(line.piece): line.piece for line in lines}
    return [replace(latest[stack], count=count) for stack, count in counts.items() if count > 0]


def counted(journal: Journal, rack: Iterable[RackPiece], day: date, note: str) -> Iterator[Line]:
    """The lines by which the journal comes to ``rack``: what was found beyond it, or is missing."""
    known = sums(journal)
    latest = {stack_of(line.piece): line.piece for line in journal}
    found: Counter[Stack] = Counter()
    for piece in rack:
        found[stack_of(piece)] += piece.count
        latest[stack_of(piece)] = piece
    for stack in dict.fromkeys([*known, *found]):
        if difference := found[stack] - known.get(stack, 0):
            piece = replace(latest[stack], count=1)
            yield Line(day=day, what=What.COUNTED, piece=piece, count=difference, note=note)


def is_settled(journal: Journal, plan: str) -> bool:
    """Whether the lines of ``plan`` stand in the journal and were not undone."""
    return bool(lines_of(journal, plan))


def lines_of(journal: Journal, plan: str) -> list[Line]:
    """The lines of ``plan`` since it was last undone, holding aside."""
    lines: list[Line] = []
    for line in journal:
        if line.plan != plan or not line.count:
            continue
        if line.what is What.UNDONE:
            lines = []
        else:
            lines.append(line)
    return lines


def undoing(journal: Journal, plan: str, day: date) -> list[Line]:
    """The lines that take ``plan`` back.

    Raises RackfirstError naming the first piece that came by it and is no longer there.
    """
    lying = sums(journal)
    lines = [
        Line(
            day=day,
            what=What.UNDONE,
            piece=line.piece,
            count=-line.count,
            plan=plan,
            also=line.also,
        )
        for line in reversed(lines_of(journal, plan))
    ]
    tags = {stack.tag: stack for stack in lying}
    for stack, change in sums(lines).items():
        if lying.get(stack, 0) + change < 0:
            raise RackfirstError(_gone(journal, stack, plan))
        if change > 0 and tags.get(stack.tag, stack) != stack:
            raise RackfirstError(
                f"{plan} is not undone: its piece {stack.tag.upper()} cannot come back, for another"
                " piece has that tag by now; give that one another tag, and try again"
            )
    return lines


def _gone(journal: Journal, stack: Stack, plan: str) -> str:
    """Why a plan cannot be taken back: who had the piece since."""
    taker = next(
        line for line in reversed(journal) if line.count < 0 and stack_of(line.piece) == stack
    )
    tag = taker.piece.tag
    if taker.plan:
        return (
            f"{plan} is not undone: its leftover {tag} went into {taker.plan}; undo that plan first"
        )
    return (
        f"{plan} is not undone: its leftover {tag} is no longer on the rack (since {taker.day}); "
        "put its row back, and try again"
    )
