"""Lists as DataFrames keep exact values; as CSV files they open in any program, as text."""

from __future__ import annotations

import csv
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from optimizer.output.data import write_csv
from stock.errors import RackfirstError
from stock.lengths import MILLIMETRE
from tests.demo_plan import demo_plan
from tests.office import needs_office, recalculated
from tests.read_back import table
from tests.sample_plan import inches, named, sample_plan
from tests.sound_plans import boat_rack, metric_post

NAMES = [
    "buy",
    "rack",
    "cuts",
    "pieces",
    "parts",
    "stacks",
    "days",
    "leftovers",
    "labels",
    "beside",
]


def rows(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / f"{name}.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


# --- data frames ---------------------------------------------------------------------------------


def test_data_frames_keep_exact_values() -> None:
    frames = sample_plan().tables()
    assert list(frames) == NAMES
    assert {name: len(frames[name]) for name in ("buy", "rack", "parts", "leftovers")} == {
        "buy": 3,
        "rack": 2,
        "parts": 4,
        "leftovers": 2,
    }
    assert isinstance(frames["parts"]["width"][0], Fraction)
    assert frames["parts"]["width"][0] == inches("2 3/4")
    lines = frames["buy"]
    assert (lines["count"] * lines["each"]).sum() == sample_plan().cost.boards
    assert frames["leftovers"]["worth"].sum() == Decimal("4.40")


def test_wood_can_be_added_up_from_the_pieces() -> None:
    plan = demo_plan()
    pieces = plan.tables()["pieces"]
    area = (pieces["length"] * pieces["width"]).sum()
    assert area == sum(b.length * b.width for board in plan.boards for b in board.blanks)


def test_cuts_stand_in_the_order_of_work_with_what_lies_on_either_side() -> None:
    plan = boat_rack().plan
    cuts = plan.tables()["cuts"]
    assert list(cuts["step"]) == list(range(1, 20))
    off = cuts[(cuts["near"] == "C1a")].iloc[0]
    assert (off["saw"], off["setting"], off["near_width"]) == ("rip saw", 3, 3)
    assert (off["far"], off["far_width"]) == ("scrap", Fraction(3, 8))


def test_an_empty_list_keeps_its_columns() -> None:
    plan = replace(sample_plan(), parts=(), boards=())
    assert "length" in plan.tables()["parts"].columns


# --- CSV -----------------------------------------------------------------------------------------


def test_lengths_are_plain_decimals_in_the_unit_of_the_plan(tmp_path: Path) -> None:
    write_csv(boat_rack().plan, tmp_path / "in")
    assert sorted(path.stem for path in (tmp_path / "in").iterdir()) == sorted(NAMES)
    shelf = next(row for row in rows(tmp_path / "in", "pieces") if row["mark"] == "D1a")
    assert (shelf["width, in"], shelf["x, in"]) == ("4.3125", "0.5")
    write_csv(metric_post().plan, tmp_path / "mm")
    ply, _ = rows(tmp_path / "mm", "pieces")
    assert (ply["length, mm"], ply["thickness, mm"]) == ("725", "38")
    assert ply["x, mm"] == str(12 * MILLIMETRE / MILLIMETRE)


def test_a_length_that_does_not_end_has_six_places(tmp_path: Path) -> None:
    plan = boat_rack().plan
    parts = tuple(replace(made, length=Fraction(94, 3)) for made in plan.parts)
    write_csv(replace(plan, parts=parts), tmp_path)
    assert rows(tmp_path, "parts")[0]["length, in"] == "31.333333"


@pytest.mark.parametrize(
    "text",
    [
        '=HYPERLINK("x")',
        "+1",
        "-1+1",
        "@SUM(A1)",
        "<script>alert(1)</script>",
        'a "b", c',
        "🛶",
        "خشب",
    ],
)
def test_text_out_of_the_books_is_text(tmp_path: Path, text: str) -> None:
    """What a spreadsheet program takes for a formula gets an apostrophe (OWASP, CSV Injection)."""
    write_csv(named(sample_plan(), text), tmp_path)
    told = f"'{text}" if text[0] in "=+-@" else text
    assert {row["part"] for row in rows(tmp_path, "parts")} == {told}
    assert rows(tmp_path, "leftovers")[0]["tag"] == told


@needs_office
def test_a_spreadsheet_program_works_nothing_out(tmp_path: Path) -> None:
    write_csv(named(sample_plan(), "=1+1"), tmp_path / "csv")
    opened = recalculated(tmp_path / "csv" / "parts.csv", tmp_path / "opened")
    (header, *lines) = table(opened, "parts")
    assert {line[header.index("part")] for line in lines} <= {"'=1+1", "=1+1"}


def test_a_line_of_a_list_is_one_line_of_the_file(tmp_path: Path) -> None:
    write_csv(named(sample_plan(), "two\nlines"), tmp_path)
    assert {row["part"] for row in rows(tmp_path, "parts")} == {"two lines"}


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "csv").touch()
    with pytest.raises(RackfirstError, match="is no folder"):
        write_csv(sample_plan(), tmp_path / "csv")
