"""Exact lengths: every spelling of a tape, in a book of either unit."""

from __future__ import annotations

from fractions import Fraction
from math import gcd

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.lengths import (
    Length,
    LengthError,
    Unit,
    exact_tape,
    exact_text,
    format_length,
    from_exact_text,
    is_bare,
    parse_length,
    round_up,
)

UNITS = st.sampled_from(Unit)
LENGTHS = st.fractions(min_value=0, max_value=10_000, max_denominator=10_000)


# --- what is read --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "typed",
    [
        *('31 1/4"', "31-1/4 in", '31.25"', '31¼"', '31 ¼ "', "31-¼ inches", "31 1/4 IN."),
        *("31 1 / 4 in", "  31\u00a01/4\u2009in ", "31 1⁄4″", "31 1/4”", "31‑1/4''", "125/4 in"),
        *("2' 7 1/4\"", "2'-7 1/4\"", "2'7-1/4\"", "2 ft 7-1/4 in", "2ft 7.25in", "2 FT. 7¼ IN"),
        *("2′ 7 1/4″", "2’ 7 1/4”", "2 feet 7 1/4 inches", "2' 7 1/4", "2 foot - 7 1/4", "0' 31¼"),
        *("793.75 mm", "79.375cm", "0.79375 m", ".79375 M", "793 3/4mm", "1' 19 1/4\""),
    ],
)
@pytest.mark.parametrize("unit", Unit)
def test_a_marked_length_means_the_same_in_either_book(typed: str, unit: Unit) -> None:
    assert parse_length(typed, unit) == Fraction(125, 4)


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("31 1/4", Fraction(125, 4)),
        ("31-1/4", Fraction(125, 4)),
        ("31¼", Fraction(125, 4)),
        ("31.25", Fraction(125, 4)),
        ("1/2", Fraction(1, 2)),
        ("3/2", Fraction(3, 2)),
        (".5", Fraction(1, 2)),
        ("31.1", Fraction(311, 10)),
        ("0", Fraction(0)),
        ("⅞", Fraction(7, 8)),
        ("1⅒", Fraction(11, 10)),
    ],
)
def test_a_bare_number_is_in_the_unit_of_the_book(typed: str, number: Fraction) -> None:
    assert is_bare(typed)
    assert parse_length(typed, Unit.IN) == number
    assert parse_length(typed, Unit.MM) == number / Fraction("25.4")


def test_an_inch_is_exactly_25_4_mm() -> None:
    # NIST SP 811 (2008), Appendix B: 1 inch = 2.54 cm exactly. From memory.
    assert parse_length("25.4 mm", Unit.IN) == 1
    assert parse_length("1 m", Unit.IN) == Fraction(5000, 127)


@pytest.mark.parametrize("typed", ['2"', "2'", "2' 7", "2 mm", "", "two", "1e3", "-2", "1" * 1000])
def test_not_a_bare_number(typed: str) -> None:
    assert not is_bare(typed)


# --- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        ("", "no length"),
        (" \u00a0 ", "no length"),
        ("-5", "below zero"),
        ("−5 mm", "below zero"),
        ("31,25", "comma"),
        ("1,200 mm", "comma"),
        ("1/0", "over zero"),
        ("3 1/00", "over zero"),
        ("31 5/4", "32 1/4"),
        ("31 4/4", "type 32 if"),
        ("1/2/3", "date"),
        ("01/02/2026", "date"),
        ("2026-02-01 00:00:00", "date"),
        ("2-Jan", "date"),
        ("1-Feb-26", "date"),
        ("1" * 61, "too long"),
    ],
)
def test_a_refusal_says_why(typed: str, word: str) -> None:
    with pytest.raises(LengthError, match=word) as refused:
        parse_length(typed, Unit.IN)
    assert refused.value.problem
    assert refused.value.remedy


