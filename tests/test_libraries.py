"""Traps of the libraries that we stand on, each met by name: what it does, and that we do not fall.

Measured by ourselves on the versions that pyproject.toml allows; no other source.
"""

from __future__ import annotations

import io
import re
import subprocess
import sys
import tomllib
import warnings
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from importlib.metadata import version
from pathlib import Path

import highspy
import numpy as np
import openpyxl
import pulp
import pytest
import xlsxwriter
from openpyxl.drawing.image import Image
from PIL import Image as Picture
from python_calamine import CalamineWorkbook

from optimizer.job.parts import Job
from optimizer.output.words import promise
from optimizer.search.answers import Attempt
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.layout import lay_out
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.solver import Running
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme
from optimizer.solve import solve
from stock.book_file import whole_file
from stock.stock_book import StockBook
from tests.rich_books import with_everything
from tests.settled_shop import parts_of_zip
from tests.shop_floor import book, job, part, posed, shop, sold

ROOT = Path(__file__).parents[1]


# --- versions ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("library", "range_", "least", "below"),
    [
        ("highspy", ">=1.15.1,<1.16", (1, 15, 1), (1, 16)),
        ("pulp", ">=3.3.2,<4", (3, 3, 2), (4,)),
    ],
)
def test_only_versions_that_were_measured_are_installed(
    library: str, range_: str, least: tuple[int, ...], below: tuple[int, ...]
) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert f"{library}{range_}" in project["dependencies"]
    installed = tuple(int(number) for number in re.findall(r"\d+", version(library)))
    assert least <= installed < below


# --- the solver ----------------------------------------------------------------------------------

# min 2x + 3z, x + z >= 4.5, 0 <= x, z <= 10, z whole: by hand, x = 4.5 and z = 0 cost 9, and every
# z in place of x costs 1 more. A version of the solver says 15.
LEAST = 9


def test_the_solver_finds_the_least_cost() -> None:
    highs = highspy.Highs()  # type: ignore[no-untyped-call]
    highs.setOptionValue("output_flag", False)
    highs.addVars(2, np.zeros(2), np.full(2, 10.0))
    highs.changeColsCost(2, np.arange(2, dtype=np.int32), np.array([2.0, 3.0]))
    highs.changeColIntegrality(1, highspy.HighsVarType.kInteger)
    highs.addRow(4.5, highspy.kHighsInf, 2, np.arange(2, dtype=np.int32), np.ones(2))
    highs.run()
    assert highs.getInfo().objective_function_value == pytest.approx(LEAST)


def test_the_modeller_passes_it_on() -> None:
    model = pulp.LpProblem("least", pulp.LpMinimize)
    x = model.add_variable("x", lowBound=0, upBound=10)
    z = model.add_variable("z", lowBound=0, upBound=10, cat=pulp.LpInteger)
    model += 2 * x + 3 * z
    model += x + z >= 4.5
    model.solve(pulp.HiGHS(msg=False))
    assert pulp.value(model.objective) == pytest.approx(LEAST)


