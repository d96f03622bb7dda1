"""What each kind of cell takes, and what it says to the rest."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.cells import CellError, Kind, Reading, read_cell
from stock.errors import Place
from stock.lengths import Unit
from stock.spreadsheet import Cell, Value

HERE = Place(file="stock.xlsx", sheet="Prices", row=2, column="Length")


def value(kind: Kind, typed: Value, unit: Unit = Unit.IN) -> object:
    reading = Reading(kind=kind, unit=unit, choices=("yes", "no", "either"))
    return read_cell(Cell(place=HERE, value=typed), reading)


def refusal(kind: Kind, typed: Value, unit: Unit = Unit.IN) -> str:
    with pytest.raises(CellError) as raised:
        value(kind, typed, unit)
    return str(raised.value)


# --- lengths -------------------------------------------------------------------------------------


def test_a_length_is_above_zero_and_an_allowance_may_be_zero() -> None:
    assert value(Kind.LENGTH, "31 1/4") == Fraction(125, 4)
    assert value(Kind.LENGTH, Decimal("31.25")) == Fraction(125, 4)
    assert value(Kind.ALLOWANCE, Decimal(0)) == 0
    assert "a length of zero" in refusal(Kind.LENGTH, "0")
    assert "below zero" in refusal(Kind.LENGTH, Decimal(-3))
    assert "longer than any board" in refusal(Kind.LENGTH, "2000000")


# What spreadsheet programs make of a fraction: day and month either way round; a number above 31
# cannot be a day and is taken for a year of the last century (seen in two programs; no source).
@pytest.mark.parametrize(
    ("found", "meant"),
    [
        (date(2026, 1, 2), "1/2"),
        (date(2026, 2, 1), "1/2"),
        (date(2026, 3, 4), "3/4"),
        (date(2026, 9, 16), "9/16"),
        (date(1932, 5, 1), "5/32"),
    ],
)
def test_a_date_in_a_length_cell_is_named_with_what_to_type(found: date, meant: str) -> None:
    said = refusal(Kind.LENGTH, found)
    assert "made a date of what was typed" in said
    assert f"type it as text: '{meant}" in said


def test_a_date_in_a_size_cell_was_a_hardwood_quarter() -> None:
    assert "type it as text: '8/4" in refusal(Kind.SIZE, date(2026, 4, 8))


def test_a_truth_value_is_no_number() -> None:
    for kind in (Kind.LENGTH, Kind.COUNT, Kind.AMOUNT, Kind.PERCENT, Kind.TENONS):
        assert refusal(kind, True)


def test_a_bare_length_sold_may_be_feet_or_inches() -> None:
    assert value(Kind.SOLD_LENGTHS, "8', 10';12 ft") == (96, 120, 144)
    assert value(Kind.SOLD_LENGTHS, Decimal("92.625")) == (Fraction(741, 8),)
    assert value(Kind.SOLD_LENGTHS, "8 in") == (8,)
    assert value(Kind.SOLD_LENGTHS, "2540", Unit.MM) == (100,)
    assert "type 8' or 8 in" in refusal(Kind.SOLD_LENGTHS, Decimal(8))
    assert "type 2.4' or 2.4 m" in refusal(Kind.SOLD_LENGTHS, "2.4", Unit.MM)


def test_as_far_as_a_board_bare_feet_are_asked_about_too() -> None:
    assert value(Kind.LONG, "16'") == 192
    assert value(Kind.LONG, "3000", Unit.MM) == 3000 * Unit.MM.inches
    assert "16 may be feet or inches; type 16' or 16 in" in refusal(Kind.LONG, "16")


def test_a_bare_fraction_in_millimetres_may_be_inches() -> None:
    assert "type 31 1/4 in" in refusal(Kind.LENGTH, "31 1/4", Unit.MM)
    assert "type 31¼ in" in refusal(Kind.LENGTH, "31¼", Unit.MM)
    assert value(Kind.LENGTH, "31 1/4", Unit.IN) == Fraction(125, 4)
    assert value(Kind.LENGTH, "31 1/4 in", Unit.MM) == Fraction(125, 4)


def test_a_comma_in_lengths_sold_is_no_decimal_comma() -> None:
    assert "type 2.4 m" in refusal(Kind.SOLD_LENGTHS, "2,4 m", Unit.MM)
    assert "the same length twice" in refusal(Kind.SOLD_LENGTHS, "8', 96 in")


def test_tenons_stand_at_one_or_both_ends() -> None:
    assert value(Kind.TENONS, "1 1/2 + 1 1/2") == (Fraction(3, 2), Fraction(3, 2))
    assert value(Kind.TENONS, "2") == (2,)
    assert value(Kind.TENONS, "0") == ()
    assert "two ends" in refusal(Kind.TENONS, "1 + 1 + 1")


# --- numbers and words ---------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["12.50", "$12.50", "12.50 €", "£ 12.5", Decimal("12.5")])
def test_a_currency_mark_before_or_after_an_amount_is_left_away(typed: Value) -> None:
    assert value(Kind.AMOUNT, typed) == Decimal("12.50")


@pytest.mark.parametrize(
    "typed", ["12,50", "four", "-1", "1e3", "nan", "$$5", "12.50 each", "$", "²"]
)
def test_an_amount_is_a_plain_number_and_not_negative(typed: str) -> None:
    assert refusal(Kind.AMOUNT, typed)


def test_a_count_is_whole_and_above_zero() -> None:
    assert value(Kind.COUNT, "4") == value(Kind.COUNT, Decimal("4")) == 4
    assert value(Kind.NUMBER, "0") == 0
    assert "not a whole number" in refusal(Kind.COUNT, Decimal("2.5"))
    assert "a count of zero" in refusal(Kind.COUNT, Decimal(0))
    assert "more than a million" in refusal(Kind.COUNT, "1000001")


@pytest.mark.parametrize(
    ("kind", "remedy"),
    [
        (Kind.COUNT, "type a whole number like 4"),
        (Kind.NUMBER, "type a whole number like 4"),
        (Kind.AMOUNT, "type a number like 12.50"),
        (Kind.PERCENT, "type 8.25 for 8.25 %"),
    ],
)
@pytest.mark.parametrize("typed", ["two", "-1", "1,000", True, date(2026, 1, 2)])
def test_what_would_do_is_what_the_cell_takes(kind: Kind, remedy: str, typed: Value) -> None:
    assert remedy in refusal(kind, typed)


def test_a_date_in_place_of_a_choice_is_told_the_choices() -> None:
    assert "type yes, no or either" in refusal(Kind.CHOICE, date(2026, 1, 2))


def test_percent_may_carry_its_sign() -> None:
    assert value(Kind.PERCENT, "8.25 %") == value(Kind.PERCENT, Decimal("8.25")) == Decimal("8.25")
    assert "100 percent or more" in refusal(Kind.PERCENT, "100")


def test_choices_match_without_regard_to_case_or_blanks() -> None:
    assert value(Kind.CHOICE, " YES ") == value(Kind.CHOICE, True) == "yes"
    assert "type yes, no or either" in refusal(Kind.CHOICE, "maybe")


def test_dates_are_dates_or_written_year_first() -> None:
    assert value(Kind.DATE, date(2026, 3, 31)) == value(Kind.DATE, "2026-03-31")
    assert "type it like 2026-03-31" in refusal(Kind.DATE, "31.3.26")


@given(
    kind=st.sampled_from(Kind),
    unit=st.sampled_from(Unit),
    typed=st.text(min_size=1)
    | st.text("0123456789 /.,'\"-+xm%$", min_size=1)
    | st.decimals(allow_nan=False, allow_infinity=False)
    | st.dates()
    | st.booleans(),
)
def test_any_cell_gives_a_value_or_says_why_not(kind: Kind, unit: Unit, typed: Value) -> None:
    try:
        value(kind, typed, unit)
    except CellError as error:
        problem, remedy = error.problem, error.remedy
        assert problem
        assert remedy
