"""What a job takes beside wood: glue, finish, and the hardware of the job book.

Glue is in the plan's cash already; finish and hardware stand beside it, since no plan changes them.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from optimizer.job.parts import Hardware
from optimizer.plan.beside import Consumable
from optimizer.plan.plan import Board, MadePart, Plan
from stock.lengths import Unit
from stock.prices import to_cent
from stock.shop import Shop

SQUARE_INCHES = 144  # of a square foot
FLUID_OUNCES = 128  # of a gallon, and so many litres:
LITRES = Fraction("3.785411784")  # NIST SP 811: the US gallon is 231 cubic inches
SQUARE_METRES = Fraction("0.09290304")  # of a square foot, by the same


def consumables(plan: Plan, shop: Shop, hardware: tuple[Hardware, ...]) -> Iterator[Consumable]:
    """What to have at hand, glue first; each sum is rounded half-up to the cent."""
    if area := glue_area(plan):
        waste = f" and {_plain(shop.glue_waste)} % waste" if shop.glue_waste else ""
        gallons = area / Fraction(shop.glue_spread) * (1 + Fraction(shop.glue_waste) / 100)
        yield Consumable(
            item="Glue",
            amount=_liquid(gallons, plan.unit),
            sum=plan.cost.glue,
            in_cash=True,
            how=f"{_area(area, plan.unit)} of glue line at {_spread(shop.glue_spread, plan.unit)}"
            + waste,
        )
    if shop.finish_coats and (area := finished_area(plan)):
        coats = f"{shop.finish_coats} coat{'' if shop.finish_coats == 1 else 's'}"
        gallons = area * shop.finish_coats / Fraction(shop.finish_spread)
        yield Consumable(
            item="Finish",
            amount=_liquid(gallons, plan.unit),
            sum=to_cent(gallons * Fraction(shop.finish_price)),
            how=f"{_area(area, plan.unit)} of parts, {coats}, "
            f"{_spread(shop.finish_spread, plan.unit)}",
        )
    for line in hardware:
        yield Consumable(
            item=line.item,
            amount=str(line.count),
            sum=line.count * line.price,
            how=f"{line.count} at {line.price:.2f}" if line.price else "",
        )


def glue_area(plan: Plan) -> Fraction:
    """Square feet of glue line: strips meet edge to edge, plies on the smaller one's face."""
    lies = {blank.id: (blank, board) for board in plan.boards for blank in board.blanks}
    area = Fraction(0)
    for made in plan.parts:
        here, plies = Fraction(0), []
        for ply in made.layup:
            strips = [[lies[blank] for blank in strip] for strip in ply]
            lengths = [sum(blank.length for blank, _ in strip) for strip in strips]
            for (one, long), (other, far) in pairwise(zip(strips, lengths, strict=True)):
                here += min(long, far) * min(one[0][1].thickness, other[0][1].thickness)
            plies.append((lengths[0], sum(strip[0][0].width for strip in strips)))
        for (long, wide), (far, broad) in pairwise(plies):
            here += min(long, far) * min(wide, broad)
        area += here / lies[made.blanks[0]][0].holds
    return area / SQUARE_INCHES


def finished_area(plan: Plan) -> Fraction:
    """Square feet of all six faces of all parts, but for those of treated wood."""
    wood = {blank.id: board for board in plan.boards for blank in board.blanks}
    faces = (_faces(made) for made in plan.parts if not _treated(made, wood))
    return sum(faces, Fraction(0)) / SQUARE_INCHES


def _faces(made: MadePart) -> Fraction:
    length, width, thickness = made.length, made.width, made.thickness
    return 2 * (length * width + length * thickness + width * thickness)


def _treated(made: MadePart, wood: dict[str, Board]) -> bool:
    return wood[made.blanks[0]].treated


def _liquid(gallons: Fraction, unit: Unit) -> str:
    """``12.4 fl oz``, or ``0.37 l`` in a metric book; never less than it takes."""
    if unit is Unit.MM:
        return f"{_up(gallons * LITRES, 100)} l"
    return f"{_up(gallons * FLUID_OUNCES, 10)} fl oz"


def _up(amount: Fraction, parts: int) -> Decimal:
    return Decimal(-int(-amount * parts // 1)) / parts


def _area(feet: Fraction, unit: Unit) -> str:
    """``3.4 square feet``, or ``0.32 square metres`` in a metric book."""
    if unit is Unit.MM:
        return f"{_nearest(feet * SQUARE_METRES, 100)} square metres"
    return f"{_tenths(feet)} square feet"


def _spread(feet: Decimal, unit: Unit) -> str:
    """What a gallon covers: ``250 a gallon``, or ``6.1 a litre`` in a metric book."""
    if unit is Unit.MM:
        return f"{_nearest(Fraction(feet) * SQUARE_METRES / LITRES, 10)} a litre"
    return f"{_plain(feet)} a gallon"


def _nearest(amount: Fraction, parts: int) -> Decimal:
    return Decimal(round(amount * parts)) / parts


def _tenths(amount: Fraction) -> str:
    return f"{_up(amount, 10):.1f}"


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"
