"""Rack pieces that no job of the last year would have used."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from optimizer.plan.carried_out import plan_name
from optimizer.plan.plan import Board, Plan
from optimizer.plan.plan_file import PlanFileError, read_plan
from stock.journal import Journal, Stack, What, lines_of, stack_of
from stock.pieces import RackPiece
from stock.wood import same_wood

A_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True, kw_only=True)
class LastYear:
    """The plans settled in the last year that were found, and the names of those that were not;
    ``newer`` are the pieces that came to the rack only with the last of them or after it.
    """

    plans: tuple[Plan, ...]
    lost: tuple[str, ...]
    newer: frozenset[Stack] = frozenset()


def plans_of_last_year(journal: Journal, folder: Path, today: date) -> LastYear:
    """The settled plans of the last 365 days, from the plan files anywhere below ``folder``."""
    recent = dict.fromkeys(
        line.plan for line in journal if line.plan and today - line.day <= A_YEAR
    )
    wanted = [name for name in recent if lines_of(journal, name)]
    found: dict[str, Plan] = {}
    for path in sorted(folder.rglob("plan.json")) if wanted else ():
        try:
            plan = read_plan(path)
        except PlanFileError:
            continue  # no plan of ours
        found[plan_name(plan)] = plan
    known = [name for name in wanted if name in found]
    return LastYear(
        plans=tuple(found[name] for name in known),
        lost=tuple(name for name in wanted if name not in found),
        newer=frozenset(_came_with_or_after(journal, known)),
    )


def _came_with_or_after(journal: Journal, plans: Sequence[str]) -> Iterator[Stack]:
    """The pieces that lay on the rack before none of the plans was carried out."""
    first = [journal.index(lines_of(journal, name)[0]) for name in plans]
    for line in journal[max(first, default=len(journal)) :]:
        if line.count > 0 and line.what is not What.UNDONE:
            yield stack_of(line.piece)


def never_used(rack: Iterable[RackPiece], year: LastYear) -> list[RackPiece]:
    """The pieces that hold no blank of any plan of the year; newer ones aside, which no job could
    have used yet.
    """
    boards = [board for plan in year.plans for board in plan.boards]
    return [
        piece
        for piece in rack
        if stack_of(piece) not in year.newer and not any(_holds(piece, board) for board in boards)
    ]


def _holds(piece: RackPiece, board: Board) -> bool:
    """Whether a blank of ``board`` could have come out of ``piece``."""
    lumber = (piece.lumber.treated, piece.lumber.thickness) == (board.treated, board.thickness)
    return (
        lumber
        and same_wood(piece.lumber.wood, board.wood)
        and any(b.length <= piece.length and b.width <= piece.width for b in board.blanks)
    )
