"""What was planned anew, and what stands already, as one whole plan again.

Boards cut into keep the cuts that were made, and go on with new ones; boards bought and not needed
any more are kept whole; every sum is added up anew.
"""

from __future__ import annotations

import re
from collections import defaultdict, deque
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count

from optimizer.job.blanks import BlankKind
from optimizer.job.layups import LayUp
from optimizer.job.parts import Job
from optimizer.plan.left_of import lumber_of
from optimizer.plan.midway import Rest, Standing
from optimizer.plan.plan import Blank, Board, Cut, CutKind, Leftover, MadePart, Plan
from optimizer.search.rest_stock import usable
from stock.lengths import Length
from stock.shop import Shop
from stock.worth import Worth


@dataclass(slots=True, kw_only=True)
class Names:
    """Names that nothing in the old plan has: ids of boards and blanks, tags of leftovers."""

    boards: Iterator[str]
    blanks: Iterator[str]
    tags: Iterator[str]

    @classmethod
    def after(cls, plan: Plan, tags: Iterator[str], taken: Collection[str]) -> Names:
        """Names that go on behind those of ``plan``; no board is named like a tag ``taken`` on the
        rack (in lower case).
        """
        ids = _next("B", [board.id for board in plan.boards])
        blanks = _next("b", [blank.id for board in plan.boards for blank in board.blanks])
        boards = (name for name in ids if name.casefold() not in taken)
        return cls(boards=boards, blanks=blanks, tags=tags)


def _next(letter: str, taken: Iterable[str]) -> Iterator[str]:
    numbers = [int(m[1]) for name in taken if (m := re.fullmatch(rf"{letter}(\d+)", name))]
    return (f"{letter}{n}" for n in count(max(numbers, default=0) + 1))


