"""A plan of days: saw, plane and glue batch after batch, let the wood rest, mill to size.

Times are those of the settings; what any plan takes, which the bill leaves out, counts too. Faces
are planed on the day on which they are glued; a glue-up is stressed no sooner than 24 hours after
it went into the clamps (makers' guides), and rests for the days of the setting before its last
pass.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from optimizer.plan.plan import CutKind, Plan
from optimizer.work.gluing import Batch

MINUTES_AN_HOUR = 60


class Task(StrEnum):
    """What a time of the day is for."""

    SAW = "Saw"
    PLANE = "Plane and joint"
    GLUE = "Glue"
    REST = "Rest"
    MILL = "Mill to size"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """``minutes`` of a task on a day, from ``begin`` minutes after work begins.

    ``batch`` is its number for PLANE and GLUE; then ``clamps_off`` is the minute of the day, None
    for the next morning. REST takes the whole day up to ``until``. ``count`` is of cuts, faces and
    edges, glue lines, or parts.
    """

    day: int
    task: Task
    begin: int = 0
    minutes: int = 0
    count: int = 0
    batch: int = 0
    clamps_off: int | None = None
    until: int = 0


def day_plan(plan: Plan, batches: Sequence[Batch]) -> list[Step]:
    """Every step from the first cut to the finished parts, by day and time."""
    return list(_Days(plan, batches).steps())


class _Days:
    def __init__(self, plan: Plan, batches: Sequence[Batch]) -> None:
        self.plan, self.batches, self.practice = plan, batches, plan.practice
        self.whole_day = math.ceil(self.practice.working_day * MINUTES_AN_HOUR)
        self.day, self.now = 1, 0
        self.clamps_free = (1, 0)  # day, minute

    def steps(self) -> Iterator[Step]:
        yield from self._sawing()
        for batch in self.batches:
            yield from self._glued(batch)
        yield from self._milled()

    def _sawing(self) -> Iterator[Step]:
        kinds = [cut.kind for board in self.plan.boards for cut in board.cuts]
        cuts = [kind for kind in kinds if kind is not CutKind.YARD]
        rips = sum(kind.along for kind in cuts)
        practice = self.practice
        minutes = _minutes(
            (len(cuts) - rips, practice.minutes_per_crosscut), (rips, practice.minutes_per_rip)
        )
        yield from self._work(Task.SAW, minutes, len(cuts))

    def _work(self, task: Task, minutes: int, count: int) -> Iterator[Step]:
        """Work that may go on the next day."""
        while count and minutes >= 0:
            if self.now == self.whole_day:
                self._next_day()
            today = min(minutes, self.whole_day - self.now)
            yield Step(day=self.day, task=task, begin=self.now, minutes=today, count=count)
            self.now += today
            minutes -= today
            if not minutes:
                return

    def _glued(self, batch: Batch) -> Iterator[Step]:
        practice = self.practice
        worked = batch.faces_to_plane + batch.edges_to_joint
        planing = _minutes((worked, practice.minutes_per_planed_face))
        gluing = _minutes((batch.glue_lines, practice.minutes_per_glue_line))
        begin = self._glue_begins(planing)
        if begin + gluing > self.whole_day and self.now > 0:
            self._next_day()
            begin = self._glue_begins(planing)
        if worked:
            yield Step(
                day=self.day,
                task=Task.PLANE,
                begin=self.now,
                minutes=planing,
                count=worked,
                batch=batch.number,
            )
        self.now = begin + gluing
        off = self.now + math.ceil(practice.clamp_time)
        overnight = off > self.whole_day
        self.clamps_free = (self.day + 1, 0) if overnight else (self.day, off)
        yield Step(
            day=self.day,
            task=Task.GLUE,
            begin=begin,
            minutes=gluing,
            count=batch.glue_lines,
            batch=batch.number,
            clamps_off=None if overnight else off,
        )

    def _glue_begins(self, planing: int) -> int:
        day, minute = self.clamps_free
        free = minute if day == self.day else self.whole_day if day > self.day else 0
        return max(self.now + planing, free)

    def _milled(self) -> Iterator[Step]:
        planed = [made for made in self.plan.parts if made.planed]
        if not planed:
            return
        rest = max(self.practice.rest, 1 if self.batches else 0)
        if rest:
            yield Step(day=self.day + 1, task=Task.REST, until=self.day + rest)
            self.day += rest
            self._next_day()
        practice = self.practice
        minutes = _minutes(
            (2 * len(planed), practice.minutes_per_planed_face),
            (2 * len(planed), practice.minutes_per_crosscut),
        )
        yield from self._work(Task.MILL, minutes, len(planed))

    def _next_day(self) -> None:
        self.day, self.now = self.day + 1, 0


def _minutes(*work: tuple[int, Decimal]) -> int:
    return math.ceil(sum((count * each for count, each in work), Decimal(0)))
