"""The widths of the boards of one lumber; that of a crooked one goes by the segment's length."""

from __future__ import annotations

from collections.abc import Iterable

from optimizer.search.supply import Supply
from stock.lengths import Length

Form = tuple[Length, Length, Length]


class BoardWidths:
    """Widths by number: ``full`` as measured; each crooked board stands by itself."""

    def __init__(self, supplies: Iterable[Supply]) -> None:
        alike = {_form(supply): supply for supply in supplies}
        forms = sorted(alike)
        self.full = [width for width, _, _ in forms]
        self.crooked = {n: alike[form] for n, form in enumerate(forms) if form[1]}
        self._numbers = {form: n for n, form in enumerate(forms)}

    def number(self, supply: Supply) -> int:
        """Which of the widths a supply has."""
        return self._numbers[_form(supply)]

    def straight(self, number: int, length: Length) -> Length:
        """Width of a segment so long, once its edges are straight."""
        crooked = self.crooked.get(number)
        return crooked.straight(length) if crooked else self.full[number]

    def straightened(self, lengths: Iterable[Length]) -> set[Length]:
        """All widths that segments of crooked boards have at these lengths."""
        lengths = list(lengths)
        found = {self.straight(number, length) for number in self.crooked for length in lengths}
        return {width for width in found if width > 0}


def _form(supply: Supply) -> Form:
    """Width, and of a crooked board also its crook, and over which length."""
    return (supply.width, supply.crook, supply.length if supply.crook else Length(0))
