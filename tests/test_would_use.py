"""Rack pieces that no job of the last year would have used, and what the screen says of them."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from optimizer.output.rack_report import rack_report
from optimizer.plan.carried_out import plan_name
from optimizer.plan.happened import Happened
from optimizer.plan.plan_file import write_plan
from optimizer.plan.settle import settle, undo
from optimizer.plan.would_use import LastYear, never_used, plans_of_last_year
from stock.keeping import ages_of_leftovers, read_keep_rules, shelved, to_burn
from stock.lengths import Unit
from stock.spreadsheet import Book
from tests.making_plans import inches
from tests.settled_shop import NOW, books, journal_in, planned, stock_in
from tests.typed_books import workbook

PARTS = "Part | Count | Length | Size | Wood\nRail | 1 | 40 | 2x4 | SPF"
PRICES = "Size | Length | Price | Wood\n2x4 | 8' | 4.25 | SPF"
RACK = """
    Size | Length | Tag  | Wood
    2x4  | 50     | R001 | SPF
    2x4  | 39     | R002 | SPF
    2x4  | 48     | R003 | spf
    2x6  | 48     | R004 | SPF
    1x4  | 48     | R005 | SPF
    2x4  | 48     | R006 | oak
"""


def test_a_piece_that_holds_no_blank_of_the_year_is_named(tmp_path: Path) -> None:
    book = books(tmp_path, rack=RACK, parts=PARTS, Prices=PRICES)
    plan = planned(tmp_path)
    (tmp_path / "job-plan").mkdir()
    write_plan(plan, tmp_path / "job-plan" / "plan.json")
    (tmp_path / "plan.json").write_text("{}")  # no plan of ours
    settle(plan, book, Happened(), NOW)

    year = plans_of_last_year(journal_in(book), tmp_path, NOW.date())
    assert (year.plans, year.lost) == ((plan,), ())
    idle = {piece.tag for piece in never_used(stock_in(book).rack, year)}
    # Too short; too thin; of another wood. R004, wider, could have been ripped.
    assert idle == {"R002", "R005", "R006"}
    later = NOW.date() + timedelta(days=366)
    assert plans_of_last_year(journal_in(book), tmp_path, later).plans == ()

    undo(plan, book, NOW)
    assert plans_of_last_year(journal_in(book), tmp_path, NOW.date()).plans == ()


def test_what_came_with_the_last_job_or_after_it_could_not_have_served(tmp_path: Path) -> None:
    rack = "Size | Length | Tag | Wood\n2x4 | 60 | R001 | SPF"
    book = books(tmp_path, rack=rack, parts=PARTS, Prices=PRICES)
    workbook(tmp_path / "next.xlsx", Parts=PARTS.replace("40", "41"))
    for job in ("job", "next"):
        plan = planned(tmp_path, job)
        (tmp_path / job).mkdir()
        write_plan(plan, tmp_path / job / "plan.json")
        settle(plan, book, Happened(), NOW)
        year = plans_of_last_year(journal_in(book), tmp_path, NOW.date())
        idle = [piece.length for piece in never_used(stock_in(book).rack, year)]
        # 19 7/8 are left of the first job, 53 7/8 of the second, which could have used neither.
        assert idle == ([] if job == "job" else [inches("19 7/8")])


def test_the_report_says_sums_reasons_and_ages(tmp_path: Path) -> None:
    book = books(tmp_path, rack=f"{RACK.strip()}\n2x4 | 8 | R007 | SPF", parts=PARTS, Prices=PRICES)
    plan = planned(tmp_path)
    settle(plan, book, Happened(), NOW)
    stock, journal, today = stock_in(book), journal_in(book), NOW.date()
    lying = shelved(stock, journal, today)
    year = plans_of_last_year(journal, tmp_path, today)
    said = rack_report(
        stock, lying, to_burn(lying, (), stock), year, ages_of_leftovers(journal, today)
    )
    assert said.startswith(f"On the rack: {len(stock.rack)} pieces, ")
    burn = said.partition("Burn, or give away:\n")[2].splitlines()
    assert burn[:2] == [  # no oak is for sale, so its price is not known
        "  R006  2x4 × 48, 0 months: worth nothing as an offcut",
        "  R007  2x4 × 8, 0 months: worth nothing as an offcut",
    ]
    assert f"(No plan.json was found of {plan_name(plan)}.)" in said
    worth = sum(each.worth for each in lying)
    assert f"worth {worth}" in said.splitlines()[0]
    kept = sum(len(board.leftovers) for board in plan.boards)
    if kept:
        assert f"under 1 month  {'█' * 30} {kept}" in said
    assert all(len(line) <= 80 for line in said.splitlines())


def test_treated_wood_is_never_for_the_stove(tmp_path: Path) -> None:
    rack = """
        Size | Length | Tag  | Wood | Treated
        2x4  | 20     | R001 | SPF  |
        2x4  | 20     | R002 | SPF  | yes
        2x4  | 20     | R003 | SPF  | yes
    """
    book = books(tmp_path, rack=rack, Prices=PRICES, Keep="Shortest\n24")
    stock, today = stock_in(book), NOW.date()
    lying = shelved(stock, (), today)
    reasons = to_burn(lying, read_keep_rules(Book(book), Unit.IN), stock)
    said = rack_report(stock, lying, reasons, LastYear(plans=(), lost=()), {})
    stove, _, never = said.partition("Never burn (treated)")
    assert stove.partition("Burn, or give away:\n")[2].startswith("  R001  2x4 × 20: ")
    assert "R002" not in stove
    assert "  R002  2x4 × 20 treated: " in never
    assert "    2  2x4  treated SPF" in said