@pytest.mark.parametrize(
    "typed",
    [
        *("5-", "1 1", "1-1", "5.", ".", "1.2.3.4", "31.5 1/4", "31 - 1/4", "1//2", "¼2", "¼¼"),
        *("1e3", "1E-5", "nan", "inf", "Infinity", "0x10", "1_000", "+5", "(5)", "٣", "²", "1/2-"),
        *('"', "'", "mm", "in 5", "5 yd", "5 miles", "5 mm mm", "2' 3' 4\"", "2.5' 3\"", "7\" 2'"),
        *("2 m 30 cm", "5 mm 3 in", "2' 30 mm", "two feet", "=1+1", "2x4", "8', 10'", "1 1/2 + 1"),
    ],
)
@pytest.mark.parametrize("unit", Unit)
def test_what_may_mean_two_things_or_nothing_is_refused(typed: str, unit: Unit) -> None:
    with pytest.raises(LengthError):
        parse_length(typed, unit)


@given(typed=st.text(alphabet="0123456789 -./'\"¼½″′,x\u00a0inftmce", max_size=70), unit=UNITS)
def test_any_text_is_a_length_not_below_zero_or_refused(typed: str, unit: Unit) -> None:
    try:
        length = parse_length(typed, unit)
    except LengthError:
        return
    assert isinstance(length, Length)
    assert length >= 0


# --- a second opinion: the sum of what was put together ------------------------------------------

FRACTIONS = st.sampled_from([2, 4, 8, 16, 32, 64]).flatmap(
    lambda parts: st.integers(1, parts - 1).map(
        lambda n: (n // gcd(n, parts), parts // gcd(n, parts))
    )
)
VULGAR = {(1, 4): "¼", (1, 2): "½", (3, 4): "¾", (1, 8): "⅛", (3, 8): "⅜", (5, 8): "⅝", (7, 8): "⅞"}


@st.composite
def typed_inches(draw: st.DrawFn) -> tuple[str, Fraction]:
    """A whole number, a fraction, both, or a decimal, and its value."""
    whole, (n, d) = draw(st.integers(0, 400)), draw(FRACTIONS)
    value = Fraction(n, d)
    part = draw(
        st.sampled_from([f"{n}/{d}", f"{n} / {d}", f"{n}⁄{d}", VULGAR.get((n, d), f"{n}/{d}")])
    )
    join = draw(st.sampled_from([" ", "  ", "-", "\u00a0"]))
    return draw(
        st.sampled_from(
            [
                (f"{whole}", Fraction(whole)),
                (part, value),
                (f"{whole}{join}{part}", whole + value),
                (f"{whole}.{n:03}", whole + Fraction(n, 1000)),
            ]
        )
    )


@given(
    inches=typed_inches(),
    feet=st.none() | st.integers(0, 40),
    foot_mark=st.sampled_from(["'", "′", "’", " ft", "ft", " FT.", " feet", " Foot"]),
    join=st.sampled_from(["", " ", "-", " - ", "\t"]),
    inch_mark=st.sampled_from(['"', "″", "”", "''", " in", "in", " IN.", " inch", "Inches"]),
    unit=UNITS,
)
def test_a_length_is_the_sum_of_its_feet_and_inches(
    inches: tuple[str, Fraction],
    feet: int | None,
    foot_mark: str,
    join: str,
    inch_mark: str,
    unit: Unit,
) -> None:
    typed, value = inches
    if feet is None:
        assert parse_length(f" {typed}{inch_mark}", unit) == value
    else:
        assert (
            parse_length(f"{feet}{foot_mark}{join}{typed}{inch_mark} ", unit) == feet * 12 + value
        )


@given(mm=st.integers(0, 100_000), unit=UNITS)
def test_millimetres_centimetres_and_metres_agree(mm: int, unit: Unit) -> None:
    expected = Fraction(mm * 10, 254)
    assert parse_length(f"{mm} mm", unit) == expected
    assert parse_length(f"{mm // 10}.{mm % 10}cm", unit) == expected
    assert parse_length(f"{mm // 1000}.{mm % 1000:03} m", unit) == expected


# --- what is written -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("length", "inches", "millimetres"),
    [
        (Fraction(0), "0", "0"),
        (Fraction(125, 4), "31 1/4", "793.8"),
        (Fraction(1, 2), "1/2", "12.7"),
        (Fraction(3, 2), "1 1/2", "38.1"),
        (Fraction(144), "144", "3657.6"),
        (Fraction(190, 127), "1 1/2", "38"),
        (Fraction(1, 64), "1/32", "0.4"),
        (Fraction(127, 128), "1", "25.2"),
    ],
)
def test_a_length_reads_as_on_a_tape(length: Length, inches: str, millimetres: str) -> None:
    assert format_length(length, Unit.IN) == inches
    assert format_length(length, Unit.MM) == millimetres


