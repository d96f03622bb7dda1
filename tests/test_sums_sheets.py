"""Every sum on every sheet, made again from plan.json alone, in Decimal."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest
from office import needs_office, recalculated
from read_back import labelled, table, written
from sample_plan import sample_plan

from optimizer.output.sums_sheets import sums_made
from optimizer.plan.beside import Consumable
from optimizer.plan.plan import Plan
from optimizer.plan.plan_file import plan_to_json
from optimizer.search.watch import Watch
from optimizer.solve import solve
from optimizer.work.work import work_of
from tests.drawn_jobs import drawn_job
from tests.shop_floor import job, sold
from tests.sound_plans import boat_rack
from tests.test_lots import cutting, rails

CENT = Decimal("0.01")


def with_consumables(plan: Plan) -> Plan:
    return replace(
        plan,
        consumables=(
            Consumable(item="Glue", amount="9 fl oz", sum=plan.cost.glue, in_cash=True),
            Consumable(item="Finish", amount="12 fl oz", sum=Decimal("4.31")),
            Consumable(item="Dowel", amount="24", sum=Decimal("2.88")),
        ),
    )


def yard_plan() -> Plan:
    """Boards cut by the yard, with fees, tax and a trip."""
    stock = cutting(sold("1 1/2 x 3 1/2 x 192", "20.15"), free=1)
    store = replace(stock.stores[0], tax_percent=Decimal("8.25"), trip_cost=Decimal("3.50"))
    return solve(replace(stock, stores=(store,)), job(rails("90", 6)), Watch())


PLANS = {
    "sample": with_consumables(sample_plan()),
    "boat rack": boat_rack().plan,
    "yard": yard_plan(),
    "drawn 3": solve(*drawn_job(3), Watch()),
    "drawn 14": solve(*drawn_job(14), Watch()),
}


def cents(text: str) -> Decimal:
    return Decimal(text).quantize(CENT, ROUND_HALF_UP)


def expected(plan: dict[str, Any]) -> dict[str, dict[str, str]]:
    """For each sheet its totals by label, from the boards and lines of plan.json."""
    by_store: dict[str, Decimal] = defaultdict(Decimal)
    for board in plan["boards"]:
        if board["from"] == "store":
            by_store[board["store"]] += Decimal(board["price"])
    found: dict[str, dict[str, str]] = {}
    in_all, taxes, fees, trips = (Decimal(0) for _ in range(4))
    for line in plan["taxes"]:
        boards = by_store[line["store"]]
        tax = (boards * Decimal(line["percent"]) / 100).quantize(CENT, ROUND_HALF_UP)
        cuts = Decimal(line["cuts"])
        found[line["store"]] = {
            "Boards": f"{boards:.2f}",
            "Tax, %": f"{tax:.2f}",
            "Cuts": f"{cuts:.2f}",
            "To pay": f"{boards + tax + cuts:.2f}",
        }
        taxes, fees, trips = taxes + tax, fees + cuts, trips + Decimal(line["trip"])
        in_all += boards + tax + cuts + Decimal(line["trip"])
    glue, time = Decimal(plan["cost"]["glue"]), Decimal(plan["cost"]["time"])
    rack = sum(Decimal(b["worth"]) for b in plan["boards"] if b["from"] == "rack")
    kept = sum(Decimal(left["worth"]) for b in plan["boards"] for left in b["leftovers"])
    beside = sum(Decimal(c["sum"]) for c in plan["consumables"] if not c["in_cash"])
    cash = in_all + glue
    found["The bill"] = {
        "Glue": f"{glue:.2f}",
        "Cash": f"{cash:.2f}",
        "Finish and hardware": f"{beside:.2f}",
        "All to be paid": f"{cash + beside:.2f}",
        "Cash, as above": f"{cash:.2f}",
        "Worth of the rack pieces used": f"{rack:.2f}",
        "Worth of the leftovers, taken off": f"{-kept:.2f}",
        "Net": f"{cash + time + rack - kept:.2f}",
    }
    if plan["taxes"]:
        found["The bill"]["All stores"] = f"{in_all:.2f}"
    found["Rack"] = {"Worth": f"{rack:.2f}"}
    found["Leftovers"] = {"Worth": f"{kept:.2f}"}
    found["Consumables"] = {"Finish and hardware": f"{beside:.2f}"}
    return found


def test_the_time_that_is_paid_is_told_and_what_days_count_beside_it() -> None:
    """35.33 at 20.00 an hour are 106 minutes. Days add four edges to joint and six ends to crosscut
    at 2 minutes.
    """
    plan = boat_rack().plan
    ((how, amount),) = [(how, paid) for which, how, paid in sums_made(plan) if "Time" in which]
    assert how.startswith("106 minutes for cuts, planed faces and glue lines")
    assert amount == Decimal("35.33")
    assert sum(step.minutes for step in work_of(plan).days) == 106 + 4 * 2 + 6 * 2


@needs_office
@pytest.mark.parametrize("name", PLANS)
def test_every_total_read_back_is_that_of_plan_json(tmp_path: Path, name: str) -> None:
    plan = PLANS[name]
    book = recalculated(written(plan, tmp_path), tmp_path / "anew")
    for sheet, totals in expected(json.loads(plan_to_json(plan))).items():
        shown = labelled(book, sheet)
        assert {label: shown.get(label) for label in totals} == {
            label: total.replace("-0.00", "0.00") for label, total in totals.items()
        }, sheet


@needs_office
@pytest.mark.parametrize("name", PLANS)
def test_every_row_of_a_store_is_its_count_at_its_price(tmp_path: Path, name: str) -> None:
    plan = PLANS[name]
    book = recalculated(written(plan, tmp_path), tmp_path / "anew")
    lines = json.loads(plan_to_json(plan))["buy"]
    for store in {line["store"] for line in lines}:
        rows = [row for row in table(book, store)[2:] if row[0] == "" and row[1] != ""]
        shown = sorted((f"{row[9]:.2f}", int(row[8]), f"{row[10]:.2f}") for row in rows)  # type: ignore[call-overload,str-format]
        assert shown == sorted(
            (line["each"], line["count"], f"{Decimal(line['each']) * line['count']:.2f}")
            for line in lines
            if line["store"] == store
        )


@pytest.mark.parametrize("name", PLANS)
def test_each_sum_says_how_it_was_made(tmp_path: Path, name: str) -> None:
    """What stands there as a calculation gives the sum."""
    rows = table(written(PLANS[name], tmp_path), "Sums")[2:]
    counted = 0
    for which, how, amount in (row[:3] for row in rows if row[2] != ""):
        if re.fullmatch(r"(\d+ × )?\d+\.\d\d( \+ (\d+ × )?\d+\.\d\d)*", str(how)):
            terms = [term.split(" × ") for term in str(how).split(" + ")]
            made = sum(Decimal(t[-1]) * (int(t[0]) if len(t) > 1 else 1) for t in terms)
            assert f"{made:.2f}" == f"{amount:.2f}", which
            counted += 1
        if percent := re.fullmatch(r"([\d.]+) % of ([\d.]+)", str(how)):
            tax = Decimal(percent[1]) * Decimal(percent[2]) / 100
            assert f"{tax.quantize(CENT, ROUND_HALF_UP):.2f}" == f"{amount:.2f}", which
            counted += 1
    assert counted >= 1


@needs_office
def test_what_is_left_of_a_budget_follows_what_is_typed(tmp_path: Path) -> None:
    from openpyxl import load_workbook

    path = written(PLANS["sample"], tmp_path)
    book = load_workbook(path)
    bill = book["The bill"]
    (cell,) = (row[0] for row in bill.iter_rows() if row[0].value == "Budget: type yours here")
    bill.cell(row=cell.row, column=7).value = 150
    book.save(path)
    anew = recalculated(path, tmp_path / "anew")
    # 150 less 116.78, 4.31 and 2.88.
    assert labelled(anew, "The bill")["Left of the budget"] == "26.03"


def test_the_store_says_where_to_cut_and_of_which_day_its_prices_are(tmp_path: Path) -> None:
    plan = PLANS["yard"]
    dated = tuple(replace(line, priced_on="2026-03-28") for line in plan.buy)
    told = [str(row[0]) for row in table(written(replace(plan, buy=dated), tmp_path), "Weir Yard")]
    cuts = [line for line in told if line.startswith("Have B")]
    assert cuts
    assert all(" in, measured from the marked end." in line for line in cuts)
    assert "Prices of 2026-03-28: ask if they hold." in told
