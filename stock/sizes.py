"""Nominal and actual sizes, board measure.

A size is a name and never a measure: ``2x4`` is 1 1/2 by 3 1/2 in dry, ``38x89`` is 38 by 89 mm in
a book of either unit. The sizes stand in data files, with source and standing beside each number
(``seen``: read in the source or in a text that quotes it; ``memory``: recalled, no copy read):
softwood_sizes.csv (PS 20-20, NDS Supplement 2018), hardwood_sizes.csv (NHLA) and metric_sizes.csv
(Canada, CLS, EN 336, UK sawn).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache
from itertools import product

from stock.errors import UnreadableError
from stock.lengths import Length, LengthError, Unit, format_length, is_bare, parse_length
from stock.tables import read_table


class Dried(StrEnum):
    """How wet a board was when it was surfaced: at most 19 % moisture, or more (PS 20-20)."""

    DRY = "dry"
    GREEN = "green"


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A size that boards are sold under.

    ``dry`` and ``green`` are actual thickness and width in inches; the width is None for hardwood,
    which comes as wide as the tree gave. The nominal inches give board measure; None where the
    standard behind the name has none, and the board is measured instead.
    """

    name: str
    dry: tuple[Length, Length | None]
    green: tuple[Length, Length | None]
    nominal_thickness: Fraction | None = None
    nominal_width: Fraction | None = None

    def actual(self, dried: Dried) -> tuple[Length, Length | None]:
        """Thickness and width (None: no width of its own) of a board surfaced ``dried``."""
        return self.dry if dried is Dried.DRY else self.green


class SizeError(UnreadableError):
    """What was typed is no size."""


def find_size(typed: str) -> Size:
    """The size named ``typed``: ``2x4``, ``2 X 4``, ``4x2``, ``5/4x6``, ``38x89``, ``8/4``.

    The lesser number is the thickness. A hardwood quarter stands alone (``8/4`` rough, ``8/4 S2S``
    surfaced) and takes its width from the book; ``4/4x6`` is refused, since it may mean 1 in rough
    or the board 1x6, which is 3/4 in. ``5/4x6`` and ``6/4x6`` are softwood boards: their thickness
    has no other name.

    Raises:
        SizeError: for anything else; its remedy names the sizes nearest by.
    """
    name = " ".join(typed.casefold().replace("×", "x").split())
    if quarter := _hardwoods().get(name.replace(" ", "")):
        return quarter
    faces = _faces(name)
    if size := _sawn_sizes().get(faces):
        return size
    near = sorted(_sawn_sizes(), key=lambda known: (_distance(known, faces), known))[:3]
    names = ", ".join(_sawn_sizes()[known].name for known in near)
    raise SizeError(
        "there is no such size",
        f"near it are {names}; a board of no named size is typed under Thickness and Width",
    )


def _faces(name: str) -> tuple[Fraction, Fraction]:
    """The two numbers of ``2x4``, the lesser first."""
    parts = name.split("x")
    if len(parts) != 2 or not all(map(is_bare, parts)):
        raise SizeError(
            "this is not the name of a size",
            "type a name without unit marks, like 2x4, 5/4x6, 38x89 or 8/4, "
            "or type the measures under Thickness and Width",
        )
    try:
        numbers = [parse_length(part, Unit.IN) for part in parts]
    except LengthError as error:
        raise SizeError(error.problem, "type it like 2x4, 5/4x6 or 38x89") from None
    if any(
        part.strip() in _hardwoods() and part.strip() != _nominal_name(number)
        for part, number in zip(parts, numbers, strict=True)
    ):
        raise SizeError(
            "a quarter with a width may be rough hardwood or a surfaced board",
            "type 1x6 or 2x6 for a board; for hardwood the quarter alone, its width under Width",
        )
    thickness, width = sorted(numbers)
    return thickness, width


def _distance(a: tuple[Fraction, Fraction], b: tuple[Fraction, Fraction]) -> Fraction:
    """How far apart two names are; thickness weighs more, a maker rarely mistakes it."""
    return 4 * abs(a[0] - b[0]) + abs(a[1] - b[1])


# --- board measure -------------------------------------------------------------------------------


