"""A plan may hold its rack pieces, so that the plan of another job leaves them alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from pathlib import Path

from optimizer.plan.carried_out import Settled, plan_name, still_same
from optimizer.plan.plan import Plan
from stock.errors import RackfirstError
from stock.home_boards import CAME_HOME
from stock.journal import Journal, Line, What
from stock.pieces import RackPiece
from stock.rack_change import change_rack
from stock.rack_writing import Change, Shelf


def hold(plan: Plan, book: Path, now: datetime, *, release: bool = False) -> Settled:
    """Holds the plan's rack pieces for its job, or releases them. A tag is held whole.

    Raises:
        RackfirstError: where a piece is not on the rack, is held for another job, or the book
            cannot be changed.
    """
    remarks: list[str] = []

    def decide(shelf: Shelf) -> Change:
        lines = list(_held(plan, shelf, now.date(), release=release))
        remarks.extend(_held_beyond(plan, lines))
        held = {line.piece.tag.casefold(): "" if release else plan.job for line in lines}
        return Change(lines=lines, held=held)

    written = change_rack(book, decide, now)
    return Settled(written=written, remarks=tuple(remarks))


def _held(plan: Plan, shelf: Shelf, day: date, *, release: bool) -> Iterator[Line]:
    wanted = {board.tag.casefold(): board for board in plan.boards if board.from_rack}
    rack = {piece.tag.casefold(): piece for piece in shelf.stock.rack}
    job = plan.job.casefold()
    for tag, board in wanted.items():
        piece = rack.get(tag)
        if piece is None or not still_same(board, piece):
            if release:
                continue
            raise RackfirstError(
                f"{board.tag} is not on the rack as the plan has it: plan again ({CAME_HOME}), "
                "then hold"
            )
        if piece.held_for.casefold() not in ("", job):
            raise RackfirstError(f"{piece.tag} is held for {piece.held_for}; plan again, then hold")
        if bool(piece.held_for) == release:
            what = What.FREED if release else What.HELD
            yield Line(day=day, what=what, piece=piece, count=0, plan=plan_name(plan))


def _held_beyond(plan: Plan, lines: Iterable[Line]) -> Iterator[str]:
    used = Counter(board.tag.casefold() for board in plan.boards)
    for line in lines:
        if line.what is What.HELD and line.piece.count > used[line.piece.tag.casefold()]:
            yield (
                f"all {line.piece.count} pieces of {line.piece.tag} are held, and "
                f"{used[line.piece.tag.casefold()]} used: give the others a tag of their own"
            )


def holds(name: str, journal: Journal, rack: Iterable[RackPiece]) -> bool:
    """Whether the plan called ``name`` holds a piece of the rack."""
    held: set[str] = set()
    for line in journal:
        if line.what is What.HELD and line.plan == name:
            held.add(line.piece.tag.casefold())
        elif line.what is What.FREED:
            held.discard(line.piece.tag.casefold())
    return any(piece.held_for and piece.tag.casefold() in held for piece in rack)


def freed_by(name: str, shelf: Shelf, lines: Iterable[Line], day: date) -> Iterator[Line]:
    """What plans of its job held, and the plan called ``name``, by its ``lines``, did not use."""
    job = name.rpartition(" ")[0]
    held = {
        line.piece.tag.casefold()
        for line in shelf.journal
        if line.what is What.HELD and line.plan.rpartition(" ")[0] == job
    }
    gone = Counter[str]()
    for line in lines:
        gone[line.piece.tag.casefold()] -= line.count
    for piece in shelf.stock.rack:
        tag = piece.tag.casefold()
        if tag in held and piece.held_for and piece.count > gone[tag]:
            yield Line(day=day, what=What.FREED, piece=piece, count=0, plan=name)