@dataclass(slots=True, kw_only=True)
class Rejoining:
    """Boards as they stand, and as they were planned anew, become boards of one plan.

    ``anew`` holds what the new plan saws out of a rest (by board id and name of the rest) or out of
    a board bought and not cut into (by its id and nothing). ``made`` are the numbers of the cuts of
    each board that were really made, ``taken`` the tags on the rack (in lower case).
    ``renamed`` grows: what new blanks are called in the whole, by
    their ids in the new plan.
    """

    shop: Shop
    worth: Worth
    names: Names
    made: Mapping[str, Collection[int]]
    taken: Collection[str]
    anew: Mapping[tuple[str, str], Board]
    renamed: dict[str, str] = field(default_factory=dict)

    def goes_on(self, stands: Standing) -> Board | None:
        """A board that is there already; None for a rack piece that stays on the rack."""
        board = stands.board
        if not stands.untouched:
            return self._cut_into(stands)
        if board.from_rack:
            return None
        used = self.anew.get((board.id, ""))
        return self._trimmed(board, used) if used else self._kept_whole(board)

    def new(self, board: Board, name: str) -> Board:
        """A board that is bought or pulled only now, under the id ``name``."""
        sawing = _Sawing(self, name)
        blanks, leftovers = sawing.pieces_of(board, Length(0), Length(0))
        cuts = sawing.cuts_of(board, name)
        return replace(board, id=name, cuts=cuts, blanks=blanks, leftovers=leftovers)

    def _cut_into(self, stands: Standing) -> Board:
        board, sawing = stands.board, _Sawing(self, stands.board.id)
        sawing.taken = [name for cut in stands.cuts for name in (cut.piece, *cut.gives)]
        planned = {left.tag for left in board.leftovers if left.tag.casefold() not in self.taken}
        cut_further = {cut.piece for cut in board.cuts}
        called = {blank.id: blank.id for blank in stands.blanks}
        called |= {cut.piece: cut.piece for cut in stands.cuts}
        cuts, blanks, leftovers = list(stands.cuts), list(stands.blanks), []
        for rest in stands.rests:
            used = self.anew.get((board.id, rest.name))
            sound = usable(rest, board, self.shop)
            if used is None:
                called[rest.name] = ""
                if sound is not rest or self._kept(rest):  # as it was handed over: kept anyway
                    tag = rest.name if rest.name in planned else next(self.names.tags)
                    called[rest.name] = tag
                    leftovers.append(self._leftover(board, tag, sound))
                continue
            name = rest.name if rest.name in cut_further else sawing.fresh()
            more, left = sawing.pieces_of(used, sound.x, sound.y)
            blanks += more
            leftovers += left
            more_cuts = sawing.cuts_on(rest, sound, name, used)
            called[rest.name] = name if more_cuts else more[0].id
            cuts += more_cuts
        made = self.made[board.id]
        old = [
            replace(cut, gives=(called.get(cut.gives[0], ""), called.get(cut.gives[1], "")))
            for cut in sorted(stands.cuts, key=lambda cut: cut.n not in made)
        ]
        cuts = _numbered([*old, *cuts[len(old) :]])
        return replace(
            board,
            cuts=tuple(cuts),
            blanks=tuple(blanks),
            leftovers=tuple(leftovers),
            spoiled=stands.spoiled,
            made=len(made),
        )

    def _trimmed(self, board: Board, used: Board) -> Board:
        """A bought board: its ends come off, then the cuts of the new plan."""
        sawing, rest = _Sawing(self, board.id), _whole(board)
        sound = usable(rest, board, self.shop)
        blanks, leftovers = sawing.pieces_of(used, sound.x, sound.y)
        cuts = _numbered(sawing.cuts_on(rest, sound, board.id, used))
        return replace(board, cuts=tuple(cuts), blanks=blanks, leftovers=leftovers)

    def _kept_whole(self, board: Board) -> Board:
        tag = board.leftovers[0].tag if board.kept_whole else next(self.names.tags)
        whole = self._leftover(board, tag, usable(_whole(board), board, self.shop))
        return replace(board, cuts=(), blanks=(), leftovers=(whole,))

    def _kept(self, rest: Rest) -> bool:
        long_enough = rest.length >= self.shop.shortest_kept
        return long_enough and rest.width >= self.shop.narrowest_kept

    def _leftover(self, board: Board, tag: str, rest: Rest) -> Leftover:
        lumber = replace(lumber_of(board), faulty=board.whole)
        worth = self.worth.of(lumber, rest.length, rest.width)
        return Leftover(
            tag=tag, x=rest.x, y=rest.y, length=rest.length, width=rest.width, worth=worth
        )


def _whole(board: Board) -> Rest:
    zero = Length(0)
    return Rest(name=board.id, x=zero, y=zero, length=board.length, width=board.width)


