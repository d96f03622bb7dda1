"""The answer: what to buy, pull, cut, glue and keep; every sum exact.

Lengths are inches (Fraction), money Decimal to the cent. A plan knows only plain values, as
plan.json does, and refuses sums that do not add up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from importlib import import_module
from typing import Any

from optimizer.plan.beside import Consumable, Load
from optimizer.plan.practice import Practice
from stock.lengths import Length, Unit
from stock.shop import ReadTo


class Status(StrEnum):
    """How the search ended."""

    PROVEN = "proven"
    WITHIN_GAP = "within gap"
    OUT_OF_TIME = "out of time"


class CutKind(StrEnum):
    """Trim, crosscut and the yard's own cut go across a board, rip along it; a trim gets rid of bad
    wood. What is too thin for the saw is jointed off. A crooked edge is straightened, by jointer or
    saw.
    """

    YARD = "yard cut"
    TRIM = "trim"
    CROSSCUT = "crosscut"
    RIP = "rip"
    JOINT = "joint"
    STRAIGHTEN = "straighten"

    @property
    def along(self) -> bool:
        """Whether it goes along the board."""
        return self in (CutKind.RIP, CutKind.JOINT, CutKind.STRAIGHTEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """A blank where it lies on its board: x from the left end, y from the lower edge.

    ``holds`` copies, of one part or of several, lie in it.
    """

    id: str
    x: Length
    y: Length
    length: Length
    width: Length
    holds: int = 1

    def __post_init__(self) -> None:
        if min(self.length, self.width) <= 0 or self.holds < 1:
            raise ValueError(f"blank {self.id}: {self.length} x {self.width} holds {self.holds}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """What goes back to the rack under a new tag, and what it is worth there."""

    tag: str
    x: Length
    y: Length
    length: Length
    width: Length
    worth: Decimal

    def __post_init__(self) -> None:
        if min(self.length, self.width) <= 0:
            raise ValueError(f"leftover {self.tag}: {self.length} x {self.width}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The ``n``-th cut on a board: ``at`` is the near side of the kerf on the piece being cut.

    ``gives`` names what lies left and right of it, or below and above: a blank's id, a leftover's
    tag, a piece that is cut further, or nothing for scrap.
    """

    n: int
    kind: CutKind
    piece: str
    at: Length
    gives: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One board as it is before the first cut: bought (``store``, ``offer``) or pulled (``tag``).

    ``cost`` is its price before tax, or the worth of the offcut. ``spoiled`` names blanks that came
    off the saw and were no good; the first ``made`` cuts were made before the rest was planned.
    ``whole``: an offcut cut with its bad stretches in it, for parts that do not mind.
    """

    id: str
    wood: str
    treated: bool
    thickness: Length
    width: Length
    length: Length
    cost: Decimal
    blanks: tuple[Blank, ...]
    leftovers: tuple[Leftover, ...]
    cuts: tuple[Cut, ...]
    size: str = ""
    store: str = ""
    offer: str = ""
    tag: str = ""
    bay: str = ""
    spoiled: tuple[str, ...] = ()
    made: int = 0
    whole: bool = False

    def __post_init__(self) -> None:
        bought, pulled = (self.store, self.offer), (self.tag, self.bay)
        if bool(self.tag) == bool(self.offer) or (any(bought) and any(pulled)):
            raise ValueError(f"board {self.id} is neither from a store nor from the rack")
        if not 0 <= self.made <= len(self.cuts):
            raise ValueError(f"board {self.id}: {self.made} of {len(self.cuts)} cuts are made")

    @property
    def from_rack(self) -> bool:
        return bool(self.tag)

    @property
    def kept_whole(self) -> bool:
        """Bought and not needed: it lies on the rack, uncut, and counts as long as it is usable."""
        return not self.from_rack and not self.cuts and not self.blanks and bool(self.leftovers)

    def unsawn(self, tag: str) -> bool:
        """Whether a leftover is the whole board, or a piece of it as the yard handed it over."""
        yards = (cut.gives for cut in self.cuts if cut.kind is CutKind.YARD)
        return self.kept_whole or any(tag in gives for gives in yards)


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePart:
    """One copy of a part, finished length (``tenons`` in it) × width × thickness, and its blanks.

    ``layup`` names blanks: plies → strips → blanks end to end. ``remarks`` are said to the maker.
    """

    part: str
    copy: int
    spare: bool
    glued: bool
    planed: bool
    layup: tuple[tuple[tuple[str, ...], ...], ...]
    length: Length
    width: Length
    thickness: Length
    tenons: tuple[Length, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def blanks(self) -> tuple[str, ...]:
        return tuple(blank for ply in self.layup for strip in ply for blank in strip)


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """One line of the shopping list; money before tax. ``priced_on`` is empty where not told."""

    store: str
    offer: str
    count: int
    each: Decimal
    size: str
    wood: str
    treated: bool
    thickness: Length
    width: Length
    length: Length
    priced_on: str = ""

    def __post_init__(self) -> None:
        if self.count < 1:
            raise ValueError(f"{self.count} of {self.offer} on the shopping list")

    @property
    def sum(self) -> Decimal:
        return self.count * self.each


@dataclass(frozen=True, slots=True, kw_only=True)
class StoreTax:
    """What a store takes beside its boards: sales tax, rounded once to the cent, and fees for
    ``cuts``; and what the ``trip`` there costs.
    """

    store: str
    percent: Decimal
    tax: Decimal
    cuts: Decimal = Decimal("0.00")
    trip: Decimal = Decimal("0.00")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """The bill. ``net`` is what was minimised."""

    boards: Decimal
    tax: Decimal
    glue: Decimal
    time: Decimal
    rack_used: Decimal
    leftovers: Decimal
    trips: Decimal = Decimal("0.00")
    yard_cuts: Decimal = Decimal("0.00")

    @property
    def cash(self) -> Decimal:
        return self.boards + self.tax + self.trips + self.yard_cuts + self.glue

    @property
    def net(self) -> Decimal:
        return self.cash + self.time + self.rack_used - self.leftovers


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan. ``bound``: no plan sawn in this style from these lay-ups has a net below it.
    ``remarks`` are said to the maker of the whole plan.
    """

    job: str
    unit: Unit
    rip_kerf: Length
    crosscut_kerf: Length
    sawing: str
    status: Status
    cost: Cost
    bound: Decimal
    boards: tuple[Board, ...]
    parts: tuple[MadePart, ...]
    buy: tuple[Purchase, ...]
    practice: Practice
    taxes: tuple[StoreTax, ...] = field(default=())
    consumables: tuple[Consumable, ...] = ()
    load: Load = field(default=Load())
    remarks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.bound > self.cost.net:
            raise ValueError(f"bound {self.bound} is above the plan's net {self.cost.net}")
        if ReadTo(self.practice.read_to).unit is not self.unit:
            raise ValueError(f"a plan in {self.unit} is not read to {self.practice.read_to}")
        if sum(line.sum for line in self.buy) != self.cost.boards:
            raise ValueError("the shopping list does not add up to the cost of the boards")
        if sum(line.tax for line in self.taxes) != self.cost.tax:
            raise ValueError("the stores' taxes do not add up")

    def tables(self) -> dict[str, Any]:
        """Every list of the plan as a pandas DataFrame, by its name."""
        found: dict[str, Any] = _view("optimizer.output.data", "frames")(self)
        return found

    def _repr_html_(self) -> str:
        """In a notebook a plan shows itself as its page."""
        return str(_view("optimizer.output.cutting_page", "framed_page")(self))

    @property
    def beside(self) -> Decimal:
        """What finish and hardware cost, beside the plan's cash."""
        zero = Decimal("0.00")
        return sum((each.sum for each in self.consumables if not each.in_cash), zero)

    @property
    def above_least(self) -> Decimal:
        """At most so much dearer than the least possible."""
        return self.cost.net - self.bound

    @property
    def gap(self) -> float:
        """(net − bound) / net; 0 where nothing is to be gained, 1 where the net is nothing."""
        if not self.above_least or self.cost.net <= 0:
            return float(bool(self.above_least))
        return float(self.above_least / self.cost.net)


def _view(module: str, name: str) -> Callable[[Plan], Any]:
    """Output imports plans, so a plan finds its views by name, and only when it is asked."""
    view: Callable[[Plan], Any] = getattr(import_module(module), name)
    return view
