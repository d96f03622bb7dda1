"""A plan carried out, as lines of the journal.

Rack pieces go out, bought boards come in and go out, leftovers come in under their tags. A plan is
known in the journal by its job and a number made from all that it says.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from optimizer.plan.handed_over import handed_over
from optimizer.plan.happened import Happened, Piece
from optimizer.plan.left_of import lumber_of, piece_of
from optimizer.plan.plan import Board, Leftover, Plan
from optimizer.plan.plan_file import plan_to_json
from optimizer.plan.tables import marks
from stock.errors import RackfirstError
from stock.home_boards import CAME_HOME
from stock.journal import Line, What
from stock.lengths import Length, format_length
from stock.pieces import RackPiece, free_tags
from stock.rack_change import Written
from stock.rack_rows import as_typed
from stock.rack_writing import Shelf
from stock.wood import same_wood

ENDS_ON = "ends not trimmed"
_LONGEST_JOB = 100  # characters, for what a cell of names holds


def plan_name(plan: Plan) -> str:
    """The name of a plan in the journal: ``boat-rack 5f3a91c2``; a long job is cut short."""
    digest = hashlib.sha256(plan_to_json(plan).encode()).hexdigest()
    job = " ".join(plan.job.split())[:_LONGEST_JOB].strip()
    return f"{job} {digest[:8]}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What was written, and what the maker should know: tags that became others, pieces freed."""

    written: Written
    remarks: tuple[str, ...] = ()


