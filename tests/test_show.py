"""``rackfirst show``, and lists as CSV from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from optimizer.plan.plan_file import write_plan
from tests.journeys import good_books, run
from tests.sound_plans import boat_rack
from tests.typed_books import workbook


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_plan(boat_rack().plan, tmp_path / "plan.json")
    return tmp_path


def test_a_plan_is_shown_whole_or_list_by_list(folder: Path) -> None:
    whole = run("show", folder / "plan.json")
    assert whole.exit_code == 0
    assert "Order of work" in whole.stdout
    some = run("show", folder, "boards", "pull")
    assert some.stdout.startswith("Boards\n")
    assert "Pull from the rack and buy" in some.stdout
    assert "Order of work" not in some.stdout


def test_what_a_little_more_buys_is_listed_and_each_is_a_plan_to_show(tmp_path: Path) -> None:
    # Three of four rails in one board of 8 ft for 4.25; of 12 ft, which holds all, for 9.00.
    prices = "Size | Length | Price\n2x4 | 8' | 4.25\n2x4 | 12' | 9.00"
    job = good_books(tmp_path, parts="Part | Count | Length | Size\nRail | 4 | 31 1/4 | 2x4")
    no_worth = "Setting | Value\noffcut value | 0"
    workbook(tmp_path / "stock.xlsx", Prices=prices, Shop=no_worth)
    planned = run("plan", job, "--near", 1, "--seconds", 300)
    assert planned.exit_code == 0, planned.output
    assert (
        "Near: for up to 1.00 more in net\n   1  0.50 more in net, cash 9.00: 1 board fewer"
        in planned.stdout
    )
    shown = run("show", tmp_path / "job-plan" / "near" / "1.json", "pull", "bill").stdout
    assert "B1  1 ×  2x4  144 × 3 1/2" in shown
    assert "Cash       9.00  =  boards 9.00" in shown
    mine = tmp_path / "job-plan" / "near" / "mine.json"
    mine.write_text("{}")
    assert "Near" not in run("plan", job).stdout
    # What lay near an earlier plan is gone with it; what the maker put there stays.
    assert [left.name for left in mine.parent.iterdir()] == ["mine.json"]


def test_an_unknown_list_is_wrong_usage(folder: Path) -> None:
    shown = run("show", folder, "cats")
    assert shown.exit_code == 2
    assert "cats is none of" in shown.stderr


@pytest.mark.parametrize("content", [None, "{", '{"format": "other"}'])
def test_what_is_no_plan_is_named(tmp_path: Path, content: str | None) -> None:
    if content is not None:
        (tmp_path / "plan.json").write_text(content)
    shown = run("show", tmp_path / "plan.json")
    assert shown.exit_code == 1
    assert "plan.json" in shown.stderr


def test_a_plan_whose_cuts_do_not_follow_is_named(folder: Path) -> None:
    path = folder / "plan.json"
    path.write_text(path.read_text().replace('"piece": "B1.1"', '"piece": "B1.7"', 1))
    shown = run("show", folder, "boards")
    assert shown.exit_code == 1
    assert "there is no piece 'B1.7' to cut" in shown.stderr


def test_show_writes_every_list_as_csv(folder: Path) -> None:
    shown = run("show", folder, "back", "--csv")
    assert shown.stdout.endswith(f"Written to {folder / 'csv'}\n")
    assert (folder / "csv" / "cuts.csv").exists()


def test_plan_writes_every_list_as_csv(tmp_path: Path) -> None:
    planned = run("plan", good_books(tmp_path), "--csv")
    assert planned.exit_code == 0
    assert planned.stdout.endswith("plan.json, shopping.xlsx, cutting.html, labels.html, csv\n")
    assert (tmp_path / "job-plan" / "csv" / "pieces.csv").exists()
