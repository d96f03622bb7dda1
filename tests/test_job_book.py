"""A job book as typed, and what is read from it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from optimizer.job.job_book import JobReading, read_books, read_job
from optimizer.job.job_form import PARTS
from optimizer.job.parts import Faces, Make, Part, Treatment
from stock.errors import BookFaultsError
from stock.lengths import Length
from stock.stock_book import StockBook, read_stock_book
from tests.typed_books import Rows, said, settings_sheet, workbook

PRICES = """
    Size | Length | Price | Wood
    2x4  | 8'     | 4.25  | hedge wood
"""
LEAST = """
    Part | Count | Length | Size
    Rail | 4     | 31 1/4 | 2x4
"""


def stock_book(folder: Path, **sheets: Rows) -> StockBook:
    stock, faults = read_stock_book(workbook(folder / "stock.xlsx", Prices=PRICES, **sheets))
    assert faults == ()
    return stock


def read(folder: Path, parts: Rows, **stock_sheets: Rows) -> JobReading:
    path = workbook(folder / "boat rack.xlsx", Parts=parts)
    return read_job(path, stock_book(folder, **stock_sheets))


def only_part(folder: Path, parts: str, **stock_sheets: Rows) -> Part:
    reading = read(folder, parts, **stock_sheets)
    assert said(reading.faults) == ""
    assert reading.job is not None
    return reading.job.parts[0]


def faults(folder: Path, parts: Rows) -> str:
    return said(read(folder, parts).faults)


def test_part_count_length_and_size_are_enough(tmp_path: Path) -> None:
    assert only_part(tmp_path, LEAST) == Part(
        name="Rail",
        count=4,
        length=Fraction(125, 4),
        width=Fraction(7, 2),
        thickness=Fraction(3, 2),
    )


def test_a_part_is_read_with_all_that_is_said_of_it(tmp_path: Path) -> None:
    parts = """
        Part | Count | Length | Width | Thickness | Wood | Treated | Make  | Faces     | Tenons
        Post | 2     | 2' 6"  | 70 mm | 2 3/4     | Pine | either  | glued | As Bought | 1 1/2 + 1
    """
    part = only_part(tmp_path, parts)
    assert (part.length, part.width, part.thickness) == (30, Fraction(350, 127), Fraction(11, 4))
    assert (part.wood, part.treated, part.make) == ("Pine", Treatment.EITHER, Make.GLUED)
    assert (part.faces, part.tenons) == (Faces.AS_BOUGHT, (Fraction(3, 2), 1))


def test_spare_and_the_least_thickness_are_read(tmp_path: Path) -> None:
    parts = """
        Part | Count | Length | Size | Spare | Thickness at least | Note
        Slat | 6     | 40     | 1x4  | 1     | 5/8                | front
    """
    part = only_part(tmp_path, parts)
    assert (part.copies, part.thickness_at_least, part.note) == (7, Fraction(5, 8), "front")


def test_a_bare_number_is_in_the_unit_of_the_stock_book(tmp_path: Path) -> None:
    shop = settings_sheet(unit="mm")
    prices = "Size | Length | Price\n38x89 | 2440 | 4"
    stock, _ = read_stock_book(workbook(tmp_path / "stock.xlsx", Prices=prices, Shop=shop))
    path = workbook(tmp_path / "job.xlsx", Parts="Part|Count|Length|Size\nRail|1|794|38x89")
    job = read_job(path, stock).job
    assert job is not None
    assert job.parts[0].length == 794 * Fraction(5, 127)


def test_the_same_sheet_may_be_csv(tmp_path: Path) -> None:
    path = tmp_path / "boat rack.csv"
    path.write_text("Part;Count;Length;Size\nRail;4;31 1/4;2x4\n", encoding="utf-8")
    job = read_job(path, stock_book(tmp_path)).job
    assert job is not None
    assert (job.name, len(job.parts)) == ("boat rack", 1)


# --- faults --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "said_of_it"),
    [
        ("Rail | 2.5 | 30 | 2x4 |", "column Count: this is not a whole number (it says '2.5')"),
        ("Rail | 0   | 30 | 2x4 |", "column Count: a count of zero"),
        ("Rail | 4   | -3 | 2x4 |", "column Length: a length cannot be below zero"),
        ("Rail | 4   | 0  | 2x4 |", "column Length: a length of zero"),
        ("Rail | 4   | 30 |     |", "column Size: there is no size"),
        ("Rail | 4   | 30 | 2x5x6 |", "column Size: this is not the name of a size"),
        ("     | 4   | 30 | 2x4 |", "column Part: it is empty"),
        ("Rail | 4   | 30 | 2x4 | moonwood", "column Wood: this wood is not known"),
    ],
)
def test_a_fault_names_the_cell(tmp_path: Path, row: str, said_of_it: str) -> None:
    text = faults(tmp_path, f"Part | Count | Length | Size | Wood\n{row}")
    assert f"boat rack.xlsx, sheet Parts, row 2, {said_of_it}" in text


def test_a_wood_of_the_stock_book_is_accepted_as_itself(tmp_path: Path) -> None:
    parts = "Part | Count | Length | Size | Wood\nRail | 4 | 30 | 2x4 | Hedge Wood"
    assert only_part(tmp_path, parts).wood == "Hedge Wood"


def test_a_board_that_will_do_is_not_thicker_than_the_part(tmp_path: Path) -> None:
    parts = "Part | Count | Length | Size | Thickness at least\nSlat | 4 | 30 | 1x4 | 7/8"
    assert "column Thickness at least: it is more than the thickness" in faults(tmp_path, parts)


def test_a_part_stands_once(tmp_path: Path) -> None:
    parts = "Part | Count | Length | Size\nRail | 4 | 30 | 2x4\nrail | 2 | 40 | 2x4"
    assert "row 3, column Part: the part stands in row 2 too" in faults(tmp_path, parts)


@pytest.mark.parametrize("width", ["4", "6", "8", "10", "12"])
def test_a_part_typed_two_thick_may_be_a_size(tmp_path: Path, width: str) -> None:
    head = "Part | Count | Length | Thickness | Width"
    text = faults(tmp_path, f"{head}\nRail | 4 | 30 | 2 | {width}")
    assert f"did you mean the size 2x{width}, which is 1 1/2 x" in text
    assert "if it is really 2 in thick, type 2 in" in text
    assert only_part(tmp_path, f"{head}\nRail | 4 | 30 | 2 in | {width}").thickness == 2
    assert only_part(tmp_path, f"{head}\nRail | 4 | 30 | 2 | 5").thickness == 2


def test_a_two_by_four_measures_one_and_a_half_by_three_and_a_half(tmp_path: Path) -> None:
    """PS 20-20 Table 3; NDS Supplement 2018 Table 1A."""
    text = faults(tmp_path, "Part|Count|Length|Thickness|Width\nRail|4|30|2|4")
    assert "2x4, which is 1 1/2 x 3 1/2?" in text


def test_a_book_without_parts_is_a_fault(tmp_path: Path) -> None:
    stock = stock_book(tmp_path)
    empty = workbook(tmp_path / "empty.xlsx", Parts="Part | Count | Length | Size")
    other = workbook(tmp_path / "other.xlsx", Sheet1="")
    near = workbook(tmp_path / "near.xlsx", Part=LEAST)
    assert "sheet Parts: there is no part in it" in said(read_job(empty, stock).faults)
    assert "there is no sheet Parts" in said(read_job(other, stock).faults)
    assert "rename it to Parts" in said(read_job(near, stock).faults)


def test_what_a_part_asks_of_its_wood_is_read(tmp_path: Path) -> None:
    parts = """
        Part | Count | Length | Size | Grade  | Same board | Knots ok | Carries load | Slip
        Rail | 4     | 30     | 2x4  | select | no         | yes      | yes          | 1/16
    """
    job = read(tmp_path, parts).job
    assert job is not None
    (rail,) = job.parts
    assert (rail.grade, rail.same_board, rail.knots_ok, rail.carries_load) == (
        *("Select", False, True, True),
    )
    assert rail.own == (("slip", Length(1, 16)),)


@pytest.mark.parametrize(
    ("header", "text", "fault"),
    [
        ("Grade", "posh", "Grade: this grade is not known"),
        ("Butt joints", "yes", "Butt joints: it carries load"),
        ("Pairs", "yes", "Pairs: Same board says more already"),
    ],
)
def test_wishes_against_each_other_are_refused(
    tmp_path: Path, header: str, text: str, fault: str
) -> None:
    cells = {"Part": "Rail", "Count": "4", "Length": "30", "Size": "2x4"}
    cells |= {"Carries load": "yes", "Same board": "yes"} | {header: text}
    assert fault in said(read(tmp_path, [list(cells), list(cells.values())]).faults)


# --- both books ----------------------------------------------------------------------------------


def test_the_faults_of_both_books_are_said_at_once(tmp_path: Path) -> None:
    job = workbook(tmp_path / "job.xlsx", Parts="Part | Count | Length | Size\nRail | 4 | x | 2x4")
    stock = workbook(tmp_path / "stock.xlsx", Prices="Size | Length | Price\n2x4 | 8' | x")
    with pytest.raises(BookFaultsError) as raised:
        read_books(job, stock)
    assert [fault.place.file for fault in raised.value.faults] == ["stock.xlsx", "job.xlsx"]
    with pytest.raises(BookFaultsError) as raised:
        read_books(tmp_path / "no job.xlsx", tmp_path / "no stock.xlsx")
    assert len(raised.value.faults) == 2


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    header=st.sampled_from([column.header for column in PARTS.columns]),
    text=st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), max_size=40)
    | st.text("0123456789 x/.,'\"-+", max_size=12),
)
def test_any_text_in_any_cell_is_a_value_or_a_fault(tmp_path: Path, header: str, text: str) -> None:
    cells = {"Part": "Rail", "Count": "4", "Length": "30", "Size": "2x4"} | {header: text}
    reading = read(tmp_path, [list(cells), list(cells.values())])
    assert reading.faults or reading.job


# --- hardware ------------------------------------------------------------------------------------


def with_hardware(folder: Path, hardware: str) -> JobReading:
    """The job of one rail with this sheet beside it."""
    read(folder, RAIL)
    path = workbook(folder / "with.xlsx", Parts=RAIL, Hardware=hardware)
    return read_job(path, read_stock_book(folder / "stock.xlsx")[0])


RAIL = "Part | Count | Length | Size\nRail | 4 | 31 1/4 | 2x4"


def test_hardware_is_read_beside_the_parts(tmp_path: Path) -> None:
    lines = "Item | Count | Price | Note\nDowel 3/8 x 2 | 24 | 0.12 | oak\nScrew | 40 |  |"
    reading = with_hardware(tmp_path, lines)
    assert reading.faults == ()
    assert reading.job
    assert [(h.item, h.count, h.price, h.note) for h in reading.job.hardware] == [
        ("Dowel 3/8 x 2", 24, Decimal("0.12"), "oak"),
        ("Screw", 40, Decimal(0), ""),
    ]


def test_a_faulty_line_of_hardware_is_told_with_its_place(tmp_path: Path) -> None:
    (fault,) = with_hardware(tmp_path, "Item | Count | Price\nDowel | some | 0.12").faults
    assert str(fault).startswith("with.xlsx, sheet Hardware, row 2, column Count: ")
