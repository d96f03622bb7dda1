"""From ``start`` to a plan, as a new user goes; and what stops the way leaves nothing behind.

All prices are invented. A 2x4 is 1 1/2 × 3 1/2 (PS 20-20).
"""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

from optimizer.job.job_book import read_books
from optimizer.plan.audit import audit
from optimizer.plan.plan import Status
from optimizer.plan.plan_file import read_plan
from tests.journeys import good_books, refused, run

ROOT = Path(__file__).parents[1]
WRITTEN = ["cutting.html", "labels.html", "plan.json", "shopping.xlsx"]

# --- the whole way -------------------------------------------------------------------------------


def fill(book: Path, sheet: str, *rows: tuple[object, ...]) -> None:
    """Types rows under the header of a book that ``start`` wrote."""
    opened = openpyxl.load_workbook(book)
    for row in rows:
        opened[sheet].append(row)
    opened.save(book)


def test_from_start_to_a_plan_of_three_parts(tmp_path: Path) -> None:
    shop = tmp_path / "my shop"
    job, stock = shop / "job.xlsx", shop / "stock.xlsx"
    assert run("start", shop).exit_code == 0
    fill(stock, "Prices", ("2x4", "8'", 4.25), ("2x6", "10'", 7.9), ("1x4", "8'", 3.6))
    fill(stock, "Rack", ("2x4", "2' 7 1/4\"", 2))
    fill(
        job,
        "Parts",
        ("Rail", 4, "31 1/4", "2x4"),
        ("Leg", 4, 28, None, "2 3/4", "2 3/4"),
        ("Slat", 6, "2 ft 6 in", None, "3/4", "1 3/4"),
    )

    checked = run("check", job)
    assert checked.exit_code == 0
    assert "3 parts, 14 to make" in checked.stdout

    planned = run("plan", job)
    assert planned.exit_code == 0
    assert "job: 14 parts to make" in planned.stdout
    assert "best plan" in planned.stderr
    out = shop / "job-plan"
    assert sorted(path.name for path in out.iterdir()) == WRITTEN
    books = read_books(job, stock)
    audit(read_plan(out / "plan.json"), books.stock, books.job)


def test_a_csv_file_is_a_job_book(tmp_path: Path) -> None:
    good_books(tmp_path)
    job = tmp_path / "two rails.csv"
    job.write_text("Part,Count,Length,Size\nRail,2,31 1/4,2x4\n")
    assert run("plan", job).exit_code == 0
    assert read_plan(tmp_path / "two rails-plan" / "plan.json").job == "two rails"


def test_a_second_plan_takes_the_place_of_the_first(tmp_path: Path) -> None:
    job = good_books(tmp_path)
    assert run("plan", job).exit_code == 0
    good_books(tmp_path, parts="Part | Count | Length | Size\nShelf | 1 | 40 | 2x4")
    assert run("plan", job).exit_code == 0
    out = tmp_path / "job-plan"
    assert [made.part for made in read_plan(out / "plan.json").parts] == ["Shelf"]
    assert sorted(path.name for path in out.iterdir()) == WRITTEN


# --- when to stop --------------------------------------------------------------------------------


def many_short_parts(folder: Path) -> Path:
    """A job far too large to be proven: 30 lengths that share no measure, 11 to 17 of each."""
    lines = [
        f"Part {n} | {11 + n % 7} | {13 + n * 37 % 50} {n % 15 + 1}/16 | 2x4" for n in range(30)
    ]
    return good_books(folder, parts="\n".join(["Part | Count | Length | Size", *lines]))


def test_a_plan_within_the_wished_gap_is_enough(tmp_path: Path) -> None:
    job = many_short_parts(tmp_path)
    assert run("plan", job, "--gap", 20).exit_code == 0
    plan = read_plan(tmp_path / "job-plan" / "plan.json")
    assert plan.status is Status.WITHIN_GAP
    assert 0 < plan.above_least <= plan.cost.net / 5


def test_without_time_there_is_the_plan_made_at_once(tmp_path: Path) -> None:
    assert run("plan", good_books(tmp_path), "--seconds", 0).exit_code == 0
    plan = read_plan(tmp_path / "job-plan" / "plan.json")
    assert plan.status is Status.OUT_OF_TIME
    assert plan.bound < plan.cost.net


def test_without_time_there_is_no_plan_where_boards_are_bought_in_packs(tmp_path: Path) -> None:
    job = good_books(tmp_path, Prices="Size | Length | Price | Pack\n2x4 | 8' | 4.25 | 4")
    assert "more seconds" in refused(tmp_path, job, "--seconds", 0)


