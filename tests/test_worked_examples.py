"""Published cutting-stock examples through the whole tool: two workbooks, the command, plan.json.

All are cut without kerf, trim or leftovers from boards as wide as the parts, in an mm book; lengths
are scaled to those of boards. Optima marked *published* were seen in the source; the others were
solved to proven optimality by others than this program, by two methods.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path

import pytest
from typer.testing import CliRunner

from optimizer.cli import app
from optimizer.job.job_book import read_books
from optimizer.plan.audit import audit
from optimizer.plan.plan import Plan, Status
from optimizer.plan.plan_file import read_plan
from tests.typed_books import settings_sheet, workbook

Boards = Sequence[tuple[int, int, int]]  # length, width, price
Parts = Sequence[tuple[int, int, int]]  # length, width, count


def planned(folder: Path, boards: Boards, parts: Parts, sawing: str = "free") -> Plan:
    """The plan that the command writes, read back and audited."""
    settings = settings_sheet(
        unit="mm",
        rip_kerf="0",
        crosscut_kerf="0",
        end_trim="0",
        shortest_to_rip="1",
        narrowest_rip="1",
        longest_to_rip="10000",
        offcut_value="0",
        sawing=sawing,
    )
    prices = ["Thickness | Length | Width | Price"]
    prices += [f"20 | {length} | {width} | {price}" for length, width, price in boards]
    lines = ["Thickness | Make | Faces | Part | Length | Width | Count"]
    lines += [
        f"20 | solid | as bought | P{n} | {length} | {width} | {count}"
        for n, (length, width, count) in enumerate(parts)
    ]
    stock = workbook(folder / "stock.xlsx", Prices="\n".join(prices), Shop=settings)
    job = workbook(folder / "job.xlsx", Parts="\n".join(lines))
    words = ["plan", job, "--stock", stock, "--out", folder / "out", "--seconds", "60"]
    result = CliRunner().invoke(app, list(map(str, words)))
    assert result.exit_code == 0, result.output
    plan, books = read_plan(folder / "out" / "plan.json"), read_books(job, stock)
    audit(plan, books.stock, books.job)
    return plan


# --- in one dimension ----------------------------------------------------------------------------

PAPER_ROLLS = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
TUTORIAL_REELS = {
    750: 189,  # listed five times: 38, 44, 30, 41, 36
    538: 33,
    530: 36,
    510: 41,
    502: 35,
    322: 37,
    308: 44,
    298: 49,
    201: 37,
    162: 36,
    145: 42,
    110: 33,
    86: 47,
    82: 35,
    66: 49,
    51: 42,
}
THREE_LENGTHS = {60: 500, 56: 400, 42: 300, 38: 450, 34: 350, 24: 100, 15: 800, 10: 1000}


@pytest.mark.parametrize(
    ("scale", "boards", "lengths", "least"),
    [
        # Encyclopedia article "Cutting stock problem": paper rolls of 5600 mm; 73 published.
        pytest.param(1, {5600: 1}, PAPER_ROLLS, 73, id="paper rolls"),
        # JuMP documentation, tutorial on column generation, lengths times 10; 334 published.
        pytest.param(4, {1000: 1}, TUTORIAL_REELS, 334, id="reels of a tutorial"),
        # Chvátal, Linear Programming (1983), chapter 13, as quoted in a notebook library.
        pytest.param(40, {100: 1}, {45: 97, 36: 610, 31: 395, 14: 211}, 453, id="textbook of 1983"),
        # Fourer, Gay, Kernighan, AMPL, cut.dat.
        pytest.param(
            40, {110: 1}, {20: 48, 45: 35, 50: 24, 55: 10, 75: 8}, 47, id="modelling book"
        ),
        # OR-Tools sample bin_packing_mip.
        pytest.param(40, {100: 1}, {48: 1, 30: 2, 19: 1, 36: 3, 27: 1, 42: 2, 24: 1}, 4, id="bins"),
        # MiniZinc benchmark cutstock.mzn (Puchinger 2007).
        pytest.param(300, {10: 1}, {7: 2, 5: 2, 3: 4}, 4, id="benchmark"),
        # Lumber example of Winston, Introduction to Mathematical Programming (title from memory);
        # data of lecture notes MIE376, lecture 8.
        pytest.param(300, {17: 1}, {3: 25, 5: 20, 9: 15}, 19, id="lumber"),
        # A published example of three raw lengths with costs; its linear optimum is 46600.
        pytest.param(60, {72: 28, 48: 19, 36: 15}, THREE_LENGTHS, 46602, id="three lengths"),
        # Textbook exercises: boards of 25 ft twice, of 20 ft, reels of 100 in.
        pytest.param(200, {25: 1}, {7: 5000, 9: 1200, 11: 300}, 2167, id="exercise, 25 ft"),
        pytest.param(200, {25: 1}, {7: 700, 9: 1200, 10: 300}, 775, id="other exercise, 25 ft"),
        pytest.param(200, {20: 1}, {3: 50, 4: 25, 8: 15, 10: 70}, 54, id="exercise, 20 ft"),
        pytest.param(40, {100: 1}, {60: 30, 48: 50, 36: 25, 24: 90}, 77, id="exercise, 100 in"),
    ],
)
def test_one_dimension(
    tmp_path: Path, scale: int, boards: Mapping[int, int], lengths: Mapping[int, int], least: int
) -> None:
    plan = planned(
        tmp_path,
        [(scale * length, 100, price) for length, price in boards.items()],
        [(scale * length, 100, count) for length, count in lengths.items()],
    )
    assert plan.cost.net == least
    assert plan.bound == least
    assert plan.status is Status.PROVEN


def test_the_waste_of_the_paper_rolls_is_as_published(tmp_path: Path) -> None:
    # The encyclopedia gives 0.401 % of 73 rolls, and 407160 mm in all.
    plan = planned(tmp_path, [(5600, 100, 1)], [(n, 100, c) for n, c in PAPER_ROLLS.items()])
    used = sum(blank.length for board in plan.boards for blank in board.blanks) / plan.unit.inches
    assert used == 407160
    assert round(100 * (1 - used / (73 * 5600)), 3) == Decimal("0.401")


# --- in two dimensions ---------------------------------------------------------------------------

# Instances of Macedo, Alves, Valério de Carvalho, Computers & Operations
# Research 37 (2010): furniture plates, no rotation, no kerf.
A_1 = ((2750, 1220), [(1680, 420, 6), (463, 386, 18)])
A_7 = (
    (2750, 1220),
    [(1120, 986, 12), (706, 516, 16), (1120, 486, 12), (986, 433, 10), (706, 286, 8)],
)
A_10 = ((2550, 2100), [(481, 961, 16), (1938, 81, 12), (466, 80, 16)])

Plate = tuple[int, int]


@pytest.mark.parametrize(
    ("instance", "two_stage", "any_stage"),
    [(A_1, 4, 3), (A_7, 14, 13), (A_10, 3, 2)],
    ids=["A-1", "A-7", "A-10"],
)
def test_furniture_plates(
    tmp_path: Path, instance: tuple[Plate, Parts], two_stage: int, any_stage: int
) -> None:
    # Rip first is the two-stage problem with trimming, and its optimum published. The other styles
    # crosscut strips once more: at least the optimum without a limit of stages, as published, at
    # most that of two stages with either cut first.
    (length, width), parts = instance
    nets = {}
    for sawing in ("rip first", "crosscut first", "free"):
        (tmp_path / sawing).mkdir()
        plan = planned(tmp_path / sawing, [(length, width, 1)], parts, sawing)
        assert plan.status is Status.PROVEN
        nets[sawing] = plan.cost.net
    assert nets["rip first"] == two_stage
    assert any_stage <= nets["free"] <= min(nets.values())


def test_the_free_style_saves_a_plate_by_choosing_for_each(tmp_path: Path) -> None:
    # 14 plates rip first, 14 crosscut first, 13 with the choice for each plate (solved to
    # proven optimality by others than this program).
    (length, width), parts = A_7
    assert planned(tmp_path, [(length, width, 1)], parts).cost.net == 13
