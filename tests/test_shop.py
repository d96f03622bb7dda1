"""The settings and the shop they make are one list."""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import Decimal
from fractions import Fraction

import pytest

from stock.cells import Kind
from stock.lengths import Unit
from stock.shop import ReadTo, Sawing, SettingError, Shop, default_shop, settings


def test_each_setting_is_a_field_of_the_shop_and_each_field_a_setting() -> None:
    assert [setting.field for setting in settings()] == [field.name for field in fields(Shop)]


def test_each_setting_has_a_known_kind_and_a_line_of_explanation() -> None:
    for setting in settings():
        assert Kind(setting.kind)
        assert setting.explanation.endswith(".")
        assert bool(setting.choices) == (setting.kind == Kind.CHOICE)


def test_a_shop_of_inches_has_the_defaults_of_the_trade() -> None:
    """Common practice; no source."""
    shop = default_shop(Unit.IN)
    assert (shop.rip_kerf, shop.end_trim, shop.longest_to_rip) == (
        Fraction(1, 8),
        Fraction(1, 2),
        120,
    )
    assert (shop.most_plies, shop.offcut_value, shop.sawing) == (5, Decimal(30), Sawing.FREE)
    assert shop.longest_carried is None


def test_a_shop_of_millimetres_has_round_metric_defaults() -> None:
    shop = default_shop(Unit.MM)
    assert shop.rip_kerf / Unit.MM.inches == 3
    assert shop.skim_per_face / Unit.MM.inches == Fraction(4, 5)
    assert shop.shortest_to_rip / Unit.MM.inches == 300


@pytest.mark.parametrize(
    ("setting", "changed"),
    [
        ("rip kerf", {"rip_kerf": Fraction(9, 16)}),
        ("crosscut kerf", {"crosscut_kerf": Fraction(3)}),
        ("offcut value", {"offcut_value": Decimal(91)}),
        ("end trim", {"end_trim": Fraction(1, 16)}),
        ("glue spread", {"glue_spread": Decimal(0)}),
        ("clamp force", {"clamp_force": Decimal(0)}),
        ("working day", {"working_day": Decimal(25)}),
        ("read to", {"read_to": ReadTo.MILLIMETRES}),
        ("narrowest strip", {"narrowest_strip": Fraction(6)}),
        ("shortest to rip", {"shortest_to_rip": Fraction(121)}),
    ],
)
def test_a_shop_refuses_nonsense_and_names_the_setting(
    setting: str, changed: dict[str, object]
) -> None:
    with pytest.raises(SettingError) as raised:
        replace(default_shop(Unit.IN), **changed)  # type: ignore[arg-type]
    assert raised.value.setting == setting


def test_end_trim_may_be_left_out() -> None:
    assert replace(default_shop(Unit.IN), end_trim=Fraction(0)).end_trim == 0
