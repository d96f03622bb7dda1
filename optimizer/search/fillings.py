"""Fillings of a room: all that lose little against the best, and which of them others better.

Whole lists at a time, in arrays: all fillings by one piece, from these all by two, and so on. A
filling goes on only with pieces after which the table says that little enough is lost; in a *beam*
only so many go on at each step, those that promise most, and the list need not be whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Generic, Protocol

import numpy as np

from optimizer.search.alike import best_alike, changes, spared
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints, Knapsack
from optimizer.search.room_pieces import Counts, Pieces, T, marks_of
from optimizer.search.watch import Watch

AT_ONCE = 2**22
"""Comparisons made at once."""

STEPS_AT_ONCE = 2**20
"""Steps of fillings looked at at once."""

LOOKED_AT = 20
"""Steps for each that may be made, which are looked at from so many fillings at once."""

MANY_KINDS = 40
"""With more kinds of blanks fewer fillings are made, which take more room each."""


class Company(Protocol):
    """What pieces are worth in company, where a blank's worth depends on the others."""

    @property
    def enough(self) -> Floats:
        """``[supply]``: what a pattern must bring at least."""
        ...

    def enough_of(self, row: int, boards: Sequence[int]) -> Floats:
        """``[board]``: what a segment of a row must bring at least, on boards so wide."""
        ...

    def kept(self, tasks: Ints, rooms: Ints, values: Ints, counts: Counts, spared: int) -> Ints:
        """The index of those that no other of the task outdoes whatever stands beside it."""
        ...

    def most(self, values: Ints, counts: Counts) -> Floats:
        """What they bring at the most, together no more than the sum."""
        ...


class TooManyError(Exception):
    """The list grows beyond what an integer programme can carry."""


@dataclass(frozen=True, slots=True)
class _Level:
    """Fillings in the making, by so many pieces: which room each fills, what is free of it, its
    value, the mark of its blanks and these, and its last piece. By their pieces, in order.
    """

    task: Ints
    room: Ints
    value: Ints
    mark: Ints
    counts: Counts
    last: Ints

    def __len__(self) -> int:
        return len(self.task)

    def chosen(self, index: Ints) -> _Level:
        """Those of an index."""
        return _Level(
            self.task[index],
            self.room[index],
            self.value[index],
            self.mark[index],
            self.counts[index],
            self.last[index],
        )


