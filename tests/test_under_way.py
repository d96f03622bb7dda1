"""A plan that is held or settled is not overwritten, and one that was replaced not carried out."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.journeys import contents, run
from tests.settled_shop import books, journal_in, rack_in

PARTS = "Part | Count | Length | Size\nRail | 3 | 40 | 2x4"


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """A planned job; the folder of its plan."""
    books(tmp_path, parts=PARTS)
    assert run("plan", tmp_path / "job.xlsx").exit_code == 0
    return tmp_path / "job-plan"


@pytest.mark.parametrize(
    ("word", "back", "said"),
    [
        ("settle", "--undo", "plan.json was settled on "),
        ("hold", "--release", "plan.json holds pieces of stock.xlsx, and is not overwritten"),
    ],
)
def test_a_plan_under_way_is_not_overwritten(
    tmp_path: Path, plan: Path, word: str, back: str, said: str
) -> None:
    job = tmp_path / "job.xlsx"
    assert run(word, plan).exit_code == 0
    before = contents(tmp_path)
    for command in ("plan", "compare"):
        refused = run(command, job)
        assert refused.exit_code == 1
        assert said in refused.stderr
        assert "name another folder with --out" in refused.stderr
    assert contents(tmp_path) == before
    assert run("plan", job, "--out", tmp_path / "elsewhere").exit_code == 0
    assert run(word, plan, back).exit_code == 0
    assert run("plan", job).exit_code == 0


def test_a_plan_that_was_replaced_is_not_carried_out(tmp_path: Path, plan: Path) -> None:
    book, second = tmp_path / "stock.xlsx", tmp_path / "job-plan-2"
    assert run("replan", plan, "--done", "B1", "--spoiled", "b1").exit_code == 0
    for words in (("settle", plan), ("hold", plan), ("replan", plan, "--spoiled", "b2")):
        refused = run(*words)
        assert refused.exit_code == 1
        assert f"plan.json was replaced by {second / 'plan.json'}; go on with that" in (
            refused.stderr
        )
    assert run("settle", second).exit_code == 0
    settled = rack_in(book), journal_in(book)
    assert run("settle", plan).exit_code == 1
    assert run("settle", plan, "--undo").exit_code == 0  # nothing to take back
    assert (rack_in(book), journal_in(book)) == settled
    assert run("settle", second, "--undo").exit_code == 0
    shutil.rmtree(second)  # a mistake: the first plan counts again
    assert run("settle", plan).exit_code == 0


def test_what_is_settled_is_not_replanned(tmp_path: Path, plan: Path) -> None:
    assert run("settle", plan).exit_code == 0
    refused = run("replan", plan)
    assert refused.exit_code == 1
    assert "take that back with settle --undo, then replan" in refused.stderr
    assert not (tmp_path / "job-plan-2").exists()
    assert run("settle", plan, "--undo").exit_code == 0
    assert run("replan", plan).exit_code == 0


def test_nothing_of_an_earlier_plan_stays_beside_a_new_one(tmp_path: Path, plan: Path) -> None:
    job = tmp_path / "job.xlsx"
    assert run("compare", job).exit_code == 0
    assert run("plan", job, "--csv", "--near", 50).exit_code == 0
    assert run("compare", job).exit_code == 0
    assert run("show", plan, "--csv").exit_code == 0
    assert run("replan", plan).exit_code == 0
    (plan / "ways" / "mine.txt").write_text("a note of the maker's")
    assert {path.name for path in plan.iterdir()} == {
        *("plan.json", "shopping.xlsx", "cutting.html", "labels.html", "compare.svg"),
        *("csv", "ways", "plan replaced by.txt"),
    }
    assert run("plan", job).exit_code == 0
    assert {path.name for path in plan.iterdir()} == {
        *("plan.json", "shopping.xlsx", "cutting.html", "labels.html", "ways")
    }
    assert [path.name for path in (plan / "ways").iterdir()] == ["mine.txt"]
