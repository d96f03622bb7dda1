"""Fillings of a room: all that lose little against the best, and which of them others better.

Whole lists at a time, in arrays: all fillings by one piece, from these all by two, and so on. A
filling goes on only with pieces after which the table says that little enough is lost.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from optimizer.search.knapsack import Ints, Knapsack
from optimizer.search.watch import Watch

T = TypeVar("T")
Counts: TypeAlias = NDArray[np.int16]

AT_ONCE = 2**22
"""Comparisons made at once."""

MOST_COUNTS = 10_000_000
"""Fillings in the making, times kinds of blanks."""

FEW = 400
"""Pieces of which each is compared with each."""


class TooManyError(Exception):
    """The list grows beyond what an integer programme can carry."""


@dataclass(frozen=True, slots=True)
class Pieces(Generic[T]):
    """Pieces that fit in a room: ``sizes[i]``, ``values[i]`` at the worths of the blanks (search
    units), ``counts[i, k]`` blanks of each kind, and ``what(i)`` a piece is.
    """

    sizes: Ints
    values: Ints
    counts: Counts
    what: Callable[[int], T]

    def __len__(self) -> int:
        return len(self.sizes)

    def rests(self, worths: Ints) -> Ints:
        """What each is worth beside its blanks: its leftovers, less its cuts."""
        rests: Ints = self.values - self.counts.astype(np.int64) @ worths
        return rests

    def chosen(self, index: Ints) -> Pieces[T]:
        """Those of an index, in its order."""
        what = self.what
        return Pieces(
            self.sizes[index],
            self.values[index],
            self.counts[index],
            lambda i: what(int(index[i])),
        )

    def undominated(self, worths: Ints, caps: Ints) -> Pieces[T]:
        """Those (all of one size) that no other betters in useful blanks and in rest.

        ``caps[k]`` blanks of a kind are useful.
        """
        if len(self) < 2:
            return self
        useful = np.minimum(self.counts, caps).astype(np.int16)
        marks = useful.astype(np.int64) @ _marks(len(caps))
        rests = self.rests(worths)
        order = np.lexsort((-rests, marks))
        first = np.ones(len(order), dtype=bool)
        first[1:] = marks[order][1:] != marks[order][:-1]
        kept = order[first]
        several = len(kept) <= FEW
        bettered = (_bettered if several else _bettered_by_one_more)(
            useful[kept], rests[kept], marks[kept]
        )
        return self.chosen(kept[~bettered])


def joined(several: Sequence[Pieces[T]]) -> Pieces[T]:
    """All pieces of several lists."""
    if len(several) == 1:
        return several[0]
    ends = np.cumsum([len(pieces) for pieces in several])

    def what(i: int) -> T:
        n = int(np.searchsorted(ends, i, side="right"))
        return several[n].what(i - int(ends[n]) + len(several[n]))

    return Pieces(
        np.concatenate([pieces.sizes for pieces in several]),
        np.concatenate([pieces.values for pieces in several]),
        np.concatenate([pieces.counts for pieces in several]),
        what,
    )


def _marks(kinds: int) -> Ints:
    """Numbers that tell sums of kinds apart; a sum of marks wraps around."""
    drawn = np.random.default_rng(kinds).integers(-(2**62), 2**62, kinds)
    return drawn.astype(np.int64)


def _bettered(counts: Counts, rests: Ints, marks: Ints) -> NDArray[np.bool_]:
    """For each row (none are equal): does another have as much everywhere, and as good a rest."""
    bettered = np.zeros(len(counts), dtype=bool)
    most = max(1, AT_ONCE // counts.size)
    for start in range(0, len(counts), most):
        some, rest = counts[start : start + most], rests[start : start + most]
        covered = rests[None, :] >= rest[:, None]
        for column in range(counts.shape[1]):
            covered &= counts[None, :, column] >= some[:, None, column]
        bettered[start : start + most] = covered.sum(axis=1) > 1
    return bettered


def _bettered_by_one_more(counts: Counts, rests: Ints, marks: Ints) -> NDArray[np.bool_]:
    """For each row: is there another with one blank more, and as good a rest. ``marks`` ascend."""
    bettered = np.zeros(len(counts), dtype=bool)
    for kind, mark in enumerate(_marks(counts.shape[1])):
        wanted = marks + mark
        other = np.minimum(np.searchsorted(marks, wanted), len(marks) - 1)
        bettered |= (
            (marks[other] == wanted)
            & (rests[other] >= rests)
            & (counts[other, kind] > counts[:, kind])
        )
    return bettered


@dataclass(frozen=True, slots=True)
class _Level:
    """Fillings in the making, by so many pieces: which room each fills, what is free of it, its
    value and blanks, and its last piece.
    """

    task: Ints
    room: Ints
    value: Ints
    counts: Counts
    last: Ints


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
    ) -> None:
        order = np.lexsort((-pieces.values, -pieces.sizes))
        self.pieces = pieces = pieces.chosen(order)
        self.best, self.terminal = table.best[row], table.terminal[row]
        self.caps, self.watch = caps, watch
        self.most = min(most, MOST_COUNTS // max(1, len(caps)))
        self._starts = np.flatnonzero(np.diff(pieces.sizes, prepend=-1)).tolist()
        tops = table.with_an_item(np.full(len(rooms), row), rooms)
        self.least = tops - budgets
        self._steps: list[tuple[Ints, Ints]] = []
        level = self._first(rooms, budgets)
        found: list[tuple[_Level, Ints]] = []
        total = 0
        while not found or len(level.task):
            level = self._next(level)
            total += len(level.task)
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
        return _Level(tasks, rooms[tasks], none, counts, none)

    def _ended(self, level: _Level, depth: int) -> tuple[_Level, Ints]:
        """Those that may stay as they are, and where to find their pieces."""
        worth = level.value + self.terminal[level.room]
        ended = np.flatnonzero(worth >= self.least[level.task])
        at = np.stack([np.full(len(ended), depth), ended], axis=1)
        task, room, last = level.task[ended], level.room[ended], level.last[ended]
        return _Level(task, room, worth[ended], level.counts[ended], last), at

    def _next(self, level: _Level) -> _Level:
        """One piece more in each, in every way that loses little enough and brings something."""
        state, piece = self._possible(level)
        lacking, brings = level.counts < self.caps, np.zeros(len(state), dtype=bool)
        step = max(1, AT_ONCE // len(self.caps))
        for start in range(0, len(state), step):
            some = slice(start, start + step)
            more = self.pieces.counts[piece[some]] > 0
            brings[some] = (more & lacking[state[some]]).any(axis=1)
        state, piece = state[brings], piece[brings]
        self._steps.append((state, piece))
        return _Level(
            level.task[state],
            level.room[state] - self.pieces.sizes[piece],
            level.value[state] + self.pieces.values[piece],
            level.counts[state] + self.pieces.counts[piece],
            piece,
        )

    def _possible(self, level: _Level) -> tuple[Ints, Ints]:
        """(filling, piece) for each step after which little enough is lost; pieces in order."""
        nothing = np.zeros(0, dtype=np.int64)
        states, pieces = [nothing], [nothing]
        stops = [*self._starts[1:], len(self.pieces)][: len(self._starts)]
        for start, stop in zip(self._starts, stops, strict=True):
            size, values = self.pieces.sizes[start], self.pieces.values[start:stop]
            among = np.flatnonzero((level.room >= size) & (level.last < stop))
            left = self.least[level.task[among]] - level.value[among]
            needed = left - self.best[level.room[among] - size]
            upto = start + np.searchsorted(-values, -needed, side="right")
            first = np.maximum(level.last[among], start)
            count = np.maximum(upto - first, 0)
            if count.sum() > self.most:
                raise TooManyError
            states.append(np.repeat(among, count))
            before = np.cumsum(count) - count - first
            pieces.append(np.arange(count.sum()) - np.repeat(before, count))
        return np.concatenate(states), np.concatenate(pieces)

    def what(self, i: int) -> tuple[T, ...]:
        """The pieces of a filling, in order."""
        depth, state = (int(n) for n in self._at[i])
        found: list[T] = []
        while depth >= 0:
            before, piece = self._steps[depth]
            found.append(self.pieces.what(int(piece[state])))
            depth, state = depth - 1, int(before[state])
        return tuple(reversed(found))