class Fillings(Generic[T]):
    """Every filling, by one or more pieces, of rooms that lose at most a budget each.

    ``values`` count what stays free; ``room[i]`` says which room a filling fills.
    """

    def __init__(
        self,
        table: Knapsack,
        row: int,
        rooms: Ints,
        budgets: Ints,
        pieces: Pieces[T],
        caps: Ints,
        most: int,
        watch: Watch,
        company: Company | None = None,
        enough: Floats | None = None,
        beam: int | None = None,
    ) -> None:
        self.best, self.terminal = table.best[row], table.terminal[row]
        self._spared = spared(self.terminal)
        if company is not None:
            none, rooms_left = np.zeros(len(pieces), dtype=np.int64), -pieces.sizes
            pieces = pieces.chosen(
                company.kept(none, rooms_left, pieces.values, pieces.counts, self._spared)
            )
        order = np.lexsort((-pieces.values, -pieces.sizes))
        self.pieces = pieces = pieces.chosen(order)
        self._marks = pieces.counts.astype(np.int64) @ marks_of(len(caps))
        self.caps, self.watch = caps, watch
        self.most = most * MANY_KINDS // max(MANY_KINDS, len(caps))
        self._starts = np.flatnonzero(changes(pieces.sizes))
        self._stops = np.append(self._starts[1:], len(pieces))[: len(self._starts)]
        self._sizes = pieces.sizes[self._starts]
        # Pieces of one size have descending values: ranks ascend from the first piece to the last.
        self._worths, rank = np.unique(pieces.values, return_inverse=True)
        group = np.repeat(np.arange(len(self._starts)), self._stops - self._starts)
        self._ranks = (group + 1) * (len(self._worths) + 1) - rank
        self._company, self._enough = company, enough
        self._most_of_pieces: Floats = np.zeros(0)
        self._most_of_rest: Ints = np.zeros(0, dtype=np.int64)
        if company is not None and enough is not None and len(pieces):
            self._most_of_pieces = company.most(pieces.values, pieces.counts)
            self._most_of_rest = self._most_of_rooms(self._most_of_pieces, int(rooms.max()))
        tops = table.with_an_item(np.full(len(rooms), row), rooms)
        self.least = tops - budgets
        self._steps: list[tuple[Ints, Ints]] = []
        level = self._first(rooms, budgets)
        found: list[tuple[_Level, Ints]] = []
        total = 0
        while not found or len(level):
            level = self._promising(self._next(level))
            if beam is not None and len(level) > beam:
                level = self._most_promising(level, beam)
            total += len(level)
            if total > self.most or watch.over():
                raise TooManyError
            found.append(self._ended(level, len(self._steps) - 1))
        self.room: Ints = np.concatenate([ended.task for ended, _ in found])
        self.values: Ints = np.concatenate([ended.value for ended, _ in found])
        self.counts: Counts = np.concatenate([ended.counts for ended, _ in found])
        self._at: Ints = np.concatenate([at for _, at in found])

    def _first(self, rooms: Ints, budgets: Ints) -> _Level:
        """Nothing is filled yet."""
        tasks = np.flatnonzero(budgets >= 0)
        none = np.zeros(len(tasks), dtype=np.int64)
        counts = np.zeros((len(tasks), len(self.caps)), dtype=np.int16)
        return _Level(tasks, rooms[tasks], none, none, counts, none)

    def _ended(self, level: _Level, depth: int) -> tuple[_Level, Ints]:
        """Those that may stay as they are, and where to find their pieces."""
        worth = level.value + self.terminal[level.room]
        ended = np.flatnonzero(worth >= self.least[level.task])
        at = np.stack([np.full(len(ended), depth), ended], axis=1)
        return replace(level.chosen(ended), value=worth[ended]), at

    def _next(self, level: _Level) -> _Level:
        """One piece more in each, in every way that loses little enough and brings something."""
        state, piece = self._possible(level)
        if not len(state):
            self._steps.append((state, piece))
            return level.chosen(state)
        lacking, brings = level.counts < self.caps, np.zeros(len(state), dtype=bool)
        step = max(1, AT_ONCE // len(self.caps))
        for start in range(0, len(state), step):
            some = slice(start, start + step)
            more = self.pieces.counts[piece[some]] > 0
            brings[some] = (more & lacking[state[some]]).any(axis=1)
        state, piece = state[brings], piece[brings]
        task, room = level.task[state], level.room[state] - self.pieces.sizes[piece]
        value = level.value[state] + self.pieces.values[piece]
        mark = level.mark[state] + self._marks[piece]
        best = best_alike(task, mark, room, value, self._spared)
        state, piece = state[best], piece[best]
        self._steps.append((state, piece))
        counts = level.counts[state] + self.pieces.counts[piece]
        return _Level(task[best], room[best], value[best], mark[best], counts, piece)

    def _promising(self, level: _Level) -> _Level:
        """Those that bring enough in company, and that no other outdoes."""
        if self._company is None or not len(level):
            return level
        if (lacking := self._lacking(level)) is not None:
            level = self._kept(level, np.flatnonzero(self._most_of_rest[level.room] >= lacking))
        return self._kept(
            level,
            self._company.kept(level.task, level.room, level.value, level.counts, self._spared),
        )

    def _most_promising(self, level: _Level, count: int) -> _Level:
        """Those that would bring most beyond what is enough, if the rest brought its plain best."""
        brought: Floats | Ints = level.value
        if self._company is not None:
            brought = self._company.most(level.value, level.counts)
        enough = self.least if self._enough is None else self._enough
        promise = brought + self.best[level.room] - enough[level.task]
        return self._kept(level, np.sort(np.argsort(-promise, kind="stable")[:count]))

    def _kept(self, level: _Level, kept: Ints) -> _Level:
        state, piece = self._steps[-1]
        self._steps[-1] = (state[kept], piece[kept])
        return level.chosen(kept)

    def _most_of_rooms(self, of_pieces: Floats, room: int) -> Ints:
        """What is brought at the most by what fills a room, up to the largest."""
        most = np.maximum.reduceat(np.ceil(of_pieces), self._starts)
        table = Knapsack(self.pieces.sizes[self._starts], self.terminal[None, : room + 1])
        table.fill(most.astype(np.int64)[None, :])
        best: Ints = table.best[0]
        return best

    def _possible(self, level: _Level) -> tuple[Ints, Ints]:
        """(filling, piece), in order, for each step after which little enough is lost, and enough
        may be brought.
        """
        nothing = np.zeros(0, dtype=np.int64)
        states, pieces, total = [nothing], [nothing], 0
        least, lacking = self.least[level.task] - level.value, self._lacking(level)
        step = max(1, AT_ONCE // max(1, len(self._sizes)))
        for begin in range(0, len(least), step):
            some = slice(begin, begin + step)
            fits = level.room[some, None] >= self._sizes
            fits &= level.last[some, None] < self._stops
            state, group = np.nonzero(fits)
            state += begin
            needed = least[state] - self.best[level.room[state] - self._sizes[group]]
            first = np.maximum(level.last[state], self._starts[group])
            count = np.maximum(self._worth_at_least(group, needed) - first, 0)
            if count.sum() > LOOKED_AT * self.most:
                raise TooManyError
            for which, piece in _runs(first, count):
                of = state[which]
                if lacking is not None:
                    brings = self._brings(piece, level.room[of]) >= lacking[of]
                    of, piece = of[brings], piece[brings]
                total += len(of)
                if total > self.most:
                    raise TooManyError
                states.append(of)
                pieces.append(piece)
        return np.concatenate(states), np.concatenate(pieces)

    def _lacking(self, level: _Level) -> Floats | None:
        """What each must bring yet in company, if something is asked."""
        if self._company is None or self._enough is None or not len(self.pieces):
            return None
        return self._enough[level.task] - self._company.most(level.value, level.counts)

    def _brings(self, piece: Ints, room: Ints) -> Floats:
        """What is brought at the most by a piece, and what fills the rest of a room."""
        rest = self._most_of_rest[room - self.pieces.sizes[piece]]
        most: Floats = self._most_of_pieces[piece] + rest
        return most

    def _worth_at_least(self, group: Ints, needed: Ints) -> Ints:
        """Where, among pieces of one size, those end that are worth so much."""
        lower = np.searchsorted(self._worths, needed)
        ends: Ints = np.searchsorted(
            self._ranks, (group + 1) * (len(self._worths) + 1) - lower, side="right"
        )
        return ends

    def what(self, i: int) -> tuple[T, ...]:
        """The pieces of a filling, in order."""
        depth, state = (int(n) for n in self._at[i])
        found: list[T] = []
        while depth >= 0:
            before, piece = self._steps[depth]
            found.append(self.pieces.what(int(piece[state])))
            depth, state = depth - 1, int(before[state])
        return tuple(reversed(found))


def _runs(first: Ints, count: Ints) -> Iterator[tuple[Ints, Ints]]:
    """(which, number) for so many numbers from each first one on, some at once."""
    ends = np.cumsum(count)
    stops = np.arange(STEPS_AT_ONCE, ends[-1] if len(ends) else 0, STEPS_AT_ONCE)
    every = np.arange(len(count))
    parts = np.split(every, np.unique(np.searchsorted(ends, stops))) if len(stops) else [every]
    for which in parts:
        some = count[which]
        before = np.cumsum(some) - some - first[which]
        yield np.repeat(which, some), np.arange(some.sum()) - np.repeat(before, some)
