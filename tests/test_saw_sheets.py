"""The sheets for saw and glue in the workbook; that one can saw by them is tried elsewhere."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from optimizer.output.cutting_page import cutting_page
from optimizer.output.plain_text import told as shown
from optimizer.work.work import work_of
from tests.read_back import table, written
from tests.sound_plans import boat_rack
from tests.thin_strips import thin_strips


def rows(folder: Path, sheet: str) -> list[list[object]]:
    return table(written(boat_rack().plan, folder), sheet)


def test_the_order_of_work_names_each_setting_once(tmp_path: Path) -> None:
    book = table(written(thin_strips(), tmp_path), "Order of work")
    assert book[1] == ["Done", "Set", "Piece", "Cut", "Comes off", "Remains"]
    assert [row[1] for row in book if row[1]][1:] == [
        "Trim left end at 3/8",
        "Trim right end at 35",
        "Trim left end at 3/8",
        "Trim right end at 35",
        "Fence at 2 7/8",
        "Fence at 2 1/4",
        "Fence at 1 5/8",
        "Fence at 1 1/2",
    ]
    assert "In all 4 settings of stop and fence (8 if sawn board by board)." in str(book[-1][0])


def test_glue_ups_say_all_that_is_needed_at_the_bench(tmp_path: Path) -> None:
    post = rows(tmp_path, "Glue")[2]
    assert post == [
        "",
        1,
        "C1",
        "Post",
        "C1a, C1b: 2 plies, each 31 × 3 × 1 1/2",
        "plane 4 faces, both of each piece",
        "0.4 fl oz, 93 in²",
        "10 clamps (4 by spacing, 10 by force)",
        "31 × 3 × 2 7/8",
        "30 × 2 3/4 × 2 3/4",
    ]


def test_what_is_remarked_of_a_part_stands_where_it_is_glued(tmp_path: Path) -> None:
    """A wide panel goes through the planer in sections: who follows Glue alone must read it."""
    said = "glue and plane it in sections of 2 + 1 strips, then joint and join these"
    plan = boat_rack().plan
    parts = tuple(replace(made, remarks=(said,) if made.glued else ()) for made in plan.parts)
    told = [row[0] for row in table(written(replace(plan, parts=parts), tmp_path), "Glue")]
    assert [line for line in told if said in str(line)] == [f"C1: {said}.", f"D1: {said}."]
    work = work_of(replace(plan, parts=parts))
    assert f"      note: {said}" in shown(work, ["glue"]).splitlines()
    assert "Glue batch 1: C1 (see its note), D1 (see its note); clamps" in shown(work, ["days"])
    assert cutting_page(work).count(f"<dt>Note</dt><dd><b>{said}</b></dd>") == 2


def test_where_nothing_is_glued_there_is_no_sheet_of_glue(tmp_path: Path) -> None:
    days = table(written(thin_strips(), tmp_path), "Days")
    assert [row[0] for row in days[:2]] == ["Planing and days", "Nothing is glued"]
    assert any(str(row[0]).startswith("Day 1") for row in days)
    assert "Nothing is glued." in shown(work_of(thin_strips()), ["glue"])


def test_below_the_glue_ups_stand_the_rules_and_the_days(tmp_path: Path) -> None:
    told = [str(row[0]) for row in rows(tmp_path, "Glue")]
    assert any("Close the clamps within 10 minutes" in line for line in told)
    assert any(line.startswith("Against snipe, 1 1/2 thick") for line in told)
    assert told[-2:] == ["Day 5", "0:00–0:24 Last pass and final length: 3 parts"]


def test_labels_can_be_merged_from_a_sheet(tmp_path: Path) -> None:
    lines = rows(tmp_path, "Labels")
    assert lines[1] == ["Mark", "Name", "Size", "Where"]
    assert lines[2] == ["A1", "Rail", "40 × 2 1/2 × 1 1/4", "of R001"]
    assert lines[-1][0] == "R004"


def test_marks_run_through_to_the_parts(tmp_path: Path) -> None:
    header, rail, post, *_ = rows(tmp_path, "Parts")[1:]
    assert header[5] == "Marks"
    assert (rail[5], post[5]) == ("A1", "C1a, C1b")
