"""Where a maker starts: two books ready to be filled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from optimizer.job.job_book import write_job_template
from stock.cells import Kind, Reading, read_cell
from stock.errors import Place, RackfirstError
from stock.lengths import Unit
from stock.shop import Setting, SettingError, default_shop, setting_value, settings
from stock.spreadsheet import Cell
from stock.stock_book import write_stock_template

STOCK_NAME = "stock.xlsx"
JOB_NAME = "job.xlsx"
_ASKED = ("rip kerf", "crosscut kerf", "longest carried", "pay")


def asked_settings() -> list[Setting]:
    """The settings that differ most from shop to shop, of those that are planned with."""
    return [each for each in settings() if each.name in _ASKED and each.planned]


def check_setting(setting: Setting, text: str, unit: Unit) -> None:
    """Raises CellError or SettingError if ``text`` will not do for ``setting``; empty does."""
    if not text.strip():
        return
    reading = Reading(kind=Kind(setting.kind), unit=unit, choices=setting.choices)
    value = read_cell(Cell(place=Place(file=STOCK_NAME), value=text), reading)
    try:
        replace(default_shop(unit), **{setting.field: setting_value(setting, value)})
    except SettingError as error:
        if error.setting == setting.name:  # another setting is mended on its sheet
            raise


def check_free_folder(folder: Path) -> None:
    """Raises RackfirstError if a book of these names is in the folder already."""
    for path in (folder / STOCK_NAME, folder / JOB_NAME):
        if path.exists():
            raise RackfirstError(f"{path} is there already; name another folder or move it away")


def write_books(folder: Path, unit: Unit, typed: Mapping[str, str]) -> tuple[Path, Path]:
    """Writes a stock book, its settings at their defaults or as ``typed``, and a job book.

    Raises:
        RackfirstError: if one of them is there already, or cannot be written; then neither is.
    """
    check_free_folder(folder)
    stock, job = folder / STOCK_NAME, folder / JOB_NAME
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise RackfirstError(f"{folder} is no folder and cannot become one") from error
    write_stock_template(stock, unit, typed)
    write_job_template(job, unit)
    return stock, job
