"""Lists all patterns that a better plan could use.

At the worths of the linear optimum every pattern costs more than its blanks bring, by its *reduced
cost*; a plan that uses it costs at least the bound and that. So patterns whose reduced cost exceeds
the gap between the best plan and the bound need not be looked at, and often few remain (the nested
form of the reduced-cost enumeration that Baldacci, Christofides and Mingozzi used for vehicle
routes, Mathematical Programming 115, 2008).

Each step of a table has a *deficit*: the table's value less what is achieved by this step. Strips,
then segments, then boards are listed whose deficits sum to at most the gap. At each level a piece
is dropped that another from the same room betters: as many blanks of each kind, and a rest worth as
much. More blanks of a kind than the job can use are never sawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import NEVER, Ints, Knapsack
from optimizer.search.patterns import Column, Pattern, Segment, Strip

T = TypeVar("T")


class TooManyError(Exception):
    """The list grows beyond what an integer programme can carry."""


@dataclass(frozen=True, slots=True)
class Choice(Generic[T]):
    """Something that fits in a room: its size, its value at the worths, its blanks, what it is."""

    size: int
    value: int
    counts: tuple[int, ...]
    what: T


class Listing:
    """All patterns of one lumber near the best at ``values``; at most ``most`` at each level."""

    def __init__(self, table: CuttingTables, values: Ints, caps: Ints, most: int) -> None:
        self.table, self.most = table, most
        self.best = table.price(values)
        self._all_values, self.values = values, values[list(table.kinds)]
        self.caps = tuple(int(cap) for cap in caps[list(table.kinds)])
        self._strips: dict[tuple[int, int], list[Choice[Strip]]] = {}
        self._segments: dict[tuple[int, int], list[Choice[Segment]]] = {}

    def columns(self, budgets: Ints) -> Iterator[Column]:
        """Patterns of each supply whose deficit is at most its budget (negative: none)."""
        self._budget = int(budgets.max(initial=0))
        for s, budget in enumerate(budgets):
            if budget >= 0 and self.best[s] > NEVER // 2:
                yield from self._boards(s, int(budget))

    def _boards(self, s: int, budget: int) -> Iterator[Column]:
        table = self.table
        board, row = int(table.board_of_supply[s]), int(table.row_of_supply[s])
        least = int(self.best[s]) - budget
        found = [
            Choice(0, value, counts, segments)
            for value, counts, segments in self._fillings(
                table.board_table, board, int(table.room_of_supply[s]), self._pieces(board), least
            )
        ]
        if row >= 0:
            found += [
                Choice(0, segment.value, segment.counts, (segment.what,))
                for segment in self._ripped(row, board)
                if segment.value >= least
            ]
        for choice in self._undominated(found):
            yield table.costed(
                Pattern(table.supplies[s], choice.what), choice.value, self._all_values
            )

    def _pieces(self, board: int) -> list[Choice[Segment]]:
        """Segments as long as one blank: the blank at full width, or strips."""
        table = self.table
        pieces: list[Choice[Segment]] = []
        for item, length in enumerate(table.lengths):
            size = int(table.board_table.sizes[item])
            here: list[Choice[Segment]] = []
            for column, kind in enumerate(table.kinds):
                worth = int(table.in_boards[board, column])
                if table.item_of_kind[column] == item and worth > NEVER // 2:
                    strip = Strip(table.boards[board], (kind,))
                    value = worth + int(self.values[column])
                    here.append(Choice(size, value, self._one(column), Segment(length, (strip,))))
            row = table.row_of_length[item]
            if row >= 0 and table.crosscut_into_segments:
                here += [
                    Choice(size, ripped.value - table.crosscut_pay, ripped.counts, ripped.what)
                    for ripped in self._ripped(row, board)
                ]
            pieces += self._undominated(here)
        return pieces

    def _ripped(self, row: int, board: int) -> list[Choice[Segment]]:
        """A segment of this row ripped into strips, from a board of this width."""
        if (row, board) not in self._segments:
            table = self.table
            strips = [
                choice for strip in range(len(table.strips)) for choice in self._strip(strip, row)
            ]
            room = int(table.board_rooms[board])
            best = int(table.segment_table.with_an_item(np.array(row), np.array(room)))
            length = table.segment_length(row)
            self._segments[row, board] = self._undominated(
                [
                    Choice(0, value, counts, Segment(length, what))
                    for value, counts, what in self._fillings(
                        table.segment_table, row, room, strips, best - self._budget
                    )
                ]
            )
        return self._segments[row, board]

    def _strip(self, strip: int, row: int) -> list[Choice[Strip]]:
        """A strip of this width from a segment of this row, crosscut into blanks."""
        if (strip, row) not in self._strips:
            table = self.table
            worths = table.in_strips[strip]
            blanks = [
                Choice(
                    int(table.strip_table.sizes[table.item_of_kind[column]]),
                    int(worths[column] + self.values[column]),
                    self._one(column),
                    kind,
                )
                for column, kind in enumerate(table.kinds)
                if worths[column] > NEVER // 2
            ]
            room = int(table.row_rooms[row])
            best = int(table.strip_table.with_an_item(np.array(strip), np.array(room)))
            width, size = table.strips[strip], int(table.segment_table.sizes[strip])
            self._strips[strip, row] = self._undominated(
                [
                    Choice(size, value - table.rip_pay, counts, Strip(width, what))
                    for value, counts, what in self._fillings(
                        table.strip_table, strip, room, blanks, best - self._budget
                    )
                ]
            )
        return self._strips[strip, row]

    def _one(self, column: int) -> tuple[int, ...]:
        return tuple(int(c == column) for c in range(len(self.values)))

    def _fillings(
        self, table: Knapsack, row: int, room: int, choices: Sequence[Choice[T]], least: int
    ) -> Iterator[tuple[int, tuple[int, ...], tuple[T, ...]]]:
        """Every filling of a room by one or more choices worth at least ``least`` in all."""
        choices = sorted(choices, key=lambda choice: (-choice.size, -choice.value))
        best, terminal = table.best[row].tolist(), table.terminal[row].tolist()
        found = 0

        def fill(
            first: int, room: int, value: int, counts: tuple[int, ...], what: tuple[T, ...]
        ) -> Iterator[tuple[int, tuple[int, ...], tuple[T, ...]]]:
            nonlocal found
            if what and value + terminal[room] >= least:
                found += 1
                if found > 4 * self.most:
                    raise TooManyError
                yield value + terminal[room], counts, what
            for i in range(first, len(choices)):
                choice = choices[i]
                rest = room - choice.size
                if rest < 0 or value + choice.value + best[rest] < least:
                    continue
                total = tuple(map(int.__add__, counts, choice.counts))
                if all(map(int.__le__, total, self.caps)):
                    yield from fill(i, rest, value + choice.value, total, (*what, choice.what))

        yield from fill(0, room, 0, (0,) * len(self.values), ())

    def _undominated(self, choices: list[Choice[T]]) -> list[Choice[T]]:
        """The choices (all of one size) that no other betters in blanks and in rest."""
        if len(choices) > self.most:
            raise TooManyError
        if len(choices) < 2:
            return choices
        counts = np.array([choice.counts for choice in choices])
        rest = np.array([choice.value for choice in choices]) - counts @ self.values
        order = np.lexsort((-rest, -counts.sum(axis=1)))
        kept: list[int] = []
        for i in order:
            if kept:
                covers = (counts[kept] >= counts[i]).all(axis=1) & (rest[kept] >= rest[i])
                if covers.any():
                    continue
            kept.append(int(i))
        return [choices[i] for i in kept]
