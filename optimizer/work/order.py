"""The order of work: cuts of equal setting together, the longest first, as few settings as can be.

Work goes from the crosscut saw to the rip saw and back, in passes. A cut must wait for the cut that
gives its piece, and may wait for a pass in which its setting stands anyway. Stop and fence stay
where they are while the other saw runs.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain
from typing import TypeAlias

from optimizer.plan.plan import CutKind
from optimizer.work.saw_cuts import SawCut
from stock.lengths import Length

_Key: TypeAlias = tuple[str, int]  # board, number of the cut in the plan


class Station(StrEnum):
    """Where a cut is made."""

    CROSSCUT = "crosscut saw"
    RIP = "rip saw"


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Cuts made one after another with the stop or the fence at ``at``; None: by the tape."""

    at: Length | None
    cuts: tuple[SawCut, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """What is done at one saw before walking to the other."""

    station: Station
    settings: tuple[Setting, ...]

    @property
    def cuts(self) -> tuple[SawCut, ...]:
        return tuple(chain.from_iterable(setting.cuts for setting in self.settings))


def station(cut: SawCut) -> Station:
    """The saw that makes ``cut``."""
    return Station.RIP if cut.kind.along else Station.CROSSCUT


def settings_needed(cuts: Iterable[SawCut]) -> int:
    """How often stop or fence is set when ``cuts`` are made in this order.

    A trim is cut by the tape and moves neither.
    """
    stands: dict[Station, Length] = {}
    moved = 0
    for cut in cuts:
        if cut.setting is not None and stands.get(station(cut)) != cut.setting:
            stands[station(cut)] = cut.setting
            moved += 1
    return moved


def order_of_work(boards: Sequence[Sequence[SawCut]]) -> tuple[Pass, ...]:
    """All cuts of all boards in passes, but for those that a store has made.

    Cuts that can wait either wait or do not, whichever needs fewer settings.
    """
    cuts = [cut for cut in chain.from_iterable(boards) if cut.kind is not CutKind.YARD]
    ways = [tuple(_Passes(cuts, waiting).made()) for waiting in (True, False)]
    return min(ways, key=lambda way: settings_needed(cut for each in way for cut in each.cuts))


class _Passes:
    """Passes are counted from 0; even ones are at the crosscut saw, odd ones at the rip saw."""

    def __init__(self, cuts: Sequence[SawCut], waiting: bool) -> None:
        self.waiting = waiting
        self.cuts = {_key(cut): cut for cut in cuts}
        self.earliest = dict(self._earliest())
        self.passes = max(self.earliest.values(), default=-1) + 1
        self.latest = self._latest()
        self.left = dict.fromkeys(self.cuts)  # in the boards' order

    def made(self) -> Iterator[Pass]:
        for number in range(self.passes):
            chosen = self._chosen(number)
            settings = tuple(self._by_setting(chosen))
            if settings:
                yield Pass(station=list(Station)[number % 2], settings=settings)

    def _earliest(self) -> Iterator[tuple[_Key, int]]:
        found: dict[_Key, int] = {}
        for key, cut in self.cuts.items():  # a plan's cuts stand after those they wait for
            before = self._before(cut)
            first = found[before] if before else 0
            found[key] = first + (first % 2 != list(Station).index(station(cut)))
            yield key, found[key]

    def _latest(self) -> dict[_Key, int]:
        last = {
            key: self.passes - 1 - ((self.passes - 1) % 2 != list(Station).index(station(cut)))
            for key, cut in self.cuts.items()
        }
        for key, cut in reversed(self.cuts.items()):
            if before := self._before(cut):
                same = station(cut) is station(self.cuts[before])
                last[before] = min(last[before], last[key] - (not same))
        return last

    def _before(self, cut: SawCut) -> _Key | None:
        before = None if cut.after is None else (cut.board, cut.after)
        return before if before in self.cuts else None

    def _chosen(self, number: int) -> dict[_Key, None]:
        """The cuts of a pass: those that cannot wait, and those whose setting stands anyway."""
        here = [
            key
            for key in self.left
            if self.earliest[key] <= number and (number - self.earliest[key]) % 2 == 0
        ]
        chosen: dict[_Key, None] = {}
        open_: set[Length] = set()
        grown = -1
        while len(chosen) > grown:
            grown = len(chosen)
            for key in here:
                cut, before = self.cuts[key], self._before(self.cuts[key])
                if key in chosen or (before in self.left and before not in chosen):
                    continue
                must = not self.waiting or cut.setting is None or self.latest[key] == number
                if must or cut.setting in open_:
                    chosen[key] = None
                    if must and cut.setting is not None:
                        open_.add(cut.setting)
        return chosen

    def _by_setting(self, chosen: dict[_Key, None]) -> Iterator[Setting]:
        """The longest setting first, but one that would have to be set again waits."""
        waiting = {key: None for key in self.cuts if key in chosen}  # as they stand on the boards
        while waiting:
            free = [key for key in waiting if self._before(self.cuts[key]) not in waiting]
            at = self._next(free, waiting)
            cuts = []
            for key in list(waiting):  # what a cut frees comes after it
                cut = self.cuts[key]
                if cut.setting == at and self._before(cut) not in waiting:
                    del waiting[key], self.left[key]
                    cuts.append(cut)
            yield Setting(at=at, cuts=tuple(cuts))

    def _next(self, free: Sequence[_Key], waiting: dict[_Key, None]) -> Length | None:
        settings = {self.cuts[key].setting for key in free}
        if None in settings:
            return None
        lengths = {setting for setting in settings if setting is not None}
        again = {
            self.cuts[key].setting
            for key in waiting
            if self._held(key, waiting, self.cuts[key].setting)
        }
        return max(lengths - again or lengths)

    def _held(self, key: _Key, waiting: dict[_Key, None], at: Length | None) -> bool:
        """Whether a cut with another setting must come before this one."""
        before = self._before(self.cuts[key])
        while before in waiting and before is not None:
            if self.cuts[before].setting != at:
                return True
            before = self._before(self.cuts[before])
        return False


def _key(cut: SawCut) -> _Key:
    return cut.board, cut.planned
