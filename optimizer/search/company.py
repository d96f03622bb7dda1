"""What pieces are worth in company: where rounded rows count, it depends on what else is cut.

The tables know a blank's worth only to a bonus. But more is sure of pieces whose blanks are known.

*Outdone.* Take two pieces A and B, and A may take B's place. Whatever stands beside them, with A
the board brings at least so much more as their blanks differ by at the worths of the rows, each
rounded row rounded *down*; for ⌈x + d⌉ ≥ ⌈x⌉ + ⌊d⌋. Where no pattern brings more than it costs, B
is in no pattern within the gap if A brings more than B by more than the gap. So where a list lacks
nothing but what is outdone, its lowest reduced cost is that of all patterns. (The comparison of
labels under cutting planes: Jepsen, Petersen, Spoorendonk and Pisinger, Subset-row inequalities
applied to the vehicle-routing problem with time windows, Operations Research 56, 2008.)

*Not enough.* Together pieces bring no more than the sum of what each brings alone, rounded up; for
⌈x + y⌉ ≤ ⌈x⌉ + ⌈y⌉. What cannot come to the board's cost so, less the gap, is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.first_rows import Floats
from optimizer.search.knapsack import Ints
from optimizer.search.room_pieces import Counts
from optimizer.search.rounded_rows import RoundedRows
from optimizer.search.upper_sums import UpperSums

MANY = 500
"""Of fewer pieces it is not worth asking."""

AT_ONCE = 2**12
"""Pieces for which sums of rows are made at once."""

RIVALS = 4
"""Pieces with which each is compared."""


@dataclass(frozen=True, slots=True)
class Company:
    """Pieces of one lumber with blanks of ``kinds``, at prices; ``worths`` of ``rounded`` rows.

    All numbers are search units, whole and below 2**53, so that floats are exact.
    """

    sums: UpperSums
    kinds: Ints
    own: Ints
    """``[kind]``: what a blank is worth by the sums."""
    gap: int
    rounded: RoundedRows
    worths: Floats
    surplus: Counts
    """``[kind]``: so many more may lie on one board than are useful."""
    enough: Floats
    """``[supply]``: what a pattern within the gap brings at least."""
    most_of_rest: Floats
    """``[supply, room]``: what is brought at the most by what a board has left."""

    @classmethod
    def of(cls, sums: UpperSums, gap: int) -> Company:
        """For patterns of one lumber whose reduced costs are at most ``gap``."""
        table, prices = sums.table, sums.prices
        kinds = np.array(table.kinds)
        surplus = np.maximum(_most_on_a_board(table) - prices.first.useful[kinds], 0)
        rounded = prices.rounded.copy()
        kept = rounded.keep(prices.of_rounded > 0)
        enough = table.cost + prices.supplies[list(table.supplies)] - gap
        return cls(
            sums=sums,
            kinds=kinds,
            own=sums.kinds[kinds],
            gap=gap,
            rounded=rounded,
            worths=prices.of_rounded[kept].astype(np.float64),
            surplus=surplus.astype(np.int16),
            enough=enough.astype(np.float64),
            most_of_rest=_most_of_rest(sums).astype(np.float64),
        )

    def kept(self, tasks: Ints, rooms: Ints, values: Ints, counts: Counts, spared: Ints) -> Ints:
        """The index of those that no other outdoes: of the same task, leaving as much room; where
        it leaves more, by what may be ``spared`` if a room is filled to the last tick.

        ``values`` hold the blanks at the worths of the ``sums``.
        """
        left: Ints = np.arange(len(values))
        if len(left) < MANY:
            return left
        rests = self._rests(values, counts)
        for rival in _rivals(tasks, rooms, values):
            stays = []
            for those in _blocks(left):
                better = self._better_by(rests, counts, those, rival[those])
                more_room = rooms[rival[those]] > rooms[those]
                stays.append(those[better - np.where(more_room, spared[those], 0) <= self.gap])
            left = np.concatenate(stays)
        return left

    def enough_of(self, rows: Ints, boards: Ints) -> Floats:
        """What strips of each segment, of a row on boards so wide, must bring at least: alone, or
        with what may lie beside it. Of strips on one side of the pith nothing is asked.
        """
        table, enough = self.sums.table, np.full(len(boards), np.inf)
        for n, (row, board) in enumerate(zip(rows.tolist(), boards.tolist(), strict=True)):
            if table.rooms.two[row, board]:
                enough[n] = -np.inf
                continue
            supplies = np.flatnonzero(table.board_of_supply == board)
            whole = supplies[table.row_of_supply[supplies] == row]
            enough[n] = self.enough[whole].min(initial=np.inf)
            if table.crosscut_into_segments and row in table.row_of_length:
                size = table.board_table.sizes[table.row_of_length.index(row)]
                supplies = supplies[table.room_of_supply[supplies] >= size]
                beside = self.most_of_rest[supplies, table.room_of_supply[supplies] - size]
                needed = self.enough[supplies] - beside + table.crosscut_pay
                enough[n] = needed.min(initial=enough[n])
        return enough

    def most(self, values: Ints, counts: Counts) -> Floats:
        """What they bring at the most, each alone; together no more than the sum."""
        most = self._rests(values, counts)
        for those in _blocks(np.arange(len(values))):
            blanks = counts[those].T.astype(np.float64)
            most[those] += self.sums.prices.kinds[self.kinds] @ blanks
            most[those] += self.rounded.brought(self.worths, blanks, self._among)
        return most

    def _rests(self, values: Ints, counts: Counts) -> Floats:
        """What they bring beside their blanks."""
        rests = values.astype(np.float64)
        for those in _blocks(np.arange(len(values))):
            rests[those] -= counts[those].astype(np.int64) @ self.own
        return rests

    @property
    def _among(self) -> Ints:
        return self.sums.prices.first.of_kinds.start + self.kinds

    def _better_by(self, rests: Floats, counts: Counts, those: Ints, rivals: Ints) -> Floats:
        """How much more, at the least, a board brings with each one's rival in its place."""
        more = counts[rivals] - counts[those]
        sure = np.where(more > self.surplus, more - self.surplus, np.minimum(more, 0)).T
        sure = sure.astype(np.float64)
        better: Floats = rests[rivals] - rests[those]
        better += self.sums.prices.kinds[self.kinds] @ sure
        better += self.rounded.brought(self.worths, sure, self._among, np.floor)
        return better


