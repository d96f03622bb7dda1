"""A stock book as typed, and what is read from it. Prices are invented."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from stock.errors import BookFaultsError
from stock.lengths import Length, Unit
from stock.pieces import Lumber
from stock.prices import Store
from stock.shop import default_shop
from stock.stock_book import StockBook, read_stock_book
from stock.stock_forms import PRICES, RACK, STORES
from tests.typed_books import Rows, said, settings_sheet, workbook

LEAST = """
    Size | Length | Price
    2x4  | 8'     | 4.25
"""


def read(folder: Path, **sheets: Rows) -> tuple[StockBook, str]:
    """The stock book of these sheets, and all its faults as said."""
    stock, faults = read_stock_book(workbook(folder / "stock.xlsx", **sheets))
    return stock, said(faults)


def sound(folder: Path, **sheets: Rows) -> StockBook:
    stock, faults = read(folder, **sheets)
    assert faults == ""
    return stock


def faults(folder: Path, **sheets: Rows) -> str:
    return read(folder, **sheets)[1]


# --- prices --------------------------------------------------------------------------------------


def test_size_length_and_price_are_enough(tmp_path: Path) -> None:
    stock = sound(tmp_path, Prices=LEAST)
    offer = stock.offers[0]
    assert stock.name == "stock.xlsx"
    assert stock.shop == default_shop(Unit.IN)
    assert stock.stores == (Store(name="Store"),)
    assert stock.rack == ()
    assert (offer.store, offer.name, offer.price) == ("Store", "2x4 x 8'", Decimal("4.25"))
    assert offer.lumber == Lumber(wood="", treated=False, thickness=Fraction(3, 2))
    assert (offer.width, offer.length, offer.in_stock) == (Fraction(7, 2), 96, None)


# Prices by hand: 10 ft at 0.455; 2x6x10' is 10 board feet, 2x4x14' is 9 1/3 (PS 20-20, board
# measure); 3.048 m at 2.00 is 6.096.
@pytest.mark.parametrize(
    ("row", "price"),
    [
        ("2x4 | 10' | 0.455 | foot", "4.55"),
        ("2x6 | 10' | 0.70  | board foot", "7.00"),
        ("2x4 | 14' | 1.00  | board foot", "9.33"),
        ("2x4 | 10' | 2.00  | metre", "6.10"),
        # 16 ft of 2x4 are 10 2/3 board feet (PS 20-20); a thousand of them for 450 (invented).
        ("2x4 | 16' | 450   | thousand board feet", "4.80"),
        ("2x4 | 10' | 4.005 | piece", "4.01"),
    ],
)
def test_a_price_is_per_piece_to_the_cent_whatever_it_is_for(
    tmp_path: Path, row: str, price: str
) -> None:
    stock = sound(tmp_path, Prices=f"Size | Length | Price | Priced by\n{row}")
    assert stock.offers[0].price == Decimal(price)


def test_several_lengths_in_one_cell_are_an_offer_each(tmp_path: Path) -> None:
    prices = """
        Size | Length       | Price | Priced by | In stock
        2x12 | 8', 10', 12' | 2.25  | foot      | 6
    """
    offers = sound(tmp_path, Prices=prices).offers
    assert [(offer.name, str(offer.price), offer.in_stock) for offer in offers] == [
        ("2x12 x 8'", "18.00", 6),
        ("2x12 x 10'", "22.50", 6),
        ("2x12 x 12'", "27.00", 6),
    ]
    assert "several lengths at one price per piece" in faults(
        tmp_path, Prices="Size | Length | Price\n2x4 | 8', 10' | 4"
    )


def test_offers_are_named_as_one_would_ask_for_them(tmp_path: Path) -> None:
    prices = """
        Size | Thickness | Width  | Length  | Price
        2x4  |           |        | 92 5/8  | 3
             | 1 1/2     | 11 1/4 | 12'     | 3
        8/4  |           | 6      | 8'      | 3
        38x89|           |        | 2440 mm | 3
    """
    names = [offer.name for offer in sound(tmp_path, Prices=prices).offers]
    assert names == ['2x4 x 92 5/8"', "1 1/2 x 11 1/4 x 12'", "8/4 x 6 x 8'", '38x89 x 96 1/16"']


def test_a_book_in_millimetres_reads_bare_numbers_as_millimetres(tmp_path: Path) -> None:
    prices = "Size | Length | Price\n38x89 | 2440 | 4"
    stock = sound(tmp_path, Prices=prices, Shop=settings_sheet(unit="mm"))
    offer = stock.offers[0]
    assert stock.shop == default_shop(Unit.MM)
    assert (offer.name, offer.length) == ("38x89 x 2440", 2440 * Fraction(5, 127))


def test_green_wood_is_larger_and_what_was_measured_goes_before_the_size(tmp_path: Path) -> None:
    """A green 2x4 is 1 9/16 by 3 9/16: NDS Supplement 2018, Table 1A."""
    prices = """
        Size | Dried | Width  | Length | Price
        2x4  | green |        | 8'     | 4
        2x4  |       | 3 3/8  | 8'     | 4
    """
    green, measured = sound(tmp_path, Prices=prices).offers
    assert (green.lumber.thickness, green.width) == (Fraction(25, 16), Fraction(57, 16))
    assert (measured.size, measured.width) == ("2x4", Fraction(27, 8))


# --- the rack ------------------------------------------------------------------------------------


def test_a_rack_piece_keeps_what_was_written_about_it(tmp_path: Path) -> None:
    rack = """
        Tag | Size | Length | Count | Wood | Treated | Bay | Held for | Measured on | Note
        A7  | 2x4  | 31 1/4 | 2     | pine | yes     | B3  | gate     | 2026-03-31  | one knot
    """
    piece = sound(tmp_path, Rack=rack).rack[0]
    assert (piece.tag, piece.size, piece.length, piece.count) == ("A7", "2x4", Fraction(125, 4), 2)
    assert piece.lumber == Lumber(wood="pine", treated=True, thickness=Fraction(3, 2))
    assert (piece.bay, piece.held_for, piece.note) == ("B3", "gate", "one knot")
    assert piece.measured_on == date(2026, 3, 31)


def test_a_row_without_a_tag_is_given_a_free_one(tmp_path: Path) -> None:
    rack = "Tag | Size | Length\n | 2x4 | 30\nR017 | 2x4 | 40\n | 2x4 | 50"
    assert [piece.tag for piece in sound(tmp_path, Rack=rack).rack] == ["R018", "R017", "R019"]


def test_the_same_tag_twice_is_a_fault(tmp_path: Path) -> None:
    rack = "Tag | Size | Length\nR017 | 2x4 | 30\nr017 | 2x4 | 40"
    assert "row 3, column Tag: the tag stands in row 2 too (it says 'r017')" in faults(
        tmp_path, Rack=rack
    )


# --- faults --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "said_of_it"),
    [
        ("2x4 | -8' | 4 | | ", "column Length: a length cannot be below zero"),
        ("2x4 | 0   | 4 | | ", "column Length: a length of zero"),
        ("2x4 | 12  | 4 | | ", "column Length: 12 may be feet or inches (it says '12')"),
        ("2x4 | 8'  | four | | ", "column Price: this is not a number (it says 'four')"),
        ("2x4 | 8'  | -4   | | ", "column Price: less than zero"),
        ("2x4 | 8'  |      | | x", "column Price: it is empty"),
        ("2x4 | 8'  | 4 | 2.5 | ", "column In stock: this is not a whole number (it says '2.5')"),
        ("2x5 ft | 8' | 4 | | ", "column Size: this is not the name of a size"),
        ("2x47 | 8' | 4 | | ", "column Size: there is no such size (it says '2x47')"),
        (" | 8' | 4 | | ", "column Size: there is no size"),
        ("8/4 | 8' | 4 | | ", "column Width: 8/4 comes in any width"),
    ],
)
def test_a_fault_names_the_cell_what_stood_there_and_what_would_do(
    tmp_path: Path, row: str, said_of_it: str
) -> None:
    prices = f"Size | Length | Price | In stock | Width | Note\n{row}"
    text = faults(tmp_path, Prices=prices)
    assert f"stock.xlsx, sheet Prices, row 2, {said_of_it}" in text
    assert "; " in text


def test_a_date_a_truth_value_and_a_dead_formula_are_named(tmp_path: Path) -> None:
    prices = [["Size", "Length", "Price"], ["2x4", date(2026, 2, 1), True], ["2x4", "8'", "=2*2"]]
    text = faults(tmp_path, Prices=prices)
    assert "row 2, column Length: a spreadsheet program made a date" in text
    assert "row 2, column Price: this is not a number (it says 'TRUE')" in text
    assert "row 3, column Price: the formula was never calculated" in text


def test_all_faults_of_a_book_are_said_at_once_and_sound_rows_are_kept(tmp_path: Path) -> None:
    stock, text = read(
        tmp_path,
        Rack="Size | Length\n2x4 | x\n2x4 | 30",
        Prices="Size | Length | Price\n2x4 | 8' | x\n2x4 | 8' | 4",
        Stores="Store | Tax %\nWeir Yard | 120",
        Shop=settings_sheet(rip_kerf="wide"),
    )
    assert [line.split(":")[0].split(", ", 1)[1] for line in text.splitlines()] == [
        "sheet Prices, row 2, column Price",
        "sheet Rack, row 2, column Length",
        "sheet Shop, row 2, column Value",
        "sheet Stores, row 2, column Tax %",
    ]
    assert (len(stock.rack), len(stock.offers)) == (1, 1)


def test_a_book_needs_a_rack_or_prices(tmp_path: Path) -> None:
    assert sound(tmp_path, Rack="Size | Length\n2x4 | 30").offers == ()
    assert "there is no sheet Rack and no sheet Prices" in faults(tmp_path, Sheet1="")
    assert "nothing stands on Rack nor under Prices" in faults(tmp_path, Rack="Size | Length")
    assert "rename it to Prices" in faults(tmp_path, Price=LEAST)


def test_faults_of_a_piece_are_read(tmp_path: Path) -> None:
    rack = """
        Size | Length | Grade  | Crook | Bad stretches     | Moisture
        2x4  | 90     | select | 1/4   | 40 to 46; 80 to 81 | 11
        2x4  | 90     |        |       |                   |
    """
    bad, good = sound(tmp_path, Rack=rack).rack
    assert (bad.lumber.grade, bad.crook, bad.moisture) == ("Select", Length(1, 4), 11)
    assert bad.bad == ((40, 46), (80, 81))
    assert (good.lumber.grade, good.crook, good.moisture, good.bad) == ("", 0, None, ())


@pytest.mark.parametrize(
    ("cells", "fault"),
    [
        ("posh |       |", "Grade: this grade is not known"),
        ("     | 4     |", "Crook: it is as much as the piece is wide"),
        ("     |       | 46 to 40", "Bad stretches: 46 to 40 does not go forward"),
        ("     |       | 4 to 9; 8 to 12", "Bad stretches: 8 to 12 begins inside the one before"),
        ("     |       | forty", "Bad stretches: forty is not from one length to another"),
        ("     |       | 95 to 99", "Bad stretches: one begins beyond the end"),
        ("     |       | 0 to 90", "Bad stretches: nothing sound is left"),
    ],
)
def test_faults_that_cannot_be_are_refused(tmp_path: Path, cells: str, fault: str) -> None:
    rack = f"Size | Length | Grade | Crook | Bad stretches\n2x4 | 90 | {cells}"
    assert fault in faults(tmp_path, Rack=rack)


def test_a_stock_book_is_no_csv(tmp_path: Path) -> None:
    path = tmp_path / "stock.csv"
    path.write_text("Size,Length,Price\n2x4,8',4.25\n")
    with pytest.raises(BookFaultsError, match="several sheets"):
        read_stock_book(path)


def test_woods_are_known_even_from_rows_with_a_fault(tmp_path: Path) -> None:
    stock, _ = read(tmp_path, Rack="Size | Length | Wood\n2x4 | x | pine\n2x4 | 30 | hedge wood")
    assert stock.woods == ("pine", "hedge wood")


COLUMNS = [
    (form.sheet, column.header) for form in (RACK, PRICES, STORES) for column in form.columns
]


@hypothesis_settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    where=st.sampled_from(COLUMNS),
    text=st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), max_size=40)
    | st.text("0123456789 x/.,'\"-", max_size=12),
)
def test_any_text_in_any_cell_is_a_value_or_a_fault_there(
    tmp_path: Path, where: tuple[str, str], text: str
) -> None:
    sheets: dict[str, list[list[object]]] = {
        "Rack": [["Size", "Length"], ["2x4", "30"]],
        "Prices": [["Size", "Length", "Price"], ["2x4", "8'", "4"]],
        "Stores": [["Store"], ["Weir Yard"]],
    }
    sheet, header = where
    headers, row = sheets[sheet]
    if header in headers:
        row[headers.index(header)] = text
    else:
        headers.append(header)
        row.append(text)
    _, faults_found = read_stock_book(workbook(tmp_path / "stock.xlsx", **sheets))
    for fault in faults_found:
        assert fault.place.sheet == sheet