def board_feet(*, size: Size | None, thickness: Length, width: Length, length: Length) -> Fraction:
    """Board feet of a piece, exact: thickness × width × length / 144 cubic inches, all in inches.

    Nominal thickness and width count where ``size`` has them, measured ones elsewhere; under 1 in
    thick counts as 1 in (PS 20-20, board measure). Hardwood counts its rough thickness and its
    measured width (NHLA rules, from memory).
    """
    thick = size.nominal_thickness if size and size.nominal_thickness else thickness
    wide = size.nominal_width if size and size.nominal_width else width
    return max(thick, Fraction(1)) * wide * length / 144


# --- the data files ------------------------------------------------------------------------------


@cache
def _hardwoods() -> dict[str, Size]:
    """Hardwood quarters by name without blanks: ``8/4`` rough, ``8/4s2s`` surfaced two sides."""
    sizes = {}
    for row in read_table("hardwood_sizes"):
        rough = _inches(row["rough_in"])
        for name, column in ((row["name"], "rough_in"), (f"{row['name']} S2S", "surfaced_in")):
            faces = (_inches(row[column]), None)
            size = Size(name=name, dry=faces, green=faces, nominal_thickness=rough)
            sizes[name.replace(" ", "").casefold()] = size
    return sizes


@cache
def _sawn_sizes() -> dict[tuple[Fraction, Fraction], Size]:
    """Every size of two faces, by the numbers of its name: inches and millimetres never collide.

    A metric name that two standards share keeps the first, the Canadian, which has nominal inches.
    """
    sizes: dict[tuple[Fraction, Fraction], Size] = {}
    for faces, size in [*_softwoods(), *_metric()]:
        sizes.setdefault(faces, size)
    return sizes


def _softwoods() -> Iterator[tuple[tuple[Fraction, Fraction], Size]]:
    """Boards, dimension and timbers: a class's widths with its thicknesses, the lesser first."""
    rows = read_table("softwood_sizes")
    thick_rows = [row for row in rows if row["face"] == "thickness"]
    wide_rows = [row for row in rows if row["face"] == "width"]
    for thick, wide in product(thick_rows, wide_rows):
        nominal = _inches(thick["nominal_in"]), _inches(wide["nominal_in"])
        if thick["class"] == wide["class"] and nominal[0] <= nominal[1]:
            size = Size(
                name="x".join(map(_nominal_name, nominal)),
                dry=(_inches(thick["dry_in"]), _inches(wide["dry_in"])),
                green=(_inches(thick["green_in"]), _inches(wide["green_in"])),
                nominal_thickness=nominal[0],
                nominal_width=nominal[1],
            )
            yield nominal, size


def _metric() -> Iterator[tuple[tuple[Fraction, Fraction], Size]]:
    """Metric names, which say the actual millimetres, dry or green."""
    for row in read_table("metric_sizes"):
        thicknesses, widths = _millimetres(row, "thickness"), _millimetres(row, "width")
        for (t, nominal_t), (w, nominal_w) in product(thicknesses, widths):
            if t <= w:
                actual = t * Unit.MM.inches, w * Unit.MM.inches
                size = Size(
                    name=f"{t}x{w}",
                    dry=actual,
                    green=actual,
                    nominal_thickness=nominal_t,
                    nominal_width=nominal_w,
                )
                yield (Fraction(t), Fraction(w)), size


def _millimetres(row: dict[str, str], face: str) -> list[tuple[int, Fraction | None]]:
    """The list of ``face`` in a metric row, each with its nominal inches if the row has them."""
    numbers = [int(number) for number in row[f"{face}_mm"].split()]
    nominal: list[Fraction | None] = [
        _inches(number) for number in row[f"{face}_nominal_in"].split()
    ]
    return list(zip(numbers, nominal or [None] * len(numbers), strict=True))


def _inches(text: str) -> Length:
    return parse_length(text, Unit.IN)


def _nominal_name(nominal: Fraction) -> str:
    """``2``, ``2 1/2``; under 2 in the trade counts quarters: ``5/4``."""
    if nominal < 2 and nominal.denominator > 1:
        return f"{nominal * 4}/4"
    return format_length(nominal, Unit.IN)
