"""What boards and machines allow, and why not where they do not."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import accumulate

from optimizer.job.blanks import BlankKind
from stock.lengths import Length, format_length
from stock.pieces import Lumber
from stock.shop import Shop


@dataclass(frozen=True, kw_only=True)
class Boards:
    """The boards of one lumber that are on the rack or sold: usable length and width of each."""

    lumber: Lumber
    sizes: tuple[tuple[Length, Length], ...]
    odd: tuple[tuple[Length, Length], ...] = ()
    """What crooked boards give once their edges are straight, and wide ones once their pith is
    ripped out; no board is just so wide."""

    @property
    def widths(self) -> tuple[Length, ...]:
        return tuple(sorted(self.just_as_wide))

    @property
    def widest(self) -> Length:
        """The widest that any of them gives."""
        return max(self._longest)

    @cached_property
    def just_as_wide(self) -> Mapping[Length, Length]:
        """The longest board of each width."""
        return _longest(self.sizes)

    @cached_property
    def _longest(self) -> Mapping[Length, Length]:
        """The same with what odd boards give."""
        return _longest((*self.sizes, *self.odd))

    def as_wide(self, width: Length) -> Length | None:
        """The longest that any gives at least so wide."""
        widths, lengths = self._at_least
        at = bisect_left(widths, width)
        return lengths[at] if at < len(widths) else None

    @cached_property
    def _at_least(self) -> tuple[Sequence[Length], Sequence[Length]]:
        """The widths that any gives, and the longest at least so wide."""
        widths = sorted(self._longest)
        longest = accumulate((self._longest[width] for width in reversed(widths)), max)
        return widths, [*longest][::-1]


def _longest(sizes: Iterable[tuple[Length, Length]]) -> dict[Length, Length]:
    """The longest of each width."""
    found: dict[Length, Length] = {}
    for length, width in sizes:
        found[width] = max(found.get(width, length), length)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why one way does not go, what would do, and how near it came: a higher ``step`` is nearer,
    and of one step the one that lacks less (inches).
    """

    step: int
    reason: str
    remedy: str
    lacks: Length = field(default_factory=Length)

    @property
    def nearness(self) -> tuple[int, Length]:
        """The higher, the nearer."""
        return self.step, -self.lacks


@dataclass(frozen=True, slots=True)
class Limits:
    """The boards of one lumber, and the machines of a shop."""

    boards: Boards
    shop: Shop

    def board_fault(self, blank: BlankKind) -> Refusal | None:
        """Why no board gives the blank."""
        longest = self.boards.as_wide(blank.width)
        if longest is not None and longest >= blank.length:
            whole = self.boards.just_as_wide.get(blank.width, Length(0)) >= blank.length
            if whole or (not blank.own_edges and self.may_be_ripped(blank.length, blank.width)):
                return None
        size = f"{self.tape(blank.length)} long and {self.tape(blank.width)} wide"
        if longest is None:
            widest = self.tape(self.boards.widest)
            pith = ", beside its pith" if self.boards.odd and self.shop.pith_width else ""
            remedy = "a wider board in Prices or Rack would do"
            return Refusal(
                step=2,
                reason=f"needs a blank {size}; the widest board is {widest}{pith}",
                remedy=f"{remedy}, or a wider `pith from`" if pith else remedy,
                lacks=blank.width - self.boards.widest,
            )
        if longest < blank.length:
            usable, carried = self.tape(longest), self.shop.longest_carried
            remedy = "a longer board in Prices or Rack would do"
            if carried is not None and blank.length > carried:
                remedy += ", in Prices with a higher `longest carried`"
            return Refusal(
                step=3,
                reason=f"needs a blank {size}; the longest usable board so wide is {usable}",
                remedy=remedy,
                lacks=blank.length - longest,
            )
        cause, remedy = self._why_not_ripped(blank)
        return Refusal(step=4, reason=f"needs a blank {size}, {cause}", remedy=remedy)

    def may_be_ripped(self, length: Length, width: Length) -> bool:
        """Whether a piece so long is ripped, to this width."""
        shop = self.shop
        if self.boards.lumber.thickness > 2 * shop.deepest_rip:
            return False
        return shop.shortest_to_rip <= length <= shop.longest_to_rip and width >= shop.narrowest_rip

    def shortest(self, *, planed: bool, ripped: bool) -> Length:
        """The shortest blank that may go through the machines that it needs."""
        shop = self.shop
        rip = shop.shortest_to_rip if ripped else Length(0)
        plane = shop.shortest_to_plane if planed else Length(0)
        return max(shop.held_at_crosscut, rip, plane)

    def _why_not_ripped(self, blank: BlankKind) -> tuple[str, str]:
        """The cause, and what would do."""
        shop, just = self.shop, f"a board just {self.tape(blank.width)} wide would do"
        if self.boards.lumber.treated:
            return "and treated wood is not ripped; no treated board is so wide", just
        thickness = self.boards.lumber.thickness
        if thickness > 2 * shop.deepest_rip:
            deep = self.tape(shop.deepest_rip)
            cause = f"and {self.tape(thickness)} is more than twice the deepest rip, {deep}"
            return cause, f"{just}, or a bandsaw, with its depth as `deepest rip`"
        limits = (
            (blank.length < shop.shortest_to_rip, "shorter", "shortest to rip", "lower"),
            (blank.length > shop.longest_to_rip, "longer", "longest to rip", "higher"),
            (True, "narrower", "narrowest rip", "lower"),
        )
        _, how, name, other = next(limit for limit in limits if limit[0])
        limit = self.tape(getattr(shop, name.replace(" ", "_")))
        cause = f"which is {how} than the {name}, {limit}"
        return cause, f"{just}, or a {other} `{name}` if the saw's manual allows it"

    def planer_fault(self, width: Length) -> Refusal | None:
        """Why a blank of this width does not pass the planer."""
        if width > self.shop.widest_to_plane:
            limit = self.tape(self.shop.widest_to_plane)
            return Refusal(
                step=2,
                reason=f"{self.tape(width)} is wider than the widest to plane, {limit}",
                remedy="a narrower part would do, or a higher `widest to plane` if safe",
                lacks=width - self.shop.widest_to_plane,
            )
        return None

    def tape(self, length: Length) -> str:
        """A length as it is said."""
        return format_length(length, self.shop.unit)
