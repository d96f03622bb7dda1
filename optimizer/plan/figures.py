"""What a plan comes to beside money: boards, glue lines, hours, waste, weight, glue."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from optimizer.plan.plan import Board, CutKind, MadePart, Plan, Purchase
from stock.lengths import Unit
from stock.shop import Shop
from stock.sizes import SizeError, board_feet, find_size

CUBIC_INCHES = {Unit.IN: Fraction(12**3), Unit.MM: (1000 * Fraction(5, 127)) ** 3}
"""Of the volume for which a book's unit tells what wood weighs: a cubic foot, a cubic metre."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """``minutes`` are those in the shop, ``weight`` is that of the boards bought, in pounds or
    kilograms; ``waste`` the share of all wood that is neither in a part nor back on the rack.
    """

    boards: int
    rack_pieces: int
    glue_lines: int
    minutes: Fraction
    waste: Fraction
    weight: Fraction
    leftovers: int


def figures(plan: Plan, shop: Shop) -> Figures:
    """The figures of ``plan``, exact; minutes and weights are those that ``shop`` says."""
    used = sum((volume(board) for board in plan.boards), Fraction(0))
    kept = sum((_kept(board) for board in plan.boards), Fraction(0))
    parts = sum((made.length * made.width * made.thickness for made in plan.parts), Fraction(0))
    return Figures(
        boards=sum(not board.from_rack for board in plan.boards),
        rack_pieces=sum(board.from_rack for board in plan.boards),
        glue_lines=sum(glue_lines(made) for made in plan.parts),
        minutes=minutes(plan, shop),
        waste=(used - kept - parts) / used if used else Fraction(0),
        weight=weight(plan, shop),
        leftovers=sum(len(board.leftovers) for board in plan.boards),
    )


def glue_lines(made: MadePart) -> int:
    """Where two blanks of a part meet."""
    return len(made.blanks) - 1


def minutes(plan: Plan, shop: Shop) -> Fraction:
    """Time in the shop by the minutes of its settings, whether or not it is paid."""
    kinds = [cut.kind for board in plan.boards for cut in board.cuts]
    holds = {blank.id: blank.holds for board in plan.boards for blank in board.blanks}
    total = Fraction(kinds.count(CutKind.RIP)) * Fraction(shop.minutes_per_rip)
    across = kinds.count(CutKind.TRIM) + kinds.count(CutKind.CROSSCUT)
    total += across * Fraction(shop.minutes_per_crosscut)
    for made in plan.parts:
        lines = glue_lines(made)
        faces = (2 * len(made.blanks) + (2 if lines else 0)) if made.planed else 0
        work = faces * Fraction(shop.minutes_per_planed_face)
        work += lines * Fraction(shop.minutes_per_glue_line)
        total += work / holds[made.blanks[0]]
    return total


def weight(plan: Plan, shop: Shop) -> Fraction:
    """Weight of the boards to drive home, in pounds (a metric book: kilograms)."""
    bought = sum((volume(b) for b in plan.boards if not b.from_rack), Fraction(0))
    return bought / CUBIC_INCHES[plan.unit] * Fraction(shop.wood_weighs)


def loads(plan: Plan, shop: Shop) -> int:
    """How often the car must drive, by weight alone; 1 where no heaviest load is set."""
    if not shop.heaviest_load:
        return 1
    return max(1, -int(-weight(plan, shop) // Fraction(shop.heaviest_load)))


def load_notes(plan: Plan, shop: Shop) -> Iterator[str]:
    """A sentence where the boards are too heavy for one drive."""
    if (drives := loads(plan, shop)) > 1:
        unit = "kg" if plan.unit is Unit.MM else "lb"
        heavy, most = to_whole(weight(plan, shop)), to_whole(Fraction(shop.heaviest_load or 0))
        yield (
            f"The boards to buy weigh about {heavy} {unit}, and the car carries {most}: "
            f"drive {drives} times, or have them brought."
        )


def to_whole(amount: Fraction) -> int:
    """``amount`` up to the next whole number."""
    return -int(-amount // 1)


def volume(piece: Board | Purchase) -> Fraction:
    """Cubic inches of one board."""
    return piece.length * piece.width * piece.thickness


def feet_of(line: Purchase) -> Fraction:
    """Board feet of one board of a line, by nominal size where it has one, exact."""
    try:
        size = find_size(line.size) if line.size else None
    except SizeError:
        size = None
    return board_feet(size=size, thickness=line.thickness, width=line.width, length=line.length)


def _kept(board: Board) -> Fraction:
    return sum((left.length * left.width for left in board.leftovers), Fraction(0)) * (
        board.thickness
    )
