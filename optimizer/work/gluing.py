"""Glue-ups as a schedule: which blanks in which stack, how much glue, how many clamps, in batches.

Where facts come from: glue cures under 100–150 pounds per square inch of softwood (makers' guides;
Wood Handbook, chapter 10, has 100 for woods of low density); clamps stand 8–12 in apart and the
first within 2 in of the end (makers' guides). What a glue-up needs here follows the settings.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TypeAlias

from optimizer.plan.marks import Marks, in_one
from optimizer.plan.plan import Blank, Board, MadePart, Plan
from optimizer.plan.practice import Practice
from stock.lengths import Length

FIRST_CLAMP = Length(2)  # inches from the end; makers' guides
SQUARE_INCHES_PER_SQUARE_FOOT = 144
FLUID_OUNCES_PER_GALLON = 128
MILLILITRES_PER_GALLON = Fraction(231) * Fraction(254, 100) ** 3  # a gallon is 231 in³


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A blank of a stack by its mark, with its rough size; ``joined`` end to end to the one before
    it.
    """

    mark: str
    length: Length
    width: Length
    thickness: Length
    joined: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """A part to be glued, or several in one length: ``plies`` from the bottom up, the strips of
    each side by side.

    ``glue_area`` is that of all its glue lines in square inches, ``thickness`` that of the stack
    when its glue faces are planed. Of ``clamps_by_spacing`` and ``clamps_by_force`` the larger
    counts.
    """

    mark: str
    made: MadePart
    plies: tuple[tuple[Member, ...], ...]
    length: Length
    width: Length
    thickness: Length
    glue_lines: int
    glue_area: Length
    faces_to_plane: int
    edges_to_joint: int
    clamps_by_spacing: int
    clamps_by_force: int

    @property
    def clamps(self) -> int:
        return max(self.clamps_by_spacing, self.clamps_by_force)

    @property
    def strips(self) -> int:
        """The most in any ply."""
        return max(sum(not member.joined for member in ply) for ply in self.plies)

    @property
    def members(self) -> tuple[Member, ...]:
        return tuple(member for ply in self.plies for member in ply)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Stacks that are in the clamps at one time."""

    number: int
    stacks: tuple[Stack, ...]

    @property
    def clamps(self) -> int:
        return sum(stack.clamps for stack in self.stacks)

    @property
    def glue_area(self) -> Length:
        return sum((stack.glue_area for stack in self.stacks), Length(0))

    @property
    def glue_lines(self) -> int:
        return sum(stack.glue_lines for stack in self.stacks)

    @property
    def faces_to_plane(self) -> int:
        return sum(stack.faces_to_plane for stack in self.stacks)

    @property
    def edges_to_joint(self) -> int:
        return sum(stack.edges_to_joint for stack in self.stacks)


def stacks(plan: Plan, marks: Marks) -> list[Stack]:
    """Every glued part in the plan's order; copies out of one length are one stack."""
    places = {blank.id: (blank, board) for board in plan.boards for blank in board.blanks}
    together: dict[tuple[str, ...], list[tuple[MadePart, str]]] = {}
    for made, mark in zip(plan.parts, marks.parts, strict=True):
        if len(made.blanks) > 1:
            together.setdefault(made.blanks, []).append((made, mark))
    return [
        _stack(copies[0][0], in_one([mark for _, mark in copies]), places, marks, plan.practice)
        for copies in together.values()
    ]


def batches(glued: Iterable[Stack], clamps: int) -> tuple[Batch, ...]:
    """Stacks by what ``clamps`` hold at one time: those that need most first, each into the first
    batch that has clamps left. One that needs more than all of them has a batch of its own.
    """
    filled: list[list[Stack]] = []
    for stack in sorted(glued, key=lambda each: -each.clamps):  # stable: else the plan's order
        for batch in filled:
            if sum(each.clamps for each in batch) + stack.clamps <= clamps:
                batch.append(stack)
                break
        else:
            filled.append([stack])
    return tuple(Batch(number=n, stacks=tuple(each)) for n, each in enumerate(filled, 1))


