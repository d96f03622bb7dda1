"""The audit in the middle of a job: which cuts are made, and which blanks are spoiled.

Only the maker knows how far the sawing is. But a cut is made for a blank: whatever is made leads to
a blank that came off by now, or to wood that a spoiled one may have been. The yard's cuts are made
before the board comes home, and nothing spoiled is used again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from optimizer.plan.audit_wood import wood_of
from optimizer.plan.plan import Board, Cut, CutKind, Plan
from stock.stock_book import StockBook

_ONE_SIDED = (CutKind.TRIM, CutKind.JOINT, CutKind.STRAIGHTEN)
"""Of these one side is never a blank."""


def begun_findings(plan: Plan, stock: StockBook) -> Iterator[str]:
    """Sentences on boards that cannot stand so in the middle of the job."""
    used = {blank.id for board in plan.boards for blank in board.blanks}
    used |= {blank for made in plan.parts for blank in made.blanks}
    for name, times in Counter(name for board in plan.boards for name in board.spoiled).items():
        if name in used:
            yield f"blank {name} is spoiled, and is used"
        if times > 1 or not name:
            yield f"blank {name!r} is spoiled {times} times"
    for board in plan.boards:
        pith = bool(board.made) and wood_of(board, stock).pith is not None
        for finding in (*_made(board, pith), *_spoiled(board)):
            yield f"board {board.id}: {finding}"


def _made(board: Board, pith: bool) -> Iterator[str]:
    """Each cut that is made set free a blank, or led to one; one beside the pith goes with the
    other.
    """
    cuts = board.cuts[: board.made]
    yards = sum(cut.kind is CutKind.YARD for cut in board.cuts)
    if cuts and board.made < yards:
        yield f"{board.made} of its cuts are made, and {yards} by the yard"
    leads = {blank.id for blank in board.blanks}
    idle: list[int] = []
    for cut in reversed(cuts):
        beside_pith = pith and cut.kind is CutKind.RIP and not cut.gives[0]
        if not leads.isdisjoint(cut.gives) or (board.spoiled and _may_be_blanks(cut)):
            leads.add(cut.piece)
        elif cut.kind is not CutKind.YARD and not beside_pith:
            idle.append(cut.n)
    for number in reversed(idle):
        yield f"cut {number} is made, and no blank came off by it"


def _spoiled(board: Board) -> Iterator[str]:
    """There is wood for what is spoiled: the whole board, or what came off as scrap so far."""
    there = sum(_may_be_blanks(cut) for cut in board.cuts[: board.made])
    if not board.cuts and not board.blanks and not board.leftovers:
        there = 1
    if len(board.spoiled) > there:
        yield f"{len(board.spoiled)} of its blanks are spoiled, and {there} came off so far"


def _may_be_blanks(cut: Cut) -> int:
    """How many spoiled blanks came off by a cut at the most."""
    if cut.kind is CutKind.YARD:
        return 0
    return max(cut.gives.count("") - (cut.kind in _ONE_SIDED), 0)