class CarriedOut:
    """The lines of one plan, beside a rack as it is now; ``remarks`` are for the maker.

    Raises RackfirstError where a rack piece of the plan is not on the rack.
    """

    def __init__(self, plan: Plan, happened: Happened, shelf: Shelf, day: date) -> None:
        self._plan, self._happened, self._shelf, self._day = plan, happened, shelf, day
        self._name, self._marks = plan_name(plan), marks(plan)
        self._rack = {piece.tag.casefold(): piece for piece in shelf.stock.rack}
        self._boards = {board.id: board for board in plan.boards}
        planned = (left.tag for board in plan.boards for left in board.leftovers)
        written = (line.piece.tag for line in shelf.journal)
        self._new_tags = free_tags([*planned, *written, *(p.tag for p in shelf.stock.rack)])
        self.remarks: list[str] = []

    def lines(self) -> Iterator[Line]:
        """All of them: pieces and boards as the plan names them, then the leftovers."""
        yield from self._pulled()
        for board in self._plan.boards:
            if not board.from_rack and board.id not in self._happened.not_bought:
                yield from self._bought(board)
        for piece in self._happened.kept(self._plan):
            yield self._kept(piece)

    def _line(self, what: What, piece: RackPiece, count: int, note: str = "") -> Line:
        return Line(day=self._day, what=what, piece=piece, count=count, plan=self._name, note=note)

    def _pulled(self) -> Iterator[Line]:
        """Rack pieces that were sawn; pieces of one tag on one line."""
        sawn = [b for b in self._plan.boards if b.from_rack and self._happened.sawn(b)]
        counts = Counter(board.tag for board in sawn)
        by_tag = {board.tag: board for board in sawn}
        for tag, count in counts.items():
            piece = self._rack.get(tag.casefold())
            if piece is None or piece.count < count or not still_same(by_tag[tag], piece):
                raise RackfirstError(self._not_there(by_tag[tag], piece, count))
            spoiled = [self._spoiled(board) for board in sawn if board.tag == tag]
            yield self._line(What.SAWN, piece, -count, "; ".join(filter(None, spoiled)))

    def _not_there(self, board: Board, piece: RackPiece | None, count: int) -> str:
        unit, tag = self._plan.unit, board.tag
        planned = " x ".join(format_length(x, unit) for x in (board.width, board.length))
        rest = f"if it was not sawn, settle with --not-sawn {self._typed(tag, piece, count)}"
        if piece is None:
            return (
                f"{tag} ({planned}) is not on the rack of {self._shelf.stock.name}: put its row "
                f"back ({CAME_HOME}), and settle again; {rest}"
            )
        if piece.count < count:
            return f"the rack has {piece.count} of {tag}, and the plan sawed {count}; {rest}"
        lying = " x ".join(format_length(x, unit) for x in (piece.width, piece.length))
        return f"{tag} is {lying} on the rack, and {planned} in the plan; mend the row; {rest}"

    def _typed(self, tag: str, piece: RackPiece | None, count: int) -> str:
        """The pieces of a tag that are not there, as a shell wants them: the last ones, or all."""
        there = piece.count if piece and piece.count < count else 0
        sawn = [b for b in self._plan.boards if b.tag == tag and self._happened.sawn(b)]
        typed = ",".join(self._marks[board.id] for board in sawn[there:])
        return f'"{typed}"' if " " in typed else typed

    def _spoiled(self, board: Board) -> str:
        off = [blank.id for blank in board.blanks if blank.id in self._happened.spoiled]
        spoiled = [*board.spoiled, *off]
        return f"spoiled: {', '.join(spoiled)}" if spoiled else ""

    def _bought(self, board: Board) -> Iterator[Line]:
        """In, and out again if it was sawn; else it lies on the rack, as long as it is usable."""
        bought = RackPiece(
            tag=board.id,
            lumber=lumber_of(board),
            width=board.width,
            length=board.length,
            size=board.size,
        )
        source = f"{board.offer}, {board.store}"
        if self._happened.sawn(board):
            yield self._line(What.BOUGHT, bought, 1, source)
            yield self._line(What.SAWN, bought, -1, self._spoiled(board))
            return
        pieces = handed_over(board, self._shelf.stock.shop)
        tags = [next(self._new_tags) for _ in pieces]
        on = "it" if len(pieces) == 1 else "its pieces, from the left end"
        self.remarks.append(f"{board.id} was not sawn: write {', '.join(tags)} on {on}")
        for tag, piece in zip(tags, pieces, strict=True):
            lies = replace(bought, tag=tag, length=piece.usable, bay=self._happened.bay)
            left = self._left_of(board, piece.x, piece.usable, board.width, tag)
            line = self._line(What.BOUGHT, lies, 1, f"{source}; not sawn, {ENDS_ON}")
            yield replace(line, also=tuple(as_typed(left, self._plan.unit)))

    def _kept(self, piece: Piece) -> Line:
        board = self._boards[piece.board]
        tag = piece.tag
        if not tag or tag.casefold() in self._rack:
            tag = next(self._new_tags)
            was = f", for {piece.tag} is on the rack already" if piece.tag else ""
            size = " x ".join(
                format_length(x, self._plan.unit) for x in (piece.width, piece.length)
            )
            self.remarks.append(
                f"write {tag} on the leftover {size} of {self._marks[board.id]}{was}"
            )
        kept = RackPiece(
            tag=tag,
            lumber=lumber_of(board),
            width=piece.width,
            length=piece.length,
            size=board.size if piece.width == board.width else "",
            bay=piece.bay or self._happened.bay or board.bay,
        )
        left = self._as_left(board, piece)
        source = self._rack.get(board.tag.casefold()) if board.tag else None
        if source and (source.crook or source.bad) and not self._lay_so(board, piece):
            self.remarks.append(f"{tag} is left of a board with faults: measure its own")
        note = f"left of {self._marks[board.id]}, {self._plan.job}"
        if board.unsawn(piece.tag):
            note += f"; {ENDS_ON}"
        line = self._line(What.KEPT, kept, 1, note)
        return replace(line, also=tuple(as_typed(left, self._plan.unit)))

    def _as_left(self, board: Board, piece: Piece) -> RackPiece:
        """A leftover with what is known of its board: if it does not lie as planned, not where on
        it, and so none of its faults.
        """
        planned = self._lay_so(board, piece)
        x = planned.x if planned else Length(0)
        left = self._left_of(board, x, piece.length, piece.width, piece.tag or board.id)
        return left if planned else replace(left, crook=Length(0), bad=())

    def _lay_so(self, board: Board, piece: Piece) -> Leftover | None:
        """The leftover of the plan that a piece is, as long and wide as planned."""
        size = (piece.tag, piece.length, piece.width)
        return next((x for x in board.leftovers if (x.tag, x.length, x.width) == size), None)

    def _left_of(
        self, board: Board, x: Length, length: Length, width: Length, tag: str
    ) -> RackPiece:
        return piece_of(board, x, length, width, tag, self._shelf.stock)


def still_same(board: Board, piece: RackPiece) -> bool:
    """Whether a rack piece is still what the plan took it for."""
    measures = (board.thickness, board.width, board.length, board.treated)
    lying = (piece.lumber.thickness, piece.width, piece.length, piece.lumber.treated)
    return measures == lying and same_wood(board.wood, piece.lumber.wood)
