"""What really happened when a plan was carried out, where it differs from the plan.

A board may not have been sawn, or never bought; a blank may be spoiled; a leftover may not have
been kept, be shorter than planned, or be one that nobody planned.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import chain
from typing import TypeVar

from optimizer.plan.marks import piece_marks
from optimizer.plan.plan import Blank, Board, Plan
from optimizer.plan.tables import marks
from stock.errors import RackfirstError
from stock.lengths import Length, LengthError, format_length, parse_length

Named = TypeVar("Named")


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A leftover as it lies there (inches): left of the board with this id; ``tag`` if it has one.

    Its ``bay`` may be empty.
    """

    board: str
    length: Length
    width: Length
    tag: str = ""
    bay: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """What went otherwise than planned. Boards and blanks are named by id, leftovers by tag.

    ``not_sawn``: it is there, whole. ``not_bought``: it never came. ``instead`` are planned
    leftovers as they really are, ``further`` those that were not planned.
    """

    not_sawn: frozenset[str] = frozenset()
    not_bought: frozenset[str] = frozenset()
    spoiled: frozenset[str] = frozenset()
    not_kept: frozenset[str] = frozenset()
    instead: Mapping[str, Piece] = field(default_factory=dict)
    further: tuple[Piece, ...] = ()
    bay: str = ""

    def sawn(self, board: Board) -> bool:
        """Whether the board was sawn."""
        return board.id not in self.not_sawn | self.not_bought

    def kept(self, plan: Plan) -> Iterator[Piece]:
        """Every leftover that went on the rack, in the order of the plan, further ones last."""
        for board in filter(self.sawn, plan.boards):
            for left in board.leftovers:
                planned = Piece(board=board.id, length=left.length, width=left.width, tag=left.tag)
                if left.tag not in self.not_kept:
                    yield self.instead.get(left.tag, planned)
        yield from self.further


def board_ids(plan: Plan, names: Iterable[str]) -> frozenset[str]:
    """The ids of boards named by id or by what is written on them (``B3``, ``R010``, ``R010 (2)``).

    Raises RackfirstError for a name that the plan does not know.
    """
    known = _boards(plan)
    return frozenset(_known(name, known, "board") for name in names)


def _boards(plan: Plan) -> dict[str, str]:
    """The id of each board, by its mark and by its id."""
    by_mark = {mark: board for board, mark in marks(plan).items()}
    return by_mark | {b.id: b.id for b in plan.boards if b.id not in by_mark}


def blank_ids(plan: Plan, names: Iterable[str]) -> frozenset[str]:
    """The ids of blanks named by mark or by id, each of which the plan must know; RackfirstError
    for others.
    """
    known = _blanks(plan) | {b.id: {b.id} for board in plan.boards for b in board.blanks}
    return frozenset(chain.from_iterable(_known(name, known, "blank") for name in names))


def _blanks(plan: Plan) -> dict[str, set[str]]:
    """The ids of blanks by what is written on them (``C2a``); of all in a part by its mark
    (``C2``).
    """
    written = piece_marks(plan)
    parts = zip(written.parts, plan.parts, strict=True)
    in_parts = {mark: set(made.blanks) for mark, made in parts}
    return in_parts | {mark: {blank} for blank, mark in written.blanks.items()}


def blanks_named(plan: Plan, typed: str) -> frozenset[str]:
    """Blanks by mark or id (``C1-C4``, ``b1-b9``), and all blanks of boards (``B3``, ``R010``).

    Raises RackfirstError for a name that the plan does not know. The case of a letter counts in
    ids: b3 is a blank, B3 a board.
    """
    on_board = {board.id: {blank.id for blank in board.blanks} for board in plan.boards}
    known = _blanks(plan) | {name: on_board[board] for name, board in _boards(plan).items()}
    ids = set().union(*on_board.values())
    found: set[str] = set()
    for name in names(typed):
        found |= {name} if name in ids else _known(name, known, "blank or board")
    return frozenset(found)


def leftover_tags(plan: Plan, names: Iterable[str]) -> frozenset[str]:
    """The tags of leftovers, each of which the plan must know; RackfirstError for others."""
    known = {left.tag: left.tag for board in plan.boards for left in board.leftovers}
    return frozenset(_known(name, known, "leftover") for name in names)


