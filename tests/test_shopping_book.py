"""The shopping workbook: live sums that agree with the plan, text that stays text, clear errors."""

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from office import needs_office, recalculated
from openpyxl import load_workbook
from read_back import cells, labelled, sheets, table, written
from sample_plan import TWELVES, buying, in_unit, named, purchase, sample_plan

from optimizer.output.cutting_page import cutting_page
from optimizer.plan.plan import StoreTax
from optimizer.work.work import work_of
from stock.errors import RackfirstError
from stock.lengths import Unit
from stock.prices import to_cent
from tests.sound_plans import metric_post

BILL = {
    "Old Lock Yard": "14.20",
    "Weir Street Lumber": "101.43",
    "All stores": "115.63",
    "Glue": "1.15",
    "Cash": "116.78",
    "Finish and hardware": "0.00",
    "All to be paid": "116.78",
    "Cash, as above": "116.78",
    "Worth of the rack pieces used": "3.10",
    "Worth of the leftovers, taken off": "-4.40",
    "Net": "115.48",
}


def test_a_sheet_for_the_bill_each_store_the_rack_the_parts_and_the_leftovers(tmp_path):
    book = written(sample_plan(), tmp_path)

    assert [sheet.title for sheet in sheets(book)] == [
        "The bill",
        "Old Lock Yard",
        "Weir Street Lumber",
        "Rack",
        "Order of work",
        "Cuts",
        "Glue",
        "Parts",
        "Leftovers",
        "Labels",
        "Consumables",
        "Sums",
    ]


def test_a_store_sheet_lists_boards_in_the_order_of_its_yard(tmp_path):
    rows = table(written(sample_plan(), tmp_path), "Weir Street Lumber")

    headers = ["Got", "Mark", "Size", "Length, in", "Wood", "Treated"]
    headers += ["Board feet", "Per board foot", "Count", "Each", "Sum"]
    assert rows[1] == headers
    # Board measure (PS 20-20): 2 · 4 · 8 / 12 and 2 · 12 · 12 / 12 board feet each.
    assert rows[2] == ["", "B4, B5", "2x4", "8'", "spruce", "", 10.67, 1.19, 2, 6.35, 12.7]
    assert rows[3] == ["", "B1–B3", "2x12", "12'", "spruce", "", 72, 1.13, 3, 27, 81]


def test_every_formula_is_stored_with_its_value(tmp_path):
    book = written(sample_plan(), tmp_path)

    assert labelled(book, "Weir Street Lumber") == {
        "B4, B5": "12.70",
        "B1–B3": "81.00",
        "Boards": "93.70",
        "Tax, %": "7.73",
        "Cuts": "0.00",
        "To pay": "101.43",
    }
    assert labelled(book, "The bill") == BILL


@needs_office
def test_libreoffice_works_out_the_same_sums(tmp_path):
    book = recalculated(written(sample_plan(), tmp_path), tmp_path / "anew")

    assert labelled(book, "The bill") == BILL
    assert labelled(book, "Weir Street Lumber")["To pay"] == "101.43"
    assert labelled(book, "Rack")["Worth"] == "3.10"
    assert labelled(book, "Leftovers")["Worth"] == "4.40"


@needs_office
def test_all_sums_follow_a_count_that_is_changed(tmp_path):
    path = written(sample_plan(), tmp_path)
    book = load_workbook(path)
    book["Weir Street Lumber"]["I4"] = 5  # two more 2x12 for 54.00
    book.save(path)

    anew = recalculated(path, tmp_path / "anew")

    # 147.70 · 8.25 % = 12.18525
    assert labelled(anew, "Weir Street Lumber")["Boards"] == "147.70"
    assert labelled(anew, "Weir Street Lumber")["Tax, %"] == "12.19"
    assert labelled(anew, "The bill") == BILL | {
        "Weir Street Lumber": "159.89",
        "All stores": "174.09",
        "Cash": "175.24",
        "All to be paid": "175.24",
        "Cash, as above": "175.24",
        "Net": "173.94",
    }


