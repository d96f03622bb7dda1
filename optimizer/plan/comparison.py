"""What was learnt by solving a job in other ways: plain values, for the workbook and the screen.

Money is Decimal to the cent. A saving is told from ``at_least``, what a plan was found for, to
``at_most``, what no plan goes beyond: equal where the plan is proven, None where it is not known.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from optimizer.plan.figures import Figures
from optimizer.plan.plan import Plan, Status
from stock.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """The job done in another way; no ``plan`` where that way does not go, and ``why``."""

    name: str
    plan: Plan | None = None
    figures: Figures | None = None
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """All prices of a beam's section times ``factor``: below it the beam wins, above it plies.

    ``prices`` are those of the section's offers now and at that factor, by store and name. None
    where the beam wins, or loses, at any price looked at.
    """

    part: str
    section: str
    factor: Fraction | None
    prices: tuple[tuple[str, str, Decimal, Decimal], ...] = ()
    proven: bool = True
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saving:
    """What giving something up would save; ``minutes`` and ``glue_lines`` fewer in the shop."""

    what: str
    at_least: Decimal
    at_most: Decimal | None
    minutes: Fraction = Fraction(0)
    glue_lines: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanB:
    """A line of the shopping list: how many ``culls`` it stands (None: as many as lie there), and
    what else to buy where it is out: ``more`` in net, ``instead`` and ``not_needed`` as counts by
    store and offer. None where the job cannot be made without it.
    """

    store: str
    offer: str
    culls: int | None
    more: Decimal | None
    instead: tuple[tuple[int, str, str], ...] = ()
    not_needed: tuple[tuple[int, str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hinge:
    """A rack piece with little to spare, and what the job costs ``more`` (None: cannot be made) if
    the piece is not what the book says.
    """

    tag: str
    bay: str
    spare_length: Length
    spare_width: Length
    more: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What a ``plan`` gives that costs ``more`` in net: so many ``boards`` to buy, ``glue_lines``,
    ``cuts`` in the shop and ``minutes`` there fewer, a rack worth ``left`` more afterwards (less
    than nothing: for the worse); ``longest`` is its longest leftover.
    """

    plan: Plan
    more: Decimal
    boards: int
    glue_lines: int
    cuts: int
    minutes: Fraction
    left: Decimal
    longest: Length

    @property
    def gained(self) -> tuple[Fraction, ...]:
        """All that is gained, to set gains side by side."""
        counts = (self.boards, self.glue_lines, self.cuts)
        return (*map(Fraction, counts), self.minutes, Fraction(self.left))

    def betters(self, other: Gain) -> bool:
        """As much of everything, for no more money."""
        pairs = zip(self.gained, other.gained, strict=True)
        return self.more <= other.more and all(mine >= yours for mine, yours in pairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """All that was learnt beside a plan; empty where nothing was asked."""

    alternatives: tuple[Alternative, ...] = ()
    break_evens: tuple[BreakEven, ...] = ()
    wishes: tuple[Saving, ...] = ()
    near_misses: tuple[Saving, ...] = ()
    plans_b: tuple[PlanB, ...] = ()
    hinges: tuple[Hinge, ...] = ()
    near: tuple[Gain, ...] = ()
    unanswered: int = field(default=0)


def saved_by(plan: Plan, other: Plan) -> tuple[Decimal, Decimal | None]:
    """What ``other`` saves against ``plan``: found, and at most; nothing where it is dearer."""
    nothing = Decimal("0.00")
    found = max(plan.cost.net - other.cost.net, nothing)
    if other.status is Status.PROVEN:
        return found, found
    return found, max(plan.cost.net - other.bound, found) if other.bound > 0 else None
