"""The commands ``start`` and ``check``: what they write, print and end with."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from optimizer.cli import app
from optimizer.start import asked_settings, check_setting
from stock.lengths import Unit
from tests.typed_books import workbook

PRICES = "Size | Length | Price\n2x4 | 8' | 4.25"
PARTS = "Part | Count | Length | Size\nRail | 4 | 31 1/4 | 2x4\nPost | 2 | 60 | 2x4"


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


# --- start ---------------------------------------------------------------------------------------


def test_start_writes_both_books(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "shop"
    result = run("start", folder, "--unit", "mm")
    assert result.exit_code == 0
    assert sorted(path.name for path in folder.iterdir()) == ["job.xlsx", "stock.xlsx"]


def test_start_overwrites_nothing(tmp_path: Path) -> None:
    mine = tmp_path / "job.xlsx"
    mine.write_text("mine")
    result = run("start", tmp_path)
    assert result.exit_code == 1
    assert "job.xlsx is there already" in result.stderr
    assert list(tmp_path.iterdir()) == [mine]
    assert mine.read_text() == "mine"


@pytest.mark.parametrize(
    ("unit", "kerf", "said"),
    [
        (Unit.MM, "30", "crosscut kerf: it is wider than 1/2 in, 12.7 mm"),
        (Unit.IN, "wide", "this is not a length"),
    ],
)
def test_start_refuses_a_kerf_in_its_own_name(unit: Unit, kerf: str, said: str) -> None:
    (setting,) = (each for each in asked_settings() if each.name == "crosscut kerf")
    with pytest.raises(ValueError, match=said):
        check_setting(setting, kerf, unit)
    check_setting(setting, "3 mm", unit)
    check_setting(setting, "", unit)


def test_start_asks_back_where_the_longest_carried_may_be_feet() -> None:
    (setting,) = (each for each in asked_settings() if each.name == "longest carried")
    with pytest.raises(ValueError, match="16 may be feet or inches; type 16' or 16 in"):
        check_setting(setting, "16", Unit.IN)
    check_setting(setting, "16'", Unit.IN)


def test_start_in_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    result = run("start", tmp_path / "file")
    assert result.exit_code == 1
    assert "is no folder" in result.stderr


# --- check ---------------------------------------------------------------------------------------


def test_check_says_what_was_read(tmp_path: Path) -> None:
    job = workbook(tmp_path / "job.xlsx", Parts=PARTS)
    workbook(tmp_path / "stock.xlsx", Prices=PRICES, Rack="Size | Length | Count\n2x4 | 30 | 3")
    result = run("check", job)
    assert result.exit_code == 0
    assert "job.xlsx: 2 parts, 6 to make." in result.stdout
    assert "stock.xlsx: 3 pieces on the rack, 1 offer of 1 store." in result.stdout


def test_check_reports_every_fault_on_stderr(tmp_path: Path) -> None:
    job = workbook(tmp_path / "job.xlsx", Parts="Part | Count | Length | Size\nRail | x | y | 2x4")
    stock = workbook(tmp_path / "other.xlsx", Prices="Size | Length | Price\n2x4 | 8' | z")
    result = run("check", job, "--stock", stock)
    assert result.exit_code == 1
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 3


def test_check_names_every_part_that_cannot_be_made(tmp_path: Path) -> None:
    parts = PARTS + "\nPlank | 1 | 150 | 2x4\nBeam | 1 | 60 | 2x12"
    job = workbook(tmp_path / "job.xlsx", Parts=parts)
    workbook(tmp_path / "stock.xlsx", Prices=PRICES)
    result = run("check", job)
    assert result.exit_code == 1
    assert [line.split(":")[0] for line in result.stderr.splitlines()] == ["Plank", "Beam"]
    assert "the longest usable board so wide is 95" in result.stderr
    assert "every part can be made" not in result.stdout


def test_a_book_open_in_a_spreadsheet_program_can_be_checked(tmp_path: Path) -> None:
    job = workbook(tmp_path / "job.xlsx", Parts=PARTS)
    workbook(tmp_path / "stock.xlsx", Prices=PRICES)
    (tmp_path / ".~lock.stock.xlsx#").write_text("someone")
    assert run("check", job).exit_code == 0


# --- usage ---------------------------------------------------------------------------------------


def test_wrong_usage_ends_with_two() -> None:
    assert run("check").exit_code == 2
    assert run("start", "here", "--unit", "cubit").exit_code == 2


def test_help_comes_without_heavy_imports() -> None:
    heavy = {"pandas", "numpy", "pulp", "highspy", "openpyxl", "python_calamine", "xlsxwriter"}
    code = (
        "import sys\n"
        "from optimizer.cli import app\n"
        "try: app(['--help'])\n"
        "except SystemExit: pass\n"
        "print(*sys.modules, file=sys.stderr)"
    )
    root = Path(__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root
    )
    assert "start" in done.stdout
    assert heavy.isdisjoint(done.stderr.split())


def test_a_note_of_old_prices_is_no_wider_than_a_narrow_terminal(tmp_path: Path) -> None:
    prices = "Store | Size | Length | Price | Priced on\n" + "\n".join(
        f"The Yard Behind the Lower Lock, at the Old Mill | 2x{width} | 8' | 4.25 | 2020-03-28"
        for width in (4, 6)
    )
    stock = workbook(tmp_path / "stock.xlsx", Prices=prices)
    job = workbook(tmp_path / "job.xlsx", Parts=PARTS)
    result = run("check", job, "--stock", stock)
    assert "2 prices are older than 30 days" in " ".join(result.stderr.split())
    assert "the oldest of 2020-03-28; ask again." in " ".join(result.stderr.split())
    assert result.stderr.startswith("Note: The Yard Behind the Lower Lock, at the Old Mill")
    assert max(map(len, result.stderr.splitlines())) <= 80


def test_check_notes_a_price_of_nothing(tmp_path: Path) -> None:
    workbook(tmp_path / "stock.xlsx", Prices="Size | Length | Price\n2x4 | 8' | 0")
    result = run("check", workbook(tmp_path / "job.xlsx", Parts=PARTS))
    assert result.exit_code == 0
    assert "Note: Store: 2x4 x 8' at a price of 0, planned as given away." in result.stderr
