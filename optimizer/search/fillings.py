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
        self.caps, self.most, self.watch = caps, most, watch
        self.starts = np.flatnonzero(np.diff(pieces.sizes, prepend=-1))
        tops = table.with_an_item(np.full(len(rooms), row), rooms)
        self.least = tops - budgets
        self._states: list[tuple[Ints, Ints]] = []
        level = self._first(rooms, budgets)
        found = [self._ended(level, -1)]
        total = 0
        while len(level[0]):
            level = self._next(level)
            total += len(level[0])
            if total > most or watch.over():
                raise TooManyError
            found.append(self._ended(level, len(self._states) - 1))
        self.room, self.values, self.counts, self._at = (
            (np.concatenate(some) for some in zip(*found[1:], strict=True))
            if len(found) > 1
            else (found[0][0][:0], found[0][1][:0], found[0][2][:0], found[0][3][:0])
        )

    def _first(self, rooms: Ints, budgets: Ints) -> tuple[Ints, ...]:
        open_ = np.flatnonzero(budgets >= 0)
        none = np.zeros(len(open_), dtype=np.int64)
        counts = np.zeros((len(open_), len(self.caps)), dtype=np.int16)
        return open_, rooms[open_], none, counts, none

    def _ended(self, level: tuple[Ints, ...], depth: int) -> tuple[Ints, ...]:
        task, room, value, counts, _ = level
        done = value + self.terminal[room]
        ended = np.flatnonzero(done >= self.least[task])
        at = np.stack([np.full(len(ended), depth), ended], axis=1)
        return task[ended], done[ended], counts[ended], at

    def _next(self, level: tuple[Ints, ...]) -> tuple[Ints, ...]:
        task, room, value, counts, last = level
        state, piece = self._possible(task, room, value, last)
        brings = np.zeros(len(state), dtype=bool)
        lacking = counts < self.caps
        step = max(1, AT_ONCE // max(1, counts.shape[1]))
        for start in range(0, len(state), step):
            some = slice(start, start + step)
            more = self.pieces.counts[piece[some]] > 0
            brings[some] = (more & lacking[state[some]]).any(axis=1)
        state, piece = state[brings], piece[brings]
        self._states.append((state, piece))
        return (
            task[state],
            room[state] - self.pieces.sizes[piece],
            value[state] + self.pieces.values[piece],
            counts[state] + self.pieces.counts[piece],
            piece,
        )

    def _possible(self, task: Ints, room: Ints, value: Ints, last: Ints) -> tuple[Ints, Ints]:
        """(state, piece) for each step after which little enough is lost; pieces in order."""
        sizes, values = self.pieces.sizes, self.pieces.values
        if len(room) * len(sizes) <= 200_000:
            rest = room[:, None] - sizes
            needed = self.least[task][:, None] - value[:, None] - self.best[np.maximum(rest, 0)]
            after = np.arange(len(sizes)) >= last[:, None]
            state, piece = np.nonzero((rest >= 0) & after & (values >= needed))
            return state, piece
        states, pieces = [], []
        stops = np.append(self.starts[1:], len(sizes))
        for start, stop in zip(self.starts.tolist(), stops.tolist(), strict=True):
            among = np.flatnonzero((room >= sizes[start]) & (last < stop))
            if not len(among):
                continue
            needed = self.least[task[among]] - value[among] - self.best[room[among] - sizes[start]]
            upto = start + np.searchsorted(-values[start:stop], -needed, side="right")
            first = np.maximum(last[among], start)
            count = np.maximum(upto - first, 0)
            if not count.any():
                continue
            if count.sum() > 4 * self.most:
                raise TooManyError
            states.append(np.repeat(among, count))
            ends = np.cumsum(count)
            pieces.append(np.arange(ends[-1]) - np.repeat(ends - count - first, count))
        if not states:
            return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        return np.concatenate(states), np.concatenate(pieces)

    def what(self, i: int) -> tuple[T, ...]:
        """The pieces of a filling, in order."""
        depth, state = (int(n) for n in self._at[i])
        found: list[T] = []
        while depth >= 0:
            before, piece = self._states[depth]
            found.append(self.pieces.what(int(piece[state])))
            depth, state = depth - 1, int(before[state])
        return tuple(reversed(found))
