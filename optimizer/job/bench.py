"""Each way of making a part: plies and strips, as blanks (from finished sizes to rough ones).

Rough sizes, those with an allowance in them, are rounded up to
what can be set on a tape; a blank sawn straight to its finished size is not.

Worked example, inch shop with its defaults: a leg 28 long, 2 3/4 × 2 3/4, tenons 1 + 1, from 2x
lumber 1 1/2 thick. A ply keeps 1 1/2 − 2 × 1/32 (skim) = 1 7/16; two give 2 7/8, less 2 × 1/32
(last pass) = 2 13/16 ≥ 2 3/4. Ply width 2 3/4 + 2 × 1/16 (jointing) + 1/8 (slip) = 3; length 28 + 1
+ 1 + 1 (extra length) = 31. So: two blanks 31 × 3 out of 1 1/2 lumber.

The allowances are common practice, no source; each is a setting of the shop.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain
from math import ceil

from optimizer.job.blanks import BlankKind
from optimizer.job.layups import LayUp
from optimizer.job.parts import Faces, Make, Part
from stock.lengths import Length, format_length, round_up
from stock.pieces import Lumber
from stock.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Boards:
    """The boards of one lumber that are on the rack or sold: usable length and width of each."""

    lumber: Lumber
    sizes: tuple[tuple[Length, Length], ...]

    @property
    def widths(self) -> tuple[Length, ...]:
        return tuple(sorted({width for _, width in self.sizes}))


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why one way does not go, what would do, and how near it came: a higher ``step``, nearer."""

    step: int
    reason: str
    remedy: str


def lay_ups(part: Part, stock: Iterable[Boards], shop: Shop) -> tuple[list[LayUp], list[Refusal]]:
    """Every way of making ``part`` from lumber that suits it, and why the other ways do not go."""
    found: list[LayUp] = []
    refusals: list[Refusal] = []
    for boards in stock:
        for way in _Bench(part, boards, shop).ways():
            (found if isinstance(way, LayUp) else refusals).append(way)  # type: ignore[arg-type]
    # More planed away than the shop likes only where nothing else can make the part.
    return [way for way in found if not way.remark] or found, refusals


