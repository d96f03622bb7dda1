"""A lay-up: how one copy of a part is built of plies and strips, as blanks.

Solid is a lay-up of one blank; a face glue-up stacks plies; an edge glue-up sets strips side by
side.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from optimizer.job.blanks import BlankKind
from optimizer.job.parts import Part
from stock.shop import Shop

SQUARE_INCHES_PER_SQUARE_FOOT = 144


@dataclass(frozen=True, slots=True, kw_only=True)
class LayUp:
    """One way of making one copy of ``part``: plies, each of strips; ``remark`` is said to the
    maker.
    """

    part: Part
    planed: bool
    plies: tuple[tuple[BlankKind, ...], ...]
    remark: str = ""
    last_resort: bool = False

    @property
    def blanks(self) -> tuple[BlankKind, ...]:
        return tuple(blank for ply in self.plies for blank in ply)

    @property
    def glued(self) -> bool:
        return len(self.blanks) > 1

    @property
    def glue_lines(self) -> int:
        return len(self.blanks) - 1

    @property
    def planed_faces(self) -> int:
        """A solid part has two; in a glue-up each member has two before the glue, the whole two
        after.
        """
        if not self.planed:
            return 0
        return 2 * len(self.blanks) + 2 if self.glued else 2

    def glue_area(self) -> Fraction:
        """Square inches of glue line."""
        edge_to_edge = sum(
            strip.length * strip.lumber.thickness for ply in self.plies for strip in ply[1:]
        )
        face_to_face = sum(ply[0].length * ply[0].width for ply in self.plies[1:])
        return Fraction(edge_to_edge + face_to_face)

    def glue(self, shop: Shop) -> Fraction:
        """Price of the glue, what is squeezed out of the lines included, exact."""
        square_feet = self.glue_area() / SQUARE_INCHES_PER_SQUARE_FOOT
        spread = square_feet * (100 + Fraction(shop.glue_waste)) / 100
        return spread / Fraction(shop.glue_spread) * Fraction(shop.glue_price)

    def time(self, shop: Shop) -> Fraction:
        """Pay for planing and gluing (cuts are paid by the board), exact."""
        minutes = (
            self.planed_faces * shop.minutes_per_planed_face
            + self.glue_lines * shop.minutes_per_glue_line
        )
        return Fraction(minutes) / 60 * Fraction(shop.pay)
