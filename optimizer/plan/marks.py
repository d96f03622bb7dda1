"""The short mark that is written on each piece before it is cut, and parts easily mixed up.

A part goes by a letter, its copies by numbers: ``C2``. Where it is built of several blanks, these
are ``C2a``, ``C2b``. A blank that holds several copies is ``C1–3``. Letters that read like figures,
and those that a board's id or a tag begins with, are left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, count, groupby, product
from string import ascii_uppercase

from optimizer.plan.plan import Blank, Board, MadePart, Plan
from optimizer.plan.tables import marks as board_marks
from stock.lengths import Length

NEAR = Length(1, 4)  # inches: two parts no further apart than this are taken for each other
_LIKE_FIGURES = "IOQ"  # as drawings leave them out: 1, 0, 0; common practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """Marks of boards and blanks by id, of parts in the plan's order; letters by part name."""

    boards: dict[str, str]
    letters: dict[str, str]
    parts: tuple[str, ...]
    blanks: dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class NearAlike:
    """Two parts that the eye takes for one another: the second is so much larger than the first.

    Each difference of ``length``, ``width`` and ``thickness`` is at most a quarter inch. ``rough``:
    it is their blanks that look alike, not the finished parts.
    """

    first: str
    second: str
    rough: bool
    length: Length
    width: Length
    thickness: Length


def piece_marks(plan: Plan) -> Marks:
    """What is written on every board, part and blank of the plan; no two alike."""
    boards = board_marks(plan)
    taken = [*boards, *boards.values(), *(left.tag for b in plan.boards for left in b.leftovers)]
    names = dict.fromkeys(made.part for made in plan.parts)
    letters = dict(zip(names, _letters(taken), strict=False))
    parts = []
    for made, n in zip(plan.parts, _counted(made.part for made in plan.parts), strict=True):
        parts.append(f"{letters[made.part]}{n}")
    return Marks(
        boards=boards, letters=letters, parts=tuple(parts), blanks=_blank_marks(plan, parts)
    )


def _letters(taken: Iterable[str]) -> Iterator[str]:
    """A, C, D … Z, AA, AC …: those that no name in ``taken`` begins with before a figure."""
    begun = {found[1] for name in taken if (found := re.match(r"([A-Z]+)\d", name.upper()))}
    single = [letter for letter in ascii_uppercase if letter not in _LIKE_FIGURES]
    for length in count(1):
        yield from (word for word in _words(single, length) if word not in begun)


def _words(letters: list[str], length: int) -> Iterator[str]:
    if length == 0:
        yield ""
        return
    for word in _words(letters, length - 1):
        yield from (word + letter for letter in letters)


def _counted(names: Iterable[str]) -> Iterator[int]:
    seen: dict[str, int] = {}
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        yield seen[name]


def _blank_marks(plan: Plan, parts: list[str]) -> dict[str, str]:
    owners: dict[str, list[tuple[str, str]]] = {}  # mark of a part, and the letter in it
    for made, mark in zip(plan.parts, parts, strict=True):
        for letter, blank in zip(_small(len(made.blanks)), made.blanks, strict=True):
            owners.setdefault(blank, []).append((mark, letter))
    names = (blank.id for board in plan.boards for blank in board.blanks)
    return {name: _shared(owners[name]) if name in owners else name for name in names}


def _small(blanks: int) -> Iterator[str]:
    """a, b, c … for the blanks of a part; nothing for its only one."""
    if blanks == 1:
        yield ""
    else:
        letters = (word.lower() for n in count(1) for word in _words(list(ascii_uppercase), n))
        yield from (letter for letter, _ in zip(letters, range(blanks), strict=False))


def _shared(owners: list[tuple[str, str]]) -> str:
    """``C1–3a``: the copies that one blank holds, and its letter in each."""
    return in_one([mark for mark, _ in owners]) + owners[0][1]


def in_one(marks: Iterable[str]) -> str:
    """``C1–3``, ``C1+4``: the copies that are made in one length."""
    numbers: dict[str, list[int]] = {}  # by the letter of the part
    for mark in marks:
        letter = mark.rstrip("0123456789")
        numbers.setdefault(letter, []).append(int(mark.removeprefix(letter)))
    told = [letter + "+".join(_runs(sorted(copies))) for letter, copies in numbers.items()]
    return "+".join(told)


def _runs(numbers: list[int]) -> Iterator[str]:
    for _, run in groupby(enumerate(numbers), key=lambda place: place[1] - place[0]):
        copies = [number for _, number in run]
        yield f"{copies[0]}–{copies[-1]}" if len(copies) > 1 else f"{copies[0]}"


# --- parts easily mixed up -----------------------------------------------------------------------


def near_alike(plan: Plan) -> list[NearAlike]:
    """Pairs of parts, in the plan's order, of which one may be taken for the other."""
    places = {blank.id: (blank, board) for board in plan.boards for blank in board.blanks}
    kinds = {made.part: made for made in plan.parts}
    found = []
    for one, other in combinations(kinds.values(), 2):
        pairs = [(False, _finished(one), _finished(other))]
        pairs += [(True, _rough(places, a), _rough(places, b)) for a, b in _blanks(one, other)]
        for rough, small, large in pairs:
            apart = [b - a for a, b in zip(small, large, strict=True)]
            if any(apart) and all(abs(each) <= NEAR for each in apart):
                sizes = dict(zip(("length", "width", "thickness"), apart, strict=True))
                found.append(NearAlike(first=one.part, second=other.part, rough=rough, **sizes))
                break
    return found


def _finished(made: MadePart) -> tuple[Length, Length, Length]:
    return made.length, made.width, made.thickness


def _blanks(one: MadePart, other: MadePart) -> Iterator[tuple[str, str]]:
    return product(one.blanks, other.blanks)


def _rough(places: dict[str, tuple[Blank, Board]], blank: str) -> tuple[Length, Length, Length]:
    lies, board = places[blank]
    return lies.length, lies.width, board.thickness