def _known(name: str, known: Mapping[str, Named], what: str) -> Named:
    """What goes by ``name``, in any case, and with a hyphen for a dash."""
    found = {each.casefold(): value for each, value in known.items()}
    for typed in (name.casefold(), name.casefold().replace("-", "–")):
        if typed in found:
            return found[typed]
    like = [each for each in known if each.casefold().startswith(name.casefold())]
    some = ", ".join((like or list(known))[:8])
    raise RackfirstError(f"{name}: the plan has no such {what}; it has {some or 'none'} …")


def further_piece(plan: Plan, typed: str) -> Piece:
    """A leftover typed as ``B5: 30 1/4 x 3 1/2``: its board, length and width in the plan's unit.

    Raises RackfirstError for anything else.
    """
    name, _, size = typed.partition(":")
    length, _, width = size.casefold().replace("×", "x").partition("x")
    (board,) = board_ids(plan, [name.strip()])
    try:
        return Piece(
            board=board,
            length=parse_length(length.strip(), plan.unit),
            width=parse_length(width.strip(), plan.unit),
        )
    except LengthError as error:
        raise RackfirstError(
            f"{typed!r}: {error.problem}; type board, length and width like B5: 30 1/4 x 3 1/2"
        ) from error


def check_happened(plan: Plan, happened: Happened) -> None:
    """Raises RackfirstError where it cannot have happened so: wood is conserved."""
    by_board: defaultdict[str, list[Piece]] = defaultdict(list)
    for piece in happened.kept(plan):
        by_board[piece.board].append(piece)
    for board in plan.boards:
        if board.from_rack and board.id in happened.not_bought:
            raise RackfirstError(f"{board.tag} is from the rack: it was not sawn, or it was")
        if happened.sawn(board):
            _check_wood(board, by_board[board.id], happened, plan)
        elif any(blank.id in happened.spoiled for blank in board.blanks) or by_board[board.id]:
            raise RackfirstError(f"board {board.id} was not sawn: nothing of it is left or spoiled")
    tags = Counter(piece.tag.casefold() for piece in happened.kept(plan) if piece.tag)
    if twice := [tag for tag, count in tags.items() if count > 1]:
        raise RackfirstError(f"two leftovers have the tag {twice[0].upper()}")


def _check_wood(board: Board, left: Sequence[Piece], happened: Happened, plan: Plan) -> None:
    for piece in left:
        if piece.length > board.length or piece.width > board.width:
            raise RackfirstError(f"{_say(piece, plan)} does not come out of board {board.id}")
    used = sum((b.length * b.width for b in _good(board, happened)), Fraction(0))
    kept = sum((piece.length * piece.width for piece in left), Fraction(0))
    if used + kept > board.length * board.width:
        pieces = ", ".join(_say(piece, plan) for piece in left)
        raise RackfirstError(f"board {board.id} is too small for its blanks and {pieces}")


def _good(board: Board, happened: Happened) -> list[Blank]:
    return [blank for blank in board.blanks if blank.id not in happened.spoiled]


def _say(piece: Piece, plan: Plan) -> str:
    length, width = (format_length(each, plan.unit) for each in (piece.length, piece.width))
    return f"a leftover {length} x {width}"


def names(typed: str) -> list[str]:
    """The names in ``b1, b4-b6``: apart by commas, ranges counted out."""
    found: list[str] = []
    for each in filter(None, (part.strip() for part in typed.split(","))):
        ends = re.fullmatch(r"([A-Za-z]+)(\d{1,6}) ?[-–] ?\1?(\d{1,6})", each, re.ASCII)
        if ends is None:
            found.append(each)
            continue
        width = len(ends[2])
        found += [f"{ends[1]}{n:0{width}}" for n in range(int(ends[2]), int(ends[3]) + 1)]
    return found


def happened_from(
    plan: Plan,
    sheet: Happened | None,
    *,
    not_sawn: str = "",
    not_bought: str = "",
    spoiled: str = "",
    not_kept: str = "",
    kept: Iterable[str] = (),
    bay: str = "",
) -> Happened:
    """What the sheet says, if there is one, and what was typed as options, together.

    Raises RackfirstError for names that the plan does not know.
    """
    said = sheet or Happened()
    return replace(
        said,
        not_sawn=said.not_sawn | board_ids(plan, names(not_sawn)),
        not_bought=said.not_bought | board_ids(plan, names(not_bought)),
        spoiled=said.spoiled | blank_ids(plan, names(spoiled)),
        not_kept=said.not_kept | leftover_tags(plan, names(not_kept)),
        further=(*said.further, *(further_piece(plan, each) for each in kept)),
        bay=bay,
    )