class _Sawing:
    """Names on one board of the whole, while new pieces are taken over."""

    def __init__(self, rejoining: Rejoining, board: str) -> None:
        self._all, self._board = rejoining, board
        self.taken: list[str] = []
        self._called: dict[str, str] = {}

    def fresh(self) -> str:
        """A name for a piece that is cut further, as ``B3.4``."""
        names = (f"{self._board}.{n}" for n in count(1))
        name = next(name for name in names if name not in self.taken)
        self.taken.append(name)
        return name

    def pieces_of(
        self, used: Board, x: Length, y: Length
    ) -> tuple[tuple[Blank, ...], tuple[Leftover, ...]]:
        """Blanks and leftovers of a new plan's board, which lies at ``x``, ``y`` of this one."""
        for blank in used.blanks:
            self._all.renamed[blank.id] = next(self._all.names.blanks)
        return (
            tuple(
                replace(blank, id=self._all.renamed[blank.id], x=blank.x + x, y=blank.y + y)
                for blank in used.blanks
            ),
            tuple(replace(left, x=left.x + x, y=left.y + y) for left in used.leftovers),
        )

    def cuts_on(self, rest: Rest, sound: Rest, name: str, used: Board) -> list[Cut]:
        """The cuts on ``rest``, which is called ``name``: the ends that are not ``sound`` come off,
        then those of a new plan's board; after ``pieces_of``.
        """
        left = sound.x - rest.x
        right = rest.length - left - sound.length
        trims = []
        if left:
            piece, name, at = name, self.fresh(), left - self._all.shop.crosscut_kerf
            trims.append(Cut(n=1, kind=CutKind.TRIM, piece=piece, at=at, gives=("", name)))
        if right:
            piece, name = name, self.fresh()
            at = sound.length
            trims.append(Cut(n=1, kind=CutKind.TRIM, piece=piece, at=at, gives=(name, "")))
        if trims and not used.cuts:  # the blank is all that is sound
            gives = trims[-1].gives
            blank = self._all.renamed[used.blanks[0].id]
            trims[-1] = replace(trims[-1], gives=(gives[0] and blank, gives[1] and blank))
        return [*trims, *self.cuts_of(used, name)]

    def cuts_of(self, used: Board, whole: str) -> tuple[Cut, ...]:
        """The cuts of a new plan's board, which is called ``whole`` here; after ``pieces_of``."""
        called = {used.id: whole, "": ""}
        called |= {left.tag: left.tag for left in used.leftovers}
        called |= {blank.id: self._all.renamed[blank.id] for blank in used.blanks}
        for cut in used.cuts:
            for name in cut.gives:
                if name not in called:
                    called[name] = self.fresh()
        return tuple(
            replace(
                cut, piece=called[cut.piece], gives=(called[cut.gives[0]], called[cut.gives[1]])
            )
            for cut in used.cuts
        )


def _numbered(cuts: Sequence[Cut]) -> list[Cut]:
    return [replace(cut, n=n) for n, cut in enumerate(cuts, start=1)]


def parts_again(
    plan: Plan, done: set[str], anew: Iterable[MadePart], instead: Mapping[str, str]
) -> tuple[MadePart, ...]:
    """Every copy of the old plan: begun ones with new blanks ``instead`` of those missing, the
    others, of which no blank is ``done``, as they are made ``anew``.
    """
    waiting: dict[str, deque[MadePart]] = defaultdict(deque)
    for made in anew:
        waiting[made.part].append(made)
    parts = []
    for made in plan.parts:
        if done.isdisjoint(made.blanks):
            fresh = waiting[made.part].popleft()
            parts.append(replace(fresh, copy=made.copy, spare=made.spare))
        else:
            parts.append(replace(made, layup=renamed(made.layup, instead)))
    return tuple(parts)


def renamed(
    layup: tuple[tuple[tuple[str, ...], ...], ...], instead: Mapping[str, str]
) -> tuple[tuple[tuple[str, ...], ...], ...]:
    """A lay-up with other names for some blanks."""
    return tuple(
        tuple(tuple(instead.get(blank, blank) for blank in strip) for strip in ply) for ply in layup
    )


def holding(board: Board, stand_ins: Mapping[str, Blank]) -> Board:
    """``board``; a blank in the place of another holds as many copies as that one."""
    blanks = [
        replace(blank, holds=stand_ins[blank.id].holds) if blank.id in stand_ins else blank
        for blank in board.blanks
    ]
    return replace(board, blanks=tuple(blanks))


def lay_ups_of(parts: Iterable[MadePart], boards: Iterable[Board], job: Job) -> Iterator[LayUp]:
    """How each copy is built, for the sums of glue and time."""
    kinds = {
        blank.id: BlankKind(lumber=lumber_of(board), length=blank.length, width=blank.width)
        for board in boards
        for blank in board.blanks
    }
    drawn = {part.name: part for part in job.parts}
    for made in {made.blanks: made for made in parts}.values():  # copies in one length are one
        plies = tuple(
            tuple(tuple(kinds[blank] for blank in strip) for strip in ply) for ply in made.layup
        )
        part, thickness = drawn[made.part], made.thickness
        yield LayUp(part=part, planed=made.planed, plies=plies, thickness=thickness)
