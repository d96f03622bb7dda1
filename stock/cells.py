"""What each kind of cell may say: a filled one becomes a value, or a ``CellError`` says why not."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from stock.lengths import Length, LengthError, Unit, is_bare, parse_length
from stock.sizes import SizeError, find_size
from stock.spreadsheet import Cell, key

LONGEST = Length(100_000)  # inches, about 2.5 km: beyond it a slip of the keyboard is certain
LONGEST_NAME = 200  # characters
MOST = 1_000_000  # of anything counted or paid: the same
LEAST_BARE = 30  # of a board's length, in the unit of the book: who types 8 mostly means feet


class Kind(StrEnum):
    """Kinds of cells, as data/settings.csv names them."""

    NAME = "name"
    NOTE = "note"
    CHOICE = "choice"
    DATE = "date"
    SIZE = "size"
    LENGTH = "length"  # above zero
    ALLOWANCE = "allowance"  # a length, zero too
    LONG = "long length"  # of boards, or as far as them; never bare feet
    SOLD_LENGTHS = "sold lengths"  # one or several such
    TENONS = "tenons"
    COUNT = "count"  # 1, 2, 3 …
    NUMBER = "number"  # 0, 1, 2 …
    AMOUNT = "amount"  # of money, minutes or area, zero too
    PERCENT = "percent"
    WORDS = "words"  # names apart by semicolons
    SHARES = "shares"  # the same, each with a percentage
    STRETCHES = "stretches"  # from … to …, in order


# What would do in a cell that takes a number.
_NUMBERS = {
    Kind.COUNT: "type a whole number like 4",
    Kind.NUMBER: "type a whole number like 4",
    Kind.AMOUNT: "type a number like 12.50",
    Kind.PERCENT: "type 8.25 for 8.25 %",
}

# Kinds that a spreadsheet program would turn into dates: text in the templates.
TYPED_AS_TEXT = frozenset(Kind) - {Kind.NOTE, Kind.CHOICE, Kind.DATE, *_NUMBERS}


class CellError(ValueError):
    """Why a cell was not taken, and what would do."""

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How a cell is read: its kind, the unit of a bare number, and the words of a choice."""

    kind: Kind
    unit: Unit
    choices: Sequence[str] = ()


def read_cell(cell: Cell, reading: Reading) -> object:
    """The value of a filled cell.

    NAME, NOTE and CHOICE (as ``choices`` spells it) give str, DATE a date, SIZE a Size, LENGTH,
    ALLOWANCE and LONG a Length, SOLD_LENGTHS and TENONS a tuple of Length, COUNT and NUMBER an int,
    AMOUNT and PERCENT (8.25 for 8.25 %) a Decimal, WORDS a tuple of str, SHARES of (str, Decimal),
    STRETCHES of (Length, Length).

    Raises:
        CellError: for everything else.
    """
    if cell.wrong:
        raise CellError(*cell.wrong)
    text = cell.text
    if isinstance(cell.value, date) and reading.kind not in (Kind.DATE, Kind.NOTE):
        raise _is_date(cell.value, reading)
    if isinstance(cell.value, bool) and reading.kind is Kind.CHOICE:
        text = "yes" if cell.value else "no"
    try:
        return _READERS[reading.kind](text, reading)
    except (LengthError, SizeError) as error:
        raise CellError(error.problem, error.remedy) from error


def either(words: Sequence[str]) -> str:
    """``a, b or c``."""
    return " or ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def _is_date(found: date, reading: Reading) -> CellError:
    """Names a date as a date, with the fraction that was probably typed.

    ``1/2`` became 2 January or 1 February, ``5/32`` May 1932; a size as ``8/4`` 4 August.
    """
    if reading.kind is Kind.CHOICE:
        return CellError("a date stands here", f"type {either(reading.choices)}")
    if reading.kind not in TYPED_AS_TEXT:
        return CellError("a date stands here", _NUMBERS[reading.kind])
    small, large = sorted((found.month, found.day))
    if found.day == 1 and found.year < 2000:
        small, large = found.month, found.year % 100
    meant = f"{large}/{small}" if reading.kind is Kind.SIZE else f"{small}/{large}"
    return CellError(
        "a spreadsheet program made a date of what was typed",
        f"if you meant {meant}, type it as text: '{meant}",
    )


# --- words and dates -----------------------------------------------------------------------------


def _note(text: str, _: Reading) -> str:
    return text


def _name(text: str, _: Reading) -> str:
    if len(text) > LONGEST_NAME:
        raise CellError("too long for a name", "put it under Note")
    return " ".join(text.split())


def _choice(text: str, reading: Reading) -> str:
    words = {key(choice): choice for choice in reading.choices}
    if key(text) not in words:
        raise CellError("this is not one of the choices", f"type {either(reading.choices)}")
    return words[key(text)]


def _date(text: str, _: Reading) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise CellError("this is not a date", "type it like 2026-03-31") from error


# --- lengths -------------------------------------------------------------------------------------


def _allowance(text: str, reading: Reading) -> Length:
    length = parse_length(text, reading.unit)
    fraction = set("/⁄") & set(unicodedata.normalize("NFKC", text))
    if fraction and reading.unit is Unit.MM and is_bare(text):
        raise CellError(
            f"{text} may be inches, in a book in millimetres",
            f"type {text} in, or a decimal number of millimetres",
        )
    if length > LONGEST:
        raise CellError("longer than any board", "look at the unit")
    return length


