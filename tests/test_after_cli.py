"""The commands for after a plan, as a user goes: settled, undone, held, counted, looked at."""

from __future__ import annotations

from pathlib import Path

from tests.journeys import contents, run
from tests.settled_shop import books, journal_in, rack_in


def shop(folder: Path) -> Path:
    """A planned job; the folder of its plan."""
    books(folder)
    assert run("plan", folder / "job.xlsx").exit_code == 0
    return folder / "job-plan"


def test_settled_and_undone(tmp_path: Path) -> None:
    plan, book = shop(tmp_path), tmp_path / "stock.xlsx"
    before = rack_in(book)
    done = run("settle", plan)
    assert done.exit_code == 0, done.output
    assert "Pieces: 4 counted, " in done.stdout
    assert "the book as it was is backups/stock " in done.stdout
    assert rack_in(book) != before
    assert "already: nothing is changed" in run("settle", plan / "plan.json").stdout
    assert run("settle", plan, "--undo").exit_code == 0
    assert rack_in(book) == before
    assert len(list((tmp_path / "backups").iterdir())) == 2


def test_what_happened_is_asked_on_a_sheet(tmp_path: Path) -> None:
    plan, sheet = shop(tmp_path), tmp_path / "happened.xlsx"
    before = (tmp_path / "stock.xlsx").read_bytes()
    asked = run("settle", plan, "--sheet", sheet)
    assert "Wrote" in asked.stdout
    assert sheet.exists()
    assert (tmp_path / "stock.xlsx").read_bytes() == before
    assert run("settle", plan, "--sheet", sheet, "--bay", "D4").exit_code == 0
    kept = [line for line in journal_in(tmp_path / "stock.xlsx") if line.what == "kept"]
    assert {line.piece.bay for line in kept} <= {"D4"}


def test_what_cannot_be_done_ends_with_one_and_leaves_all(tmp_path: Path) -> None:
    plan = shop(tmp_path)
    (tmp_path / ".~lock.stock.xlsx#").touch()
    before = contents(tmp_path)
    for words in (("settle", plan), ("hold", plan), ("stocktake", tmp_path / "stock.xlsx")):
        result = run(*words)
        assert result.exit_code == 1
        assert "is open in a spreadsheet program; close it" in result.stderr
    assert contents(tmp_path) == before
    assert run("settle", tmp_path / "nowhere").exit_code == 1
    gone = run("settle", plan, "--stock", tmp_path / "gone.xlsx")
    assert "gone.xlsx; look at its name and folder" in gone.stderr


def test_a_sheet_to_fill_in_is_a_workbook_by_its_name_too(tmp_path: Path) -> None:
    plan, book = shop(tmp_path), tmp_path / "stock.xlsx"
    for words in (("settle", plan), ("stocktake", book)):
        for name in ("sheet.csv", "sheet"):
            result = run(*words, "--sheet", tmp_path / name)
            assert result.exit_code == 1
            assert f"{name} would be a workbook: give it a name that ends in .xlsx" in result.stderr
            assert not (tmp_path / name).exists()


def test_held_and_released(tmp_path: Path) -> None:
    plan = shop(tmp_path)
    assert "held" in run("hold", plan).stdout
    assert "freed" in run("hold", plan, "--release").stdout


def test_counted_by_hand_and_on_a_sheet(tmp_path: Path) -> None:
    book = books(tmp_path)
    first = run("stocktake", book)
    assert "  R001: 2 found" in first.stdout
    assert "rack and journal agree" in run("stocktake", book).stdout
    asked = run("stocktake", book, "--sheet", tmp_path / "count.xlsx")
    assert "4 pieces, by bay" in asked.stdout
    assert "agree" in run("stocktake", book, "--sheet", tmp_path / "count.xlsx").stdout


def test_boards_that_came_home_go_on_the_rack_and_their_plan_goes_its_way(tmp_path: Path) -> None:
    parts = "Part | Count | Length | Size\nRail | 3 | 40 | 2x4"
    book = books(tmp_path, rack="Size | Length | Tag\n2x4 | 13 | R001", parts=parts)
    home = tmp_path / "home.csv"
    home.write_text("Tag,Size,Length\nH1,2x4,96 1/4\nH2,2x4,95 3/4\n")
    planned = run("plan", tmp_path / "job.xlsx", "--boards", home)
    assert "Pull from the rack: 2 pieces (H1, H2)" in planned.stdout
    plan = tmp_path / "job-plan"
    for word in ("hold", "settle"):
        assert "home: `rackfirst stocktake BOOK --boards SHEET`" in run(word, plan).stderr
    assert run("stocktake", book, "--boards", home, "--sheet", home).exit_code == 2
    assert "  H2: 1 found" in run("stocktake", book, "--boards", home).stdout
    assert run("hold", plan).exit_code == 0
    again = run("replan", plan, "--spoiled", "A1")
    assert again.exit_code == 0, again.output
    assert run("settle", tmp_path / "job-plan-2").exit_code == 0
    assert not {"H1", "H2"} & set(rack_in(book))


def test_one_piece_is_told_as_one(tmp_path: Path) -> None:
    book = books(tmp_path, rack="Size | Length | Tag\n2x4 | 31 | R001")
    assert run("rack", book).stdout.startswith("On the rack: 1 piece, ")
    asked = run("stocktake", book, "--sheet", tmp_path / "count.xlsx")
    assert "1 piece, by bay" in asked.stdout


def test_the_rack_is_told(tmp_path: Path) -> None:
    said = run("rack", books(tmp_path)).stdout
    assert said.startswith("On the rack: 4 pieces, ")
    assert run("rack", tmp_path / "none.xlsx").exit_code == 1
