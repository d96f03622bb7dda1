"""A plan of days: nothing begins before what it waits for, and no day is too long."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest

from optimizer.plan.plan import Plan
from optimizer.work.days import Step, Task
from optimizer.work.work import work_of
from tests.demo_plan import demo_plan
from tests.sound_plans import boat_rack
from tests.thin_strips import thin_strips


def days(plan: Plan, **practice: object) -> list[Step]:
    changed = replace(plan.practice, **practice)  # type: ignore[arg-type]
    return list(work_of(replace(plan, practice=changed)).days)


def test_the_boat_rack_by_hand() -> None:
    """14 crosscuts and trims at 2 and 5 rips at 4 minutes: 48. Then the post, which needs 10
    clamps, and the shelf, which needs 5, in one batch: 8 faces and 4 edges at 2, 2 glue lines at
    15. Three planed parts: 6 faces and 6 ends at 2 minutes.
    """
    saw, plane, glue, rest, mill = days(boat_rack().plan, rest=3, clamps=16)
    assert (saw.task, saw.minutes, saw.count) == (Task.SAW, 48, 19)
    assert (plane.task, plane.begin, plane.minutes, plane.count) == (Task.PLANE, 48, 24, 12)
    assert (glue.begin, glue.minutes, glue.clamps_off) == (72, 30, 162)
    assert (rest.task, rest.day, rest.until) == (Task.REST, 2, 4)
    assert (mill.task, mill.day, mill.minutes, mill.count) == (Task.MILL, 5, 24, 3)


def test_the_next_batch_waits_for_the_clamps_while_its_faces_are_planed() -> None:
    first, second = (
        [step for step in days(boat_rack().plan, clamps=10) if step.task is task]
        for task in (Task.GLUE, Task.PLANE)
    )
    assert [step.batch for step in first] == [1, 2]
    assert first[1].begin == first[0].clamps_off
    assert second[1].begin == first[0].begin + first[0].minutes


def test_clamps_that_close_late_stay_on_overnight() -> None:
    glue = next(s for s in days(boat_rack().plan, working_day=Decimal(2)) if s.task is Task.GLUE)
    assert (glue.day, glue.begin + glue.minutes, glue.clamps_off) == (1, 102, None)


def test_nothing_is_stressed_for_a_day_even_without_rest() -> None:
    """Makers' guides: 24 hours before a glue-up is stressed."""
    steps = days(boat_rack().plan, rest=0)
    glued = next(step for step in steps if step.task is Task.GLUE)
    milled = next(step for step in steps if step.task is Task.MILL)
    assert milled.day >= glued.day + 2


def test_parts_as_bought_are_done_when_they_are_sawn() -> None:
    assert [step.task for step in days(thin_strips())] == [Task.SAW]


@pytest.mark.parametrize("hours", [1, 2, 5, 8, 12])
def test_no_day_is_longer_than_a_working_day_and_none_is_worked_twice(hours: int) -> None:
    plan = demo_plan()
    steps = days(plan, working_day=Decimal(hours))
    worked = [step for step in steps if step.task is not Task.REST]
    for one, other in pairwise(worked):
        assert (one.day, one.begin + one.minutes) <= (other.day, other.begin)
    # A batch is planed and glued on one day, however short the day.
    batches: dict[int, int] = {}
    for step in worked:
        batches[step.batch] = batches.get(step.batch, 0) + step.minutes
    longest = max(minutes for batch, minutes in batches.items() if batch)
    for step in worked:
        assert step.begin + step.minutes <= max(hours * 60, longest)


def test_all_the_sawing_is_in_it() -> None:
    plan = demo_plan()
    for hours in (1, 8):
        sawing = [s for s in days(plan, working_day=Decimal(hours)) if s.task is Task.SAW]
        rips = sum(cut.kind.along for board in plan.boards for cut in board.cuts)
        cuts = sum(len(board.cuts) for board in plan.boards)
        assert sum(step.minutes for step in sawing) == 2 * (cuts - rips) + 4 * rips