def test_a_finer_tape_can_be_asked_for() -> None:
    assert format_length(Fraction(65, 64), Unit.IN, finest=64) == "1 1/64"
    assert format_length(Fraction(65, 64), Unit.IN, finest=16) == "1"


def test_no_length_is_below_zero() -> None:
    with pytest.raises(ValueError, match="-1"):
        format_length(Fraction(-1), Unit.IN)


@given(length=LENGTHS, finest=st.sampled_from([8, 16, 32, 64]))
def test_reading_what_was_written_is_at_most_half_a_mark_off(length: Length, finest: int) -> None:
    inches = parse_length(format_length(length, Unit.IN, finest=finest), Unit.IN)
    millimetres = parse_length(format_length(length, Unit.MM), Unit.MM)
    assert abs(inches - length) <= Fraction(1, 2 * finest)
    assert abs(millimetres - length) <= Fraction(1, 2 * 254)


@given(thirty_seconds=st.integers(0, 100_000))
def test_a_length_on_a_mark_comes_back_unchanged(thirty_seconds: int) -> None:
    length = Fraction(thirty_seconds, 32)
    assert parse_length(format_length(length, Unit.IN), Unit.IN) == length


@given(length=LENGTHS, unit=UNITS)
def test_exact_text_loses_nothing(length: Length, unit: Unit) -> None:
    assert from_exact_text(exact_text(length, unit), unit) == length


def test_exact_text_is_a_rational_in_the_unit() -> None:
    assert exact_text(Fraction(144), Unit.IN) == "144"
    assert exact_text(Fraction(45, 4), Unit.IN) == "45/4"
    assert exact_text(Fraction(45, 4), Unit.MM) == "1143/4"


@pytest.mark.parametrize("text", ["", "11 1/4", "11.25", "-1", "1/0", "1/2/3", "1e3", '5"', " 5"])
def test_exact_text_takes_nothing_else(text: str) -> None:
    with pytest.raises(LengthError, match="exact"):
        from_exact_text(text, Unit.IN)


@pytest.mark.parametrize(
    ("length", "unit", "rounded"),
    [
        ("31 1/4", Unit.IN, "31 1/4"),
        ("31 17/64", Unit.IN, "31 5/16"),
        ("0", Unit.IN, "0"),
        ("794", Unit.MM, "794"),
        ("794.01", Unit.MM, "795"),
    ],
)
def test_a_rough_size_is_rounded_up_to_what_a_tape_shows(
    length: str, unit: Unit, rounded: str
) -> None:
    assert round_up(parse_length(length, unit), unit) == parse_length(rounded, unit)


@given(length=LENGTHS, unit=UNITS)
def test_rounding_up_adds_less_than_a_step(length: Length, unit: Unit) -> None:
    step = Fraction(1, 16) if unit is Unit.IN else Fraction(5, 127)
    assert 0 <= round_up(length, unit) - length < step
    assert (round_up(length, unit) / step).denominator == 1


# --- written without rounding --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("inches", "unit", "typed"),
    [
        (Fraction(125, 4), Unit.IN, "31 1/4"),
        (Fraction(97, 3), Unit.IN, "32 1/3"),
        (Fraction(3, 4), Unit.IN, "3/4"),
        (Fraction(30), Unit.IN, "30"),
        (794 * Unit.MM.inches, Unit.MM, "794"),
        (Fraction(381, 10) * Unit.MM.inches, Unit.MM, "38.1"),
        (Fraction(1, 3) * Unit.MM.inches, Unit.MM, "5/381 in"),
    ],
)
def test_a_length_is_written_as_one_types_it(inches: Fraction, unit: Unit, typed: str) -> None:
    assert exact_tape(inches, unit) == typed


@given(st.fractions(min_value=0, max_value=9999, max_denominator=9999), st.sampled_from(Unit))
def test_what_is_written_without_rounding_is_read_again(inches: Fraction, unit: Unit) -> None:
    assert parse_length(exact_tape(inches, unit), unit) == inches
