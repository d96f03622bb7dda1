"""What `moisture` answers. Numbers after PS 20, the Wood Handbook and FPL-RP-489."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from stock.drying import board_measures, dried, percent, room_moisture, told_drying, weight_of
from stock.lengths import MILLIMETRE, Length, Unit
from stock.moisture import Grain
from stock.sizes import SizeError
from tests.making_plans import inches
from tests.shop_floor import shop


def told(board: str, before: int, after: int, wood: str = "", unit: Unit = Unit.IN) -> str:
    thickness, width = board_measures(board, unit)
    answer = dried(thickness, width, wood, Fraction(before), Fraction(after), Grain.FLAT)
    return told_drying(answer, wood, unit)


def test_a_plank_by_the_rule_of_the_standard() -> None:
    # PS 20, 1 % for 4 points: 11 1/4 less 3 % is 10.9125, 1 1/2 is 1.455.
    answer = told("2x12", 19, 7)
    assert "1 1/2 × 11 1/4 at 19 % becomes 1 15/32 × 10 29/32 at 7 %" in answer
    assert "PS 20" in answer


def test_a_species_by_its_coefficient_and_its_weight() -> None:
    # Wood Handbook Table 13-5: red oak, 0.00369 across; 11.25 × 0.00369 × 4 = 0.166.
    answer = told("1 x 11 1/4", 10, 6, "red oak")
    assert "becomes 1 × 11 3/32 at 6 %" in answer
    assert "lb a foot at 6 %" in answer


def test_green_lumber_is_told_as_it_was_measured_too() -> None:
    assert "FPL-RP-489" in told("2x10", 30, 15)
    assert "FPL-RP-489" not in told("2x10", 19, 15)
    assert "Above 30 % wood does not move" in told("2x10", 45, 15)


def test_in_millimetres() -> None:
    assert "38 × 89 at 19 % becomes" in told("38x89", 19, 12, unit=Unit.MM)
    assert "kg a metre" in told("38 x 89", 19, 12, "SPF", unit=Unit.MM)


@pytest.mark.parametrize("typed", ["2x", "board", "1 x 2 x 3", "8/4"])
def test_what_is_no_board_is_refused(typed: str) -> None:
    with pytest.raises(SizeError, match="name a size as 2x12"):
        board_measures(typed, Unit.IN)


def test_the_lesser_measure_is_the_thickness() -> None:
    assert board_measures("5 1/2 x 1 1/2", Unit.IN) == (inches("1 1/2"), inches("5 1/2"))
    assert board_measures("89 x 38", Unit.MM) == (38 * MILLIMETRE, 89 * MILLIMETRE)


def test_a_room_in_either_unit() -> None:
    # Wood Handbook Table 4-2: 70 °F and 40 % give 7.7 %.
    assert percent(room_moisture(Decimal(70), Decimal(40), Unit.IN)) == "7.7 %"
    assert percent(room_moisture(Decimal(21), Decimal(40), Unit.MM)) == "7.7 %"


def test_a_load_in_either_unit() -> None:
    cubic_foot = Length(1728)
    pounds = weight_of("SPF", cubic_foot, Fraction(15), shop())
    kilograms = weight_of("SPF", cubic_foot, Fraction(15), shop(Unit.MM))
    assert pounds is not None
    assert kilograms is not None
    assert abs(pounds - Fraction("28.522")) < Fraction("0.001")  # NDS
    assert abs(kilograms - Fraction("12.937")) < Fraction("0.001")
    assert weight_of("our own plum", cubic_foot, Fraction(15), shop()) is None