def gallons(area: Length, practice: Practice) -> Fraction:
    """US gallons of glue for ``area`` square inches of glue line."""
    return area / SQUARE_INCHES_PER_SQUARE_FOOT / Fraction(practice.glue_spread)


def clamps_by_spacing(length: Length, spacing: Length) -> int:
    """Two near the ends, and between them so many that no gap is wider than ``spacing``."""
    between = max(length - 2 * FIRST_CLAMP, Length(0))
    return max(2, math.ceil(between / spacing) + 1)


def clamps_by_force(area: Length, practice: Practice) -> int:
    """So many that they press ``area`` square inches as hard as the glue wants."""
    return math.ceil(area * Fraction(practice.clamp_pressure) / Fraction(practice.clamp_force))


_Places: TypeAlias = dict[str, tuple[Blank, Board]]


def _stack(made: MadePart, mark: str, places: _Places, marks: Marks, practice: Practice) -> Stack:
    plies = tuple(
        tuple(
            Member(
                mark=marks.blanks[blank],
                length=places[blank][0].length,
                width=places[blank][0].width,
                thickness=places[blank][1].thickness,
                joined=n > 0,
            )
            for strip in ply
            for n, blank in enumerate(strip)
        )
        for ply in made.layup
    )
    skims = 2 * practice.skim_per_face if made.planed else Length(0)
    # Factory edges are eased: where they meet glue, the larger of the two comes off.
    joints = 2 * max(practice.jointing_per_edge, practice.edge_trim) if made.planed else Length(0)
    widths = [_ply_width(ply, joints) for ply in plies]
    faces, edges = list(_faces(plies, widths)), list(_edges(plies))
    length = min(_ply_length(ply) for ply in plies)
    in_plies = sum(len(ply) for ply in plies)
    in_strips = sum(len(strips) for ply in plies if len(strips := _strips(ply)) > 1)
    flattened = sum(len(_strips(ply)) > 1 for ply in plies) if len(plies) > 1 else 0
    pressed = max(
        [*faces, *edges], default=Length(0)
    )  # clamps in a row press every line of a stack at once
    return Stack(
        mark=mark,
        made=made,
        plies=plies,
        length=length,
        width=min(widths),
        thickness=sum((_ply_thickness(ply) - skims for ply in plies), Length(0)),
        glue_lines=in_plies - 1,
        glue_area=sum([*faces, *edges], Length(0)),
        faces_to_plane=2 * (in_plies + flattened) if made.planed else 0,
        edges_to_joint=2 * in_strips if made.planed else 0,
        clamps_by_spacing=clamps_by_spacing(length, practice.clamp_spacing),
        clamps_by_force=clamps_by_force(pressed, practice),
    )


def _strips(ply: Sequence[Member]) -> list[list[Member]]:
    """A ply's blanks, those end to end together."""
    strips: list[list[Member]] = []
    for member in ply:
        if member.joined:
            strips[-1].append(member)
        else:
            strips.append([member])
    return strips


def _strip_length(strip: Sequence[Member]) -> Length:
    return sum((member.length for member in strip), Length(0))


def _ply_length(ply: Sequence[Member]) -> Length:
    return min(map(_strip_length, _strips(ply)))


def _ply_width(ply: Sequence[Member], joints: Length) -> Length:
    strips = _strips(ply)
    if len(strips) == 1:
        return ply[0].width
    return sum((strip[0].width - joints for strip in strips), Length(0))


def _ply_thickness(ply: Sequence[Member]) -> Length:
    return min(strip.thickness for strip in ply)


def _faces(plies: Sequence[Sequence[Member]], widths: Sequence[Length]) -> Iterator[Length]:
    for (one, width), (other, wide) in pairwise(zip(plies, widths, strict=True)):
        yield min(_ply_length(one), _ply_length(other)) * min(width, wide)


def _edges(plies: Sequence[Sequence[Member]]) -> Iterator[Length]:
    for ply in plies:
        for one, other in pairwise(_strips(ply)):
            length = min(_strip_length(one), _strip_length(other))
            yield length * min(one[0].thickness, other[0].thickness)