def _length(text: str, reading: Reading) -> Length:
    if length := _allowance(text, reading):
        return length
    raise CellError("a length of zero", "type a length above zero")


def _long(text: str, reading: Reading) -> Length:
    length = _length(text, reading)
    if is_bare(text) and length < LEAST_BARE * reading.unit.inches:
        other, mark = ("inches", "in") if reading.unit is Unit.IN else ("metres", "m")
        raise CellError(f"{text} may be feet or {other}", f"type {text}' or {text} {mark}")
    return length


def _sold_lengths(text: str, reading: Reading) -> tuple[Length, ...]:
    """Lengths apart by a comma or semicolon. A comma between two digits may be a decimal comma."""
    if re.search(r"\d,\d", text):
        raise CellError("a comma between two digits", "type 2.4 m, or 8', 10' with a blank between")
    lengths = tuple(_long(part.strip(), reading) for part in re.split("[,;]", text))
    if len(set(lengths)) < len(lengths):
        raise CellError("the same length twice", "name each length once")
    return lengths


def _tenons(text: str, reading: Reading) -> tuple[Length, ...]:
    tenons = tuple(_allowance(part.strip(), reading) for part in text.split("+"))
    if len(tenons) > 2:
        raise CellError("more than two tenons", "a part has two ends: type 1 1/2 + 1 1/2")
    return tuple(tenon for tenon in tenons if tenon)


def _stretches(text: str, reading: Reading) -> tuple[tuple[Length, Length], ...]:
    """``40 to 46; 80 to 81``: each begins where the one before has ended, or later."""
    found: list[tuple[Length, Length]] = []
    for typed in filter(None, map(str.strip, text.split(";"))):
        ends = re.split(r"\s+to\s+|\s*[–—]\s*", typed, flags=re.IGNORECASE)
        if len(ends) != 2:
            raise CellError(f"{typed} is not from one length to another", "type 40 to 46; 80 to 81")
        start, end = (_allowance(each, reading) for each in ends)
        if start >= end:
            raise CellError(f"{typed} does not go forward", "type the lesser length first")
        if found and start < found[-1][1]:
            raise CellError(f"{typed} begins inside the one before", "type them in order, apart")
        found.append((start, end))
    return tuple(found)


# --- several names -------------------------------------------------------------------------------


def _words(text: str, reading: Reading) -> tuple[str, ...]:
    words = tuple(_name(word, reading) for word in text.split(";") if word.strip())
    if len({key(word) for word in words}) < len(words):
        raise CellError("the same name twice", "name each once")
    return words


def _shares(text: str, reading: Reading) -> tuple[tuple[str, Decimal], ...]:
    """``No. 2 10 %; No. 3 20``: a name, and after it a percentage."""
    found = []
    for word in _words(text, reading):
        name, _, share = word.removesuffix("%").rstrip().rpartition(" ")
        if not name or not re.fullmatch(r"\d{1,2}(\.\d{1,2})?", share, re.ASCII):
            raise CellError(f"{word} does not end in a percentage", "type No. 2 10; No. 3 20")
        found.append((name, Decimal(share)))
    return tuple(found)


# --- numbers -------------------------------------------------------------------------------------


def _decimal(text: str, kind: Kind) -> Decimal:
    """A plain number, zero or more; digits, a point, no thousands marks and no exponent."""
    remedy = _NUMBERS[kind]
    if re.fullmatch(r"-\s*[\d.]+", text, re.ASCII):
        raise CellError("less than zero", remedy)
    if "," in text:
        raise CellError("there is a comma in it", f"{remedy}, without commas")
    if not re.fullmatch(r"\d{1,20}(\.\d{0,20})?|\.\d{1,20}", text, re.ASCII):
        raise CellError("this is not a number", remedy)
    if (number := Decimal(text)) > MOST:
        raise CellError("more than a million", "look at the zeros")
    return number


def _amount(text: str, reading: Reading) -> Decimal:
    """One currency mark before or after the number is taken as said and left away."""
    bare = text
    for end in (0, -1):
        if bare and unicodedata.category(bare[end]) == "Sc":
            bare = (bare[1:] if end == 0 else bare[:-1]).strip()
            break
    return _decimal(bare, reading.kind)


def _percent(text: str, reading: Reading) -> Decimal:
    percent = _decimal(text.removesuffix("%").strip(), reading.kind)
    if percent >= 100:
        raise CellError("100 percent or more", _NUMBERS[reading.kind])
    return percent


def _number(text: str, reading: Reading) -> int:
    number = _decimal(text, reading.kind)
    if number % 1:
        raise CellError("this is not a whole number", _NUMBERS[reading.kind])
    return int(number)


def _count(text: str, reading: Reading) -> int:
    if number := _number(text, reading):
        return number
    raise CellError("a count of zero", "type how many, or delete the row")


_READERS: Mapping[Kind, Callable[[str, Reading], object]] = {
    Kind.NAME: _name,
    Kind.NOTE: _note,
    Kind.CHOICE: _choice,
    Kind.DATE: _date,
    Kind.SIZE: lambda text, _: find_size(text),
    Kind.LENGTH: _length,
    Kind.ALLOWANCE: _allowance,
    Kind.LONG: _long,
    Kind.SOLD_LENGTHS: _sold_lengths,
    Kind.TENONS: _tenons,
    Kind.COUNT: _count,
    Kind.NUMBER: _number,
    Kind.AMOUNT: _amount,
    Kind.PERCENT: _percent,
    Kind.WORDS: _words,
    Kind.SHARES: _shares,
    Kind.STRETCHES: _stretches,
}
