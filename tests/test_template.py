"""Templates: what a maker sees in a book that is not yet filled."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from openpyxl.utils import column_index_from_string
from openpyxl.worksheet.worksheet import Worksheet

from optimizer.job.job_book import read_job, write_job_template
from optimizer.job.job_form import PARTS
from stock.lengths import Unit
from stock.shop import default_shop, settings
from stock.stock_book import read_stock_book, write_stock_template
from stock.stock_forms import PRICES, RACK, SHOP, STORES


@pytest.fixture(params=list(Unit))
def books(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Path, Path]:
    write_stock_template(tmp_path / "stock.xlsx", request.param)
    write_job_template(tmp_path / "job.xlsx", request.param)
    return tmp_path / "stock.xlsx", tmp_path / "job.xlsx"


def column(sheet: Worksheet, header: str) -> str:
    """The letter of the column under ``header``."""
    return next(str(cell.column_letter) for cell in sheet[1] if cell.value == header)


def test_all_columns_stand_there_and_the_needed_ones_first(books: tuple[Path, Path]) -> None:
    stock, job = (openpyxl.load_workbook(path) for path in books)
    for book, form in [
        (stock, PRICES),
        (stock, RACK),
        (stock, STORES),
        (stock, SHOP),
        (job, PARTS),
    ]:
        headers = [cell.value for cell in book[form.sheet][1]]
        assert headers == [each.header for each in form.columns]
    assert [cell.value for cell in stock["Prices"][1]][:3] == ["Size", "Length", "Price"]
    assert [cell.value for cell in job["Parts"][1]][:4] == ["Part", "Count", "Length", "Size"]


def test_cells_that_might_become_dates_are_formatted_as_text(books: tuple[Path, Path]) -> None:
    stock, job = (openpyxl.load_workbook(path) for path in books)
    for sheet, headers in [
        (stock["Prices"], ("Size", "Length", "Thickness", "Width")),
        (stock["Rack"], ("Size", "Length", "Tag", "Thickness", "Width")),
        (job["Parts"], ("Length", "Size", "Tenons", "Thickness at least")),
    ]:
        for header in headers:
            number = column_index_from_string(column(sheet, header))
            dimensions = sheet.column_dimensions.values()
            assert [
                each.number_format for each in dimensions if each.min <= number <= each.max
            ] == ["@"]


def test_closed_lists_drop_down_and_every_cell_says_what_belongs_in_it(
    books: tuple[Path, Path],
) -> None:
    sheet = openpyxl.load_workbook(books[1])["Parts"]
    rules = {str(rule.sqref).split(":")[0]: rule for rule in sheet.data_validations.dataValidation}
    make = rules[f"{column(sheet, 'Make')}2"]
    assert (make.type, make.formula1) == ("list", '"any,solid,glued"')
    assert len(rules) == len(PARTS.columns)
    assert all(rule.prompt for rule in rules.values())


def test_each_setting_stands_there_with_its_default_and_a_line_of_explanation(
    books: tuple[Path, Path],
) -> None:
    rows = list(openpyxl.load_workbook(books[0])["Shop"].iter_rows(min_row=2, values_only=True))
    assert [row[0] for row in rows] == [setting.name for setting in settings()]
    assert all(row[2] for row in rows)


def test_the_help_explains_every_column(books: tuple[Path, Path]) -> None:
    help_sheet = openpyxl.load_workbook(books[1])["Help"]
    explained = {row[0]: row[2] for row in help_sheet.iter_rows(values_only=True) if row[2]}
    for each in PARTS.columns:
        assert explained[each.header]


@pytest.mark.parametrize("unit", list(Unit))
def test_the_least_that_is_filled_makes_sound_books(tmp_path: Path, unit: Unit) -> None:
    stock_path, job_path = tmp_path / "stock.xlsx", tmp_path / "job.xlsx"
    write_stock_template(stock_path, unit, {"rip kerf": "3 mm"})
    write_job_template(job_path, unit)
    fill(stock_path, "Prices", Size="2x4", Length="8'", Price=4.25)
    fill(job_path, "Parts", Part="Rail", Count=4, Length="31 1/4 in", Size="2x4")
    stock, faults = read_stock_book(stock_path)
    assert (faults, stock.unplanned) == ((), ())
    assert stock.shop.rip_kerf == 3 * Unit.MM.inches
    assert stock.shop.end_trim == default_shop(unit).end_trim
    job = read_job(job_path, stock)
    assert (job.faults, job.unplanned) == ((), ())


def fill(path: Path, sheet_name: str, **values: object) -> None:
    book = openpyxl.load_workbook(path)
    sheet = book[sheet_name]
    for header, value in values.items():
        sheet[f"{column(sheet, header)}2"] = value
    book.save(path)
