"""Boards as they came home, before the first cut. All boards are invented."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from optimizer.job.job_book import read_books
from optimizer.plan.audit import AuditError, audit
from optimizer.plan.plan import Plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.errors import BookFaultsError
from stock.home_boards import put_on_rack, with_boards_at_home
from stock.lengths import Length
from tests.making_plans import inches
from tests.settled_shop import NOW, stock_in, told
from tests.settled_shop import books as stock_books
from tests.shop_floor import book, on_rack, shop
from tests.typed_books import Rows, said, workbook

PRICES = "Size | Length | Price\n2x4 | 8' | 4.00"
PARTS = "Part | Count | Length | Size | Faces\nRail | 2 | 46 | 2x4 | as bought"


def planned(folder: Path, boards: Rows | None, rails: int = 2) -> Plan:
    job = workbook(folder / "job.xlsx", Parts=PARTS.replace("| 2 |", f"| {rails} |"))
    stock = workbook(folder / "stock.xlsx", Prices=PRICES)
    home = workbook(folder / "home.xlsx", Boards=boards) if boards else None
    books = read_books(job, stock, home)
    return solve(books.stock, books.job, Watch())


def test_the_ends_of_a_board_at_home_are_not_trimmed_yet(tmp_path: Path) -> None:
    path = workbook(tmp_path / "home.xlsx", Boards="Tag | Size | Length\nB1 | 2x4 | 96 1/4")
    stock = with_boards_at_home(book(shop=shop()), path)
    (board,) = stock.rack
    assert board.bad == ((0, inches("3/8")), (inches("95 7/8"), inches("96 1/4")))


def test_a_bad_end_that_was_measured_swallows_the_trim(tmp_path: Path) -> None:
    boards = "Tag | Size | Length | Bad stretches\nB1 | 2x4 | 96 | 0 to 5; 20 to 21"
    path = workbook(tmp_path / "home.xlsx", Boards=boards)
    (board,) = with_boards_at_home(book(shop=shop()), path).rack
    assert board.bad[:2] == ((Length(0), Length(5)), (Length(20), Length(21)))


def test_boards_at_home_are_used_and_nothing_is_bought(tmp_path: Path) -> None:
    plan = planned(tmp_path, "Tag | Size | Length\nB1 | 2x4 | 96 1/4")
    assert [board.tag for board in plan.boards] == ["B1"]
    assert not plan.buy
    assert planned(tmp_path, None).buy


def test_a_fault_found_at_home_sends_one_back_to_the_store(tmp_path: Path) -> None:
    # 46 fits on one side of the knot only; a sound board gives two.
    boards = "Tag | Size | Length | Bad stretches\nB1 | 2x4 | 96 | 60 to 62"
    plan = planned(tmp_path, boards, rails=3)
    assert {board.id: board.tag for board in plan.boards} == {"B2": "", "B3": "B1"}
    assert sum(line.count for line in plan.buy) == 1


@pytest.mark.parametrize(
    ("measured", "said"),
    [
        ("B1 | 2x4 | 96 | 60 to 62 |", "does not lie in the usable wood"),
        ("B1 | 2x4 | 96 |          | 1", "is crooked, and no edge is straightened"),
        ("B1 | 2x4 | 92 |          |", "rack piece B1 has another length"),
    ],
)
def test_a_plan_for_the_board_as_it_was_sold_is_refused(
    tmp_path: Path, measured: str, said: str
) -> None:
    header = "Tag | Size | Length | Bad stretches | Crook"
    sound = planned(tmp_path, f"{header}\nB1 | 2x4 | 96 | |")
    plan = planned(tmp_path, f"{header}\n{measured}")
    assert sound.cost.net < plan.cost.net
    books = read_books(*(tmp_path / f"{name}.xlsx" for name in ("job", "stock", "home")))
    with pytest.raises(AuditError, match=said):
        audit(sound, books.stock, books.job)


def test_faults_are_named_with_their_place(tmp_path: Path) -> None:
    empty = workbook(tmp_path / "home.xlsx", Boards="Tag | Size | Length")
    with pytest.raises(BookFaultsError) as raised:
        with_boards_at_home(book(shop=shop()), empty)
    assert "home.xlsx, sheet Boards: no board stands in it" in said(raised.value.faults)
    twice = workbook(tmp_path / "home.xlsx", Boards="Tag | Size | Length\nR001 | 2x4 | 96")
    stock = book(on_rack("R001", "1 1/2 x 3 1/2 x 30"), shop=shop())
    with pytest.raises(BookFaultsError) as raised:
        with_boards_at_home(stock, twice)
    assert "column Tag: the tag stands in the rack too" in said(raised.value.faults)


def test_on_the_rack_they_are_what_they_were_planned_as(tmp_path: Path) -> None:
    rows = """
        Tag | Size | Length | Bad stretches | Crook | Held for | Wood | Count | Measured on | Note
        B1  | 2x4  | 96 1/4 | 60 to 62      | 1/4   | job      | SPF  | 2     | 2026-05-01  | bowed
        B2  | 2x6  | 120    |               |       |          |      |       |             |
    """
    path = stock_books(tmp_path)
    home = workbook(tmp_path / "home.xlsx", Boards=rows)
    planned_as = with_boards_at_home(stock_in(path), home).rack
    written = put_on_rack(path, home, NOW)
    assert told(written.lines)[-2:] == [("bought", "B1", 2), ("bought", "B2", 1)]
    lying = {piece.tag: piece for piece in stock_in(path).rack}
    assert [lying[tag].note for tag in ("B1", "B2")] == ["bowed", "came home, ends not trimmed"]
    for piece in planned_as:
        there = lying[piece.tag]
        assert there == replace(piece, measured_on=there.measured_on, note=there.note)
    before = path.read_bytes()
    with pytest.raises(BookFaultsError, match="the tag stands in the rack too"):
        put_on_rack(path, home, NOW)
    home = workbook(tmp_path / "home.xlsx", Boards="Size | Length\n2x4 | 96")
    with pytest.raises(BookFaultsError, match="column Tag: it is empty; write a mark on the board"):
        put_on_rack(path, home, NOW)
    assert path.read_bytes() == before
