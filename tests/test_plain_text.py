"""A plan as text, for who has only a terminal."""

from __future__ import annotations

import pytest

from optimizer.output.plain_text import LISTS, told
from optimizer.work.work import work_of
from tests.demo_plan import demo_plan
from tests.sample_plan import named, sample_plan
from tests.sound_plans import boat_rack
from tests.thin_strips import thin_strips


def test_boards_are_one_line_sticks() -> None:
    assert told(work_of(boat_rack().plan), ["boards"]).splitlines()[:-1] == [
        "Boards",
        "R001  2x4 × 44  |A1                      |:|",
        "B2    2x4 × 96  |:|C1a               |C1b               |R003               |:|",
        "B3    2x6 × 96  |:|D1a               |D1b               |R004               |:|",
        "B4    1x4 × 72  |:|E1          |E2          |E3          |::::::|:|",
    ]


def test_a_stick_keeps_to_the_width_of_a_terminal() -> None:
    assert max(map(len, told(work_of(demo_plan()), ["boards"]).splitlines())) <= 80


def test_strips_stand_beside_one_another_from_the_lower_edge_up() -> None:
    (line, *_) = told(work_of(thin_strips()), ["boards"]).splitlines()[1:]
    assert "|A1/A2/A3/C1" in line


def test_each_cut_says_how_it_is_set_and_what_comes_off() -> None:
    lines = told(work_of(boat_rack().plan), ["cuts"]).splitlines()
    assert lines[1] == "R001"
    expected = "1 Crosscut R001 stop 41 tape 41 → R001, 41 × 3 1/2 | scrap, 2 7/8 × 3 1/2"
    assert " ".join(lines[2].split()) == expected


def test_the_order_of_work_goes_setting_by_setting() -> None:
    lines = told(work_of(thin_strips()), ["order"]).splitlines()
    assert lines[1] == "In all 4 settings of stop and fence (8 if sawn board by board)."
    assert "  Fence at 2 7/8" in lines
    assert "    [ ] B1 cut 3: A1, 35 × 1/2; rest B1, 35 × 2 7/8" in lines


def test_cuts_say_from_where_their_readings_run() -> None:
    *_, last = told(work_of(boat_rack().plan), ["cuts"]).splitlines()
    assert last.startswith("Tape readings run from the board's left end")
    assert last.endswith("What is set is measured on the piece in hand.")


def test_glue_days_parts_and_what_goes_back() -> None:
    text = told(work_of(boat_rack().plan), ["glue", "days", "parts", "back", "pull"])
    for line in (
        "Batch 1: 15 clamps, 0.5 fl oz of glue.",
        "  [ ] C1 Post: C1a, C1b; 2 plies, each 31 × 3 × 1 1/2",
        "      glued 31 × 3 × 2 7/8, final 30 × 2 3/4 × 2 3/4",
        "Against snipe, 1 1/2 thick: run R003, 32 3/4 × 3 1/2 first, R004, 32 3/4 × 5 1/2 last. "
        "Measure what goes back on the rack anew.",
        "  1:12–1:42 Glue batch 1: C1, D1; clamps off at 2:42",
        "C1 Post: 30 × 2 3/4 × 2 3/4, tenons 1 + 1 included; 2 plies, glued face to face, planed",
        "  2 of 31 × 3 × 1 1/2: C1a, C1b, out of B2",
        "[ ] R003, 32 3/4 × 3 1/2, to the rack  SPF  left of B2",
    ):
        assert line in text.splitlines(), line
    assert "Landing" in text


@pytest.mark.parametrize("name", LISTS)
def test_text_out_of_the_books_keeps_to_its_line(name: str) -> None:
    text = told(work_of(named(sample_plan(), "a\x1b[2J\nb")), [name])
    assert "\x1b" not in text
    assert "\nb" not in text


def test_all_lists_come_under_their_headings() -> None:
    text = told(work_of(demo_plan()), list(LISTS))
    assert all(f"\n{heading}\n" in f"\n{text}" for heading, _ in LISTS.values())
