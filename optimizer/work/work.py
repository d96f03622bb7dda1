"""A plan as work, whole: from what is written on the boards to the day on which parts are done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import chain

from optimizer.plan.marks import Marks, NearAlike, near_alike, piece_marks
from optimizer.plan.plan import Board, CutKind, Plan
from optimizer.work.days import Step, day_plan
from optimizer.work.gluing import Batch, batches, stacks
from optimizer.work.order import Pass, order_of_work, settings_needed
from optimizer.work.saw_cuts import Fate, SawCut, SawnPiece, saw_cuts
from stock.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class SawnBoard:
    """A board with its mark, its cuts in order, and what lies on the bench after the last one."""

    board: Board
    mark: str
    cuts: tuple[SawCut, ...]
    pieces: tuple[SawnPiece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunIn:
    """What of ``thickness`` goes through the planer before and after the blanks.

    The planer snipes the first and the last piece of a run, some 2 to 3 in at each end (from
    memory). ``pieces`` are two that the machine takes, with the marks of their boards: scrap, or
    where none will do, the smallest leftovers.
    """

    thickness: Length
    pieces: tuple[tuple[str, SawnPiece], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """Everything that pages for saw and bench say."""

    plan: Plan
    marks: Marks
    near_alike: tuple[NearAlike, ...]
    boards: tuple[SawnBoard, ...]
    passes: tuple[Pass, ...]
    batches: tuple[Batch, ...]
    run_ins: tuple[RunIn, ...]
    days: tuple[Step, ...]

    @property
    def settings(self) -> int:
        """How often stop or fence is set in the order of work."""
        return settings_needed(cut for each in self.passes for cut in each.cuts)

    @property
    def settings_by_board(self) -> int:
        """… and when one board after another is sawn."""
        return settings_needed(cut for board in self.boards for cut in board.cuts)


def work_of(plan: Plan) -> Work:
    """The work that ``plan`` asks for.

    Raises:
        RackfirstError: where a cut wants a piece that is not there, which no audited plan does.
    """
    marks = piece_marks(plan)
    ordered = order_of_work([saw_cuts(plan, board, marks) for board in plan.boards])
    boards = tuple(_sawn_in_order(plan, marks, ordered))
    cuts = {(cut.board, cut.planned): cut for each in boards for cut in each.cuts}
    glued = batches(stacks(plan, marks), plan.practice.clamps)
    return Work(
        plan=plan,
        marks=marks,
        near_alike=tuple(near_alike(plan)),
        boards=boards,
        passes=tuple(_with(cuts, each) for each in ordered),
        batches=glued,
        run_ins=tuple(_run_ins(plan, boards)),
        days=tuple(day_plan(plan, glued)),
    )


def _sawn_in_order(plan: Plan, marks: Marks, passes: Iterable[Pass]) -> Iterator[SawnBoard]:
    """Each board sawn anew in the order of work, so that marks and numbers come in that order."""
    orders = {
        board.id: [cut.n for cut in board.cuts if cut.kind is CutKind.YARD] for board in plan.boards
    }
    for cut in chain.from_iterable(each.cuts for each in passes):
        orders[cut.board].append(cut.planned)
    for board in plan.boards:
        planned = {cut.n: cut for cut in board.cuts}
        ordered = replace(board, cuts=tuple(planned[n] for n in orders[board.id]))
        cuts = tuple(saw_cuts(plan, ordered, marks))
        pieces = tuple(_at_the_end(board, cuts))
        yield SawnBoard(board=board, mark=marks.boards[board.id], cuts=cuts, pieces=pieces)


def _with(cuts: dict[tuple[str, int], SawCut], each: Pass) -> Pass:
    settings = (
        replace(setting, cuts=tuple(cuts[cut.board, cut.planned] for cut in setting.cuts))
        for setting in each.settings
    )
    return replace(each, settings=tuple(settings))


def _at_the_end(board: Board, cuts: Iterable[SawCut]) -> Iterator[SawnPiece]:
    """What the cuts give that is not cut on, leftovers as long as they are usable; a board without
    a cut is left to its blank, if it is not kept.
    """
    for side in (side for cut in cuts for side in cut.sides):
        if side.fate in (Fate.BLANK, Fate.SCRAP):
            yield side
    for left in board.leftovers:
        yield SawnPiece(
            mark=left.tag,
            fate=Fate.LEFTOVER,
            x=left.x,
            y=left.y,
            length=left.length,
            width=left.width,
        )


def _run_ins(plan: Plan, boards: Iterable[SawnBoard]) -> Iterator[RunIn]:
    planed = {blank for made in plan.parts if made.planed for blank in made.blanks}
    thicknesses = {
        each.board.thickness
        for each in boards
        if any(blank.id in planed for blank in each.board.blanks)
    }
    for thickness in sorted(thicknesses, reverse=True):
        fit = [
            (each.mark, piece)
            for each in boards
            if each.board.thickness == thickness and not each.board.treated
            for piece in each.pieces
            if piece.fate in (Fate.SCRAP, Fate.LEFTOVER)
            and piece.length >= plan.practice.shortest_to_plane
            and piece.width >= thickness  # it must lie flat on the table
        ]
        fit.sort(key=lambda one: (one[1].fate is Fate.LEFTOVER, one[1].length * one[1].width))
        yield RunIn(thickness=thickness, pieces=tuple(fit[:2]))
