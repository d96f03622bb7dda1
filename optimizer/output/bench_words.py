"""What is said of gluing, planing and days in the same words on page, sheet and screen."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from optimizer.output.words import counted, isolated, measures, read, read_size
from optimizer.plan.plan import Plan
from optimizer.work.days import MINUTES_AN_HOUR, Step, Task
from optimizer.work.gluing import (
    FIRST_CLAMP,
    FLUID_OUNCES_PER_GALLON,
    MILLILITRES_PER_GALLON,
    Batch,
    Stack,
    gallons,
)
from optimizer.work.saw_cuts import Fate
from optimizer.work.work import RunIn, Work
from stock.lengths import MILLIMETRE, Length, Unit

TIME_TOLD = (
    "Time in the shop is what the settings pay for: crosscuts, rips, planed faces and glue lines. "
    "Days count beside it the edges jointed before the glue, the final crosscuts of planed parts, "
    "and what makes an offcut sound and straight."
)


def glue_text(plan: Plan, area: Length) -> str:
    """Glue for ``area`` square inches, rounded up: ``2.5 fl oz``, in a metric book ``74 ml``."""
    amount = gallons(area, plan.practice)
    if plan.unit is Unit.MM:
        return f"{math.ceil(amount * MILLILITRES_PER_GALLON)} ml"
    tenths = math.ceil(amount * FLUID_OUNCES_PER_GALLON * 10)
    return f"{tenths // 10}.{tenths % 10} fl oz"


def area_text(plan: Plan, area: Length) -> str:
    """A glue line's area: ``119 in²``, in a metric book ``768 cm²``."""
    if plan.unit is Unit.MM:
        return f"{round(area * Fraction(254, 100) ** 2)} cm²"
    return f"{round(area)} in²"


def members_text(plan: Plan, stack: Stack) -> str:
    """What lies in the stack: ``2 plies, each 31 × 3 × 1 1/2``, or one by one where they differ."""
    sizes = {
        each.mark: read_size(plan, each.length, each.width, each.thickness)
        for each in stack.members
    }
    kinds = [
        counted(len(stack.plies), "ply") if len(stack.plies) > 1 else "",
        counted(stack.strips, "strip") if stack.strips > 1 else "",
    ]
    built = " of ".join(filter(None, kinds))
    if len(set(sizes.values())) == 1:
        return f"{built}, each {next(iter(sizes.values()))}"
    return f"{built}: " + "; ".join(f"{mark} {size}" for mark, size in sizes.items())


def clamps_text(stack: Stack) -> str:
    """How many clamps, and which of the two sums asked for them."""
    return (
        f"{stack.clamps} clamps ({stack.clamps_by_spacing} by spacing, "
        f"{stack.clamps_by_force} by force)"
    )


def lacking(batch: Batch, plan: Plan) -> str:
    """What to do where a stack wants more clamps than there are; mostly nothing."""
    owned = plan.practice.clamps
    if batch.clamps <= owned:
        return ""
    return f"You own {owned}: borrow {batch.clamps - owned}, or take stronger ones."


def planing_text(stack: Stack) -> str:
    """Which faces and edges are worked before the glue."""
    said = []
    if stack.faces_to_plane:
        said.append(f"plane {stack.faces_to_plane} faces, both of each piece")
    if stack.edges_to_joint:
        said.append(f"joint {stack.edges_to_joint} edges")
    return ", ".join(said) or "freshen the glue faces the same day; they are not planed"


def clamping_told(work: Work) -> str:
    """What holds for every glue-up of the shop."""
    plan, practice = work.plan, work.plan.practice
    first = FIRST_CLAMP if plan.unit is Unit.IN else 50 * MILLIMETRE  # as makers' guides say it
    return (
        "Draw a triangle across the pieces of a stack, and on each an arrow the way it planes "
        "smoothly; all arrows point one way. "
        f"Plane {_with_unit(practice.skim_per_face, plan)} off each face on the day it is glued. "
        f"Close the clamps within {practice.open_time} minutes of spreading, leave them "
        f"{practice.clamp_time} minutes, and stress nothing for 24 hours. First clamp within "
        f"{_with_unit(first, plan)} of the end, no gap wider than "
        f"{_with_unit(practice.clamp_spacing, plan)}. The glue's label rules."
    )


def _with_unit(length: Length, plan: Plan) -> str:
    """An allowance, which no tape is held to: in full."""
    return f"{measures(plan.unit, length)} {plan.unit}"


def run_in_text(plan: Plan, run_in: RunIn) -> str:
    """Which scrap goes through the planer first and last."""
    thick = read(run_in.thickness, plan)
    if not run_in.pieces:
        return (
            f"{thick} thick: no scrap is long enough. Feed blanks end to end, and let snipe "
            "fall into the extra length."
        )
    named, kept = [], False
    for board, piece in run_in.pieces:
        size = read_size(plan, piece.length, piece.width)
        kept |= piece.fate is Fate.LEFTOVER
        named.append(
            f"{isolated(piece.mark)}, {size}"
            if piece.mark
            else f"scrap of {isolated(board)}, {size}"
        )
    after = " Measure what goes back on the rack anew." if kept else ""
    told = f"{named[0]} first, {named[1]} last" if len(named) > 1 else f"{named[0]} first and last"
    return f"{thick} thick: run {told}.{after}"


# --- days ----------------------------------------------------------------------------------------


def step_text(step: Step, batches: Sequence[Batch]) -> str:
    """A step of the day plan: ``0:15–0:45  Glue batch 2: C1, C2. Clamps off at 1:45.``"""
    if step.task is Task.REST:
        days = "day" if step.until == step.day else f"days {step.day}–{step.until}"
        return f"Rest, {days}: wood on stickers, air all round"
    span = f"{clock(step.begin)}–{clock(step.begin + step.minutes)}"
    match step.task:
        case Task.SAW:
            return f"{span} Saw in the order of work: {counted(step.count, 'cut')} in all"
        case Task.PLANE:
            return f"{span} Plane and joint for batch {step.batch}: {step.count} faces and edges"
        case Task.GLUE:
            off = "tomorrow" if step.clamps_off is None else f"at {clock(step.clamps_off)}"
            marks = ", ".join(
                f"{stack.mark} (see its note)" if stack.made.remarks else stack.mark
                for stack in batches[step.batch - 1].stacks
            )
            return f"{span} Glue batch {step.batch}: {marks}; clamps off {off}"
        case _:
            return f"{span} Last pass and final length: {counted(step.count, 'part')}"


def clock(minutes: int) -> str:
    """Hours and minutes since work began that day: ``1:05``."""
    hours, rest = divmod(minutes, MINUTES_AN_HOUR)
    return f"{hours}:{rest:02}"
