"""Fillings of a room: all that lose little against the best, and which of them others better.

Whole lists at a time, in arrays, for all rooms of many rows of a table at once: all fillings by one
piece, from these all by two, and so on. A filling goes on only with pieces after which the table
says that little enough is lost; in a *beam* only so many of a row go on at each step, those that
promise most, and the list need not be whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Generic, Protocol

import numpy as np

from optimizer.search.alike import best_alike, spared_of
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints, Knapsack
from optimizer.search.places import Places
from optimizer.search.room_pieces import Counts, Pieces, T, marks_of, sums_of
from optimizer.search.watch import Watch

AT_ONCE = 2**22
"""Comparisons made at once."""

STEPS_AT_ONCE = 2**20
"""Steps of fillings looked at at once."""

LOOKED_AT = 20
"""Steps for each that may be made, which are looked at from so many fillings at once."""

MOST_IN_ALL = 3_000_000
"""Fillings that are made at once, of all rows: they take half a gibibyte."""

MANY_KINDS = 40
"""With more kinds of blanks fewer fillings are made, which take more room each."""


class Company(Protocol):
    """What pieces are worth in company, where a blank's worth depends on the others."""

    @property
    def enough(self) -> Floats:
        """``[supply]``: what a pattern must bring at least."""
        ...

    def enough_of(self, rows: Ints, boards: Ints) -> Floats:
        """What each segment, of a row on boards so wide, must bring at least."""
        ...

    def kept(self, tasks: Ints, rooms: Ints, values: Ints, counts: Counts, spared: Ints) -> Ints:
        """The index of those that no other of the task outdoes whatever stands beside it."""
        ...

    def most(self, values: Ints, counts: Counts) -> Floats:
        """What they bring at the most, together no more than the sum."""
        ...


class TooManyError(Exception):
    """The list grows beyond what an integer programme can carry."""


@dataclass(frozen=True, slots=True)
class Level:
    """Fillings in the making, by so many pieces: which room each fills, the place that is free of
    it, its value, the mark of its blanks and these, and its last piece. By their pieces, in order.
    """

    task: Ints
    place: Ints
    value: Ints
    mark: Ints
    counts: Counts
    last: Ints

    def __len__(self) -> int:
        return len(self.task)

    def chosen(self, index: Ints) -> Level:
        """Those of an index."""
        return Level(
            self.task[index],
            self.place[index],
            self.value[index],
            self.mark[index],
            self.counts[index],
            self.last[index],
        )


