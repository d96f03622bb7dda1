"""What is one job's own in a plan for several."""

from __future__ import annotations

from dataclasses import replace

from optimizer.job.parts import prefix
from optimizer.plan.plan import Board, Plan


def parts_of(plan: Plan, job: str) -> Plan:
    """The plan with only the parts of ``job``, under their own names, and their boards.

    Equal pieces of one tag all stay, so that they are numbered as in the whole plan.
    """
    before = prefix(job)
    parts = [
        replace(made, part=made.part.removeprefix(before))
        for made in plan.parts
        if made.part.startswith(before)
    ]
    own = {blank for made in parts for blank in made.blanks}
    tags = {board.tag for board in plan.boards if _gives(board, own)} - {""}
    boards = [board for board in plan.boards if board.tag in tags or _gives(board, own)]
    return replace(plan, job=job, parts=tuple(parts), boards=tuple(boards))


def _gives(board: Board, blanks: set[str]) -> bool:
    return any(blank.id in blanks for blank in board.blanks)


def own_blanks(plan: Plan, job: str, board: Board) -> int:
    """How many blanks of ``board`` are for ``job``."""
    own = {blank for made in parts_of(plan, job).parts for blank in made.blanks}
    return sum(blank.id in own for blank in board.blanks)
