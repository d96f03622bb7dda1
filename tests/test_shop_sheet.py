"""The settings of a shop, typed and mistyped."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from stock.columns import Findings
from stock.lengths import Unit
from stock.shop import Sawing, Shop, default_shop
from stock.shop_sheet import read_shop
from stock.spreadsheet import Book
from tests.typed_books import said, settings_sheet, workbook


def read(folder: Path, sheet: str) -> tuple[Shop, Findings]:
    findings = Findings()
    return read_shop(Book(workbook(folder / "stock.xlsx", Shop=sheet)), findings), findings


def test_what_is_not_typed_has_its_default(tmp_path: Path) -> None:
    shop, findings = read(tmp_path, settings_sheet(Rip_Kerf="3/32", sawing="Rip first", slip=""))
    assert findings.faults == []
    assert shop == replace(default_shop(Unit.IN), rip_kerf=Fraction(3, 32), sawing=Sawing.RIP_FIRST)


def test_the_unit_is_that_of_all_other_settings_wherever_it_stands(tmp_path: Path) -> None:
    shop, _ = read(tmp_path, settings_sheet(rip_kerf="2.5", unit="mm"))
    assert shop == replace(default_shop(Unit.MM), rip_kerf=Fraction(5, 2) * Unit.MM.inches)


@pytest.mark.parametrize(
    ("typed", "said_of_it"),
    [
        ({"unit": "cubit"}, "row 2, column Value: this is not one of the choices"),
        ({"ripp kerf": "1/8"}, "row 2, column Setting: there is no such setting"),
        ({"ripp kerf": "1/8"}, "is it rip kerf"),
        ({"rip kerf": "wide"}, "row 2, column Value: this is not a length"),
        ({"most plies": "2.5"}, "row 2, column Value: this is not a whole number"),
        ({"offcut value": "95"}, "row 2, column Value: offcut value: it is not from 0 to 90"),
        ({"crosscut kerf": "3/4"}, "row 2, column Value: crosscut kerf: it is wider than 1/2 in"),
        ({"unit": "mm", "crosscut kerf": "30"}, "row 3, column Value: crosscut kerf: it is wider"),
        ({"longest carried": "25"}, "row 2, column Value: 25 may be feet or inches"),
        ({"longest to rip": "10"}, "type 10' or 10 in"),
        ({"unit": "mm", "longest carried": "4"}, "row 3, column Value: 4 may be feet or metres"),
        ({"end trim": "1/16"}, "row 2, column Value: end trim: it is less than the crosscut kerf"),
    ],
)
def test_a_faulty_setting_is_named(tmp_path: Path, typed: dict[str, str], said_of_it: str) -> None:
    shop, findings = read(tmp_path, settings_sheet(**typed))
    assert said_of_it in said(findings.faults)
    assert len(findings.faults) == 1
    assert shop == default_shop(shop.unit)


def test_a_setting_may_stand_only_once(tmp_path: Path) -> None:
    _, findings = read(tmp_path, "Setting | Value\nslip | 1/8\nSlip | 1/4")
    assert "row 3, column Setting: the setting stands twice" in said(findings.faults)
