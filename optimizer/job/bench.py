"""Each way of making a part: plies and strips, as blanks (from finished sizes to rough ones).

Rough sizes, those with an allowance in them, are rounded up to what can be set on a tape; a blank
sawn straight to its finished size is not.

Worked example, inch shop with its defaults: a leg 28 long, 2 3/4 × 2 3/4, tenons 1 + 1, from 2x
lumber 1 1/2 thick. A ply keeps 1 1/2 − 2 × 1/32 (skim) = 1 7/16; two give 2 7/8, less 2 × 1/32
(last pass) = 2 13/16 ≥ 2 3/4. Ply width 2 3/4 + 2 × 1/16 (jointing) + 1/8 (slip) = 3; length 28 + 1
+ 1 + 1 (extra length) = 31. So: two blanks 31 × 3 out of 1 1/2 lumber.

The allowances are common practice, no source; each is a setting of the shop.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import chain
from math import ceil

from optimizer.job.blanks import BlankKind
from optimizer.job.layups import LayUp
from optimizer.job.limits import Boards, Limits, Refusal
from optimizer.job.parts import Faces, Make, Part
from stock.lengths import Length, round_up
from stock.shop import Shop


def lay_ups(part: Part, stock: Iterable[Boards], shop: Shop) -> tuple[list[LayUp], list[Refusal]]:
    """Every way of making ``part`` from lumber that suits it, and why the other ways do not go."""
    found: list[LayUp] = []
    refusals: list[Refusal] = []
    for boards in stock:
        for way in _Bench(part, boards, shop).ways():
            (found if isinstance(way, LayUp) else refusals).append(way)  # type: ignore[arg-type]
    # More planed away than the shop likes only where nothing else can make the part.
    return [way for way in found if not way.last_resort] or found, refusals


class _Bench:
    """One part at the bench with the boards of one lumber."""

    def __init__(self, part: Part, boards: Boards, shop: Shop) -> None:
        self.part, self.boards, self.shop = part, boards, shop
        self.limits = Limits(boards, shop)
        self.tape = self.limits.tape
        self.thickness = boards.lumber.thickness
        self.skimmed = self.thickness - 2 * shop.skim_per_face
        self.last = 2 * shop.last_pass_per_face
        self.rough_length = self._up(part.length_with_tenons + shop.extra_length)
        self.jointed_width = part.width + 2 * shop.jointing_per_edge

    def ways(self) -> Iterator[LayUp | Refusal]:
        as_bought = self.part.faces is not Faces.PLANED
        planed = self.part.faces is not Faces.AS_BOUGHT and not self.boards.lumber.treated
        glued = self.part.make is not Make.SOLID and not self.boards.lumber.treated
        if self.part.make is not Make.GLUED:
            keeps_faces = as_bought and self._within_as_bought(self.thickness)
            if as_bought:
                yield from self._solid_as_bought()
            if planed and not keeps_faces:
                yield from self._solid_planed()
        if glued and planed:
            yield from self._faces_planed()
            yield from self._edges()
        if glued and self.part.faces is Faces.AS_BOUGHT:
            yield from self._faces_as_bought()

    # solid -------------------------------------------------------------------------------------

    def _solid_as_bought(self) -> Iterator[LayUp | Refusal]:
        if not self._within_as_bought(self.thickness):
            wanted = f"{self.tape(self.part.thickness)} thick"
            yield Refusal(
                step=1,
                reason=f"a board {self.tape(self.thickness)} thick does not serve as bought",
                remedy=f"a board {wanted} would do, within {self.tape(self.shop.as_bought_within)}",
            )
            return
        length, width = self.part.length_with_tenons, self.part.width
        own_edges = self.boards.lumber.treated or not self.limits.may_be_ripped(length, width)
        yield from self._lay_up(False, [[self._blank(length, width, own_edges)]])

    def _solid_planed(self) -> Iterator[LayUp | Refusal]:
        if self.skimmed - self.last < self.part.thickness:
            left = self.tape(max(self.skimmed - self.last, Fraction(0)))
            yield Refusal(
                step=1,
                reason=f"a board {self.tape(self.thickness)} thick planes to {left} at the most",
                remedy="a thicker board in Prices or Rack would do",
            )
            return
        if fault := self.limits.planer_fault(self.rough_length, self.jointed_width):
            yield fault
            return
        if self.part.width in self.boards.widths:
            kept = self._blank(self.rough_length, self.part.width, True)
            yield from self._lay_up(True, [[kept]])
        ripped = self._blank(self.rough_length, self._up(self.jointed_width))
        yield from self._lay_up(True, [[ripped]])

    # face glue-ups -----------------------------------------------------------------------------

    def _faces_planed(self) -> Iterator[LayUp | Refusal]:
        need = self.part.thickness + self.last
        plies = ceil(need / self.skimmed) if self.skimmed > 0 else 0
        if plies < 2:
            return
        if plies > self.shop.most_plies:
            yield Refusal(
                step=1,
                reason=f"{plies} plies {self.tape(self.thickness)} thick are too many",
                remedy="thicker boards would do, or a higher `most plies`",
            )
            return
        remark, away = "", plies * self.skimmed - need
        wasteful = away > self.shop.most_planed_away
        if wasteful:
            fewer = (plies - 1) * self.skimmed - self.last
            remark = f"{self.tape(away)} is planed away"
            if fewer > 0:
                remark += f"; at {self.tape(fewer)} thick one ply less would do"
        yield from self._stack(plies, planed=True, remark=remark, last_resort=wasteful)

    def _faces_as_bought(self) -> Iterator[LayUp | Refusal]:
        plies = round(self.part.thickness / self.thickness)
        if 2 <= plies <= self.shop.most_plies and self._within_as_bought(plies * self.thickness):
            yield from self._stack(plies, planed=False)
        else:
            yield Refusal(
                step=1 if self.part.make is Make.GLUED else 0,
                reason=f"no stack of boards {self.tape(self.thickness)} thick, as they come, makes "
                f"{self.tape(self.part.thickness)}",
                remedy="boards of another thickness would do",
            )

    def _stack(
        self, plies: int, *, planed: bool, remark: str = "", last_resort: bool = False
    ) -> Iterator[LayUp | Refusal]:
        width = self.jointed_width + self.shop.slip
        if fault := self.limits.planer_fault(self.rough_length, width):
            yield fault
            return
        ply = self._blank(self.rough_length, self._up(width))
        yield from self._lay_up(planed, [[ply]] * plies, remark, last_resort)

    # edge glue-ups -----------------------------------------------------------------------------

    def _edges(self) -> Iterator[LayUp | Refusal]:
        left = self.skimmed - self.last
        if left < self.part.thickness:
            yield Refusal(
                step=3 if self.part.width > self.boards.widths[-1] else 0,
                reason=f"boards {self.tape(self.thickness)} thick, glued edge to edge, plane to "
                f"{self.tape(max(left, Fraction(0)))} at the most",
                remedy="a thinner part would do, or thicker boards in Prices or Rack",
            )
            return
        if self.rough_length < self.shop.shortest_to_plane:
            yield self.limits.too_short(self.rough_length)
            return
        lost = 2 * self.shop.jointing_per_edge
        narrowest, widest = self.shop.narrowest_strip, self.shop.widest_strip
        equal = (
            (strips, self._up(self.jointed_width / strips + lost))
            for strips in range(2, self.shop.most_strips + 1)
        )
        own = (
            (ceil(self.jointed_width / (width - lost)), width)
            for width in self.boards.widths
            if width > lost
        )
        members = {
            (strips, width)
            for strips, width in chain(equal, own)
            if 2 <= strips <= self.shop.most_strips and narrowest <= width <= widest
        }
        if not members:
            yield Refusal(
                step=0,
                reason=f"{self.shop.most_strips} strips do not make {self.tape(self.part.width)}",
                remedy="a higher `most strips` or `widest strip` would do",
            )
        for strips, width in sorted(members):
            strip = self._blank(self.rough_length, width)
            yield from self._lay_up(True, [[strip] * strips], self._sections(width - lost))

    def _sections(self, strip: Length) -> str:
        """How a panel too wide for the planer passes it all the same."""
        if self.jointed_width <= self.shop.widest_to_plane:
            return ""
        strips = self.shop.widest_to_plane // strip
        return f"glue and plane {strips} strips at a time, then joint and join the sections"

    # what all ways share -----------------------------------------------------------------------

    def _blank(self, length: Length, width: Length, own_edges: bool = False) -> BlankKind:
        return BlankKind(lumber=self.boards.lumber, length=length, width=width, own_edges=own_edges)

    def _lay_up(
        self,
        planed: bool,
        plies: list[list[BlankKind]],
        remark: str = "",
        last_resort: bool = False,
    ) -> Iterator[LayUp | Refusal]:
        """The lay-up, if some board is large enough for its blanks."""
        blank = plies[0][0]
        if fault := self.limits.board_fault(blank):
            yield fault
        else:
            yield LayUp(
                part=self.part,
                planed=planed,
                plies=tuple(tuple(ply) for ply in plies),
                remark=remark,
                last_resort=last_resort,
            )

    def _within_as_bought(self, thickness: Length) -> bool:
        least = self.part.thickness_at_least
        if least is not None and least <= thickness <= self.part.thickness:
            return True
        return abs(thickness - self.part.thickness) <= self.shop.as_bought_within

    def _up(self, length: Length) -> Length:
        return round_up(length, self.shop.unit)
