"""Exact lengths, read and written as on a tape.

A ``Length`` is an exact number of inches; a millimetre is 5/127 in, since the inch is 25.4 mm by
definition (international yard and pound agreement of 1959). No float touches a length.
"""

from __future__ import annotations

import math
import re
import unicodedata
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from stock.errors import UnreadableError

Length: TypeAlias = Fraction

MILLIMETRE = Fraction(5, 127)


class Unit(StrEnum):
    """The unit of a book: what a bare number in it means."""

    IN = "in"
    MM = "mm"

    @property
    def inches(self) -> Length:
        """Inches in one of this unit."""
        return Fraction(1) if self is Unit.IN else MILLIMETRE


class LengthError(UnreadableError):
    """What was typed is no length."""


# --- reading -------------------------------------------------------------------------------------

_MARKS = {
    **dict.fromkeys(('"', "in", "in.", "inch", "inches"), Fraction(1)),
    **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), Fraction(12)),
    "mm": MILLIMETRE,
    "cm": 10 * MILLIMETRE,
    "m": 1000 * MILLIMETRE,
}

# One spelling for what keyboards, word processors and drawings spell in many ways.
_SAME = str.maketrans(
    {
        **dict.fromkeys("″“”„‟〃", '"'),
        **dict.fromkeys("′‘’‚‛`´", "'"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("‐‑‒–—−", "-"),
        **dict.fromkeys("\u200b\u2060\ufeff"),  # blanks without width go
    }
)

_VULGAR = re.compile("[¼-¾⅐-⅞]")
_NUMBER = r"(?:\d+[ -])?\d+/\d+|\d*\.?\d+"
_BARE = re.compile(_NUMBER, re.ASCII)
_MARKED = re.compile(rf"({_NUMBER}) ?({'|'.join(map(re.escape, _MARKS))})", re.ASCII)
_FEET_AND_INCHES = re.compile(
    rf"(\d+) ?(?:'|ft\.?|foot|feet) ?-? ?({_NUMBER}) ?(?:\"|in\.?|inch|inches)?", re.ASCII
)
_DATE = re.compile(
    r"\d{1,4}([-/.])\d{1,2}\1\d{1,4}( .*)?|\d{1,2}-[a-z]{3}(-\d{2,4})?|[a-z]{3}-\d{2}", re.ASCII
)
_EXAMPLES = "type it like 31 1/4, 31.25, 2' 7 1/4\" or 794 mm"
_LONGEST_TEXT = 60  # no length needs more; a cell of a million digits would stall the arithmetic


def parse_length(typed: str, unit: Unit) -> Length:
    """The length ``typed`` means, in inches; a number without a unit mark is in ``unit``.

    ``31 1/4``, ``31-1/4``, ``31.25``, ``31¼"``, ``2' 7 1/4"``, ``2 ft 7-1/4 in``, ``794 mm``,
    ``79.4cm`` and ``0.794 m`` are all read, in a book of either unit. Zero is returned as zero.

    Raises:
        LengthError: for anything else, and for a length below zero.
    """
    text = _plain(typed)
    if len(text) > _LONGEST_TEXT:
        raise LengthError("this is too long for a length", _EXAMPLES)
    if _BARE.fullmatch(text):
        return _number(text) * unit.inches
    if marked := _MARKED.fullmatch(text):
        return _number(marked[1]) * _MARKS[marked[2]]
    if both := _FEET_AND_INCHES.fullmatch(text):
        return int(both[1]) * 12 + _number(both[2])
    raise _refusal(text)


def is_bare(typed: str) -> bool:
    """Whether ``typed`` is a number without a unit mark, whose unit is therefore the book's."""
    text = _plain(typed)
    return len(text) <= _LONGEST_TEXT and _BARE.fullmatch(text) is not None


def _plain(typed: str) -> str:
    """``typed`` in lower case, with one spelling for each mark and single blanks."""
    text = _VULGAR.sub(_written_out, typed.translate(_SAME)).replace("''", '"').lower()
    return re.sub(r" ?/ ?", "/", " ".join(text.split()))


def _written_out(vulgar: re.Match[str]) -> str:
    """``31¼`` becomes ``31 1/4 ``, not ``311/4``; ``31-¼`` becomes ``31-1/4 ``."""
    after_digit = vulgar.string[vulgar.start() - 1 : vulgar.start()].isdecimal()
    fraction = unicodedata.normalize("NFKC", vulgar[0]).replace("⁄", "/")
    return f"{' ' if after_digit else ''}{fraction} "


def _number(text: str) -> Fraction:
    """The value of a text that matches ``_NUMBER``."""
    *whole, part = re.split("[ -]", text)
    if re.search(r"/0+$", part):
        raise LengthError("a fraction over zero", _EXAMPLES)
    value = Fraction(part)
    if not whole:
        return value
    if value >= 1:
        raise LengthError(
            f"{part} after a whole number is not less than one",
            f"type {format_length(int(whole[0]) + value, Unit.IN, finest=value.denominator)} "
            "if that is what you mean",
        )
    return int(whole[0]) + value


def _refusal(text: str) -> LengthError:
    """Why ``text`` is no length."""
    if not text:
        return LengthError("there is no length", _EXAMPLES)
    if _DATE.fullmatch(text):
        return LengthError(
            "this reads as a date, not as a length",
            "spreadsheet programs turn 1/2 into a date: format the cell as text and type it again",
        )
    if text.startswith("-"):
        return LengthError("a length cannot be below zero", _EXAMPLES)
    if "," in text:
        return LengthError(
            "there is a comma in it", "type decimals with a point, thousands with nothing: 1200.5"
        )
    return LengthError("this is not a length", _EXAMPLES)


# --- writing -------------------------------------------------------------------------------------


def format_length(length: Length, unit: Unit, *, finest: int = 32) -> str:
    """``length`` for reading, without a unit mark: ``31 1/4``, or in millimetres ``794``, ``38.1``.

    Rounded half-up to the nearest 1/``finest`` in, or to the nearest tenth of a millimetre.
    """
    if length < 0:
        raise ValueError(f"a length of {length} in")
    if unit is Unit.MM:
        whole, tenths = divmod(_nearest(length / MILLIMETRE, 10), 10)
        return f"{whole}.{tenths}" if tenths else f"{whole}"
    whole, part = divmod(Fraction(_nearest(length, finest), finest), 1)
    if not part:
        return f"{whole}"
    return f"{whole} {part}" if whole else f"{part}"


def _nearest(value: Fraction, parts: int) -> int:
    """``value`` in whole ``parts``-ths, half of one rounded up."""
    return math.floor(value * parts + Fraction(1, 2))


def exact_text(length: Length, unit: Unit) -> str:
    """``length`` in ``unit`` as an exact rational, ``144`` or ``45/4``, as plan.json holds it."""
    return str(length / unit.inches)


def exact_tape(length: Length, unit: Unit) -> str:
    """``length`` as one types it in a book in ``unit``, without rounding: ``31 1/4``, ``38.1``.

    What has no end in decimals of a millimetre is told in inches: ``31 1/3 in``.
    """
    if unit is Unit.MM:
        millimetres = length / MILLIMETRE
        tenths = (d for d in range(10) if 10**d % millimetres.denominator == 0)
        if (places := next(tenths, None)) is not None:
            return f"{Decimal(int(millimetres * 10**places)).scaleb(-places):f}"
        return f"{exact_tape(length, Unit.IN)} in"
    whole, part = divmod(length, 1)
    if not part:
        return f"{whole}"
    return f"{whole} {part}" if whole else f"{part}"


def from_exact_text(text: str, unit: Unit) -> Length:
    """The length that ``exact_text`` wrote.

    Raises:
        LengthError: if ``text`` is not a whole number or a fraction of two.
    """
    if not re.fullmatch(r"\d+(/0*[1-9]\d*)?", text, re.ASCII):
        raise LengthError("this is not an exact length", "write it like 144 or 45/4")
    return Fraction(text) * unit.inches


def round_up(length: Length, unit: Unit) -> Length:
    """``length`` up to the next 1/16 in, or whole millimetre: what a person can set on a tape."""
    step = tape_step(unit)
    return math.ceil(length / step) * step


def round_down(length: Length, unit: Unit) -> Length:
    """``length`` down to the last 1/16 in, or whole millimetre: what a tape shows for certain."""
    step = tape_step(unit)
    return length // step * step


def tape_step(unit: Unit) -> Length:
    """1/16 in, or a millimetre: from mark to mark of a tape."""
    return MILLIMETRE if unit is Unit.MM else Fraction(1, 16)
