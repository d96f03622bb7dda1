"""Price lists of stores: CSV files mapped by the sheet Lists. All of it is invented."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from stock.stock_book import StockBook, read_stock_book
from tests.typed_books import said, workbook

MAPPED = """
File     | Store     | Size | Length | Price      | Priced by | Wood  | In stock
weir.csv | Weir Yard | Item | Item   | Your price | "piece"   | "SPF" | On hand
"""
LIST = '''Item,On hand,Your price
Framing lumber,,
2x4x8,40,$4.15
"2 x 4 x 92-5/8""",,3.95
"2X10 x 12' No. 2",6,"1,017.04"
'''


def read(folder: Path, mapped: str, listed: str, **sheets: str) -> tuple[StockBook, str]:
    (folder / "weir.csv").write_text(listed, encoding="utf-8")
    book = workbook(folder / "stock.xlsx", Lists=mapped, **sheets)
    stock, faults = read_stock_book(book)
    return stock, said(faults)


def test_a_list_is_read_as_if_it_stood_under_prices(tmp_path: Path) -> None:
    stock, faults = read(tmp_path, MAPPED, LIST)
    assert faults == ""
    assert [(o.store, o.name, o.price, o.in_stock, o.lumber.wood) for o in stock.offers] == [
        ("Weir Yard", "2x4 x 8'", Decimal("4.15"), 40, "SPF"),
        ("Weir Yard", '2x4 x 92 5/8"', Decimal("3.95"), None, "SPF"),
        ("Weir Yard", "2x10 x 12'", Decimal("1017.04"), 6, "SPF"),
    ]


def test_a_new_list_replaces_the_old_one_and_the_mapping_stays(tmp_path: Path) -> None:
    read(tmp_path, MAPPED, LIST)
    (tmp_path / "weir.csv").write_text("Item,Your price,On hand\n2x4x8,4.40,\n", encoding="utf-8")
    stock, _ = read_stock_book(tmp_path / "stock.xlsx")
    assert [offer.price for offer in stock.offers] == [Decimal("4.40")]


def test_lists_and_prices_stand_together(tmp_path: Path) -> None:
    stock, faults = read(
        tmp_path, MAPPED, LIST, Prices="Size | Length | Price | Store\n2x6 | 8' | 7 | Boathouse"
    )
    assert faults == ""
    assert [store.name for store in stock.stores] == ["Boathouse", "Weir Yard"]


def test_columns_of_their_own_may_hold_size_and_length(tmp_path: Path) -> None:
    stock, faults = read(
        tmp_path,
        'File | Size | Length | Price | Priced by\nweir.csv | Nominal | Long | Mbf | "thousand '
        'board feet"',
        "Nominal;Long;Mbf\n2x4;8';645\n",
    )
    assert faults == ""
    (offer,) = stock.offers
    assert offer.length == Fraction(96)
    assert offer.price == Decimal("3.44")  # 5 1/3 board feet


COMMAS = "Item;On hand;Your price\n2x4x8;40;4,15 €\n2x10x12;6;1,017,04\n"


def test_a_list_without_points_has_decimal_commas(tmp_path: Path) -> None:
    stock, faults = read(tmp_path, MAPPED, COMMAS)
    assert faults == ""
    assert [offer.price for offer in stock.offers] == [Decimal("4.15"), Decimal("1017.04")]


@pytest.mark.parametrize(
    ("listed", "row", "price"),
    [
        (f"{COMMAS}2x6x8;3;5.95\n", 2, "4,15 €"),  # commas here, points there: neither is sure
        (COMMAS.replace("4,15", "4,1"), 2, "4,1 €"),
        (COMMAS.replace("4,15", "4,15,20"), 2, "4,15,20 €"),
    ],
)
def test_a_comma_that_may_be_mistaken_is_a_fault(
    tmp_path: Path, listed: str, row: int, price: str
) -> None:
    _, faults = read(tmp_path, MAPPED, listed)
    where = f"weir.csv, row {row}, column Your price"
    remedy = "type a number like 12.50, without commas"
    assert f"{where}: there is a comma in it (it says {price!r}); {remedy}" in faults


def test_a_missing_column_is_a_fault_of_the_mapping_that_names_what_there_is(
    tmp_path: Path,
) -> None:
    _, faults = read(tmp_path, MAPPED, "Item,Price\n2x4x8,4.15\n")
    assert (
        "stock.xlsx, sheet Lists, row 2, column Price: weir.csv has no column of that name "
        "(it says 'Your price'); its columns are Item, Price" in faults
    )


def test_a_list_with_a_title_above_its_header_is_told_where_that_stands(tmp_path: Path) -> None:
    _, faults = read(tmp_path, MAPPED, f"Prices of spring\n\n{LIST}")
    where = "stock.xlsx, sheet Lists, row 2, column File: its header stands in row 3"
    assert faults == f"{where} (it says 'weir.csv'); delete the rows above it"


def test_a_list_that_is_not_there_is_a_fault(tmp_path: Path) -> None:
    book = workbook(tmp_path / "stock.xlsx", Lists=MAPPED)
    _, faults = read_stock_book(book)
    assert "sheet Lists, row 2, column File: " in said(faults)


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("2x23x8,,4.15", "weir.csv, row 2, column Item: there is no such size"),
        ("2x4x8,,call us", "weir.csv, row 2, column Your price: this is not a number"),
        ("2x4x8,some,4.15", "weir.csv, row 2, column On hand: this is not a number"),
    ],
)
def test_a_faulty_line_is_told_by_its_own_file_and_row(
    tmp_path: Path, line: str, fault: str
) -> None:
    _, faults = read(tmp_path, MAPPED, f"Item,On hand,Your price\n{line}\n")
    assert fault in faults
