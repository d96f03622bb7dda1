"""Prices: whole cents, rounded half-up."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.pieces import Lumber
from stock.prices import Offer, Store, old_prices, price_notes, to_cent


@pytest.mark.parametrize(
    ("amount", "cents"),
    [
        (Fraction(5, 1000), "0.01"),
        (Fraction(4999, 1000000), "0.00"),
        (Fraction(15, 1000), "0.02"),
        (Fraction(25, 1000), "0.03"),
        (Decimal("2.675"), "2.68"),  # a float would say 2.67
        (Decimal("1.005"), "1.01"),  # a float would say 1.00
        (Fraction(28, 3), "9.33"),
        (Fraction(56, 3), "18.67"),
        (Fraction(-5, 1000), "-0.01"),
        (Fraction(-4, 1000), "0.00"),
        (Fraction(0), "0.00"),
        (Decimal("4"), "4.00"),
    ],
)
def test_half_a_cent_is_rounded_up(amount: Fraction | Decimal, cents: str) -> None:
    assert str(to_cent(amount)) == cents


@given(amount=st.fractions(min_value=0, max_value=10**6, max_denominator=10**6))
def test_a_sum_is_at_most_half_a_cent_off(amount: Fraction) -> None:
    rounded = to_cent(amount)
    assert -Fraction(1, 200) < Fraction(rounded) - amount <= Fraction(1, 200)
    assert rounded.as_tuple().exponent == -2


def an_offer(**changed: object) -> Offer:
    said = {
        "store": "Mill",
        "lumber": Lumber(wood="SPF", treated=False, thickness=Fraction(3, 2)),
        "width": Fraction(7, 2),
        "length": Fraction(96),
        "name": "2x4 x 8'",
        "price": Decimal("4.50"),
    }
    return Offer(**(said | changed))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "changed",
    [
        {"price": Decimal("-0.01")},
        {"price": Decimal("4.505")},
        {"width": Fraction(0)},
        {"length": Fraction(-1)},
        {"in_stock": -1},
        {"pack": 0},
    ],
)
def test_an_offer_refuses_nonsense(changed: dict[str, object]) -> None:
    assert an_offer().price == Decimal("4.50")
    with pytest.raises(ValueError, match="2x4 x 8'"):
        an_offer(**changed)


@pytest.mark.parametrize("tax", ["-1", "100"])
def test_a_store_refuses_a_nonsense_tax(tax: str) -> None:
    with pytest.raises(ValueError, match=tax):
        Store(name="Mill", tax_percent=Decimal(tax))


@pytest.mark.parametrize("nonsense", [{"trip_cost": Decimal(-1)}, {"free_cuts": -1}])
def test_a_store_takes_nothing_off_for_a_trip_or_a_cut(nonsense: dict[str, object]) -> None:
    with pytest.raises(ValueError, match="Mill"):
        Store(name="Mill", **nonsense)  # type: ignore[arg-type]


def test_a_price_is_old_from_the_day_after_those_that_it_is_good_for() -> None:
    offers = [
        an_offer(priced_on=date(2026, 3, 1)),
        an_offer(priced_on=date(2026, 3, 2)),
        an_offer(store="Boathouse", priced_on=date(2026, 3, 3)),
        an_offer(store="No date"),
    ]
    assert list(old_prices(offers, date(2026, 4, 2), 30)) == [
        "Mill: 2 prices are older than 30 days, the oldest of 2026-03-01; ask again"
    ]
    assert "older than 1 day, the oldest" in next(old_prices(offers, date(2026, 4, 2), 1))


def test_boards_at_no_price_are_noted_once_for_each_store() -> None:
    given = {"price": Decimal("0.00"), "priced_on": date(2026, 3, 1)}
    offers = [an_offer(**given), an_offer(name="2x6 x 8'", **given), an_offer(store="Boathouse")]
    assert list(price_notes(offers, date(2026, 4, 2), 30)) == [
        "Mill: 2x4 x 8' and 1 more at a price of 0, planned as given away",
        "Mill: 2 prices are older than 30 days, the oldest of 2026-03-01; ask again",
    ]
