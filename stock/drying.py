"""What the command ``moisture`` answers: how much a board moves, and what moisture a room gives."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from stock.lengths import Length, LengthError, Unit, format_length, parse_length
from stock.moisture import POUND as KILOGRAMS
from stock.moisture import (
    SATURATED,
    Grain,
    equilibrium_moisture,
    fahrenheit,
    lumber_moved,
    moved,
    movement_of,
    weight,
)
from stock.shop import Shop
from stock.sizes import Dried, SizeError, find_size

GREEN = Fraction(19)  # wetter lumber is green (PS 20)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """A board at two moistures (percent): its measures before and after, and after whom."""

    thickness: Length
    width: Length
    before: Fraction
    after: Fraction
    dried_thickness: Length
    dried_width: Length
    source: str


def board_measures(typed: str, unit: Unit) -> tuple[Length, Length]:
    """Thickness and width of ``2x12`` or ``1 1/2 x 5 1/2``.

    Raises:
        SizeError: where it is neither.
    """
    try:
        thickness, width = find_size(typed).actual(Dried.DRY)
        if width is not None:
            return thickness, width
    except SizeError:
        pass
    try:
        sides = [parse_length(side, unit) for side in typed.lower().split("x")]
    except LengthError:
        sides = []
    if len(sides) != 2 or not all(sides):
        raise SizeError(f"{typed} is no board", "name a size as 2x12, or type 1 1/2 x 5 1/2")
    return min(sides), max(sides)


def exact_percent(typed: float) -> Fraction:
    """A number from the command line as it was typed."""
    return Fraction(str(typed))


def room_moisture(
    temperature: Decimal | Fraction, humidity: Decimal | Fraction, unit: Unit
) -> Fraction:
    """The moisture that wood comes to in a room; °F, in a book in millimetres °C."""
    degrees = Fraction(temperature)
    return equilibrium_moisture(
        degrees if unit is Unit.IN else fahrenheit(degrees), Fraction(humidity)
    )


def dried(
    thickness: Length, width: Length, wood: str, before: Fraction, after: Fraction, grain: Grain
) -> Drying:
    """A board that has come from one moisture to another."""
    movement = movement_of(wood)
    thin = moved(thickness, movement.thickness(grain), before, after)
    wide = moved(width, movement.width(grain), before, after)
    return Drying(
        thickness=thickness,
        width=width,
        before=before,
        after=after,
        dried_thickness=thin,
        dried_width=wide,
        source=movement.source,
    )


def told_drying(board: Drying, wood: str, unit: Unit) -> str:
    """The answer in three or four lines."""

    def size(thickness: Length, width: Length) -> str:
        return f"{format_length(thickness, unit)} × {format_length(width, unit)}"

    name = wood or "wood of no name"
    lines = [
        f"{size(board.thickness, board.width)} at {percent(board.before)} becomes "
        f"{size(board.dried_thickness, board.dried_width)} at {percent(board.after)}",
        f"{name}: {board.source}. A single board may differ by a fifth.",
    ]
    if max(board.before, board.after) > GREEN and "PS 20" in board.source:
        wide, thin = lumber_moved(board.width, board.thickness, board.before, board.after)
        lines.append(f"Green softwood lumber as FPL-RP-489 measured it: {size(thin, wide)}")
    if max(board.before, board.after) > SATURATED:
        lines.append(f"Above {percent(SATURATED)} wood does not move.")
    foot = board.thickness * board.width * 12
    pounds = weight(wood, foot, board.after)
    if pounds is not None:
        if unit is Unit.IN:
            heavy = f"{float(pounds):.1f} lb a foot"
        else:
            heavy = f"{float(pounds * KILOGRAMS / Fraction('0.3048')):.1f} kg a metre"
        lines.append(f"It weighs some {heavy} at {percent(board.after)}.")
    return "\n".join(lines)


def percent(moisture: Fraction) -> str:
    """``7.7 %``."""
    return f"{round(float(moisture), 1):g} %"


def weight_of(wood: str, volume: Fraction, moisture: Fraction, shop: Shop) -> Fraction | None:
    """Pounds, in a book in millimetres kilograms; None where the wood is not known."""
    pounds = weight(wood, volume, moisture)
    if pounds is None or shop.unit is Unit.IN:
        return pounds
    return pounds * KILOGRAMS
