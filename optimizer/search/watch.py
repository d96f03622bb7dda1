"""When to stop, and what to tell meanwhile."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal

from optimizer.job.ways import NoPlanError


class StoppedError(NoPlanError):
    """The search ended before there was a plan; there may be one. What the best counts found are
    ``lacking`` is told too.
    """

    def __init__(self, lacking: str = "") -> None:
        told = "stopped before a plan was found; give it more seconds"
        super().__init__(f"{lacking}\n{told}" if lacking else told)


@dataclass(slots=True, kw_only=True)
class Watch:
    """Ends a search by the clock, by the gap, or because the user said so.

    The search counts steps, not seconds: the clock only ends it. ``tell`` is called with the best
    cost so far and the bound whenever one of them improves.
    """

    seconds: float = 60.0
    gap_percent: Decimal = Decimal(0)
    tell: Callable[[Decimal | None, Decimal | None], None] = lambda best, bound: None
    best: Decimal | None = None
    bound: Decimal | None = None
    _stopped: bool = False
    _end: float = field(init=False)

    def __post_init__(self) -> None:
        self._end = time.monotonic() + self.seconds

    def elapsed(self) -> float:
        """Seconds since it began."""
        return time.monotonic() - (self._end - self.seconds)

    def stop(self) -> None:
        """The user has seen enough: keep the best plan found."""
        self._stopped = True

    def worked(self, steps: int) -> None:
        """So many steps of the search were taken without a question."""

    def ended(self) -> bool:
        """Whether the clock or the user has ended it."""
        return self._stopped or time.monotonic() > self._end

    def over(self) -> bool:
        """Whether to end now."""
        return self.ended() or self.near_enough()

    def left(self) -> float:
        """Seconds until the clock ends it."""
        return self._end - time.monotonic()

    def near_enough(self) -> bool:
        """Whether the best plan is proven, or within the wished gap."""
        if self.best is None or self.bound is None:
            return False
        return self.best - self.bound <= abs(self.best) * self.gap_percent / 100

    def found(self, best: Decimal) -> None:
        if self.best is None or best < self.best:
            self.best = best
            self.tell(self.best, self.bound)

    def proved(self, bound: Decimal) -> None:
        if self.bound is None or bound > self.bound:
            self.bound = bound
            self.tell(self.best, self.bound)


@dataclass(slots=True, kw_only=True)
class Within(Watch):
    """A watch over part of a search; it has plans and a bound of its own, and ends with ``within``
    at the latest.
    """

    within: Watch

    def ended(self) -> bool:
        return self.within.ended()

    def left(self) -> float:
        return self.within.left()


@dataclass(slots=True, kw_only=True)
class InSteps(Within):
    """A watch over a small part of a search: over after so many ``steps``, however long these take.
    It is asked once at each step, and told of those of the solver.
    """

    steps: int

    def over(self) -> bool:
        self.steps -= 1
        return self.spent() or Within.over(self)

    def worked(self, steps: int) -> None:
        self.steps -= steps

    def spent(self) -> bool:
        """Whether its steps have run out."""
        return self.steps < 0


@dataclass(slots=True, kw_only=True)
class Beyond(Within):
    """A watch over what is looked for once the plan of ``within`` is near enough."""

    def over(self) -> bool:
        return self.ended()
