"""What is said of glue, clamps, snipe and days."""

from __future__ import annotations

from dataclasses import replace

from optimizer.output.bench_words import (
    clock,
    glue_text,
    lacking,
    members_text,
    run_in_text,
    step_text,
)
from optimizer.plan.marks import piece_marks
from optimizer.work.gluing import batches, stacks
from optimizer.work.work import work_of
from stock.lengths import Length
from tests.sound_plans import boat_rack, metric_post


def test_glue_is_rounded_up() -> None:
    """93 in² are 0.6458 ft², at 250 to the gallon 0.3307 fl oz; 85.4 in² in a metric book 9 ml."""
    assert glue_text(boat_rack().plan, Length(93)) == "0.4 fl oz"
    assert glue_text(metric_post().plan, Length(85)) == "9 ml"


def test_what_lies_in_a_stack() -> None:
    plan = boat_rack().plan
    post, shelf = stacks(plan, piece_marks(plan))
    assert members_text(plan, post) == "2 plies, each 31 × 3 × 1 1/2"
    assert members_text(plan, shelf) == "2 strips, each 31 × 4 5/16 × 1 1/2"


def test_clamps_that_are_lacking_are_named() -> None:
    plan = replace(boat_rack().plan, practice=replace(boat_rack().plan.practice, clamps=6))
    first, second = batches(stacks(plan, piece_marks(plan)), 6)
    assert lacking(first, plan) == "You own 6: borrow 4, or take stronger ones."
    assert lacking(second, plan) == ""


def test_a_leftover_that_ran_through_the_planer_is_measured_anew() -> None:
    (run_in,) = work_of(boat_rack().plan).run_ins
    assert run_in_text(boat_rack().plan, run_in) == (
        "1 1/2 thick: run R003, 32 3/4 × 3 1/2 first, R004, 32 3/4 × 5 1/2 last. "
        "Measure what goes back on the rack anew."
    )


def test_steps_of_a_day() -> None:
    work = work_of(boat_rack().plan)
    told = [step_text(step, work.batches) for step in work.days]
    assert told == [
        "0:00–0:48 Saw in the order of work: 19 cuts in all",
        "0:48–1:12 Plane and joint for batch 1: 12 faces and edges",
        "1:12–1:42 Glue batch 1: C1, D1; clamps off at 2:42",
        "Rest, days 2–4: wood on stickers, air all round",
        "0:00–0:24 Last pass and final length: 3 parts",
    ]
    assert clock(605) == "10:05"
