"""Instances of the literature are read as they stand, and solved as shop jobs."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from optimizer.plan.plan import Status
from optimizer.solve import ways_of
from stock.lengths import Unit
from stock.shop import Sawing
from tests.benchmarks.cutting_stock import Boards, Item, Known, Valued, ValuedPlate
from tests.benchmarks.instance_files import (
    furniture,
    json_shop_jobs,
    valued_plates,
    worked_examples,
)
from tests.benchmarks.measure import solved
from tests.benchmarks.published import VALUED_PLATES

CGCUT_1, *_ = VALUED_PLATES

# --- reading -------------------------------------------------------------------------------------

FURNITURE_FILE = "\n".join(
    [
        *["explanation"] * 9,
        "1",
        "2750\t1220",
        "2",
        "1680\t420\t6",
        "463\t386\t18",
    ]
)
SHOP_JOB: dict[str, Any] = {
    "name": "two shelves",
    "kerf": 3,
    "stock": [
        {"L": 1829, "W": 140, "qty": None, "cost_cents": 620, "thickness": 19},
        {"L": 2438, "W": 89, "qty": None, "cost_cents": 1230, "thickness": 38},
        {"L": 634, "W": 95, "qty": 1, "cost_cents": 50, "thickness": 19},
    ],
    "blanks": [
        {"l": 561, "w": 60, "thickness": 38},
        {"l": 571, "w": 66, "thickness": 19},
        {"l": 300, "w": 95, "thickness": 19},
    ],
    "parts": [
        {
            "qty": 2,
            "ways": [
                {"blank": 0, "n": 1, "extra_cost_cents": 0},
                {"blank": 1, "n": 2, "extra_cost_cents": 50},
            ],
        },
        {"qty": 2, "ways": [{"blank": 2, "n": 1, "extra_cost_cents": 0}]},
    ],
    "result": {"lower_bound": 700, "best": 720},
}


def written(folder: Path, name: str, text: str) -> None:
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")


def test_worked_examples(tmp_path: Path) -> None:
    example = {
        "id": "rolls",
        "stock": [[10, None, 3], [7, 4, 2]],
        "items": [[7, 2], [3, 4]],
        "verified": {"optimum_cost": 10, "lp": 9.5},
    }
    written(tmp_path, "worked_examples.json", json.dumps({"one_dimensional": [example]}))
    (read,) = worked_examples(tmp_path)
    assert (read.name, read.optima) == ("rolls", {Sawing.FREE: Known.just(10)})
    assert read.boards == (Boards(10, 1, 3), Boards(7, 1, 2, 4))
    assert read.items == (Item(7, 1, 2), Item(3, 1, 4))
    stock, job = read.books()
    assert [(o.length, o.price, o.in_stock) for o in stock.offers] == [(10, 3, None), (7, 2, 4)]
    assert [(part.length, part.count) for part in job.parts] == [(7, 2), (3, 4)]


def test_furniture(tmp_path: Path) -> None:
    written(tmp_path, "two_stage_furniture/A1", FURNITURE_FILE)
    head = "instance,item_types,rip_first,choice_per_plate_lb,choice_per_plate_ub"
    written(tmp_path, "two_stage_furniture/optima.csv", f"{head}\nA1,2,4,3,3\n")
    (read,) = furniture(tmp_path)
    assert read.boards == (Boards(2750, 1220, 1),)
    assert read.items == (Item(1680, 420, 6), Item(463, 386, 18))
    assert read.optima[Sawing.RIP_FIRST] == Known.just(4)
    assert read.optima[Sawing.FREE].most == 3


def test_plates_of_values(tmp_path: Path) -> None:
    written(tmp_path, "board_patterns/cut", "15 10 \n2 \n8 4 66 2\n 3  7 35 1\n")
    head = "instance,two_stage_strips_along_length,two_stage_strips_along_width"
    written(tmp_path, "board_patterns/optima.csv", f"{head}\ncut,101,167\n")
    (read,) = valued_plates(tmp_path)
    items = (Valued(8, 4, 66, 2), Valued(3, 7, 35, 1))
    assert read == ValuedPlate(name="cut", length=15, width=10, items=items, along=101, across=167)


def test_shop_jobs(tmp_path: Path) -> None:
    written(tmp_path, "shop_jobs/two.json", json.dumps(SHOP_JOB))
    ((stock, job, known),) = json_shop_jobs(tmp_path)
    assert known == Known(least=700, most=720)
    mm = Unit.MM.inches
    assert [(o.length / mm, o.width / mm, o.price, o.in_stock) for o in stock.offers] == [
        (1829, 140, Decimal("6.20"), None),
        (2438, 89, Decimal("12.30"), None),
        (634, 95, Decimal("0.50"), 1),
    ]
    assert stock.shop.rip_kerf == stock.shop.crosscut_kerf == 3 * mm
    _, (post, shelf) = ways_of(stock, job)
    assert [(len(way.blanks), 100 * way.time(stock.shop)) for way in post] == [(2, 50), (1, 0)]
    assert len(shelf) == 1
    # One board of 1829: 4 plies of 571 x 66 in its first 1145, both shelves in the last 681. 620,
    # and 2 glue lines at 50.
    plan = solved(stock, job, 60).plan
    assert plan is not None
    assert (plan.status, plan.cost.net) == (Status.PROVEN, Decimal("7.20"))


def test_shop_jobs_with_other_lay_ups_are_refused(tmp_path: Path) -> None:
    other = json.loads(json.dumps(SHOP_JOB))
    other["parts"][0]["ways"][1]["n"] = 3
    written(tmp_path, "shop_jobs/three.json", json.dumps(other))
    with pytest.raises(ValueError, match=r"three\.json: lay-ups other than"):
        list(json_shop_jobs(tmp_path))


# --- solving -------------------------------------------------------------------------------------


@pytest.mark.parametrize("plate", [CGCUT_1, CGCUT_1.turned()], ids=["along", "across"])
def test_the_best_value_of_a_plate_whose_copies_are_limited(plate: ValuedPlate) -> None:
    stock, job = plate.books()
    plan = solved(stock, job, 60, plate.lay_ups(job)).plan
    assert plan is not None
    assert plan.status is Status.PROVEN
    assert plate.total - 100 * plan.cost.net == plate.along
