"""Every list of a plan as rows of exact values: what data frames and CSV files are made of.

Lengths are inches (Fraction), money Decimal; boards and pieces go by their marks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, fields
from fractions import Fraction
from itertools import chain
from typing import Any

from optimizer.output.bench_words import clock
from optimizer.output.labels import Label, labels
from optimizer.output.saw_words import cut_row
from optimizer.plan.beside import Consumable
from optimizer.plan.plan import CutKind, Plan, Purchase
from optimizer.plan.tables import (
    KeptPiece,
    PulledPieces,
    leftovers,
    parts_made,
    rack_list,
    shopping_list,
)
from optimizer.work.gluing import gallons
from optimizer.work.saw_cuts import SawCut, SawnPiece
from optimizer.work.work import Work, work_of
from stock.lengths import Length


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """A cut, ``step`` by step of the order of work; ``cut`` is its number on its board.

    Those of a store come before all, with step 0.
    """

    step: int
    saw: str
    setup: str
    setting: Length | None
    board: str
    cut: int
    what: str
    piece: str
    tape: Length
    near: str
    near_length: Length | None
    near_width: Length | None
    far: str
    far_length: Length | None
    far_width: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLine:
    """A blank: its mark, the part it is for, where it lies on its board."""

    mark: str
    part: str
    board: str
    x: Length
    y: Length
    length: Length
    width: Length
    thickness: Length
    holds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """Copies of a part that are made alike, by their marks; measures are finished."""

    marks: tuple[str, ...]
    part: str
    copies: int
    spares: int
    length: Length
    width: Length
    thickness: Length
    tenons: tuple[Length, ...]
    planed: bool
    plies: int
    strips: int
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StackLine:
    """A glue-up; the glue in US gallons."""

    batch: int
    mark: str
    part: str
    blanks: tuple[str, ...]
    plies: int
    glue_lines: int
    gallons: Fraction
    clamps_by_spacing: int
    clamps_by_force: int
    length: Length
    width: Length
    thickness: Length
    final_length: Length
    final_width: Length
    final_thickness: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """A step of the day plan; times are hours and minutes since work began that day."""

    day: int
    until: int
    task: str
    begin: str
    minutes: int
    batch: int | None


def _cut_lines(work: Work) -> Iterator[CutLine]:
    for cut in chain.from_iterable(board.cuts for board in work.boards):
        if cut.kind is CutKind.YARD:
            yield _cut_line(work, 0, "store", cut)
    ordered = ((each.station, cut) for each in work.passes for cut in each.cuts)
    for step, (station, cut) in enumerate(ordered, 1):
        yield _cut_line(work, step, str(station), cut)


def _cut_line(work: Work, step: int, saw: str, cut: SawCut) -> CutLine:
    near_length, near_width = _measures(cut.near)
    far_length, far_width = _measures(cut.far)
    return CutLine(
        step=step,
        saw=saw,
        setup=str(cut.setup),
        setting=cut.setting,
        board=work.marks.boards[cut.board],
        cut=cut.n,
        what=cut_row(work.plan, cut).what,
        piece=cut.piece.mark,
        tape=cut.tape,
        near=_name(cut.near),
        near_length=near_length,
        near_width=near_width,
        far=_name(cut.far),
        far_length=far_length,
        far_width=far_width,
    )


def _measures(piece: SawnPiece | None) -> tuple[Length | None, Length | None]:
    return (piece.length, piece.width) if piece else (None, None)


def _name(piece: SawnPiece | None) -> str:
    return (piece.mark or str(piece.fate)) if piece else ""


def _piece_lines(work: Work) -> Iterator[PieceLine]:
    parts = {blank: made.part for made in work.plan.parts for blank in made.blanks}
    for board in work.plan.boards:
        for blank in board.blanks:
            yield PieceLine(
                mark=work.marks.blanks[blank.id],
                part=parts.get(blank.id, ""),
                board=work.marks.boards[board.id],
                x=blank.x,
                y=blank.y,
                length=blank.length,
                width=blank.width,
                thickness=board.thickness,
                holds=blank.holds,
            )


def _part_lines(work: Work) -> Iterator[PartLine]:
    taken = [each.name for each in fields(PartLine) if each.name != "marks"]
    for way in parts_made(work.plan):
        marks = tuple(work.marks.parts[place] for place in way.places)
        yield PartLine(marks=marks, **{name: getattr(way, name) for name in taken})


def _stack_lines(work: Work) -> Iterator[StackLine]:
    for batch in work.batches:
        for stack in batch.stacks:
            yield StackLine(
                batch=batch.number,
                mark=stack.mark,
                part=stack.made.part,
                blanks=tuple(member.mark for member in stack.members),
                plies=len(stack.plies),
                glue_lines=stack.glue_lines,
                gallons=gallons(stack.glue_area, work.plan.practice),
                clamps_by_spacing=stack.clamps_by_spacing,
                clamps_by_force=stack.clamps_by_force,
                length=stack.length,
                width=stack.width,
                thickness=stack.thickness,
                final_length=stack.made.length,
                final_width=stack.made.width,
                final_thickness=stack.made.thickness,
            )


def _day_lines(work: Work) -> Iterator[DayLine]:
    for step in work.days:
        yield DayLine(
            day=step.day,
            until=step.until or step.day,
            task=str(step.task),
            begin=clock(step.begin),
            minutes=step.minutes,
            batch=step.batch or None,
        )


LISTS: dict[str, tuple[type, Callable[[Work], Iterable[Any]]]] = {
    "buy": (Purchase, lambda work: chain.from_iterable(shopping_list(work.plan).values())),
    "rack": (PulledPieces, lambda work: rack_list(work.plan)),
    "cuts": (CutLine, _cut_lines),
    "pieces": (PieceLine, _piece_lines),
    "parts": (PartLine, _part_lines),
    "stacks": (StackLine, _stack_lines),
    "days": (DayLine, _day_lines),
    "leftovers": (KeptPiece, lambda work: leftovers(work.plan)),
    "labels": (Label, labels),
    "beside": (Consumable, lambda work: work.plan.consumables),
}
"""The kind of the rows of each list, and how they are made."""


def lists(plan: Plan) -> dict[str, tuple[type, list[Any]]]:
    """Every list by its name, with the kind of its rows."""
    work = work_of(plan)
    return {name: (kind, list(rows(work))) for name, (kind, rows) in LISTS.items()}
