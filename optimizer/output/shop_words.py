"""What is said at saw and bench in the same words on page, sheet, screen and in tables."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from optimizer.output.words import isolated, measures, read, read_size
from optimizer.plan.plan import CutKind, Plan
from optimizer.work.days import MINUTES_AN_HOUR, Step, Task
from optimizer.work.gluing import (
    FIRST_CLAMP,
    FLUID_OUNCES_PER_GALLON,
    MILLILITRES_PER_GALLON,
    Batch,
    Stack,
    gallons,
)
from optimizer.work.marks import NearAlike
from optimizer.work.order import Pass, Setting, Station
from optimizer.work.saw_cuts import Fate, SawCut, SawnPiece, Setup
from optimizer.work.work import RunIn, Work
from stock.lengths import Length, Unit

NOTHING = "–"


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """A cut in words. ``tape`` is read from the board's left end, of a rip from its lower edge."""

    n: int
    what: str
    piece: str
    setting: str
    tape: str
    comes_off: str
    remains: str


def cut_row(plan: Plan, cut: SawCut) -> CutRow:
    """``cut`` in words."""
    off, rest = (cut.far, cut.near) if _trims_right(cut) else (cut.near, cut.far)
    return CutRow(
        n=cut.n,
        what=_what(cut),
        piece=cut.piece.mark,
        setting=_set(plan, cut),
        tape=read(cut.tape, plan),
        comes_off=piece_text(plan, off),
        remains=piece_text(plan, rest),
    )


def _trims_right(cut: SawCut) -> bool:
    kept = cut.near is not None and cut.near.fate is not Fate.SCRAP
    return cut.kind is CutKind.TRIM and kept


def _what(cut: SawCut) -> str:
    match cut.kind:
        case CutKind.RIP:
            return "Rip"
        case CutKind.CROSSCUT:
            return "Crosscut"
        case CutKind.TRIM:
            return "Trim right end" if _trims_right(cut) else "Trim left end"


def _set(plan: Plan, cut: SawCut) -> str:
    if cut.setting is None:
        return "by the tape"
    reading = read(cut.setting, plan)
    match cut.setup:
        case Setup.OUTER:
            return f"fence {reading}, thin strip falls outside"
        case _:
            return f"{cut.setup} {reading}"


def piece_text(plan: Plan, piece: SawnPiece | None) -> str:
    """``C2a, 31 × 3``; of scrap and leftovers what becomes of them."""
    if piece is None:
        return NOTHING
    size = read_size(plan, piece.length, piece.width)
    match piece.fate:
        case Fate.SCRAP:
            return f"scrap, {size}"
        case Fate.LEFTOVER:
            return f"{isolated(piece.mark)}, {size}, to the rack"
        case _:
            return f"{isolated(piece.mark)}, {size}"


def setting_text(plan: Plan, each: Pass, setting: Setting) -> str:
    """``Stop at 86``, ``Fence at 3``, or how else these cuts are set."""
    if setting.at is None:
        return "Trim by the tape"
    tool = "Fence" if each.station is Station.RIP else "Stop"
    return f"{tool} at {read(setting.at, plan)}"


def station_rules(each: Pass) -> str:
    """How one works at this saw. Common practice, no source; the machine's manual rules."""
    if each.station is Station.CROSSCUT:
        return (
            "Hold the piece that lies at the stop, never the one that falls off, and let the "
            "blade stop before you lift it. The saw's manual rules."
        )
    return (
        "A strip of 3/4 in (19 mm) and wider runs between fence and blade, pushed through with a "
        "push block. A thinner one falls off the outer edge, and the fence moves for each. The "
        "saw's manual rules."
    )


def settings_told(work: Work) -> str:
    """How often stop and fence are set, beside sawing board by board."""
    if not work.settings_by_board:
        return "no setting of stop or fence"
    return (
        f"{_count(work.settings, 'setting')} of stop and fence "
        f"({work.settings_by_board} if sawn board by board)"
    )


def _count(n: int, noun: str) -> str:
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


# --- parts easily mixed up -----------------------------------------------------------------------


def mixed_up(work: Work, pair: NearAlike) -> str:
    """``A and C are easily mixed up: C is 1/8 wider.``"""
    words = {
        "longer": pair.length,
        "shorter": -pair.length,
        "wider": pair.width,
        "narrower": -pair.width,
        "thicker": pair.thickness,
        "thinner": -pair.thickness,
    }
    told = [f"{read(apart, work.plan)} {word}" for word, apart in words.items() if apart > 0]
    first, second = work.marks.letters[pair.first], work.marks.letters[pair.second]
    names = f"{first} ({isolated(pair.first)}) and {second} ({isolated(pair.second)})"
    of = "Blanks of " if pair.rough else ""
    return f"{of}{names} are easily mixed up: {second} is {' and '.join(told)}."


# --- gluing --------------------------------------------------------------------------------------


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
        _count(len(stack.plies), "ply").replace("plys", "plies") if len(stack.plies) > 1 else "",
        _count(max(map(len, stack.plies)), "strip") if max(map(len, stack.plies)) > 1 else "",
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
    return (
        "Draw a triangle across the pieces of a stack, and on each an arrow the way it planes "
        "smoothly; all arrows point one way. "
        f"Plane {_with_unit(practice.skim_per_face, plan)} off each face on the day it is glued. "
        f"Close the clamps within {practice.open_time} minutes of spreading, leave them "
        f"{practice.clamp_time} minutes, and stress nothing for 24 hours. First clamp within "
        f"{_with_unit(FIRST_CLAMP, plan)} of the end, no gap wider than "
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
            return f"{span} Saw in the order of work: {_count(step.count, 'cut')} in all"
        case Task.PLANE:
            return f"{span} Plane and joint for batch {step.batch}: {step.count} faces and edges"
        case Task.GLUE:
            off = "tomorrow" if step.clamps_off is None else f"at {clock(step.clamps_off)}"
            marks = ", ".join(stack.mark for stack in batches[step.batch - 1].stacks)
            return f"{span} Glue batch {step.batch}: {marks}; clamps off {off}"
        case _:
            return f"{span} Last pass and final length: {_count(step.count, 'part')}"


def clock(minutes: int) -> str:
    """Hours and minutes since work began that day: ``1:05``."""
    hours, rest = divmod(minutes, MINUTES_AN_HOUR)
    return f"{hours}:{rest:02}"
