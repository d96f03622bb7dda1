"""The audit at the machines: planed, jointed and glued, the blanks must give the part as drawn.

Each rule starts from the blanks as they lie on their boards and takes off what the machines take:
skim on each face before glue, last pass on the two outer faces after it, jointing on each sawn or
glued edge, edge trim where that is more and the edge meets glue, extra length at the ends. What is
left must be the finished size; and no blank may be longer or wider than rounding up to the tape
(1/16 in, 1 mm) explains, or the shortest that a machine takes. Lengths are inches.

The allowances are common practice, no source; each is a setting of the shop, and a part may have
its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

from optimizer.job.parts import Faces, Part
from optimizer.plan.audit_grain import laid_in_one
from optimizer.plan.audit_wood import TAPE_STEP
from optimizer.plan.plan import Blank, Board, MadePart, Plan
from stock.lengths import Length, exact_text
from stock.stock_book import StockBook


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


class Mill:
    """One copy of a part, and what the machines of the shop leave of its blanks."""

    def __init__(
        self,
        made: MadePart,
        part: Part,
        sawn: dict[str, Member],
        stock: StockBook,
        beside: Sequence[Part],
    ) -> None:
        own: dict[str, Any] = dict(part.own)
        self.made, self.part, self.stock, self.beside = made, part, stock, beside
        self.shop = replace(stock.shop, **own) if own else stock.shop
        self.plies = [[[sawn[blank] for blank in strip] for strip in ply] for ply in made.layup]
        self.members = [member for ply in self.plies for strip in ply for member in strip]
        self.skim, self.last = 2 * self.shop.skim_per_face, 2 * self.shop.last_pass_per_face
        self.jointing = 2 * self.shop.jointing_per_edge
        self.at_glue = max(self.jointing, 2 * self.shop.edge_trim)
        self.step = TAPE_STEP[self.shop.unit]
        self.stacked = len(self.plies) > 1

    def findings(self) -> Iterator[str]:
        """Sentences on every measure that does not come out, and every act that is not safe."""
        if not self.members or not all(strip for ply in self.plies for strip in ply):
            yield "has no blanks, or a strip without one"
            return
        yield from self._held_and_planed_safely()
        if len({member.blank.holds for member in self.members}) > 1:
            yield "has blanks that hold unlike numbers of copies"
        if (self.part.same_board or self.part.of_board) and len(self.members) == 1:
            yield from self._in_one_blank(self.members[0])
            yield from self._thick()
            return
        for number, ply in enumerate(self.plies):
            inner = 0 < number < len(self.plies) - 1
            for strip in ply:
                yield from self._long(strip) if len(strip) == 1 else self._joined(strip, inner)
        yield from self._thick()
        yield from self._wide()
        if self.stacked:
            yield from self._joints_lie_apart()

    # what the machines allow -------------------------------------------------------------------

    def _held_and_planed_safely(self) -> Iterator[str]:
        shop = self.shop
        for member in self.members:
            blank, ripped = member.blank, member.blank.width < member.board.width
            if blank.length < shop.held_at_crosscut:
                yield f"blank {blank.id} is too short to be held at a crosscut"
            if self.made.planed and blank.length < shop.shortest_to_plane:
                yield f"blank {blank.id} is shorter than the shortest to plane"
            if self.made.planed and blank.width > shop.widest_to_plane:
                yield f"blank {blank.id} is wider than the widest to plane"
            if ripped and member.thickness > shop.deepest_rip and not self.made.remarks:
                yield f"blank {blank.id} is ripped from both faces, and the maker is not told"
        if len(self.plies) > shop.most_plies:
            yield f"has {len(self.plies)} plies, more than the most plies"
        if max(map(len, self.plies)) > shop.most_strips:
            yield f"has {max(map(len, self.plies))} strips, more than the most strips"

    # all copies in one blank -------------------------------------------------------------------

    def _in_one_blank(self, member: Member) -> Iterator[str]:
        """End to end, or some of them side by side: in one of these ways it must come out."""
        counts = {part.name: part.copies for part in self.beside}
        if not self.part.of_board:
            counts = {self.part.name: member.blank.holds}
        found = [
            [*self._long_of(along, member.blank.length), *self._across(across, member)]
            for along, across in laid_in_one(self.beside, counts)
        ]
        yield from min(found, key=len, default=["is of one board with parts unlike it"])

    def _across(self, widths: Sequence[Length], member: Member) -> Iterator[str]:
        yield from self._one_wide(member) if len(widths) == 1 else self._abreast(widths, member)

    def _abreast(self, widths: Sequence[Length], member: Member) -> Iterator[str]:
        """Side by side: ripped apart last, a kerf between them, sawn edges jointed if planed."""
        shop, length = self.shop, member.blank.length
        jointing = self.jointing if self.made.planed else Fraction(0)
        need = sum(widths) + len(widths) * jointing + (len(widths) - 1) * shop.rip_kerf
        yield from self._measures("width", member.blank.width, need, over=self.step)
        if not shop.shortest_to_rip <= length <= shop.longest_to_rip:
            yield "is ripped apart, and too short or too long for that"
        if min(widths) < shop.narrowest_rip or member.thickness > 2 * shop.deepest_rip:
            yield "is ripped apart, and too narrow or too thick for that"
        if member.board.treated:
            yield "is ripped apart, and treated"
        if not any("side by side" in each for each in self.made.remarks):
            yield "lies side by side in its blank, and the maker is not told"

    # length ------------------------------------------------------------------------------------

    def _long(self, strip: list[Member]) -> Iterator[str]:
        """Long enough for the copies that the blank holds end to end, a kerf between them; a stub
        more where a copy is too short to be held at its crosscut. The last of several blanks may be
        as long as the others, and hold fewer.
        """
        actual = sum((member.blank.length for member in strip), Fraction(0))
        holds = strip[0].blank.holds
        faults = list(self._long_for(holds, actual))
        if not faults:
            return
        # More copies than fill the blank end to end cannot be what it is long for.
        most = min(self.part.copies, int(actual / (self.part.length + sum(self.part.tenons))))
        if all(any(self._long_for(copies, actual)) for copies in range(holds + 1, most + 1)):
            yield from faults

    def _long_for(self, copies: int, actual: Length) -> Iterator[str]:
        yield from self._long_of([self.part.length + sum(self.part.tenons)] * copies, actual)

    def _long_of(self, lengths: Sequence[Length], actual: Length) -> Iterator[str]:
        """As long as parts of these ``lengths`` end to end."""
        shop, copies = self.shop, len(lengths)
        every = (part.length + sum(part.tenons) for part in self.beside)
        short = min(every) < shop.held_at_crosscut
        rough = self.made.planed or self.made.glued or copies > 1 or short
        need = sum(lengths) + (copies - 1) * shop.crosscut_kerf
        need += shop.extra_length if rough else 0
        need += shop.crosscut_kerf + shop.held_at_crosscut if short else 0
        # A blank may be just as long as the machines ask.
        machines = max(shop.held_at_crosscut, shop.shortest_to_rip)
        if self.made.planed or self.made.glued:
            machines = max(machines, shop.shortest_to_plane)
        over = max(machines - need, Fraction(0))
        if rough or over:
            over += self.step
        yield from self._measures("length", actual, need, over=over)

    def _joined(self, strip: list[Member], inner: bool) -> Iterator[str]:
        """Blanks end to end: inside a stack, where the part allows it, and never under load."""
        yield from self._long(strip)
        if not self.part.butt_joints or self.part.carries_load:
            yield "has a ply joined end to end, which the part does not allow"
        if not inner or len(strip) > 2 or not self.made.planed:
            yield "is joined end to end elsewhere than once in an inner ply"
        if len({member.blank.width for member in strip}) > 1:
            yield "has blanks of unlike width end to end"
        if not self.made.remarks:
            yield "is joined end to end, and the maker is not told"

    def _joints_lie_apart(self) -> Iterator[str]:
        """Butt joints a stagger from ends and from each other, and no edge joint over another."""
        stagger = self.shop.least_stagger
        joints = [[strip[0].blank.length for strip in ply if len(strip) > 1] for ply in self.plies]
        for ply, places in zip(self.plies, joints, strict=True):
            length = sum((member.blank.length for member in ply[0]), Fraction(0))
            if any(min(at, length - at) < stagger for at in places):
                yield "has a butt joint nearer to an end than the least stagger"
        for one, other in pairwise(joints):
            if any(abs(a - b) < stagger for a in one for b in other):
                yield "has butt joints nearer to each other than the least stagger"
        for lower, upper in pairwise(self.plies):
            if len(lower) > 1 and len(lower) == len(upper):
                yield "has plies of strips whose joints lie over each other"

    # thickness ---------------------------------------------------------------------------------

    def _thick(self) -> Iterator[str]:
        for ply in self.plies:
            if len({member.thickness for strip in ply for member in strip}) > 1:
                yield "has strips of unlike thickness in one ply"
        plies = [ply[0][0].thickness for ply in self.plies]
        if any(min(plies[0], plies[-1]) < inner for inner in plies[1:-1]):
            yield "has its thick plies inside and thin ones outside"
        if not self.made.planed:
            if self.made.glued and self.part.faces is not Faces.AS_BOUGHT:
                yield "is glued with its faces as bought, which is not typed"
            yield from self._thick_as_bought(sum(plies, Fraction(0)))
            return
        flattened = sum(len(ply) > 1 for ply in self.plies) if self.stacked else 0
        left = sum(plies, Fraction(0)) - len(plies) * self.skim - (flattened + 1) * self.last
        at_least = self.part.thickness_at_least or self.part.thickness
        if left < max(self.made.thickness, at_least):
            wanted = self._say(max(self.made.thickness, at_least))
            yield f"is too thin: {self._say(left)} is left for {wanted}"
        if self.made.thickness < min(self.part.thickness, left):
            yield "is planed thinner than it need be"
        away = left - self.part.thickness
        if self.stacked and away > self.shop.most_planed_away and not self.made.remarks:
            yield "loses more than the most planed away, and the maker is not told"

    def _thick_as_bought(self, thickness: Length) -> Iterator[str]:
        least = self.part.thickness_at_least
        near = abs(thickness - self.part.thickness) <= self.shop.as_bought_within
        if not near and not (least is not None and least <= thickness <= self.part.thickness):
            wanted = self._say(self.part.thickness)
            yield f"is {self._say(thickness)} thick as bought, and should be {wanted}"

    # width -------------------------------------------------------------------------------------

    def _wide(self) -> Iterator[str]:
        if self.stacked:
            # After the glue both edges are brought to size: jointing and slip, or the eased edges.
            need = self.part.width + max(self.jointing + self.shop.slip, 2 * self.shop.edge_trim)
            for ply in self.plies:
                yield from self._ply(ply, need)
            if self.made.planed and need > self.shop.widest_to_plane:
                yield "is a stack wider than the widest to plane"
        elif len(self.plies[0]) > 1:
            need = self.part.width + self.jointing
            yield from self._ply(self.plies[0], need)
            if not self.made.planed:
                yield "is glued of strips with its faces as bought"
            if need > self.shop.widest_to_plane and not self.made.remarks:
                yield "is a panel wider than the widest to plane, and the maker is not told"
        else:
            yield from self._one_wide(self.members[0])

    def _one_wide(self, member: Member) -> Iterator[str]:
        if not self.made.planed:
            width = self.part.width
            yield from self._measures("width", member.blank.width, width, over=Fraction(0))
        elif not (member.own_edges and member.blank.width == self.part.width):
            need = self.part.width + self.jointing
            yield from self._measures("width", member.blank.width, need, over=self.step)

    def _ply(self, ply: list[list[Member]], need: Length) -> Iterator[str]:
        """One ply, or a panel: a single piece, or strips that lose their edges at the glue."""
        widths = [strip[0].blank.width for strip in ply]
        if len(widths) == 1:
            yield from self._measures("width", widths[0], need, over=self.step)
            return
        for width in widths:
            if not self.shop.narrowest_strip <= width <= self.shop.widest_strip:
                yield f"a strip {self._say(width)} wide is too narrow or too wide"
        left = [width - self.at_glue for width in widths]
        over = self.step * len(left)
        board_widths = {piece.width for piece in self.stock.rack}
        board_widths |= {offer.width for offer in self.stock.offers}
        if not board_widths.isdisjoint(widths):
            over = max(over, min(left))  # a board's own width may be too much, a whole strip not
        yield from self._measures("width", sum(left, Fraction(0)), need, over=over)

    def _measures(self, what: str, actual: Length, need: Length, *, over: Length) -> Iterator[str]:
        """``actual`` is ``need``, or more by less than ``over``."""
        if actual < need:
            yield f"{what} {self._say(actual)} is under the {self._say(need)} that it needs"
        elif actual > need and actual - need >= over:
            yield f"{what} {self._say(actual)} is over the {self._say(need)} that it needs"

    def _say(self, length: Length) -> str:
        return exact_text(length, self.shop.unit)