@needs_office
def test_half_a_cent_of_tax_is_rounded_up_as_in_the_plan(tmp_path):
    prices_and_percents = [
        (price, percent)
        for percent in map(Decimal, ("2.5", "5", "6.25", "7.5", "8.25", "8.875", "0.1"))
        for price in (Decimal(cents) / 100 for cents in range(2, 4000, 2))
        if price * percent % 1 == Decimal("0.5")
    ]
    chosen = prices_and_percents[:: len(prices_and_percents) // 40]
    lines = [
        purchase(f"Yard {n}", "2x4 x 8'", 1, f"{price:.2f}", "2x4", "3/2 x 3 1/2 x 96")
        for n, (price, _) in enumerate(chosen)
    ]
    taxes = tuple(
        StoreTax(store=f"Yard {n}", percent=percent, tax=to_cent(price * percent / 100))
        for n, (price, percent) in enumerate(chosen)
    )
    plan = buying(*lines)
    tax = sum(line.tax for line in taxes)
    plan = replace(plan, taxes=taxes, cost=replace(plan.cost, tax=tax))

    anew = recalculated(written(plan, tmp_path), tmp_path / "anew")

    assert len(chosen) >= 40
    assert [labelled(anew, tax.store)["Tax, %"] for tax in taxes] == [str(t.tax) for t in taxes]


@pytest.mark.parametrize(
    "text",
    [
        '=HYPERLINK("x")',
        "{=1+1}",
        "+1",
        "@SUM(A1)",
        "https://example.org",
        "<script>alert(1)</script>",
        "\"it's\" & 'so'",
        "🛶 rack",
        "خشب البناء",
        "History",
        "a/b:c*[d]?\\" * 9,
        "007",
    ],
)
def test_text_out_of_the_books_stays_text(tmp_path, text):
    plain, odd = tmp_path / "plain", tmp_path / "odd"
    plain.mkdir()
    odd.mkdir()
    ours = cells(written(sample_plan(), plain))
    found = cells(written(named(sample_plan(), text), odd))
    named_so = [cell for cell in found if cell.value == text]

    # A store; size and wood of 3 lines; bay, tag, size and wood of 2; 4 parts; tag and wood of 2;
    # 2 stacks; 9 labels of parts, tag and wood of 2.
    assert len(named_so) >= 1 + 6 + 8 + 4 + 4 + 2 + 9 + 4
    assert all(cell.data_type == "s" and cell.hyperlink is None for cell in named_so)
    assert sum(cell.data_type == "f" for cell in found) == sum(
        cell.data_type == "f" for cell in ours
    )


@needs_office
def test_sums_follow_across_sheets_whose_names_need_care(tmp_path):
    book = recalculated(written(named(sample_plan(), "O'Lock [& Sons]"), tmp_path), tmp_path / "o")

    assert labelled(book, "The bill")["Net"] == "115.48"


def test_the_bill_says_how_sure_it_is(tmp_path):
    told = [row[0] for row in table(written(sample_plan(), tmp_path), "The bill")]

    assert "This plan: at most 1.20 above the least possible." in told
    assert "The search stopped at the gap that was asked for." in told


@pytest.mark.parametrize(
    ("unit", "paper", "length"), [(Unit.IN, 1, "Length, in"), (Unit.MM, 9, "Length, mm")]
)
def test_every_sheet_prints_on_the_paper_of_its_unit(tmp_path, unit, paper, length):
    book = written(in_unit(sample_plan(), unit), tmp_path)

    for sheet in sheets(book):
        assert sheet.page_setup.paperSize == paper
        assert sheet.page_setup.fitToWidth in (None, 1)  # 1 where nothing is said
        assert sheet.page_setup.fitToHeight == 0  # as many pages as it takes
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == "$2:$2"
        assert "Boat rack" in sheet.oddFooter.left.text
        assert "&P" in sheet.oddFooter.right.text
    assert table(book, "Weir Street Lumber")[1][3] == length


def test_lengths_of_a_metric_book_are_in_millimetres(tmp_path):
    metric = replace(TWELVES, offer="38x286 x 3600", size="", length=Fraction(3600 * 5, 127))
    plan = in_unit(buying(metric), Unit.MM)

    (row,) = (row for row in table(written(plan, tmp_path), metric.store) if "spruce" in row)

    assert row[2:4] == ["38.1 × 285.8", "3600"]


def test_wood_is_measured_in_litres_and_paid_by_the_cubic_metre_in_a_metric_book(tmp_path):
    """45 × 95 × 4000 mm are 17.1 litres: 11.80 of them is 690.06 the cubic metre."""
    measures = [Fraction(each * 5, 127) for each in (45, 95, 4000)]
    sizes = dict(zip(("thickness", "width", "length"), measures, strict=True))
    line = replace(TWELVES, offer="45x95 x 4000", size="", each=Decimal("11.80"), count=2, **sizes)
    book = written(in_unit(buying(line), Unit.MM), tmp_path)
    header, row, total = table(book, line.store)[1:4]
    assert header[6:8] == ["Litres", "Per m³"]
    assert row[6:8] == [34.2, 690.06]
    assert total[6:8] == [34.2, 690.06]


@pytest.mark.parametrize("plan", [in_unit(sample_plan(), Unit.MM), metric_post().plan])
def test_a_metric_book_speaks_of_no_inches(tmp_path, plan):
    told = [str(cell.value) for cell in cells(written(plan, tmp_path)) if cell.value]
    page = cutting_page(work_of(plan)).split("</style>")[1].split("<script>")[0]
    told += re.split("<[^>]*>", page)
    inches = re.compile(r"\d in\b|\binch|\bfeet\b|\bfoot\b|gallon|50\.8 mm")
    assert [text for text in told if inches.search(text)] == []


def test_a_plan_that_neither_buys_nor_pulls_nor_leaves_anything(tmp_path):
    plan = replace(buying(), boards=(), parts=())
    book = written(plan, tmp_path)

    titles = ["Rack", "Order of work", "Cuts", "Days", "Parts", "Leftovers", "Labels"]
    titles += ["Consumables", "Sums"]
    assert [sheet.title for sheet in sheets(book)] == ["The bill", *titles]
    assert labelled(book, "The bill")["Cash"] == "1.15"


def test_a_book_that_is_open_is_left_alone(tmp_path):
    book = written(sample_plan(), tmp_path)
    before = book.read_bytes()
    (tmp_path / ".~lock.shopping.xlsx#").touch()

    with pytest.raises(RackfirstError, match="is open in a spreadsheet program"):
        written(buying(), tmp_path)

    assert book.read_bytes() == before
