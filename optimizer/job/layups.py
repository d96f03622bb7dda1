"""A lay-up: how copies of a part are built of plies and strips, as blanks.

Solid is a lay-up of one blank; a face glue-up stacks plies; an edge glue-up sets strips side by
side; a strip may be two blanks end to end. Short parts are made several at once, from one length,
and crosscut last.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from optimizer.job.blanks import BlankKind
from optimizer.job.parts import Part
from optimizer.job.reckoning import Reckoning
from stock.lengths import Length
from stock.shop import Shop

SQUARE_INCHES_PER_SQUARE_FOOT = 144

Strip = tuple[BlankKind, ...]
Ply = tuple[Strip, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LayUp:
    """One way of making ``copies`` of ``part`` at once: plies → strips → blanks end to end.

    ``abreast`` of the copies lie side by side in their blank, the others behind them.
    ``thickness`` is what it is brought to; ``remarks`` are said to the maker; ``reckonings`` show
    how its sizes come about. ``last_resort``: only where nothing else makes the part.
    """

    part: Part
    planed: bool
    plies: tuple[Ply, ...]
    thickness: Length
    copies: int = 1
    abreast: int = 1
    remarks: tuple[str, ...] = ()
    last_resort: bool = False
    reckonings: tuple[Reckoning, ...] = ()

    @property
    def blanks(self) -> tuple[BlankKind, ...]:
        return tuple(blank for ply in self.plies for strip in ply for blank in strip)

    @property
    def glued(self) -> bool:
        return len(self.blanks) > 1

    @property
    def glue_lines(self) -> int:
        return len(self.blanks) - 1

    @property
    def planed_faces(self) -> int:
        """A solid part has two; in a glue-up each member has two before the glue, the whole two
        after, and so has a ply of strips before it joins the others.
        """
        if not self.planed:
            return 0
        stacked = len(self.plies) > 1
        wholes = self.glued + stacked * sum(len(ply) > 1 for ply in self.plies)
        return 2 * (len(self.blanks) + wholes) if self.glued else 2

    def glue_area(self) -> Fraction:
        """Square inches of glue line, end grain aside."""
        edge_to_edge = sum(
            _length(strip) * strip[0].lumber.thickness for ply in self.plies for strip in ply[1:]
        )
        face_to_face = sum(
            min(_length(ply[0]) * _width(ply) for ply in pair) for pair in pairwise(self.plies)
        )
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


def _length(strip: Strip) -> Length:
    return sum((blank.length for blank in strip), Length(0))


def _width(ply: Ply) -> Length:
    return sum((strip[0].width for strip in ply), Length(0))
