"""Fillings that yield: where they are too many, all budgets shrink until they are not.

So a list goes as far as it goes, in one pass, and says how far. What a filling has *left* of its
budget, if the best follows, falls from step to step; those that have least left leave first, and
all rooms yield alike: then what is left at the end is all that loses so much less.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from optimizer.search.fillings import Fillings, Level, TooManyError, runs
from optimizer.search.knapsack import Ints, Knapsack
from optimizer.search.room_pieces import Pieces, T
from optimizer.search.watch import Watch

ENOUGH = 3 / 4
"""With this share of the most steps no closer number is looked for."""

FINE = 64
"""Nor one that differs by a smaller share of what is yielded."""

TOGETHER = 1_000_000
"""Fillings of all rows: a list that is kept holds them, some three hundred bytes each."""


class YieldingFillings(Fillings[T]):
    """Every filling that loses at most its budget less ``yielded``: as little as lets no row have
    more than about ``most``. Raises TooManyError only where the watch is over, or where all rows
    together take too much room.
    """

    def __init__(
        self,
        table: Knapsack,
        rows: Ints,
        rooms: Ints,
        budgets: Ints,
        pieces: Pieces[T],
        rows_of_pieces: Ints,
        caps: Ints,
        most: int,
        watch: Watch,
    ) -> None:
        self.yielded, self._budget = 0, int(budgets.max(initial=0))
        self._so_far = list[tuple[Ints, Ints]]()
        """The rows of all steps so far, and what each has left, but for what is yielded."""
        super().__init__(table, rows, rooms, budgets, pieces, rows_of_pieces, caps, most, watch)
        self._so_far.clear()  # lists outlast it
        kept = np.flatnonzero(self.values >= self.least[self.room])
        self.room, self.values = self.room[kept], self.values[kept]
        self.counts, self._made = self.counts[kept], self._made[kept]

    def _not_too_many(self, level: Level) -> Level:
        """Those that are left once so much is yielded that no row has more than the most."""
        self._so_far.append((self._at.row(level.place), self._left(level) + self.yielded))
        row, left = (np.concatenate(each) for each in zip(*self._so_far, strict=True))
        if len(row) > TOGETHER:
            raise TooManyError
        left -= self.yielded
        more = 0
        for many in np.flatnonzero(np.bincount(row[left >= 0]) > self.most).tolist():
            of_row = np.sort(left[row == many])
            more = max(more, int(of_row[-self.most - 1]) + 1)
        self._yield(more)
        return self._kept(level, np.flatnonzero(self._left(level) >= 0))

    def _going_on(self, level: Level) -> Iterator[tuple[Ints, Ints, Ints]]:
        """As of all fillings, once so much is yielded that of no row more than the most steps are
        possible; and not far fewer. All at once.
        """
        every = [*runs(*self._at.fitting(level.place, level.last))]
        state, group = (np.concatenate(each) for each in zip(*every, strict=True))
        first, needed = self._from(level, state, group)
        count = self._count(group, first, needed)

        def most() -> int:
            return int(self._at.count(level.place[state], count).max(initial=0))

        if most() > self.most:
            some = np.flatnonzero(count)  # no others become possible
            state, group, first, needed = (each[some] for each in (state, group, first, needed))
            few, many = self._budget + 1, 0
            while few - many > 1 + few // FINE:
                middle = (few + many) // 2
                count = self._count(group, first, needed + middle)
                if (possible := most()) > self.most:
                    many = middle
                else:
                    few = middle
                    if possible >= ENOUGH * self.most:
                        break
            self._yield(few)
            count = self._count(group, first, needed + few)
        some = np.flatnonzero(count)
        yield state[some], first[some], count[some]

    def _left(self, level: Level) -> Ints:
        """What each has left of its budget, if the best follows."""
        left: Ints = level.value + self._at.best[level.place] - self.least[level.task]
        return left

    def _yield(self, more: int) -> None:
        self.least, self.yielded = self.least + more, self.yielded + more
