"""What was learnt beside a plan, as sheets, on screen and as a picture; every sum again."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

from office import needs_office, recalculated
from read_back import labelled, sheets, table, written
from sample_advice import sample_advice
from sample_plan import sample_plan

from optimizer.output.advice_text import advice_text
from optimizer.output.bars import COST_PARTS, bars_svg
from optimizer.output.store_sheet import plan_b_said
from optimizer.plan.comparison import PlanB
from stock.lengths import Unit


def test_what_was_learnt_has_sheets_of_its_own(tmp_path: Path) -> None:
    names = [sheet.title for sheet in sheets(written(sample_plan(), tmp_path, sample_advice()))]
    assert names[:3] == ["The bill", "Old Lock Yard", "Weir Street Lumber"]
    assert {"Compare", "Costs", "Wishes", "Measure first"} <= set(names)


def test_ways_stand_side_by_side(tmp_path: Path) -> None:
    rows = table(written(sample_plan(), tmp_path, sample_advice()), "Compare")
    assert rows[2][:5] == ["best mix", 115.48, 116.78, 6, 3]
    told = "\n".join(str(row[0]) for row in rows)
    assert "one store only: does not go. Post: no board is on the rack or for sale" in told
    assert (
        "Post: 4x4 spruce: break-even at 75.0 % of today's price: 4x4 x 8' at 15.00 (now 20.00). "
        "Below, the beam." in told
    )
    assert "Leg: 6x6 oak: not found in time." in told


@needs_office
def test_the_parts_of_each_cost_add_up_to_its_net(tmp_path: Path) -> None:
    advice = sample_advice()
    book = recalculated(written(sample_plan(), tmp_path, advice), tmp_path / "anew")
    nets = {way.name: f"{way.plan.cost.net:.2f}" for way in advice.alternatives if way.plan}
    assert {k: v for k, v in labelled(book, "Costs").items() if k in nets} == nets


def test_the_costs_are_drawn_in_the_workbook(tmp_path: Path) -> None:
    book = written(sample_plan(), tmp_path, sample_advice())
    (costs,) = (sheet for sheet in sheets(book) if sheet.title == "Costs")
    (chart,) = costs._charts
    assert len(chart.series) == len(COST_PARTS)


def test_a_line_tells_what_to_buy_instead(tmp_path: Path) -> None:
    book = written(sample_plan(), tmp_path, sample_advice())
    rows = table(book, "Weir Street Lumber")
    at = next(n for n, row in enumerate(rows) if row[2] == "2x12")
    assert rows[at + 1][0] == (
        "Stands 2 culls, with no more to spare. No straight 2x12 x 12'? 2 × 2x10 x 12', "
        "1 × 1x4 x 8' at Old Lock Yard, and not 1 × 2x4 x 8': 6.20 more."
    )
    assert labelled(book, "Weir Street Lumber")["Boards"] == "93.70"
    said = [row[0] for row in table(book, "Old Lock Yard")]
    assert "Stands any number of culls. No 4x4 x 8'? Nothing else here makes the job." in said


def test_one_cull_is_told_as_one() -> None:
    plan_b = PlanB(store="A", offer="2x4 x 8'", culls=1, more=Decimal(0))
    assert plan_b_said(plan_b).startswith("Stands 1 cull, with no more to spare.")
    none = PlanB(store="A", offer="2x4 x 8'", culls=0, more=Decimal(0))
    assert plan_b_said(none).startswith("Stands 0 culls, with none to spare.")


def test_wishes_and_hinges_are_listed(tmp_path: Path) -> None:
    book = written(sample_plan(), tmp_path, sample_advice())
    wishes = table(book, "Wishes")
    assert wishes[2] == ["Post: solid, not glued", 3.1, 3.6, "-0.8", -2]
    assert wishes[4][0] == "Rail is 1/8 in too long for R2: shortening it would save 11.40"
    first = table(book, "Measure first")
    assert first[2][1:] == ["north wall", "R2", "1/8", "0", "without it the job costs 4.75 more"]
    assert first[3][5] == "without it the job cannot be made"


def test_a_wish_is_said_to_be_given_up(tmp_path: Path) -> None:
    said = advice_text(sample_advice(), Unit.IN)
    assert "Post: solid, not glued; giving that up would save 3.10 to 3.60" in said
    assert table(written(sample_plan(), tmp_path, sample_advice()), "Wishes")[1][0] == "Given up"


def test_no_hours_saved_are_no_minus(tmp_path: Path) -> None:
    advice = sample_advice()
    (wish,) = advice.wishes
    barely = replace(advice, wishes=(replace(wish, minutes=Fraction(-1)),))
    assert table(written(sample_plan(), tmp_path, barely), "Wishes")[2][3] == "0.0"


def test_one_question_is_told_as_one() -> None:
    one = advice_text(replace(sample_advice(), unanswered=1), Unit.IN)
    assert one.endswith("\n1 question was not looked at; --seconds gives more time.")


def test_the_screen_holds_it_in_80_columns() -> None:
    lines = advice_text(sample_advice(), Unit.IN).splitlines()
    assert max(map(len, lines)) <= 80
    # Two arms of 6 planed faces and a glue line, 27 minutes each, and three rips of 4.
    assert lines[1].split()[:8] == ["best", "mix", "115.48", "116.78", "6", "3", "2", "1.1"]
    assert lines[-1] == "3 questions were not looked at; --seconds gives more time."


def test_bars_are_as_long_as_the_amounts() -> None:
    advice = sample_advice()
    svg = bars_svg(advice.alternatives)
    root = ElementTree.fromstring(svg)
    told = [
        (title.text, float(rect.attrib["width"]))
        for rect in root.iter("{http://www.w3.org/2000/svg}rect")
        for title in rect
    ]
    amounts = [
        abs(part.amount(way.plan.cost))
        for way in advice.alternatives
        if way.plan
        for part in COST_PARTS
        if part.amount(way.plan.cost)
    ]
    assert [re.findall(r"[\d.]+$", str(text))[0] for text, _ in told] == [
        f"{a:.2f}" for a in amounts
    ]
    scale = told[0][1] / float(amounts[0])
    for (_, width), amount in zip(told, amounts, strict=True):
        assert abs(width - float(amount) * scale) < 0.2


def test_a_way_with_nothing_to_pay_is_drawn_too() -> None:
    way = sample_advice().alternatives[0]
    assert way.plan
    free = replace(
        way.plan,
        buy=(),
        taxes=(),
        bound=Decimal(-9),
        cost=replace(
            way.plan.cost, boards=Decimal(0), tax=Decimal(0), glue=Decimal(0), rack_used=Decimal(0)
        ),
    )
    assert "best mix" in bars_svg([replace(way, plan=free)])


def lightness(colour: str) -> float:
    """Of ``#rrggbb`` in black and white, 0 to 1: the luma of ITU-R BT.601."""
    red, green, blue = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_the_parts_of_a_cost_are_told_apart_in_black_and_white() -> None:
    light = sorted(lightness(part.colour) for part in COST_PARTS)
    assert min(more - less for less, more in pairwise(light)) > 0.09
    assert len({part.hatching for part in COST_PARTS}) == len(COST_PARTS)
