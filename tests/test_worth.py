"""What an offcut is worth: a share of the least that such wood costs new."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from stock.lengths import Unit, parse_length
from stock.pieces import Lumber
from stock.prices import Offer
from stock.shop import Shop, default_shop
from stock.sizes import Dried, find_size
from stock.worth import Worth


def lumber(wood: str = "SPF", *, treated: bool = False) -> Lumber:
    return Lumber(wood=wood, treated=treated, thickness=Fraction(3, 2))


def offer(size: str, length: str, price: str, *, wood: str = "SPF", treated: bool = False) -> Offer:
    thickness, width = find_size(size).actual(Dried.DRY)
    assert width is not None
    return Offer(
        store="Mill",
        lumber=Lumber(wood=wood, treated=treated, thickness=thickness),
        width=width,
        length=parse_length(length, Unit.IN),
        name=f"{size} x {length}",
        price=Decimal(price),
        size=size,
    )


def shop(unit: Unit = Unit.IN, **changed: object) -> Shop:
    """Keeps 12 in (300 mm) and longer, 1 1/2 in and wider, and values them at 30 %."""
    return replace(default_shop(unit), **changed)  # type: ignore[arg-type]


MM = Unit.MM.inches
# 96 x 3 1/2 x 1 1/2 in are 504 cubic inches: 1 cent a cubic inch.
PRICES = [
    offer("2x4", "8'", "5.04"),
    offer("2x4", "10'", "9.00"),
    offer("2x4", "8'", "10.08", treated=True),
    offer("2x4", "8'", "0.50", wood="Southern Pine"),
]


@pytest.mark.parametrize(
    ("length", "worth"),
    [
        ("96", "1.51"),  # 30 % of 5.04, all of it
        ("48", "0.76"),  # half the wood, all of its share
        ("47 31/32", "0.57"),  # three quarters of its share
        ("24", "0.28"),
        ("23 31/32", "0.19"),  # half of its share
        ("12", "0.09"),
        ("11 31/32", "0.00"),  # too short to keep
    ],
)
def test_longer_pieces_are_worth_more_than_their_share(length: str, worth: str) -> None:
    piece = parse_length(length, Unit.IN)
    assert str(Worth(shop(), PRICES).of(lumber(), piece, Fraction(7, 2))) == worth


def test_a_piece_counts_as_long_and_wide_as_a_tape_shows() -> None:
    inch, metric = Worth(shop(), PRICES), Worth(shop(Unit.MM), PRICES)
    size = Fraction(96), Fraction(7, 2)  # 2438.4 x 88.9 mm
    assert str(inch.of(lumber(), *size)) == "1.51"
    assert str(inch.of(lumber(), Fraction(96), Fraction(7, 2) + Fraction(1, 17))) == "1.51"
    assert str(inch.of(lumber(), Fraction(96), Fraction(7, 2) + Fraction(1, 16))) == "1.54"
    assert str(metric.of(lumber(), *size)) == "1.50"
    assert str(metric.of(lumber(), 2438 * MM, 88 * MM)) == "1.50"
    assert str(metric.of(lumber(), 2438 * MM, 89 * MM)) == "1.51"


@pytest.mark.parametrize(
    ("length", "worth"), [("1219.2", "0.85"), ("1219", "0.85"), ("1218", "0.64")]
)
def test_on_a_tape_of_millimetres_four_feet_are_four_feet(length: str, worth: str) -> None:
    # 1219.2 mm show as 1219; 1218 mm are worth three quarters of their share.
    piece = parse_length(length, Unit.MM), 100 * MM
    assert str(Worth(shop(Unit.MM), PRICES).of(lumber(), *piece)) == worth


def test_worth_grows_with_width_and_ends_where_a_piece_is_too_narrow_to_keep() -> None:
    worth = Worth(shop(), PRICES)
    assert worth.of(lumber(), Fraction(96), Fraction(7)) == Decimal("3.02")
    assert worth.of(lumber(), Fraction(96), Fraction(3, 2)) == Decimal("0.65")
    assert worth.of(lumber(), Fraction(96), Fraction(47, 32)) == 0


def test_only_the_same_wood_and_treatment_give_a_price() -> None:
    worth = Worth(shop(), PRICES)
    whole = Fraction(96), Fraction(7, 2)
    assert worth.of(lumber(treated=True), *whole) == Decimal("3.02")
    assert worth.of(lumber("southern pine"), *whole) == Decimal("0.15")
    assert worth.of(lumber("Spruce-Pine-Fir"), *whole) == Decimal("1.51")
    assert worth.of(lumber("black spruce"), *whole) == 0
    assert worth.of(lumber(""), *whole) == 0


def test_the_shop_sets_the_share() -> None:
    whole = lumber(), Fraction(96), Fraction(7, 2)
    assert Worth(shop(offcut_value=Decimal(0)), PRICES).of(*whole) == 0
    assert Worth(shop(offcut_value=Decimal(50)), PRICES).of(*whole) == Decimal("2.52")


def test_a_shop_without_prices_has_worthless_offcuts() -> None:
    assert Worth(shop(), []).of(lumber(), Fraction(96), Fraction(7, 2)) == 0


def test_rates_are_the_exact_worth_of_a_square_inch() -> None:
    worth = Worth(shop(), PRICES)
    full = Fraction("1.512") / 96 / Fraction(7, 2)
    assert worth.rates(lumber()) == ((12, full / 2), (24, full * 3 / 4), (48, full))
    long = Worth(shop(shortest_kept=30), PRICES)
    assert long.rates(lumber()) == ((30, full / 2), (30, full * 3 / 4), (48, full))
    assert worth.rates(replace(lumber(), faulty=True)) == ()