@pytest.mark.parametrize("words", [(), ("job.xlsx", "--gap", 101), ("job.xlsx", "--seconds", -1)])
def test_wrong_usage_ends_with_two(words: tuple[object, ...]) -> None:
    assert run("plan", *words).exit_code == 2


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no SIGINT for another process")
def test_ctrl_c_keeps_the_best_plan_found(tmp_path: Path) -> None:
    job = many_short_parts(tmp_path)
    command = [sys.executable, "-c", "from optimizer.cli import app; app()", "plan", str(job)]
    with subprocess.Popen(
        [*command, "--seconds", "300"],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as planning:
        assert planning.stderr
        assert any("best plan" in line for line in planning.stderr)  # reads on until there is one
        planning.send_signal(signal.SIGINT)
        said, _ = planning.communicate(timeout=60)
    assert planning.returncode == 0
    assert "above the least possible" in said
    plan = read_plan(tmp_path / "job-plan" / "plan.json")
    assert plan.status is Status.OUT_OF_TIME
    books = read_books(job, tmp_path / "stock.xlsx")
    audit(plan, books.stock, books.job)


# --- no plan -------------------------------------------------------------------------------------


def test_no_plan_names_each_part_the_reason_and_the_remedy(tmp_path: Path) -> None:
    parts = """
        Part  | Count | Length | Thickness | Width | Make
        Rail  | 4     | 31 1/4 | 1 1/2     | 3 1/2 |
        Plank | 1     | 150    | 1 1/2     | 3 1/2 |
        Panel | 2     | 30     | 1 1/4     | 9     | solid
        """
    job = good_books(tmp_path, parts=parts)
    said = refused(tmp_path, job).splitlines()
    assert [line.split(":")[0] for line in said] == ["Plank", "Panel"]
    assert "needs a blank 150 long" in said[0]
    assert "the longest usable board so wide is 143" in said[0]
    assert "the widest board is 3 1/2; with Make 'any' it would go, as 3 strips" in said[1]


def test_too_few_boards_name_the_part_that_lacks_them(tmp_path: Path) -> None:
    prices = "Size | Length | Price | In stock\n2x4 | 8' | 4.25 | 1"
    job = good_books(tmp_path, Prices=prices)
    said = refused(tmp_path, job)
    assert "raise In stock, or add an offer or a rack piece" in said


# --- where to write ------------------------------------------------------------------------------


@pytest.mark.parametrize("out", ["taken", "taken/inside"])
def test_a_file_is_no_folder_to_write_to(tmp_path: Path, out: str) -> None:
    job = good_books(tmp_path)
    (tmp_path / "taken").write_text("mine")
    said = refused(tmp_path, job, "--out", tmp_path / out)
    assert "is no folder and cannot become one; name another with --out" in said


@pytest.mark.parametrize("name", WRITTEN)
@pytest.mark.parametrize("lock", [".~lock.{}#", "~${}"], ids=["LibreOffice", "Excel"])
def test_an_old_plan_that_is_open_stays_as_it_was(tmp_path: Path, name: str, lock: str) -> None:
    job = good_books(tmp_path)
    assert run("plan", job).exit_code == 0
    (tmp_path / "job-plan" / lock.format(name)).write_text("someone")
    assert f"{name} is open in a spreadsheet program; close it" in refused(tmp_path, job)


def test_books_that_are_open_may_be_planned_with(tmp_path: Path) -> None:
    job = good_books(tmp_path)
    (tmp_path / ".~lock.stock.xlsx#").write_text("someone")
    (tmp_path / "~$job.xlsx").write_text("someone")
    assert run("plan", job).exit_code == 0


def test_a_plan_does_not_overwrite_the_books_it_is_made_from(tmp_path: Path) -> None:
    good_books(tmp_path)
    job = (tmp_path / "job.xlsx").rename(tmp_path / "shopping.xlsx")
    assert "is a book of yours" in refused(tmp_path, job, "--out", tmp_path)


# --- compare and advise --------------------------------------------------------------------------


@pytest.mark.parametrize("command", ["compare", "advise"])
def test_what_is_asked_beside_the_plan_is_said_and_written(tmp_path: Path, command: str) -> None:
    job = good_books(tmp_path)
    ran = run(command, job, "--seconds", 100)
    assert ran.exit_code == 0, ran.output
    assert "ways to do it, side by side" in ran.output
    assert "best mix" in ran.output
    folder = tmp_path / "job-plan"
    assert {path.name for path in folder.iterdir()} == {
        "plan.json",
        "shopping.xlsx",
        "cutting.html",
        "labels.html",
        "compare.svg",
        "ways",
    }
    best = (folder / "ways" / "best mix.json").read_text(encoding="utf-8")
    assert best == (folder / "plan.json").read_text(encoding="utf-8")
