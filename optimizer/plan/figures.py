"""What a plan comes to beside money: boards, glue lines, hours, waste, weight, glue."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction

from optimizer.plan.plan import Board, CutKind, MadePart, Plan, Purchase
from optimizer.plan.practice import Practice
from stock.shop import Shop
from stock.sizes import SizeError, board_feet, find_size


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
    weight: int
    leftovers: int


def figures(plan: Plan, shop: Shop) -> Figures:
    """The figures of ``plan``, exact; minutes are those that ``shop`` says."""
    used = sum((volume(board) for board in plan.boards), Fraction(0))
    kept = sum((_kept(board) for board in plan.boards), Fraction(0))
    parts = sum((made.length * made.width * made.thickness for made in plan.parts), Fraction(0))
    return Figures(
        boards=sum(not board.from_rack for board in plan.boards),
        rack_pieces=sum(board.from_rack for board in plan.boards),
        glue_lines=sum(glue_lines(made) for made in plan.parts),
        minutes=minutes(plan, shop),
        waste=(used - kept - parts) / used if used else Fraction(0),
        weight=plan.load.weight,
        leftovers=sum(len(board.leftovers) for board in plan.boards),
    )


def glue_lines(made: MadePart) -> int:
    """Where two blanks of a part meet."""
    return len(made.blanks) - 1


def minutes(plan: Plan, shop: Shop | Practice) -> Fraction:
    """Time in the shop by the minutes of its settings, whether or not it is paid.

    As the bill: jointing glue edges, final crosscuts and making offcuts sound are left out.
    """
    holds = {blank.id: blank.holds for board in plan.boards for blank in board.blanks}
    total = Fraction(0)
    for board in plan.boards:
        kinds = Counter(cut.kind for cut in board.cuts)
        total += (kinds[CutKind.RIP] + kinds[CutKind.JOINT]) * Fraction(shop.minutes_per_rip)
        # Bad wood and crooked edges of an offcut are got out of the way whatever is made of it.
        across = kinds[CutKind.CROSSCUT] + (0 if board.from_rack else kinds[CutKind.TRIM])
        total += across * Fraction(shop.minutes_per_crosscut)
    for made in plan.parts:
        lines = glue_lines(made)
        wholes = bool(lines) + (len(made.layup) > 1) * sum(len(ply) > 1 for ply in made.layup)
        faces = 2 * (len(made.blanks) + wholes) if made.planed else 0
        work = faces * Fraction(shop.minutes_per_planed_face)
        work += lines * Fraction(shop.minutes_per_glue_line)
        total += work / holds[made.blanks[0]]
    return total


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
