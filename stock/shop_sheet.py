"""The sheet ``Shop``: one row per setting, each with a kind of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from typing import Any

from stock.cells import Kind, Reading
from stock.columns import Findings, Row, read_rows
from stock.errors import Fault, Place
from stock.lengths import Unit
from stock.shop import Setting, SettingError, Shop, default_shop, setting_value, settings
from stock.spreadsheet import Book, key
from stock.stock_forms import SHOP

UNIT = next(setting for setting in settings() if setting.name == "unit")


def read_shop(book: Book, findings: Findings) -> Shop:
    """The shop as the sheet says it; a setting that is missing, empty or faulty has its default."""
    rows = _by_setting(read_rows(book, SHOP, Unit.IN, findings))
    # Whatever the unit, its own cell holds a word; without one the book is in inches.
    unit = _value(rows.pop("unit", None), UNIT, Unit.IN) or Unit.IN
    defaults = default_shop(unit)
    typed: dict[str, Any] = {}
    for setting in settings():
        value = _value(rows.get(setting.name), setting, unit)
        if value is not None:
            typed[setting.field] = value
            if not setting.planned and value and value != getattr(defaults, setting.field):
                rows[setting.name].not_planned("Value", f"the setting {setting.name}")
    try:
        return replace(defaults, **typed)
    except SettingError as error:
        findings.faults.append(_conflict(error, book, rows.get(error.setting)))
        return defaults


def _by_setting(rows: list[Row]) -> dict[str, Row]:
    """Sound rows by the name of their setting, as data/settings.csv spells it."""
    known = {key(setting.name): setting.name for setting in settings()}
    found: dict[str, Row] = {}
    for row in rows:
        if not row.sound():
            continue
        name = known.get(key(row["Setting"]))
        if name is None:
            row.refuse("Setting", "there is no such setting", _near(row["Setting"], known))
        elif name in found:
            remedy = f"it stands in row {found[name].number} too; delete one of them"
            row.refuse("Setting", "the setting stands twice", remedy)
        else:
            found[name] = row
    return found


def _near(typed: str, known: Mapping[str, str]) -> str:
    near = [known[each] for each in get_close_matches(key(typed), known)]
    return (
        f"is it {' or '.join(near)}?" if near else f"the settings are {', '.join(known.values())}"
    )


def _value(row: Row | None, setting: Setting, unit: Unit) -> Any:
    """What ``Shop`` holds for the setting; None where nothing that can be read stands."""
    if row is None or row.cell("Value").empty:
        return None
    value = row.read("Value", Reading(kind=Kind(setting.kind), unit=unit, choices=setting.choices))
    return None if value is None else setting_value(setting, value)


def _conflict(error: SettingError, book: Book, row: Row | None) -> Fault:
    """At the setting's own row, or at the sheet where it was left at its default."""
    problem = f"{error.setting}: {error.problem}"
    if row is not None:
        return row.cell("Value").fault(problem, error.remedy)
    place = Place(file=book.name, sheet=SHOP.sheet)
    return Fault(place=place, problem=problem, remedy=error.remedy)
