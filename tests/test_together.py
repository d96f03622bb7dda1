"""Several jobs planned together: one purchase, and each job still its own sheets."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest

from optimizer.job.job_book import read_all_books
from optimizer.job.parts import Job, Part
from optimizer.job.together import together
from optimizer.plan.audit import audit
from optimizer.plan.plan_file import read_plan
from tests.journeys import refused, run
from tests.settled_shop import books, planned
from tests.typed_books import workbook

NO_RACK = "Size | Length | Tag\n2x4 | 13 | R001"
RAILS = "Part | Count | Length | Size\nRail | 1 | 40 | 2x4"
STOPS = "Part | Count | Length | Size\nRail | 1 | 52 | 2x4"


def shop(folder: Path, **more: str) -> tuple[Path, Path]:
    """Two jobs, either of which leaves half a board."""
    books(folder, **{"rack": NO_RACK, "parts": RAILS, **more})
    return folder / "job.xlsx", workbook(folder / "bench.xlsx", Parts=STOPS)


def part(name: str) -> Part:
    return Part(name=name, count=1, length=Fraction(9), width=Fraction(1), thickness=Fraction(1))


def test_parts_keep_their_job_before_their_name() -> None:
    rack = Job(name="rack", parts=(part("Rail"), part("Slat")))
    bench = Job(name="bench", parts=(part("Rail"),))
    both = together([rack, bench])
    assert both.name == "rack + bench"
    assert both.jobs == ("rack", "bench")
    assert [each.name for each in both.parts] == ["rack: Rail", "rack: Slat", "bench: Rail"]
    assert together([rack]) is rack


def test_together_they_share_a_board(tmp_path: Path) -> None:
    job, bench = shop(tmp_path)
    assert [len(planned(tmp_path, name).boards) for name in ("job", "bench")] == [1, 1]
    result = run("plan", job, bench)
    assert result.exit_code == 0, result.output
    folder = tmp_path / "job+bench-plan"
    assert "labels.html, job parts.xlsx, bench parts.xlsx" in result.stdout
    plan = read_plan(folder / "plan.json")
    assert [(line.offer, line.count) for line in plan.buy] == [("2x4 x 8'", 1)]
    both = read_all_books([job, bench], tmp_path / "stock.xlsx")
    audit(plan, both.stock, both.job)


def test_a_plan_made_anew_names_the_jobs_own_books_too(tmp_path: Path) -> None:
    run("plan", *shop(tmp_path))
    result = run("replan", tmp_path / "job+bench-plan", "--spoiled", "b1")
    assert result.exit_code == 0, result.output
    assert "labels.html, job parts.xlsx, bench parts.xlsx" in result.stdout
    assert (tmp_path / "job+bench-plan-2" / "bench parts.xlsx").exists()


def test_each_job_has_its_own_parts_and_boards(tmp_path: Path) -> None:
    job, bench = shop(tmp_path)
    run("plan", job, bench)
    own = openpyxl.load_workbook(tmp_path / "job+bench-plan" / "bench parts.xlsx")
    parts = [[cell.value for cell in row] for row in own["Parts"].iter_rows(min_row=3, max_row=3)]
    assert parts[0][:4] == ["Rail", "1", "52 × 3 1/2 × 1 1/2", "solid, as bought"]
    boards = [[cell.value for cell in row] for row in own["Boards"].iter_rows(min_row=3, max_row=4)]
    assert boards[0] == [None, "B1", "", "2x4", "96", "", "", 1, "job"]
    assert boards[1][1] is None


def test_what_is_held_for_one_of_them_serves_all(tmp_path: Path) -> None:
    rack = "Size | Length | Tag | Held for\n2x4 | 93 | R001 | bench\n2x4 | 93 | R002 | shelf"
    job, bench = shop(tmp_path, rack=rack)
    assert run("plan", job, bench).exit_code == 0
    plan = read_plan(tmp_path / "job+bench-plan" / "plan.json")
    assert [board.tag for board in plan.boards] == ["R001"]


def test_two_jobs_of_one_name_cannot_be_told_apart(tmp_path: Path) -> None:
    job, _ = shop(tmp_path)
    (tmp_path / "other").mkdir()
    other = workbook(tmp_path / "other" / "job.xlsx", Parts=STOPS)
    assert "two jobs have this name; rename one of the files" in refused(tmp_path, job, other)


@pytest.mark.parametrize("own", ["job parts.xlsx", "shopping.xlsx"])
def test_no_book_of_the_makers_is_replaced(tmp_path: Path, own: str) -> None:
    job, bench = shop(tmp_path)
    book = tmp_path / own
    book.write_bytes(bench.read_bytes())
    said = refused(tmp_path, job, book, "--out", tmp_path)
    assert f"{own} is a book of yours; name another folder with --out" in said
