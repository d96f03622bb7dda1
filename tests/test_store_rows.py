"""Stores as typed: their tax, and their names under Stores and Prices. All of it is invented."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from stock.stock_book import StockBook, read_stock_book
from tests.typed_books import Rows, said, workbook

ANY_STORE = "Size | Length | Price\n2x4 | 8' | 4.25"
WEIR_YARD = "Store | Tax %\nWeir Yard | 8.25"


def sold_at(*stores: str) -> str:
    """Prices of a 2x4 at each of these stores."""
    return "\n".join(["Store | Size | Length | Price", *(f"{s} | 2x4 | 8' | 4" for s in stores)])


def read(folder: Path, prices: str, stores: Rows) -> tuple[StockBook, str]:
    """The stock book of these two sheets, and all its faults as said."""
    stock, faults = read_stock_book(workbook(folder / "stock.xlsx", Prices=prices, Stores=stores))
    return stock, said(faults)


def taxed(folder: Path, tax: object) -> str:
    """What is said of this tax."""
    return read(folder, ANY_STORE, [["Store", "Tax %"], ["Weir Yard", tax]])[1]


def test_a_store_takes_the_tax_of_its_row_and_none_without_one(tmp_path: Path) -> None:
    stock, faults = read(tmp_path, sold_at("weir yard", "Boathouse"), WEIR_YARD)
    assert faults == ""
    assert [(store.name, store.tax_percent) for store in stock.stores] == [
        ("Weir Yard", Decimal("8.25")),
        ("Boathouse", Decimal(0)),
    ]
    assert [offer.store for offer in stock.offers] == ["Weir Yard", "Boathouse"]


def test_a_store_may_stay_empty_only_while_there_is_one(tmp_path: Path) -> None:
    stock, faults = read(tmp_path, ANY_STORE, WEIR_YARD)
    assert (stock.offers[0].store, faults) == ("Weir Yard", "")
    _, faults = read(tmp_path, ANY_STORE, "Store\nWeir Yard\nBoathouse")
    assert "row 2, column Store: it is empty, and the book has several stores" in faults


def test_a_store_stands_once(tmp_path: Path) -> None:
    _, faults = read(tmp_path, ANY_STORE, "Store\nWeir Yard\nweir yard")
    assert "sheet Stores, row 3, column Store: the store stands twice" in faults


@pytest.mark.parametrize("other", ["The Weir Yard", "Weir Yards", "Wier Yard"])
def test_a_store_spelt_in_two_ways_is_a_fault_that_names_both(tmp_path: Path, other: str) -> None:
    _, faults = read(tmp_path, sold_at(other), WEIR_YARD)
    assert faults == (
        "stock.xlsx, sheet Stores, row 2, column Store: "
        f"no price names it; Prices has {other!r} (it says 'Weir Yard'); "
        f"spell both alike, or give {other} a row of its own"
    )


@pytest.mark.parametrize(
    ("selling", "stores"),
    [("Boathouse", WEIR_YARD), ("The Weir Yard", f"{WEIR_YARD}\nThe Weir Yard | 0")],
    ids=["unlike names", "a row each"],
)
def test_a_store_that_sells_nothing_may_have_a_row(
    tmp_path: Path, selling: str, stores: str
) -> None:
    assert read(tmp_path, sold_at(selling), stores)[1] == ""


@pytest.mark.parametrize("tax", ["0.0825", 0.0825, 0.25])
def test_a_tax_typed_as_a_share_of_one_is_a_fault(tmp_path: Path, tax: object) -> None:
    assert taxed(tmp_path, tax) == (
        "stock.xlsx, sheet Stores, row 2, column Tax %: "
        f"{tax} percent is hardly a tax (it says '{tax}'); "
        "8.25 percent is typed as 8.25, or as a cell formatted in percent"
    )


@pytest.mark.parametrize("tax", [0, "", "0.3", "0.25 %"])
def test_a_tax_may_be_nothing_or_small_where_it_says_percent(tmp_path: Path, tax: object) -> None:
    assert taxed(tmp_path, tax) == ""


@pytest.mark.parametrize(
    ("fee", "free", "expected"),
    [
        ("", "", (None, 0)),  # it does not cut
        ("0", "", (Decimal(0), 0)),
        ("", "2", (Decimal(0), 2)),
        ("0.50", "1", (Decimal("0.50"), 1)),
    ],
)
def test_a_store_cuts_where_a_fee_or_free_cuts_are_told(
    tmp_path: Path, fee: str, free: str, expected: tuple[Decimal | None, int]
) -> None:
    sheet = [["Store", "Fee per cut", "Free cuts", "Trip cost"], ["Weir Yard", fee, free, "6.505"]]
    stock, faults = read(tmp_path, ANY_STORE, sheet)
    (store,) = stock.stores
    assert faults == ""
    assert (store.fee_per_cut, store.free_cuts) == expected
    assert store.cuts == (expected[0] is not None)
    assert store.trip_cost == Decimal("6.51")


def test_a_trip_that_cannot_be_read_is_a_fault(tmp_path: Path) -> None:
    _, faults = read(tmp_path, ANY_STORE, "Store | Trip cost\nWeir Yard | far")
    assert "sheet Stores, row 2, column Trip cost: this is not a number" in faults
