"""The page as a file: one file, its size, its text; how it behaves is tried in a browser."""

from __future__ import annotations

import html
import re
from dataclasses import replace

from optimizer.output.bars import COST_PARTS
from optimizer.output.cutting_page import cutting_page, framed_page
from optimizer.work.work import work_of
from tests.demo_plan import demo_plan
from tests.many_boards import many_boards
from tests.sample_advice import sample_advice
from tests.sample_plan import buying, named, sample_plan
from tests.sound_plans import boat_rack


def test_nothing_in_it_points_outside() -> None:
    page = cutting_page(work_of(demo_plan()))
    assert not re.search(r"(?:src|href)=\"(?!#|data:)", page)
    assert not re.search(r"https?:|@import|url\((?!#)", page)
    assert "default-src 'none'" in page


def test_the_page_of_three_hundred_boards_is_under_five_megabytes() -> None:
    plan = many_boards(300)
    assert len(plan.boards) >= 300
    assert len(cutting_page(work_of(plan)).encode()) < 5_000_000


def test_equal_plans_give_equal_pages() -> None:
    plan = boat_rack().plan
    assert cutting_page(work_of(plan)) == cutting_page(work_of(plan))


def test_each_plan_keeps_its_own_ticks() -> None:
    keys = {
        re.search(r'data-ticks="(.*?)"', cutting_page(work_of(plan)))[1]  # type: ignore[index]
        for plan in (boat_rack().plan, sample_plan(), demo_plan())
    }
    assert len(keys) == 3


def test_control_characters_and_halves_of_characters_do_not_get_in() -> None:
    page = cutting_page(work_of(named(sample_plan(), "a\x00b\ud83d\x1b[2Jc")))
    assert page.encode("utf-8")
    assert not re.search("[\x00-\x08\x0b-\x1f]", page)


def test_boards_are_fetched_store_by_store_and_then_along_the_rack() -> None:
    page = cutting_page(work_of(sample_plan()))
    places = re.findall(r'<h3 class="place"><bdi>(.*?)</bdi></h3>', page)
    assert places == ["Weir Street Lumber", "Old Lock Yard", "Rack, bay north wall"]
    take = page.split('id="take"')[1].split('id="order"')[0]
    assert re.findall(r'class="m"><bdi>(R.*?)</bdi></b>', take) == ["R2", "R10 (1)", "R10 (2)"]


def test_cautions_stand_before_the_first_cut_and_defer_to_the_manual() -> None:
    page = cutting_page(work_of(boat_rack().plan))
    before = page.split('id="take"')[0]
    assert "guard, riving knife and push stick, as the saw" in before
    assert "never a rated beam" in before
    assert "manual and the rules where you work come before this page" in before


def test_a_notebook_s_frame_runs_scripts_and_reaches_nothing_outside() -> None:
    frame = framed_page(boat_rack().plan)
    assert frame.count("<") == 2  # all of the page is inside an attribute
    assert 'sandbox="allow-scripts"' in frame


def test_a_plan_shows_itself_in_a_notebook() -> None:
    assert boat_rack().plan._repr_html_() == framed_page(boat_rack().plan)


def test_a_plan_of_nothing_is_a_page_too() -> None:
    plan = replace(buying(), boards=(), parts=())
    page = cutting_page(work_of(plan))
    assert 'id="glue"' not in page
    assert "Nothing worth keeping is left." in page


def test_one_board_is_told_as_one() -> None:
    plan = boat_rack().plan
    page = cutting_page(work_of(replace(plan, boards=plan.boards[:1], parts=plan.parts[:1])))
    assert "1 board · 1 part · 2 cuts · " in page


def test_ways_compared_stand_at_its_end_with_every_sum_and_every_way_that_does_not_go() -> None:
    assert "Ways side by side" not in cutting_page(work_of(sample_plan()))
    ways = sample_advice().alternatives
    page = html.unescape(cutting_page(work_of(sample_plan()), ways)).replace("\xa0", " ")
    told = page.split('id="ways"')[1]
    for way in ways:
        if way.plan:
            assert f"{way.name.capitalize()}: {way.plan.cost.net}" in told
            for part in COST_PARTS:
                if amount := part.amount(way.plan.cost):
                    assert f"{'less ' * (amount < 0)}{part.title} {abs(amount)}" in told
    assert "6 boards bought, 3 off the rack, 2 glue lines, 1.1 h" in told
    assert "does not go: Post: no board is on the rack or for sale." in told


def test_in_black_and_white_each_part_of_the_cost_has_a_hatching_of_its_own() -> None:
    hatchings = [part.hatching for part in COST_PARTS]
    assert len(set(hatchings)) == len(COST_PARTS)
    page = cutting_page(work_of(sample_plan()), sample_advice().alternatives)
    rules = {name: re.search(rf"^\.{name} {{ fill: (.+?);", page, re.M) for name in hatchings}
    assert len({rule[1] for rule in rules.values() if rule}) == len(COST_PARTS)
    for used in re.findall(r"fill: url\(#(\w+)\)", page):
        assert f'<pattern id="{used}"' in page
