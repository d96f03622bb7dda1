"""The widths of the boards of one lumber, and the room that their segments have for strips.

The width of a crooked board goes by the segment's length; a board whose pith is ripped out has two
rooms, one on each side of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np

from optimizer.search.knapsack import NEVER, Ints, Knapsack
from optimizer.search.supply import Supply
from stock.lengths import Length

Form = tuple[Length, Length, Length]


class BoardWidths:
    """Widths by number: ``full`` as measured; each crooked board stands by itself."""

    def __init__(self, supplies: Iterable[Supply]) -> None:
        alike = {_form(supply): supply for supply in supplies}
        forms = sorted(alike)
        self.full = [width for width, _, _ in forms]
        self.odd = {n: alike[form] for n, form in enumerate(forms) if alike[form].odd}
        self._numbers = {form: n for n, form in enumerate(forms)}

    def number(self, supply: Supply) -> int:
        """Which of the widths a supply has."""
        return self._numbers[_form(supply)]

    def straight(self, number: int, length: Length) -> Length:
        """Width of a blank so long and as wide as its board, once its edges are straight; none of a
        board whose pith is ripped out.
        """
        if (odd := self.odd.get(number)) is None:
            return self.full[number]
        return Length(0) if odd.pith else odd.straight(length)

    def rooms(self, number: int, length: Length) -> tuple[Length, ...]:
        """The widths that a segment so long has for strips."""
        odd = self.odd.get(number)
        return odd.rooms(length) if odd else (self.full[number],)

    def of_odd(self, lengths: Iterable[Length]) -> set[Length]:
        """All widths that segments of odd boards have for strips at these lengths."""
        lengths = list(lengths)
        return {
            width
            for number in self.odd
            for length in lengths
            for width in self.rooms(number, length)
            if width > 0
        }


class Rooms:
    """Ticks across the segments of each row and board, kerf included: ``below[row, board]`` the
    whole, or below the pith; ``above`` the pith, where there are ``two`` sides of it.

    ``freed`` is the pay for ripping it out, in search units.
    """

    def __init__(
        self,
        widths: BoardWidths,
        lengths: Sequence[Length],
        ticks: Callable[[Length], int],
        kerf: int,
        rip_pay: int,
    ) -> None:
        full = np.array([ticks(width) for width in widths.full]) + kerf
        self.below: Ints = np.tile(full, (len(lengths), 1))
        self.above: Ints = np.zeros_like(self.below)
        self.two = np.zeros_like(self.below, dtype=bool)
        for board in widths.odd:
            for row, length in enumerate(lengths):
                rooms = [ticks(width) + kerf for width in widths.rooms(board, length)]
                self.below[row, board], self.above[row, board] = (*rooms, 0, 0)[:2]
                self.two[row, board] = len(rooms) > 1
        self.freed: Ints = np.where(self.two, 2 * rip_pay, 0)

    def best(self, table: Knapsack) -> Ints:
        """``[row, board]``: the best filling of each segment by at least one strip."""
        rows = np.arange(len(self.below))[:, None]
        best = table.with_an_item(rows, self.below)
        if self.two.any():
            other = np.where(self.two, table.best[rows, self.above], 0)
            beside = table.best[rows, self.below] + table.with_an_item(rows, self.above)
            best = np.maximum(best + other, beside)
        freed: Ints = np.maximum(best - self.freed, NEVER)
        return freed

    def sides(self, table: Knapsack, row: int, board: int) -> Iterator[tuple[int, int]]:
        """The one or two rooms of a segment, and what its best filling by at least one strip in
        this room is worth less than its best filling.
        """
        rooms = [int(self.below[row, board]), int(self.above[row, board])]
        if not self.two[row, board]:
            yield rooms[0], 0
            return
        filled = [int(table.with_an_item(np.array(row), np.array(room))) for room in rooms]
        either = [int(table.best[row, room]) for room in rooms]
        sums = [filled[0] + either[1], either[0] + filled[1]]
        for room, total in zip(rooms, sums, strict=True):
            yield room, max(sums) - total

    def strips(self, table: Knapsack, row: int, board: int) -> tuple[list[int], list[int]]:
        """The strips of the best filling by at least one: below the pith, and above it."""
        if not self.two[row, board]:
            return table.items(row, int(self.below[row, board])), []
        found = list[list[int]]()
        sides = list(self.sides(table, row, board))
        needed = [beside == 0 for _, beside in sides]
        for side, (room, _) in enumerate(sides):
            # One side has a strip in any case: the first of which the best filling may be so.
            empty = table.best[row, room] == table.terminal[row, room]
            must = needed.index(True) == side
            found.append([] if empty and not must else table.items(row, room))
        return found[0], found[1]


def _form(supply: Supply) -> Form:
    """Width, and of a crooked board also its crook, and over which length."""
    return (supply.width, supply.crook, supply.length if supply.crook else Length(0))
