"""The demo in sample_data: small enough to read, rich enough that every craft of the plan pays.

All prices, stores and offcuts in it are invented.
"""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from optimizer.job.job_book import Books, read_books
from optimizer.job.parts import Job, Make
from optimizer.job.ways import NoPlanError
from optimizer.plan.audit import audit
from optimizer.plan.plan import CutKind, Plan
from optimizer.plan.plan_file import plan_to_json
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.lengths import Length
from stock.stock_book import StockBook

ROOT = Path(__file__).parents[1]
JOB = ROOT / "sample_data" / "boat-rack.xlsx"
STOCK = ROOT / "sample_data" / "stock.xlsx"

WITHIN_PERCENT = Decimal(1)


def solved(stock: StockBook, job: Job) -> Plan:
    return solve(stock, job, Watch(gap_percent=WITHIN_PERCENT))


def least_possible(stock: StockBook, job: Job) -> Decimal:
    """No plan costs less; the first plan found will do, since the bound stands before it."""
    return solve(stock, job, Watch(gap_percent=Decimal(100))).bound


@pytest.fixture(scope="module")
def books() -> Books:
    return read_books(JOB, STOCK)


@pytest.fixture(scope="module")
def plan(books: Books) -> Plan:
    return solved(books.stock, books.job)


# --- what stands in the two books ----------------------------------------------------------------


def test_everything_in_the_books_is_planned_with(books: Books) -> None:
    assert books.unplanned == ()


def test_twelve_lines_make_some_sixty_pieces(books: Books) -> None:
    assert len(books.job.parts) == 12
    assert 55 <= sum(part.copies for part in books.job.parts) <= 65


def test_some_25_offcuts_lie_on_the_rack(books: Books) -> None:
    assert 22 <= sum(piece.count for piece in books.stock.rack) <= 28


def test_two_stores_sell_from_8_to_16_feet(books: Books) -> None:
    lengths = {offer.length for offer in books.stock.offers}
    assert (min(lengths), max(lengths)) == (Length(8 * 12), Length(16 * 12))
    assert {offer.store for offer in books.stock.offers} == {s.name for s in books.stock.stores}
    assert len(books.stock.stores) == 2
    assert all(store.tax_percent for store in books.stock.stores)


def test_a_longer_board_of_a_size_is_once_the_cheaper_one(books: Books) -> None:
    offers = books.stock.offers
    assert [
        (short.name, long.name)
        for short in offers
        for long in offers
        if (short.store, short.size) == (long.store, long.size)
        and short.length < long.length
        and short.price > long.price
    ] == [("2x8 x 10'", "2x8 x 12'")]


# --- its plan ------------------------------------------------------------------------------------


def test_the_plan_is_within_one_percent_of_the_least_possible(plan: Plan) -> None:
    assert plan.above_least <= plan.cost.net * WITHIN_PERCENT / 100


def test_the_plan_is_sound(plan: Plan, books: Books) -> None:
    audit(plan, books.stock, books.job)


def test_the_plan_buys_pulls_rips_planes_and_glues_both_ways(plan: Plan) -> None:
    assert {board.from_rack for board in plan.boards} == {True, False}
    assert {board.store for board in plan.boards} - {""} == {"Weir Yard", "Lower Lock Boards"}
    cuts = {cut.kind for board in plan.boards for cut in board.cuts}
    assert cuts >= {CutKind.TRIM, CutKind.CROSSCUT, CutKind.RIP}
    assert {made.planed for made in plan.parts} == {True, False}
    face_glued = [made for made in plan.parts if len(made.layup) > 1]
    edge_glued = [made for made in plan.parts if len(made.layup[0]) > 1]
    assert face_glued
    assert edge_glued


def test_what_is_held_for_another_job_stays_on_the_rack(plan: Plan, books: Books) -> None:
    held = {piece.tag for piece in books.stock.rack if piece.held_for}
    assert held
    assert held.isdisjoint(board.tag for board in plan.boards)


# --- without one of the crafts -------------------------------------------------------------------


def test_without_buying_there_is_no_plan(books: Books) -> None:
    with pytest.raises(NoPlanError, match="Post: needs a blank 79 long"):
        solved(replace(books.stock, offers=()), books.job)


def test_without_ripping_there_is_no_plan(books: Books) -> None:
    wider_than_any_board = replace(books.stock.shop, narrowest_rip=Length(24))
    with pytest.raises(NoPlanError, match=r"Seat slat: .* narrower than the narrowest rip"):
        solved(replace(books.stock, shop=wider_than_any_board), books.job)


def test_without_glue_every_plan_is_dearer(plan: Plan, books: Books) -> None:
    solid = tuple(replace(part, make=Make.SOLID) for part in books.job.parts)
    assert least_possible(books.stock, replace(books.job, parts=solid)) > plan.cost.net


def test_without_offcuts_every_plan_is_dearer(plan: Plan, books: Books) -> None:
    assert least_possible(replace(books.stock, rack=()), books.job) > plan.cost.net


# --- again ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", ["1", "2"])
def test_the_same_books_give_the_same_file(tmp_path: Path, plan: Plan, seed: str) -> None:
    """Whatever the order in which Python keeps its sets."""
    command = [sys.executable, "-c", "from optimizer.cli import app; app()", "plan", str(JOB)]
    words = ["--stock", str(STOCK), "--out", str(tmp_path), "--gap", str(WITHIN_PERCENT)]
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    subprocess.run([*command, *words], check=True, cwd=ROOT, env=environment, capture_output=True)
    assert (tmp_path / "plan.json").read_text(encoding="utf-8") == plan_to_json(plan)
