"""The audit at the bench: planed, jointed and glued, the blanks must give the parts as drawn.

Each rule starts from the blanks as they lie on their boards and takes off what the machines take:
skim on each face before glue, last pass on the two outer faces after it, jointing on each sawn or
glued edge, extra length at the ends. What is left must be the finished size; and no blank may be
longer or wider than rounding up to the tape (1/16 in, 1 mm) explains. Lengths are inches.

The allowances are common practice, no source; each is a setting of the shop.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain

from optimizer.job.parts import Faces, Job, Make, Part, Treatment
from optimizer.plan.plan import Blank, Board, MadePart, Plan
from stock.lengths import Length, Unit, exact_text
from stock.stock_book import StockBook
from stock.wood import same_wood, stands_for

TAPE_STEP = {Unit.IN: Fraction(1, 16), Unit.MM: Unit.MM.inches}


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """One blank of a part, with the board that it comes from."""

    blank: Blank
    board: Board

    @property
    def thickness(self) -> Length:
        """A blank is as thick as its board: nothing is turned on edge."""
        return self.board.thickness

    @property
    def own_edges(self) -> bool:
        return self.blank.width == self.board.width


def members_of(plan: Plan) -> dict[str, Member]:
    """Every blank of ``plan`` by its id."""
    return {
        blank.id: Member(blank=blank, board=board)
        for board in plan.boards
        for blank in board.blanks
    }


def making_findings(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    """Sentences on every part that is not made as often, of what and to the size it should be."""
    yield from _each_copy_is_made_once(plan, job)
    yield from _each_blank_is_used(plan)
    parts = {part.name: part for part in job.parts}
    sawn = members_of(plan)
    for made in plan.parts:
        if made.part in parts and all(blank in sawn for blank in made.blanks):
            bench = _Bench(made, parts[made.part], sawn, stock)
            for finding in chain(bench.as_drawn(), bench.of_right_wood(), bench.of_right_size()):
                yield f"{made.part}, copy {made.copy}: {finding}"


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


def _each_blank_is_used(plan: Plan) -> Iterator[str]:
    uses = Counter(blank for made in plan.parts for blank in made.blanks)
    holds = {blank.id: blank.holds for board in plan.boards for blank in board.blanks}
    for blank, copies in holds.items():
        if uses[blank] != copies:
            yield f"blank {blank} holds {copies} and stands in {uses[blank]} parts"
    for blank in uses:
        if blank not in holds:
            yield f"blank {blank} stands in a part, and no board gives it"
    of_part = {(blank, made.part) for made in plan.parts for blank in made.blanks}
    for blank, parts in Counter(blank for blank, _ in of_part).items():
        if parts > 1:
            yield f"blank {blank} stands in copies of {parts} parts"


class _Bench:
    """One copy of a part and its blanks, at the bench of the shop."""

    def __init__(
        self, made: MadePart, part: Part, sawn: dict[str, Member], stock: StockBook
    ) -> None:
        self.made, self.part, self.shop = made, part, stock.shop
        self.board_widths = {piece.width for piece in stock.rack}
        self.board_widths |= {offer.width for offer in stock.offers}
        self.members = [sawn[blank] for blank in made.blanks]
        self.skim, self.last = 2 * self.shop.skim_per_face, 2 * self.shop.last_pass_per_face
        self.jointing = 2 * self.shop.jointing_per_edge
        self.step = TAPE_STEP[self.shop.unit]

    # what the drawing asks for -----------------------------------------------------------------

    def as_drawn(self) -> Iterator[str]:
        made, part = self.made, self.part
        finished = (made.length, made.width, made.thickness)
        if finished != (part.length + sum(part.tenons), part.width, part.thickness):
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

    # what comes off the machines ---------------------------------------------------------------

    def of_right_size(self) -> Iterator[str]:
        plies, strips = len(self.made.layup), max(map(len, self.made.layup), default=0)
        if self.made.planed:
            yield from self._planes_safely()
        if any(len(strip) != 1 for ply in self.made.layup for strip in ply):
            yield "has a strip that is not one blank, which cannot be proven yet"
        elif plies == strips == 1:
            yield from self._solid_planed() if self.made.planed else self._solid_as_bought()
        elif plies > 1 and strips == 1:
            yield from self._face_glue_up()
        elif plies == 1 and strips > 1 and self.made.planed:
            yield from self._edge_glue_up()
        else:
            yield f"has {plies} plies of {strips} strips, which cannot be proven yet"

    def _solid_as_bought(self) -> Iterator[str]:
        member = self.members[0]
        yield from self._thick_as_bought(member.thickness)
        yield from self._long(member, rough=False)
        yield from self._measures("width", member.blank.width, self.part.width, over=Fraction(0))

    def _solid_planed(self) -> Iterator[str]:
        member = self.members[0]
        yield from self._thick_enough(member.thickness - self.skim - self.last)
        yield from self._long(member, rough=True)
        if not (member.own_edges and member.blank.width == self.part.width):
            need = self.part.width + self.jointing
            yield from self._measures("width", member.blank.width, need, over=self.step)

    def _face_glue_up(self) -> Iterator[str]:
        if len(self.members) > self.shop.most_plies:
            yield f"has {len(self.members)} plies, more than the most plies"
        if self.made.planed:
            left = sum((member.thickness - self.skim for member in self.members), -self.last)
            yield from self._thick_enough(left)
            if left - self.part.thickness > self.shop.most_planed_away and not self.made.remarks:
                yield "loses more than the most planed away, and the maker is not told"
        else:
            if self.part.faces is not Faces.AS_BOUGHT:
                yield "is glued with its faces as bought, which is not typed"
            stack = sum((member.thickness for member in self.members), Fraction(0))
            yield from self._thick_as_bought(stack)
        for member in self.members:
            yield from self._long(member, rough=True)
            need = self.part.width + self.jointing + self.shop.slip
            yield from self._measures("width", member.blank.width, need, over=self.step)

    def _edge_glue_up(self) -> Iterator[str]:
        if len({member.thickness for member in self.members}) > 1:
            yield "has strips of unlike thickness"
        yield from self._thick_enough(self.members[0].thickness - self.skim - self.last)
        for member in self.members:
            yield from self._long(member, rough=True)
            if not self.shop.narrowest_strip <= member.blank.width <= self.shop.widest_strip:
                yield f"a strip {self._say(member.blank.width)} wide is too narrow or too wide"
        if len(self.members) > self.shop.most_strips:
            yield f"has {len(self.members)} strips, more than the most strips"
        jointed = [member.blank.width - self.jointing for member in self.members]
        panel, need = sum(jointed, Fraction(0)), self.part.width + self.jointing
        over = self.step * len(jointed)
        if any(member.blank.width in self.board_widths for member in self.members):
            over = max(over, min(jointed))  # a board's own width may be too much, a whole strip not
        yield from self._measures("width", panel, need, over=over)
        if need > self.shop.widest_to_plane and not self.made.remarks:
            yield "is a panel wider than the widest to plane, and the maker is not told"

    def _planes_safely(self) -> Iterator[str]:
        for member in self.members:
            if member.blank.length < self.shop.shortest_to_plane:
                yield f"blank {member.blank.id} is shorter than the shortest to plane"
            if member.blank.width > self.shop.widest_to_plane:
                yield f"blank {member.blank.id} is wider than the widest to plane"

    # the measures ------------------------------------------------------------------------------

    def _long(self, member: Member, *, rough: bool) -> Iterator[str]:
        """Long enough for the copies that the blank holds end to end, a kerf between them."""
        copies = member.blank.holds
        rough = rough or copies > 1
        need = copies * (self.part.length + sum(self.part.tenons))
        need += (copies - 1) * self.shop.crosscut_kerf
        need += self.shop.extra_length if rough else 0
        over = self.step if rough else Fraction(0)
        if copies > 1:  # short parts share a blank that may be just as long as the machines ask
            machines = max(self.shop.shortest_to_plane, self.shop.shortest_to_rip)
            over += max(machines - need, Fraction(0))
        yield from self._measures("length", member.blank.length, need, over=over)

    def _measures(self, what: str, actual: Length, need: Length, *, over: Length) -> Iterator[str]:
        """``actual`` is ``need``, or more by less than ``over``."""
        if actual < need:
            yield f"{what} {self._say(actual)} is under the {self._say(need)} that it needs"
        elif actual > need and actual - need >= over:
            yield f"{what} {self._say(actual)} is over the {self._say(need)} that it needs"

    def _thick_enough(self, left: Length) -> Iterator[str]:
        if left < self.part.thickness:
            yield f"is too thin: {self._say(left)} is left for {self._say(self.part.thickness)}"

    def _thick_as_bought(self, thickness: Length) -> Iterator[str]:
        least = self.part.thickness_at_least
        near = abs(thickness - self.part.thickness) <= self.shop.as_bought_within
        if not near and not (least is not None and least <= thickness <= self.part.thickness):
            wanted = self._say(self.part.thickness)
            yield f"is {self._say(thickness)} thick as bought, and should be {wanted}"

    def _say(self, length: Length) -> str:
        return exact_text(length, self.shop.unit)
