"""What boards and machines allow, and why not where they do not."""

from __future__ import annotations

from dataclasses import dataclass

from optimizer.job.blanks import BlankKind
from stock.lengths import Length, format_length
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


@dataclass(frozen=True, slots=True)
class Limits:
    """The boards of one lumber, and the machines of a shop."""

    boards: Boards
    shop: Shop

    def board_fault(self, blank: BlankKind) -> Refusal | None:
        """Why no board gives the blank."""
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
        if whole or (not blank.own_edges and self.may_be_ripped(blank.length, blank.width)):
            return None
        cause, remedy = self._why_not_ripped(blank)
        return Refusal(step=4, reason=f"needs a blank {size}, {cause}", remedy=remedy)

    def may_be_ripped(self, length: Length, width: Length) -> bool:
        """Whether a piece so long is ripped, to this width."""
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

    def planer_fault(self, length: Length, width: Length) -> Refusal | None:
        """Why a blank of this length and width does not pass the planer."""
        if length < self.shop.shortest_to_plane:
            return self.too_short(length)
        if width > self.shop.widest_to_plane:
            limit = self.tape(self.shop.widest_to_plane)
            return Refusal(
                step=2,
                reason=f"{self.tape(width)} is wider than the widest to plane, {limit}",
                remedy="a narrower part would do, or a higher `widest to plane` if safe",
            )
        return None

    def too_short(self, length: Length) -> Refusal:
        """A blank of this length is too short for the planer."""
        limit = self.tape(self.shop.shortest_to_plane)
        rough = self.tape(length)
        return Refusal(
            step=4,
            reason=f"a blank {rough} long is shorter than the shortest to plane, {limit}",
            remedy="a longer part would do, or a lower `shortest to plane` if the manual allows",
        )

    def tape(self, length: Length) -> str:
        """A length as it is said."""
        return format_length(length, self.shop.unit)
