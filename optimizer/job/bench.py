"""One part at the bench with the boards of one lumber: what all ways of making it share.

Rough sizes, those with an allowance in them, are rounded up to what can be set on a tape; a blank
sawn straight to its finished size is not.

Worked example, inch shop with its defaults: a leg 28 long, 2 3/4 × 2 3/4, tenons 1 + 1, from 2x
lumber 1 1/2 thick. A ply keeps 1 1/2 − 2 × 1/32 (skim) = 1 7/16; two give 2 7/8, less 2 × 1/32
(last pass) = 2 13/16 ≥ 2 3/4. Ply width 2 3/4 + 2 × 1/16 (jointing) + 1/8 (slip) = 3; length 28 + 1
+ 1 + 1 (extra length) = 31. So: two blanks 31 × 3 out of 1 1/2 lumber. `rackfirst parts` shows it.

The allowances are common practice, no source; each is a setting of the shop, and a part may have
its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from optimizer.job.blanks import BlankKind
from optimizer.job.grain import Share, grids, lines_of
from optimizer.job.layups import LayUp, Ply
from optimizer.job.limits import Boards, Limits, Refusal
from optimizer.job.parts import Part
from optimizer.job.reckoning import Reckoning, reckoned
from stock.lengths import Length, round_up
from stock.shop import Shop

MORE_COPIES = 2
"""Blanks for several short parts hold so many copies more than the machines ask; a rule of this
program, no source: longer ones save hardly any wood."""

SHARED_STUBS = (1, 2, 4, 8)
"""So many copies too short to hold share the stub that stays in the hand; a rule of this program,
no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A length that holds ``copies`` of the part end to end, or ``abreast`` side by side too."""

    copies: int
    reckoning: Reckoning
    abreast: int = 1

    @property
    def length(self) -> Length:
        return self.reckoning.result


class Bench:
    """One part at the bench with the boards of one lumber."""

    def __init__(self, part: Part, boards: Boards, shop: Shop) -> None:
        self.part, self.boards = part, boards
        own: dict[str, Any] = dict(part.own)
        self.shop = shop = replace(shop, **own)
        self.limits = Limits(boards, shop)
        self.tape = self.limits.tape
        self.thickness = boards.lumber.thickness
        self.skimmed = self.thickness - 2 * shop.skim_per_face
        self.last = 2 * shop.last_pass_per_face
        self.jointing = 2 * shop.jointing_per_edge
        self.lost_at_glue = 2 * max(shop.jointing_per_edge, shop.edge_trim)
        """Of the width of a strip whose edges both meet glue: factory edges are eased."""

    # how long a blank is ------------------------------------------------------------------------

    def runs(self, *, planed: bool, ripped: bool) -> list[Run]:
        """Lengths of blanks for one copy, or for several where one alone is too short for the
        machines, or where the maker wants them out of one length."""
        least = self.limits.shortest(planed=planed, ripped=ripped)
        copies = self.part.copies
        if self.part.same_board:
            ends = [grid.along for grid in grids(self.part) if grid.abreast == 1]
            return [self._run(along, planed, least) for along in ends]
        if self.part.pairs:
            counts = [2] + [3] * (copies % 2) if copies > 1 else [1]
        elif self._short:
            counts = [n for n in SHARED_STUBS if n <= copies]
        elif self._alone(self._own(1), planed).total >= least:
            counts = [1]
        else:
            long_enough = (n for n in range(1, 10**6) if self._several(self._own(n)).total >= least)
            counts = list(range(1, min(copies, next(long_enough) + MORE_COPIES) + 1))
        return [self._run(self._own(n), planed, least) for n in counts]

    def side_by_side(self, *, planed: bool) -> Iterator[tuple[Run, Reckoning]]:
        """Lengths and widths of blanks that hold all copies, some of them side by side: they are
        ripped apart last, and must be long enough for the saw.
        """
        least = self.limits.shortest(planed=planed, ripped=True)
        jointing = self.jointing if planed else Length(0)
        for grid in grids(self.part) if self.part.same_board else ():
            abreast = grid.abreast
            run = self._run(grid.along, planed, least)
            narrowest = min(line.width for line, _ in grid.across)
            if abreast > 1 and self.limits.may_be_ripped(run.length, narrowest):
                width = reckoned(
                    "width",
                    *(
                        (self._label("finished", line, n), n * line.width)
                        for line, n in grid.across
                    ),
                    (f"jointing × {abreast}", abreast * jointing),
                    (f"kerf × {abreast - 1}", (abreast - 1) * self.shop.rip_kerf),
                )
                yield replace(run, copies=grid.copies, abreast=abreast), self.on_tape(width)

    @property
    def _short(self) -> bool:
        """Whether a copy cannot be held where it is crosscut."""
        shortest = min(line.length_with_tenons for line in lines_of(self.part))
        return shortest < self.shop.held_at_crosscut

    def _own(self, copies: int) -> Share:
        return ((self.part, copies),)

    def _alone(self, along: Share, planed: bool) -> Reckoning:
        if self._short:
            return self._several(along)
        extra = self.shop.extra_length if planed else Length(0)
        return reckoned("length", *self._finished(along), ("extra length", extra))

    def _several(self, along: Share) -> Reckoning:
        copies = sum(n for _, n in along)
        kerfs = copies if self._short else copies - 1
        held = self.shop.held_at_crosscut if self._short else Length(0)
        return reckoned(
            "length",
            *self._finished(along),
            (f"kerf × {kerfs}", kerfs * self.shop.crosscut_kerf),
            ("extra length", self.shop.extra_length),
            ("left in the hand at the last crosscut", held),
        )

    def _finished(self, along: Share) -> Iterator[tuple[str, Length]]:
        for line, copies in along:
            yield self._label("finished", line, copies), copies * line.length
            for tenon in line.tenons:
                yield self._label("tenon", line, copies), copies * tenon

    def _label(self, what: str, line: Part, copies: int) -> str:
        named = f" {line.name}" if self.part.members else ""
        return f"{what}{named} × {copies}" if copies > 1 else f"{what}{named}"

    def _run(self, along: Share, planed: bool, least: Length) -> Run:
        copies = sum(n for _, n in along)
        found = self._alone(along, planed) if copies == 1 else self._several(along)
        if found.total < least:
            kind = ("up to the shortest for the machines", least - found.total)
            steps = [(step.reason, step.amount) for step in found.steps]
            found = reckoned("length", *steps, kind)
        if found.total != sum(n * line.length_with_tenons for line, n in along):
            found = self.on_tape(found)
        return Run(copies=copies, reckoning=found)

    # sizes and lay-ups --------------------------------------------------------------------------

    def width(self, *allowances: tuple[str, Length]) -> Reckoning:
        """The finished width and what is added to it, on the tape."""
        return self.on_tape(reckoned("width", ("finished", self.part.width), *allowances))

    def on_tape(self, reckoning: Reckoning) -> Reckoning:
        return replace(reckoning, result=self.up(reckoning.total))

    def up(self, length: Length) -> Length:
        return round_up(length, self.shop.unit)

    def blank(self, length: Length, width: Length, own_edges: bool = False) -> BlankKind:
        return BlankKind(lumber=self.boards.lumber, length=length, width=width, own_edges=own_edges)

    def lay_up(
        self,
        run: Run,
        plies: list[Ply],
        *,
        planed: bool,
        left: Length,
        reckonings: tuple[Reckoning, ...] = (),
        remarks: tuple[str, ...] = (),
        last_resort: bool = False,
    ) -> LayUp:
        """The lay-up; ``left`` is the thickness that the machines leave of it."""
        part = self.part
        notes = [self._deep(plies)]
        if planed and len(plies) == 1:
            notes.append(self._much_planed(left))
        if part.pairs and part.copies % 2 and run.copies == 2:
            notes.append("where a length for two holds one, its other half is a spare")
        return LayUp(
            part=part,
            planed=planed,
            plies=tuple(plies),
            thickness=max(min(left, part.thickness), part.least_thickness)
            if planed
            else part.thickness,
            copies=run.copies,
            abreast=run.abreast,
            remarks=tuple(filter(None, (*remarks, *notes))),
            last_resort=last_resort,
            reckonings=(run.reckoning, *reckonings),
        )

    def _deep(self, plies: list[Ply]) -> str:
        """A note where a blank is ripped that is thicker than the saw cuts."""
        blanks = [blank for ply in plies for strip in ply for blank in strip]
        if all(
            blank.own_edges or blank.lumber.thickness <= self.shop.deepest_rip for blank in blanks
        ):
            return ""
        return (
            f"thicker than the {self.tape(self.shop.deepest_rip)} that the saw cuts: where it "
            "is ripped, rip from both faces"
        )

    def _much_planed(self, left: Length) -> str:
        """A note where a board is far thicker than its part; what to do is common practice, no
        source.
        """
        thick = self.part.thickness
        if left - thick <= self.shop.most_planed_away:
            return ""
        return (
            f"from {self.tape(self.thickness)} down to {self.tape(thick)} thick: resaw or rip it "
            "thinner first if the saw takes it, else many light passes, as the planer's manual says"
        )

    def fault(self, *blanks: BlankKind) -> Refusal | None:
        """Why no board gives one of the blanks."""
        return next(filter(None, map(self.limits.board_fault, blanks)), None)

    def within_as_bought(self, thickness: Length) -> bool:
        """Whether boards so thick serve with their faces as they come."""
        if self.part.least_thickness <= thickness <= self.part.thickness:
            return True
        return abs(thickness - self.part.thickness) <= self.shop.as_bought_within

    def thickness_left(self, count: int) -> Reckoning:
        """What is left of so many boards of this lumber, planed."""
        times = f" × {count}" if count > 1 else ""
        skims = -2 * count * self.shop.skim_per_face
        steps = [(f"board{times}", count * self.thickness), ("skim", skims)]
        return reckoned("thickness", *steps, ("last pass", -self.last))