def test_the_solver_prints_nothing() -> None:
    code = (
        "import highspy, pulp\n"
        "model = pulp.LpProblem('p', pulp.LpMinimize)\n"
        "model += model.add_variable('x', lowBound=1)\n"
        "model.solve(pulp.HiGHS(msg=False, threads=1))\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout == ""


# --- what the solver says, and what we make of it ------------------------------------------------

PRICES = {96: "4.13", 120: "5.39", 144: "6.07", 192: "8.71"}  # of a 2x4, by inches; invented
PARTS = {"61": 7, "31 1/4": 19, "23 3/16": 31, "17 3/8": 43, "13 5/16": 17, "41 7/16": 23}


def books() -> tuple[StockBook, Job]:
    """Studs in many lengths: too hard for one node of a search."""
    offers = (sold(f"1 1/2 x 3 1/2 x {length}", price) for length, price in PRICES.items())
    stock = book(*offers, shop=shop(offcut_value=Decimal(0)))
    studs = [part(f"1 1/2 x 3 1/2 x {length}", name=length, count=n) for length, n in PARTS.items()]
    return stock, job(*studs)


def cut_short(stock: StockBook, studs: Job) -> tuple[Problem, Attempt]:
    """What the integer programme says after one node."""
    problem, watch = posed(stock, *studs.parts), Watch(seconds=600)
    tables = [CuttingTables(problem, lumber, Rounding.FOR_PLANS) for lumber in problem.by_lumber]
    linear = Programme(problem)
    worths = grow(problem, tables, linear, watch).blanks
    programme = WholeProgramme(problem)
    programme.add([*linear.columns, *spare_patterns(tables, worths, watch)])
    return problem, programme.solve_whole(watch, nodes=1)


def test_the_modeller_calls_a_search_cut_short_optimal() -> None:
    model = pulp.LpProblem("cover", pulp.LpMinimize)
    x, y = (model.add_variable(name, lowBound=0, cat=pulp.LpInteger) for name in "xy")
    model += 29 * x + 31 * y
    model += 13 * x + 17 * y >= 500
    model += 19 * x + 7 * y >= 300
    model.solve(pulp.HiGHS(msg=False, gapRel=0.9))
    least = min(
        29 * x + 31 * y
        for x in range(40)
        for y in range(50)
        if 13 * x + 17 * y >= 500 and 19 * x + 7 * y >= 300
    )
    assert pulp.value(model.objective) > least
    assert pulp.LpStatus[model.status] == "Optimal"


def test_ours_knows_that_it_was_cut_short() -> None:
    _, attempt = cut_short(*books())
    assert attempt.whole is not None
    assert not attempt.complete
    assert attempt.bound < attempt.whole.cost


@pytest.mark.parametrize(("left", "least", "most"), [(-5, 100, 100), (50, 140, 150)])
def test_the_solver_has_the_time_left_and_counts_what_it_ran_before(
    monkeypatch: pytest.MonkeyPatch, left: float, least: float, most: float
) -> None:
    """Told to stop it goes on for up to 5 s."""
    solver = highspy.Highs()
    monkeypatch.setattr(solver, "getRunTime", lambda: 100.0)
    solver.setOptionValue("output_flag", False)
    Running(solver, Watch(seconds=left)).wait()
    assert least <= solver.getOptionValue("time_limit")[1] <= most


def test_a_plan_of_a_search_cut_short_promises_no_more_than_its_bound() -> None:
    plan = solve(*books(), Watch(seconds=600, gap_percent=Decimal(50)))
    above = plan.cost.net - plan.bound
    assert above > 0
    assert promise(plan) == f"at most {above} above the least possible"


def test_a_sum_that_the_solver_blurs_is_exact_in_the_plan() -> None:
    # A version of the solver returned 8.999999 where 9 was right.
    stock, studs = books()
    problem, attempt = cut_short(stock, studs)
    assert attempt.whole is not None
    blurred = replace(attempt.whole, cost=attempt.whole.cost - 1e-4)
    lengths = [(problem.supplies[c.pattern.supply].length, n) for c, n in blurred.boards]
    assert all(type(count) is int for _, count in lengths)
    net = lay_out(problem, stock, studs.parts, blurred).cost.net
    assert net == sum(count * Decimal(PRICES[int(length)]) for length, count in lengths)


# --- spreadsheets --------------------------------------------------------------------------------


def test_a_save_that_fails_leaves_the_book_as_it_was(tmp_path: Path) -> None:
    oar = io.BytesIO()
    Picture.new("RGB", (2, 2)).save(oar, "PNG")
    book, mine = openpyxl.Workbook(), tmp_path / "stock.xlsx"
    book.active.add_image(Image(oar), "A1")
    book.save(mine)

    # Saving a book with pictures twice fails, with the target half written …
    book = openpyxl.load_workbook(mine)
    book.save(tmp_path / "copy.xlsx")
    good = (tmp_path / "copy.xlsx").read_bytes()
    with pytest.raises(ValueError, match="closed file"):
        book.save(tmp_path / "copy.xlsx")
    assert (tmp_path / "copy.xlsx").read_bytes() != good

    # … and not where we write.
    before = mine.read_bytes()
    with pytest.raises(ValueError, match="closed file"), whole_file(mine) as unfinished:
        book.save(unfinished)
    assert mine.read_bytes() == before
    assert {path.name for path in tmp_path.iterdir()} == {"stock.xlsx", "copy.xlsx"}


def test_the_reader_drops_empty_rows_at_the_top_unless_told_not_to(tmp_path: Path) -> None:
    # Without skip_empty_area=False the rows of every fault would be named wrong; that they are
    # named right stands in test_spreadsheet.py.
    with xlsxwriter.Workbook(tmp_path / "b.xlsx") as book:
        book.add_worksheet("Rack").write_string("B3", "Size")
    sheet = CalamineWorkbook.from_path(tmp_path / "b.xlsx").get_sheet_by_name("Rack")
    assert sheet.to_python() == [["Size"]]
    assert sheet.to_python(skip_empty_area=False) == [["", ""], ["", ""], ["", "Size"]]


def test_a_formula_without_its_value_is_stored_as_zero(tmp_path: Path) -> None:
    # So the shopping workbook gives every sum its value (test_shopping_book.py).
    with xlsxwriter.Workbook(tmp_path / "b.xlsx") as book:
        book.add_worksheet("Bill").write_formula("A1", "=1+1")
    sheet = CalamineWorkbook.from_path(tmp_path / "b.xlsx").get_sheet_by_name("Bill")
    assert sheet.to_python() == [[0.0]]


def test_a_book_loaded_and_saved_has_lost_what_was_not_known(tmp_path: Path) -> None:
    """Why a user's book is never loaded and saved: what openpyxl 3.1 says, and does not say."""
    book = with_everything(tmp_path / "book.xlsx")
    before = parts_of_zip(book)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        openpyxl.load_workbook(io.BytesIO(book.read_bytes())).save(book)
    after = parts_of_zip(book)

    def said(parts: Mapping[str, bytes]) -> set[str]:
        every = b"".join(parts.values())
        marks = {
            "sparkline": b"sparklineGroup",
            "text box": b"call the yard on Monday",
            "picture in the header": b"&amp;G",
            "data bar": b"dataBar",
            "comment": b"wet when it came",
            "defined name": b"Lengths",
        }
        return {name for name, mark in marks.items() if mark in every}

    assert said(before) - said(after) >= {"sparkline", "text box"}
    assert {"comment", "defined name"} <= said(after)
    pictures = [name for name in before if name.startswith("xl/media/")]
    assert len([name for name in after if name.startswith("xl/media/")]) < len(pictures)
