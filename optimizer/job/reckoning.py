"""From a finished measure to a rough one, line by line, so that each number can be read."""

from __future__ import annotations

from dataclasses import dataclass

from stock.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What is added to a measure, or taken off it (inches), and for what."""

    reason: str
    amount: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoning:
    """How a length, a width or a thickness comes about; ``result`` is what is set on the tape."""

    measure: str
    steps: tuple[Step, ...]
    result: Length

    @property
    def total(self) -> Length:
        """The exact sum, before it is rounded up to the tape."""
        return sum((step.amount for step in self.steps), Length(0))


def reckoned(measure: str, *steps: tuple[str, Length]) -> Reckoning:
    """The exact sum of the steps; those that add nothing are left away."""
    kept = tuple(Step(reason=reason, amount=amount) for reason, amount in steps if amount)
    total = sum((step.amount for step in kept), Length(0))
    return Reckoning(measure=measure, steps=kept, result=total)
