"""The audit at the bench: each copy is made once, as drawn, of the right wood, out of its blanks.

What the machines leave of these is told by ``audit_milling``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import chain
from math import ceil

from optimizer.job.parts import Faces, Job, Make, Part, Treatment
from optimizer.plan.audit_milling import Member, Mill, members_of
from optimizer.plan.plan import MadePart, Plan
from stock.stock_book import StockBook
from stock.wood import same_wood, stands_for


def making_findings(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    """Sentences on every part that is not made as often, of what and to the size it should be."""
    yield from _each_copy_is_made_once(plan, job)
    yield from _spares_for_what_fails(plan, stock, job)
    yield from _each_blank_is_used(plan, job)
    yield from _pairs_stay_together(plan, job)
    parts = {part.name: part for part in job.parts}
    of_one_board = {
        part.name: [p for p in job.parts if _of_one_board(p, part)] for part in job.parts
    }
    sawn = members_of(plan)
    for made in plan.parts:
        if made.part in parts and all(blank in sawn for blank in made.blanks):
            part, beside = parts[made.part], of_one_board[made.part]
            bench, mill = _Bench(made, part, sawn, beside), Mill(made, part, sawn, stock, beside)
            for finding in chain(
                bench.as_drawn(),
                bench.of_right_wood(),
                bench.out_of_one_length(),
                mill.findings(),
            ):
                yield f"{made.part}, copy {made.copy}: {finding}"


def _of_one_board(one: Part, other: Part) -> bool:
    """Whether both are to come out of one board; each part with itself."""
    named = one.of_board.casefold() == other.of_board.casefold() != ""
    return named or one is other


def _each_copy_is_made_once(plan: Plan, job: Job) -> Iterator[str]:
    made = Counter((copy.part, copy.copy, copy.spare) for copy in plan.parts)
    wanted = Counter(
        (part.name, number, number > part.count)
        for part in job.parts
        for number in range(1, part.copies + 1)
    )
    for name, number, spare in wanted - made:
        yield f"{name}, copy {number}{' (spare)' if spare else ''}: is not made"
    for name, number, spare in made - wanted:
        yield f"{name}, copy {number}{' (spare)' if spare else ''}: is made, and not asked for"


def _spares_for_what_fails(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    """Of the parts of a grade so many in a hundred fail at the saw: as many more are made, one of
    them of the longest.
    """
    for grade, percent in stock.shop.rejected:
        parts = [part for part in job.parts if part.grade.casefold() == grade.casefold()]
        made = Counter(copy.part for copy in plan.parts)
        count = sum(part.count for part in parts)
        fail = ceil(count * percent / 100)
        more = sum(made[part.name] for part in parts) - count
        if more < fail:
            yield f"grade {grade}: {fail} of {count} will fail at the saw, and {more} more are made"
        longest = max((part.length + sum(part.tenons) for part in parts), default=0)
        spared = {part.length + sum(part.tenons) for part in parts if made[part.name] > part.count}
        if fail and longest not in spared:
            yield f"grade {grade}: of its longest part no spare is made"


def _pairs_stay_together(plan: Plan, job: Job) -> Iterator[str]:
    """Of parts that go in pairs only an odd copy is alone in its blank."""
    sawn = members_of(plan)
    alone = Counter(
        made.part
        for made in plan.parts
        if any(sawn[blank].blank.holds == 1 for blank in made.blanks if blank in sawn)
    )
    for part in job.parts:
        if part.pairs and alone[part.name] > part.copies % 2:
            yield f"{part.name}: {alone[part.name]} copies are not out of one blank with their pair"


def _each_blank_is_used(plan: Plan, job: Job) -> Iterator[str]:
    uses = Counter(blank for made in plan.parts for blank in made.blanks)
    holds = {blank.id: blank.holds for board in plan.boards for blank in board.blanks}
    for blank, copies in holds.items():
        if uses[blank] != copies:
            yield f"blank {blank} holds {copies} and stands in {uses[blank]} parts"
    for blank in uses:
        if blank not in holds:
            yield f"blank {blank} stands in a part, and no board gives it"
    board = {part.name: part.of_board.casefold() or part for part in job.parts}
    of_part = {
        (blank, board.get(made.part, made.part)) for made in plan.parts for blank in made.blanks
    }
    for blank, parts in Counter(blank for blank, _ in of_part).items():
        if parts > 1:
            yield f"blank {blank} stands in copies of {parts} parts"


class _Bench:
    """One copy of a part and its blanks, beside the drawing."""

    def __init__(
        self, made: MadePart, part: Part, sawn: dict[str, Member], beside: list[Part]
    ) -> None:
        self.made, self.part, self.beside = made, part, beside
        self.members = [sawn[blank] for blank in made.blanks]

    def as_drawn(self) -> Iterator[str]:
        made, part = self.made, self.part
        finished = (made.length, made.width, made.thickness)
        least = part.thickness if part.thickness_at_least is None else part.thickness_at_least
        thickness = made.thickness if made.planed and made.thickness >= least else part.thickness
        if finished != (part.length + sum(part.tenons), part.width, min(thickness, part.thickness)):
            yield "has another finished size than the drawing"
        if made.tenons != part.tenons:
            yield "has other tenons than the drawing"
        if made.glued != (len(self.members) > 1):
            yield f"is {'glued' if made.glued else 'solid'} of {len(self.members)} blanks"
        if part.make is (Make.SOLID if made.glued else Make.GLUED):
            yield f"is to be {part.make}"
        if part.faces is (Faces.AS_BOUGHT if made.planed else Faces.PLANED):
            yield f"is to have its faces {part.faces}"

    def of_right_wood(self) -> Iterator[str]:
        boards = [member.board for member in self.members]
        for board in boards:
            if not stands_for(board.wood, self.part.wood):
                yield f"board {board.id} is {board.wood or 'of unknown wood'}, not {self.part.wood}"
        if any(not same_wood(board.wood, boards[0].wood) for board in boards):
            yield "is glued of unlike woods"
        treated = {board.treated for board in boards}
        wanted = {Treatment.NO: {False}, Treatment.YES: {True}}
        if treated != wanted.get(self.part.treated, treated):
            yield f"treated wood: {self.part.treated} on the drawing, and not so on its boards"
        if True in treated and (self.made.planed or self.made.glued):
            yield "treated wood is not planed or glued"

    def out_of_one_length(self) -> Iterator[str]:
        """Copies that belong together lie in one blank."""
        holds = {member.blank.holds for member in self.members}
        if self.part.same_board and holds != {self.part.copies}:
            yield "is not out of one blank with all its copies"
        if self.part.of_board and holds != {sum(part.copies for part in self.beside)}:
            yield f"is not out of one blank with all of board {self.part.of_board}"
        if self.part.of_board and self.made.glued:
            yield f"is to be out of board {self.part.of_board}, and is glued"
        if self.part.pairs and not holds <= {1, 2, 3}:
            yield "is not out of one blank with its pair"