def _blocks(index: Ints) -> Iterator[Ints]:
    """An index in parts that are compared at once; one, if need be of nothing."""
    for start in range(0, max(len(index), 1), AT_ONCE):
        yield index[start : start + AT_ONCE]


def _most_on_a_board(table: CuttingTables) -> Ints:
    """Of each kind of blank, no board holds more."""
    shop, kinds = table.shop, [table.problem.kinds[k] for k in table.kinds]
    length = max(table.problem.supplies[s].usable for s in table.supplies) + shop.crosscut_kerf
    width = max(table.boards) + shop.rip_kerf
    most = [
        (length // (kind.length + shop.crosscut_kerf)) * (width // (kind.width + shop.rip_kerf))
        for kind in kinds
    ]
    return np.array(most, dtype=np.int64)


def _most_of_rest(sums: UpperSums) -> Ints:
    """``[supply, room]``: each blank rounded up by itself, or by the sums and their bonus."""
    table, apart = sums.table, UpperSums(sums.prices, sums.table)
    apart.apart[:] = True
    table.price(apart.kinds)
    each_alone = table.board_table.best[table.board_of_supply]
    table.price(sums.kinds)
    together = table.board_table.best[table.board_of_supply]
    most: Ints = np.minimum(each_alone, together + sums.bonuses[:, None])
    return most


def _rivals(tasks: Ints, rooms: Ints, values: Ints) -> Iterator[Ints]:
    """For each the best of its task that leaves as much room; of all, each time of other ones."""
    order = np.lexsort((-values, -rooms, tasks))
    starts = np.flatnonzero(np.diff(tasks[order], prepend=-1))
    stops = np.append(starts[1:], len(order))
    places, ranked, best = np.arange(len(order)), values[order], np.empty_like(order)
    for part in range(RIVALS):
        some = np.where(places % RIVALS == part, ranked, np.iinfo(np.int64).min)
        for start, stop in zip(starts, stops, strict=True):
            here = some[start:stop]
            at = np.where(here == np.maximum.accumulate(here), places[start:stop], start)
            best[start:stop] = np.maximum.accumulate(at)
        rival = np.empty_like(order)
        rival[order] = order[best]
        yield rival
