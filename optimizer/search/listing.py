"""Lists all patterns that a better plan could use.

At the worths of the linear optimum every pattern costs more than its blanks bring, by its *reduced
cost*; a plan that uses it costs at least the bound and that. So patterns whose reduced cost exceeds
the gap between the best plan and the bound need not be looked at, and often few remain (the nested
form of the reduced-cost enumeration that Baldacci, Christofides and Mingozzi used for vehicle
routes, Mathematical Programming 115, 2008).

Each step of a table has a *deficit*: the table's value less what is achieved by this step. Boards
whose deficits sum to at most the gap are listed out of segments, these out of strips; how much of
the gap is left inside a segment or a strip is known from the tables beforehand. At each level a
piece is dropped that another from the same room betters: as many useful blanks of each kind, and a
rest worth as much. Nothing is added that brings only blanks of which the job has enough.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from optimizer.search.choices import Choice, Counts, T, by_size, undominated
from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import NEVER, Ints, Knapsack
from optimizer.search.patterns import Column, Pattern, Segment, Strip
from optimizer.search.watch import Watch

STEPS_EACH = 40
"""Steps of the lists for each pattern that may come out of them."""


class TooManyError(Exception):
    """The list grows beyond what an integer programme can carry."""


class Listing:
    """All patterns of one lumber near the best at ``values``; at most ``most`` at each level."""

    def __init__(
        self, table: CuttingTables, values: Ints, caps: Ints, most: int, watch: Watch
    ) -> None:
        self.table, self.most, self.watch = table, most, watch
        self.best = table.price(values)
        self._all_values, self.values = values, values[list(table.kinds)]
        self.caps = tuple(int(cap) for cap in caps[list(table.kinds)])
        self._steps = 0

    def columns(self, budgets: Ints) -> Iterator[Column]:
        """Patterns of each supply whose deficit is at most its budget (negative: none).

        Raises TooManyError.
        """
        table = self.table
        wanted = [s for s, b in enumerate(budgets) if b >= 0 and self.best[s] > NEVER // 2]
        pieces = self._budgets_of_segments(wanted, budgets)
        strips = self._budgets_of_strips(pieces)
        self._strips = {key: self._list_strip(*key, budget) for key, budget in strips.items()}
        self._ripped = {key: self._list_segment(*key, budget) for key, budget in pieces.items()}
        boards = {int(table.board_of_supply[s]) for s in wanted}
        crosscut = {board: self._crosscut_segments(board) for board in boards}
        for s in wanted:
            yield from self._list_boards(s, int(budgets[s]), crosscut)

    # how much of the gap is left inside ---------------------------------------------------------

    def _budgets_of_segments(
        self, wanted: Iterable[int], budgets: Ints
    ) -> dict[tuple[int, int], int]:
        """For each (row, board width) that may be ripped: the most that may be lost inside."""
        table, left = self.table, dict[tuple[int, int], int]()

        def allow(row: int, board: int, budget: int) -> None:
            if row >= 0 and budget >= left.get((row, board), 0):
                left[row, board] = budget

        for s in wanted:
            board, row = int(table.board_of_supply[s]), int(table.row_of_supply[s])
            if row >= 0:
                whole = int(table.segment_best[row, board])
                allow(row, board, int(budgets[s] - (self.best[s] - whole)))
            if not table.crosscut_into_segments:
                continue
            room = int(table.room_of_supply[s])
            found = table.board_table.with_an_item(np.array(board), np.array(room))
            lost = table.board_table.deficits(board, room) + self.best[s] - found
            for item, row in enumerate(table.row_of_length):
                if row >= 0:
                    ripped = table.segment_best[row, board] - table.crosscut_pay
                    beside = table.board_table.values[board, item] - ripped
                    allow(row, board, int(budgets[s] - lost[item] - beside))
        return left

    def _budgets_of_strips(
        self, segments: dict[tuple[int, int], int]
    ) -> dict[tuple[int, int], int]:
        """For each (strip width, row): the most that may be lost inside."""
        table, left = self.table, dict[tuple[int, int], int]()
        for (row, board), budget in segments.items():
            lost = table.segment_table.deficits(row, int(table.board_rooms[board]))
            for strip, loss in enumerate(lost):
                if loss <= budget:
                    key = strip, row
                    left[key] = max(left.get(key, 0), int(budget - loss))
        return left

    # lists --------------------------------------------------------------------------------------

    def _list_strip(self, strip: int, row: int, budget: int) -> list[Choice[Strip]]:
        """A strip of this width from a segment of this row, crosscut into blanks."""
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
        width, size = table.strips[strip], int(table.segment_table.sizes[strip])
        fillings = self._fillings(
            table.strip_table, strip, int(table.row_rooms[row]), blanks, budget
        )
        return self._undominated(
            [
                Choice(size, value - table.rip_pay, counts, Strip(width, what))
                for value, counts, what in fillings
            ]
        )

    def _list_segment(self, row: int, board: int, budget: int) -> list[Choice[Segment]]:
        """A segment of this row, of a board of this width, ripped into strips."""
        table = self.table
        strips = [
            choice
            for strip in range(len(table.strips))
            for choice in self._strips.get((strip, row), ())
        ]
        length, room = table.segment_length(row), int(table.board_rooms[board])
        return self._undominated(
            [
                Choice(0, value, counts, Segment(length, what))
                for value, counts, what in self._fillings(
                    table.segment_table, row, room, strips, budget
                )
            ]
        )

    def _crosscut_segments(self, board: int) -> list[Choice[Segment]]:
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
            if table.crosscut_into_segments:
                here += [
                    Choice(size, ripped.value - table.crosscut_pay, ripped.counts, ripped.what)
                    for ripped in self._ripped.get((table.row_of_length[item], board), ())
                ]
            pieces += self._undominated(here)
        return pieces

    def _list_boards(
        self, s: int, budget: int, crosscut: dict[int, list[Choice[Segment]]]
    ) -> Iterator[Column]:
        table = self.table
        board, row, room = (
            int(of_supply[s])
            for of_supply in (table.board_of_supply, table.row_of_supply, table.room_of_supply)
        )
        least = int(self.best[s]) - budget
        top = int(table.board_table.with_an_item(np.array(board), np.array(room)))
        found = [
            Choice(0, value, counts, segments)
            for value, counts, segments in self._fillings(
                table.board_table, board, room, crosscut[board], top - least
            )
        ]
        found += [
            Choice(0, segment.value, segment.counts, (segment.what,))
            for segment in self._ripped.get((row, board), ())
            if segment.value >= least
        ]
        for choice in self._undominated(found):
            pattern = Pattern(table.supplies[s], choice.what)
            yield table.costed(pattern, choice.value, self._all_values)

    def _one(self, column: int) -> Counts:
        return tuple(int(c == column) for c in range(len(self.values)))

    def _fillings(
        self, table: Knapsack, row: int, room: int, choices: Sequence[Choice[T]], budget: int
    ) -> Iterator[tuple[int, Counts, tuple[T, ...]]]:
        """Every filling of a room by one or more choices that loses at most ``budget``."""
        if budget < 0:
            return
        sizes = by_size(choices)
        best, terminal = table.best[row].tolist(), table.terminal[row].tolist()
        least = int(table.with_an_item(np.array(row), np.array(room))) - budget

        def fill(
            first: int, among: int, room: int, value: int, counts: Counts, what: tuple[T, ...]
        ) -> Iterator[tuple[int, Counts, tuple[T, ...]]]:
            if what and value + terminal[room] >= least:
                yield value + terminal[room], counts, what
            for i in range(first, len(sizes)):
                size, choices = sizes[i]
                rest = room - size
                if rest < 0:
                    continue
                needed = least - value - best[rest]
                for j in range(among if i == first else 0, len(choices)):
                    choice = choices[j]
                    if choice.value < needed:
                        break
                    self._count_step()
                    if self._brings_more(counts, choice.counts):
                        total = tuple(map(int.__add__, counts, choice.counts))
                        more = (*what, choice.what)
                        yield from fill(i, j, rest, value + choice.value, total, more)

        yield from fill(0, 0, room, 0, (0,) * len(self.values), ())

    def _undominated(self, choices: Iterable[Choice[T]]) -> list[Choice[T]]:
        kept = undominated(choices, self.values, self.caps)
        if len(kept) > self.most:
            raise TooManyError
        return kept

    def _brings_more(self, counts: Counts, more: Counts) -> bool:
        """Whether some blank is added of which there are not enough yet."""
        for had, cap, added in zip(counts, self.caps, more, strict=True):
            if added and had < cap:
                return True
        return False

    def _count_step(self) -> None:
        self._steps += 1
        if self._steps > STEPS_EACH * self.most or (self._steps % 4096 == 0 and self.watch.over()):
            raise TooManyError