class _Bench:
    """One part at the bench with the boards of one lumber."""

    def __init__(self, part: Part, boards: Boards, shop: Shop) -> None:
        self.part, self.boards, self.shop = part, boards, shop
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
        own_edges = self.boards.lumber.treated or not self._may_be_ripped(length, width)
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
        if fault := self._machine_fault(self.jointed_width):
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
        remark = ""
        if plies * self.skimmed - need > self.shop.most_planed_away:
            fewer = (plies - 1) * self.skimmed - self.last
            away = self.tape(plies * self.skimmed - need)
            remark = f"{away} is planed away; at {self.tape(fewer)} thick one ply less would do"
        yield from self._stack(plies, planed=True, remark=remark)

    def _faces_as_bought(self) -> Iterator[LayUp | Refusal]:
        plies = round(self.part.thickness / self.thickness)
        if 2 <= plies <= self.shop.most_plies and self._within_as_bought(plies * self.thickness):
            yield from self._stack(plies, planed=False)

    def _stack(self, plies: int, *, planed: bool, remark: str = "") -> Iterator[LayUp | Refusal]:
        width = self.jointed_width + self.shop.slip
        if fault := self._machine_fault(width):
            yield fault
            return
        ply = self._blank(self.rough_length, self._up(width))
        yield from self._lay_up(planed, [[ply]] * plies, remark)

    # edge glue-ups -----------------------------------------------------------------------------

    def _edges(self) -> Iterator[LayUp | Refusal]:
        if self.skimmed - self.last < self.part.thickness:
            return
        if self.rough_length < self.shop.shortest_to_plane:
            yield self._too_short()
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
            yield from self._lay_up(True, [[self._blank(self.rough_length, width)] * strips])

    # what all ways share -----------------------------------------------------------------------

    def _blank(self, length: Length, width: Length, own_edges: bool = False) -> BlankKind:
        return BlankKind(lumber=self.boards.lumber, length=length, width=width, own_edges=own_edges)

    def _lay_up(
        self, planed: bool, plies: list[list[BlankKind]], remark: str = ""
    ) -> Iterator[LayUp | Refusal]:
        """The lay-up, if some board is large enough for its blanks."""
        blank = plies[0][0]
        if fault := self._board_fault(blank):
            yield fault
        else:
            stack = tuple(tuple(ply) for ply in plies)
            yield LayUp(part=self.part, planed=planed, plies=stack, remark=remark)

    def _board_fault(self, blank: BlankKind) -> Refusal | None:
        size = f"{self.tape(blank.length)} long and {self.tape(blank.width)} wide"
        longest = max(
            (length for length, width in self.boards.sizes if width >= blank.width), default=None
        )
        if longest is None:
            widest = self.tape(self.boards.widths[-1])
            return Refusal(
                step=2,
                reason=f"needs a blank {size}; the widest board is {widest}",
                remedy="a wider board in Prices or Rack would do",
            )
        if longest < blank.length:
            usable = self.tape(longest)
            return Refusal(
                step=3,
                reason=f"needs a blank {size}; the longest usable board so wide is {usable}",
                remedy="a longer board in Prices or Rack would do",
            )
        whole = any(
            length >= blank.length and width == blank.width for length, width in self.boards.sizes
        )
        if whole or (not blank.own_edges and self._may_be_ripped(blank.length, blank.width)):
            return None
        cause, remedy = self._why_not_ripped(blank)
        return Refusal(step=4, reason=f"needs a blank {size}, {cause}", remedy=remedy)

    def _may_be_ripped(self, length: Length, width: Length) -> bool:
        shop = self.shop
        return shop.shortest_to_rip <= length <= shop.longest_to_rip and width >= shop.narrowest_rip

    def _why_not_ripped(self, blank: BlankKind) -> tuple[str, str]:
        """The cause, and what would do."""
        shop, just = self.shop, f"a board just {self.tape(blank.width)} wide would do"
        if self.boards.lumber.treated:
            return "and treated wood is not ripped; no treated board is so wide", just
        limits = (
            (blank.length < shop.shortest_to_rip, "shorter", "shortest to rip", "lower"),
            (blank.length > shop.longest_to_rip, "longer", "longest to rip", "higher"),
            (True, "narrower", "narrowest rip", "lower"),
        )
        _, how, name, other = next(limit for limit in limits if limit[0])
        limit = self.tape(getattr(shop, name.replace(" ", "_")))
        cause = f"which is {how} than the {name}, {limit}"
        return cause, f"{just}, or a {other} `{name}` if the saw's manual allows it"

    def _machine_fault(self, width: Length) -> Refusal | None:
        """Whether a blank of the rough length and this width passes the planer."""
        if self.rough_length < self.shop.shortest_to_plane:
            return self._too_short()
        if width > self.shop.widest_to_plane:
            limit = self.tape(self.shop.widest_to_plane)
            return Refusal(
                step=2,
                reason=f"{self.tape(width)} is wider than the widest to plane, {limit}",
                remedy="a narrower part would do, or a higher `widest to plane` if safe",
            )
        return None

    def _too_short(self) -> Refusal:
        limit = self.tape(self.shop.shortest_to_plane)
        rough = self.tape(self.rough_length)
        return Refusal(
            step=4,
            reason=f"a blank {rough} long is shorter than the shortest to plane, {limit}",
            remedy="a longer part would do, or a lower `shortest to plane` if the manual allows",
        )

    def _within_as_bought(self, thickness: Length) -> bool:
        least = self.part.thickness_at_least
        if least is not None and least <= thickness <= self.part.thickness:
            return True
        return abs(thickness - self.part.thickness) <= self.shop.as_bought_within

    def _up(self, length: Length) -> Length:
        return round_up(length, self.shop.unit)

    def tape(self, length: Length) -> str:
        return format_length(length, self.shop.unit)