class Fillings(Generic[T]):
    """Every filling, by one or more pieces, of rooms that lose at most a budget each.

    Room i is ``rooms[i]`` ticks of row ``rows[i]`` of the table, and filled by pieces of that row:
    piece j is one of row ``rows_of_pieces[j]``. ``values`` count what stays free; ``room[i]`` says
    which room a filling fills. Raises TooManyError where a row has more than ``most``.
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
        company: Company | None = None,
        enough: Floats | None = None,
        beam: int | None = None,
    ) -> None:
        spared = spared_of(table.terminal)
        if company is not None:
            of_pieces, left = spared[rows_of_pieces], -pieces.sizes
            kept = company.kept(rows_of_pieces, left, pieces.values, pieces.counts, of_pieces)
            pieces, rows_of_pieces = pieces.chosen(kept), rows_of_pieces[kept]
        self._at = at = Places(table, rows, int(rooms.max(initial=0)), pieces, rows_of_pieces)
        self.pieces = pieces = at.pieces
        self._marks = sums_of(pieces.counts, marks_of(len(caps)))
        self.caps, self.watch, self._spared = caps, watch, spared[rows]
        self.most = most * MANY_KINDS // max(MANY_KINDS, len(caps))
        self._company, self._enough = company, enough
        self._most_of_pieces: Floats = np.zeros(0)
        self._most_of_rest: Ints = np.zeros(0, dtype=np.int64)
        if company is not None and enough is not None and len(pieces):
            self._most_of_pieces = company.most(pieces.values, pieces.counts)
            self._most_of_rest = at.filled(self._most_of_pieces)
        self.least = table.with_an_item(rows, rooms) - budgets
        self._steps: list[tuple[Ints, Ints]] = []
        level = self._first(at.of_rooms(rows, rooms), budgets)
        found: list[tuple[Level, Ints]] = []
        self._total: Ints = np.zeros(1, dtype=np.int64)
        while not found or len(level):
            level = self._promising(self._next(level))
            if beam is not None:
                level = self._most_promising(level, beam)
            if watch.over():
                raise TooManyError
            level = self._not_too_many(level)
            found.append(self._ended(level, len(self._steps) - 1))
        self.room: Ints = np.concatenate([ended.task for ended, _ in found])
        self.values: Ints = np.concatenate([ended.value for ended, _ in found])
        self.counts: Counts = np.concatenate([ended.counts for ended, _ in found])
        self._made: Ints = np.concatenate([made for _, made in found])

    def _not_too_many(self, level: Level) -> Level:
        """All of them, if no row has more than the most so far; else raises TooManyError."""
        self._total = self._total + self._at.count(level.place)
        if self._total.max() > self.most:
            raise TooManyError
        return level

    def _first(self, places: Ints, budgets: Ints) -> Level:
        """Nothing is filled yet."""
        tasks = np.flatnonzero(budgets >= 0)
        none = np.zeros(len(tasks), dtype=np.int64)
        counts = np.zeros((len(tasks), len(self.caps)), dtype=np.int16)
        return Level(tasks, places[tasks], none, none, counts, none)

    def _ended(self, level: Level, depth: int) -> tuple[Level, Ints]:
        """Those that may stay as they are, and where to find their pieces."""
        worth = level.value + self._at.terminal[level.place]
        ended = np.flatnonzero(worth >= self.least[level.task])
        made = np.stack([np.full(len(ended), depth), ended], axis=1)
        return replace(level.chosen(ended), value=worth[ended]), made

    def _next(self, level: Level) -> Level:
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
        task, place = level.task[state], level.place[state] - self.pieces.sizes[piece]
        value = level.value[state] + self.pieces.values[piece]
        mark = level.mark[state] + self._marks[piece]
        best = best_alike(task, mark, place, value, self._spared[task])
        state, piece = state[best], piece[best]
        self._steps.append((state, piece))
        counts = level.counts[state]
        for start in range(0, len(counts), step):
            some = slice(start, start + step)
            counts[some] += self.pieces.counts[piece[some]]
        return Level(task[best], place[best], value[best], mark[best], counts, piece)

    def _promising(self, level: Level) -> Level:
        """Those that bring enough in company, and that no other outdoes."""
        if self._company is None or not len(level):
            return level
        if (lacking := self._lacking(level)) is not None:
            level = self._kept(level, np.flatnonzero(self._most_of_rest[level.place] >= lacking))
        spared = self._spared[level.task]
        return self._kept(
            level, self._company.kept(level.task, level.place, level.value, level.counts, spared)
        )

    def _most_promising(self, level: Level, count: int) -> Level:
        """Of each row those that would bring most beyond what is enough, if the rest brought its
        plain best.
        """
        brought: Floats | Ints = level.value
        if self._company is not None:
            brought = self._company.most(level.value, level.counts)
        enough = self.least if self._enough is None else self._enough
        promise = brought + self._at.best[level.place] - enough[level.task]
        return self._kept(
            level, np.flatnonzero(self._at.rank_in_rows(level.place, promise) < count)
        )

    def _kept(self, level: Level, kept: Ints) -> Level:
        state, piece = self._steps[-1]
        self._steps[-1] = (state[kept], piece[kept])
        return level.chosen(kept)

    def _possible(self, level: Level) -> tuple[Ints, Ints]:
        """(filling, piece), in order, for each step after which little enough is lost, and enough
        may be brought.
        """
        at, nothing = self._at, np.zeros(0, dtype=np.int64)
        states, pieces, total = [nothing], [nothing], np.zeros(1, dtype=np.int64)
        lacking = self._lacking(level)
        for state, first, count in self._going_on(level):
            for which, piece in runs(first, count):
                of = state[which]
                if lacking is not None:
                    brings = self._brings(piece, level.place[of]) >= lacking[of]
                    of, piece = of[brings], piece[brings]
                total = total + at.count(level.place[of])
                if total.max() > self.most or total.sum() > MOST_IN_ALL:
                    raise TooManyError
                states.append(of)
                pieces.append(piece)
        return np.concatenate(states), np.concatenate(pieces)

    def _going_on(self, level: Level) -> Iterator[tuple[Ints, Ints, Ints]]:
        """Fillings, some at once, the first piece of a group with which each may go on after which
        little enough is lost, and how many such there are.
        """
        for state, group in runs(*self._at.fitting(level.place, level.last)):
            first, needed = self._from(level, state, group)
            count = self._count(group, first, needed)
            if self._at.count(level.place[state], count).max() > LOOKED_AT * self.most:
                raise TooManyError
            some = np.flatnonzero(count)
            yield state[some], first[some], count[some]

    def _from(self, level: Level, state: Ints, group: Ints) -> tuple[Ints, Ints]:
        """The first piece of a group with which a filling may go on, and what one must be worth."""
        at, least = self._at, self.least[level.task] - level.value
        first = np.maximum(level.last[state], at.starts[group])
        return first, least[state] - at.best[level.place[state] - at.sizes[group]]

    def _count(self, group: Ints, first: Ints, needed: Ints) -> Ints:
        """How many pieces of a group, from the first one on, are worth what is needed."""
        count: Ints = np.maximum(self._at.worth_at_least(group, needed) - first, 0)
        return count

    def _lacking(self, level: Level) -> Floats | None:
        """What each must bring yet in company, if something is asked."""
        if self._company is None or self._enough is None or not len(self.pieces):
            return None
        return self._enough[level.task] - self._company.most(level.value, level.counts)

    def _brings(self, piece: Ints, place: Ints) -> Floats:
        """What is brought at the most by a piece, and what fills the rest of a room."""
        rest = self._most_of_rest[place - self.pieces.sizes[piece]]
        most: Floats = self._most_of_pieces[piece] + rest
        return most

    def what(self, i: int) -> tuple[T, ...]:
        """The pieces of a filling, in order."""
        depth, state = (int(n) for n in self._made[i])
        found: list[T] = []
        while depth >= 0:
            before, piece = self._steps[depth]
            found.append(self.pieces.what(int(piece[state])))
            depth, state = depth - 1, int(before[state])
        return tuple(reversed(found))


def runs(first: Ints, count: Ints) -> Iterator[tuple[Ints, Ints]]:
    """(which, number) for so many numbers from each first one on, some at once."""
    ends = np.cumsum(count)
    stops = np.arange(STEPS_AT_ONCE, ends[-1] if len(ends) else 0, STEPS_AT_ONCE)
    every = np.arange(len(count))
    parts = np.split(every, np.unique(np.searchsorted(ends, stops))) if len(stops) else [every]
    for which in parts:
        some = count[which]
        before = np.cumsum(some) - some - first[which]
        yield np.repeat(which, some), np.arange(some.sum()) - np.repeat(before, some)
