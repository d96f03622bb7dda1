"""What is carried home and not sawn: boards of a pack, pieces of a board that the yard cut.

They come home all the same: the pages show them, the rack gets them, and when something goes wrong
at the saw they are used before anything is bought. Prices are invented; ends are trimmed by 1/2, a
yard's by 3/4, and a kerf is 1/8.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from optimizer.output.cutting_page import cutting_page
from optimizer.output.difference import difference
from optimizer.output.plain_text import told as told_plainly
from optimizer.output.saw_words import cut_row, yard_pieces
from optimizer.plan.audit import AuditError, audit
from optimizer.plan.handed_over import handed_over
from optimizer.plan.happened import Happened
from optimizer.plan.midway import standing
from optimizer.plan.plan import Board, CutKind, Plan
from optimizer.plan.settle import settle, undo
from optimizer.replan import replan
from optimizer.search.watch import Watch
from optimizer.work.work import work_of
from tests.making_plans import inches
from tests.sawn_by_hand import sawn_by_plan
from tests.settled_shop import (
    NOW,
    books,
    journal_in,
    planned,
    rack_in,
    read,
    told,
    volume_on_rack,
)
from tests.typed_books import settings_sheet

RACK = "Size | Length | Tag\n2x4 | 13 | R001"
PACK = "Size | Length | Price | Pack | Store\n2x4 | 8' | 3.00 | 4 | Yard"
LONG = "Size | Length | Price | Store\n2x4 | 16' | 20.00 | Yard"
STORES = "Store | Trip cost | Fee per cut | Free cuts\nYard | 5.00 | 0.50 | 1"
CAR = settings_sheet(longest_carried="10'")
RAILS = "Part | Count | Length | Size\nRail | {} | {} | 2x4"


def pack(folder: Path) -> tuple[Path, Plan]:
    """Two rails of 90 out of a pack of four: two boards are not sawn."""
    book = books(folder, Prices=PACK, Stores=STORES, rack=RACK, parts=RAILS.format(2, 90))
    return book, planned(folder)


def cut_board(folder: Path) -> tuple[Path, Plan]:
    """A rail of 90 out of a 16' that the car does not carry: the yard cuts it, a piece is left."""
    parts = RAILS.format(1, 90)
    book = books(folder, Prices=LONG, Stores=STORES, Shop=CAR, rack=RACK, parts=parts)
    return book, planned(folder)


def again(folder: Path, plan: Plan, cut: Collection[str], spoiled: Collection[str]) -> Plan:
    both = read(folder)
    return replan(plan, both.stock, both.job, cut, spoiled, Watch(seconds=8))


def unsawn(plan: Plan) -> list[tuple[Board, Fraction, Fraction]]:
    """Board, beginning and length of what is kept as it came."""
    return [
        (board, left.x, left.length)
        for board in plan.boards
        for left in board.leftovers
        if board.unsawn(left.tag)
    ]


# --- what counts ---------------------------------------------------------------------------------


def test_a_board_that_is_not_sawn_counts_as_long_as_it_is_usable(tmp_path: Path) -> None:
    _, plan = pack(tmp_path)
    assert [(x, length) for _, x, length in unsawn(plan)] == [(inches("1/2"), 95)] * 2
    assert plan.cost.boards == 12


def test_a_yards_piece_counts_without_the_end_that_the_yard_sawed(tmp_path: Path) -> None:
    _, plan = cut_board(tmp_path)
    ((board, x, length),) = unsawn(plan)
    first, second = handed_over(board, read(tmp_path).stock.shop)
    assert (first.left, first.right) == (inches("1/2"), inches("3/4"))
    assert (second.left, second.right) == (inches("3/4"), inches("1/2"))
    assert second.start - first.end == inches("1/8")
    kept = next(each for each in (first, second) if each.x == x)
    assert kept.usable == length
    assert first.usable + second.usable == 192 - inches("1/8") - 2 * inches("1 1/4")


def test_the_audit_refuses_what_counts_its_rough_ends(tmp_path: Path) -> None:
    _, plan = pack(tmp_path)
    both = read(tmp_path)
    board = next(board for board in plan.boards if board.kept_whole)
    left = replace(board.leftovers[0], x=Fraction(0), length=Fraction(96))
    longer = replace(board, leftovers=(left,))
    boards = tuple(longer if each is board else each for each in plan.boards)
    with pytest.raises(AuditError, match=f"{left.tag} does not lie in the usable wood"):
        audit(replace(plan, boards=boards), both.stock, both.job)


# --- pages ---------------------------------------------------------------------------------------


def test_the_page_shows_what_goes_on_the_rack_as_it_is(tmp_path: Path) -> None:
    _, plan = pack(tmp_path)
    whole = [board for board in plan.boards if board.kept_whole]
    page = cutting_page(work_of(plan))
    assert page.count("No cut: it goes on the rack as it is.") == len(whole) == 2
    back = told_plainly(work_of(plan), ["back"])
    assert all(f"{board.leftovers[0].tag}, 95 × 3 1/2" in back for board in whole)
    drawn = {each.board.id: [p.mark for p in each.pieces] for each in work_of(plan).boards}
    assert all(drawn[board.id] == [board.leftovers[0].tag] for board in whole)


def test_a_yard_cut_is_told_at_the_store_and_not_made_at_home(tmp_path: Path) -> None:
    _, plan = cut_board(tmp_path)
    work = work_of(plan)
    (board,) = work.boards
    yard, *others = board.cuts
    row = cut_row(plan, yard)
    assert (row.n, row.what, row.setting) == (1, "Yard cut", "at the store")
    assert all(cut.kind is not CutKind.YARD for cut in others)
    in_order = [cut.kind for each in work.passes for cut in each.cuts]
    assert CutKind.YARD not in in_order
    assert len(in_order) == len(others)
    page = cutting_page(work).replace("\xa0", " ").replace("&nbsp;", " ")
    assert f"have it cut there at <b>{row.tape}</b>" in page
    assert f"its pieces are then, from there, <b>{yard_pieces(board)}</b>" in page
    minutes = len(others) * plan.practice.minutes_per_crosscut
    assert work.days[0].minutes == minutes


def test_the_piece_that_carries_the_mark_keeps_it(tmp_path: Path) -> None:
    """The yard's cut parts B1 at its left end, where the mark stands, from what comes after."""
    parts = RAILS.format(2, 90)
    books(tmp_path, Prices=LONG, Stores=STORES, Shop=CAR, rack=RACK, parts=parts)
    (board,) = work_of(planned(tmp_path)).boards
    yard, *others = board.cuts
    assert [side.mark for side in yard.sides] == ["B1", "B1.1"]
    assert yard_pieces(board) == "B1, B1.1"
    assert {cut.piece.mark for cut in others if cut.piece.x > 0} >= {"B1.1"}


def test_the_yards_piece_of_the_page_is_that_of_the_plan(tmp_path: Path) -> None:
    _, plan = cut_board(tmp_path)
    (board,) = plan.boards
    (left,) = [left for left in board.leftovers if board.unsawn(left.tag)]
    ends = inches("1 1/4")  # 1/2 and 3/4
    x, y, length, width = sawn_by_plan(plan, board).kept[left.tag]
    assert (y, length - ends, width) == (left.y, left.length, left.width)
    assert x <= left.x
    assert left.x + left.length <= x + length


# --- settled -------------------------------------------------------------------------------------


def test_unused_boards_of_a_pack_belong_to_the_rack(tmp_path: Path) -> None:
    book, plan = pack(tmp_path)
    settled = settle(plan, book, Happened(), NOW)
    rack = rack_in(book)
    tags = [board.leftovers[0].tag for board in plan.boards if board.kept_whole]
    assert [rack[tag] for tag in tags] == [(95, 1), (95, 1)]
    assert told(settled.written.lines).count(("bought", plan.boards[0].id, 1)) == 1
    notes = {line.piece.tag: line.note for line in journal_in(book)}
    assert all(notes[tag].endswith("ends not trimmed") for tag in tags)
    undo(plan, book, NOW)
    assert rack_in(book) == {"R001": (13, 1)}


def test_a_board_cut_by_the_yard_and_not_sawn_lies_there_in_its_pieces(tmp_path: Path) -> None:
    book, plan = cut_board(tmp_path)
    (board,) = plan.boards
    settled = settle(plan, book, Happened(not_sawn=frozenset([board.id])), NOW)
    pieces = handed_over(board, read(tmp_path).stock.shop)
    lying = sorted(length for tag, (length, _) in rack_in(book).items() if tag != "R001")
    assert lying == sorted(piece.usable for piece in pieces)
    assert "on its pieces, from the left end" in settled.remarks[0]
    assert volume_on_rack(book) == (13 + sum(lying)) * Fraction(21, 4)


# --- something goes wrong ------------------------------------------------------------------------


def test_what_is_left_of_a_pack_serves_before_anything_is_bought(tmp_path: Path) -> None:
    _, plan = pack(tmp_path)
    first = next(board for board in plan.boards if board.blanks)
    new = again(tmp_path, plan, (), {first.blanks[0].id})
    assert new.buy == plan.buy
    assert new.cost.trips == plan.cost.trips == 5
    kept = [board.id for board in new.boards if board.kept_whole]
    before = {board.id: board.leftovers for board in plan.boards if board.kept_whole}
    assert len(kept) == 1
    assert next(b for b in new.boards if b.id == kept[0]).leftovers == before[kept[0]]
    assert "Not needed any more" not in difference(plan, new)


def test_the_yards_other_piece_serves_before_anything_is_bought(tmp_path: Path) -> None:
    _, plan = cut_board(tmp_path)
    (board,) = plan.boards
    spoiled = board.blanks[0].id
    stands = standing(plan, board, (), ())
    assert [cut.kind for cut in stands.cuts] == [CutKind.YARD]  # whatever is not sawn yet
    assert len(stands.rests) == 2

    new = again(tmp_path, plan, (), {spoiled})

    (after,) = new.boards
    assert after.cuts[0] == board.cuts[0] or after.cuts[0].kind is CutKind.YARD
    assert [cut.kind for cut in after.cuts].count(CutKind.YARD) == 1
    assert (new.cost.boards, new.cost.trips, new.cost.yard_cuts) == (20, 5, 0)
    assert len(after.blanks) == 1
    assert after.blanks[0].x != board.blanks[0].x


def test_a_second_drive_is_paid_and_a_free_cut_is_free_once(tmp_path: Path) -> None:
    parts = RAILS.format(2, 90)
    books(tmp_path, Prices=LONG, Stores=STORES, Shop=CAR, rack=RACK, parts=parts)
    plan = planned(tmp_path)
    assert (plan.cost.boards, plan.cost.trips, plan.cost.yard_cuts) == (20, 5, 0)
    spoiled = plan.boards[0].blanks[0].id
    cut = [b.id for board in plan.boards for b in board.blanks if b.id != spoiled]

    new = again(tmp_path, plan, cut, {spoiled})

    assert (new.cost.boards, new.cost.trips) == (40, 10)
    assert new.cost.yard_cuts == Decimal("0.50")
    assert new.taxes[0].trip == 10


def test_no_more_stores_are_visited_than_the_shop_wants(tmp_path: Path) -> None:
    stores = "Store | Trip cost\nYard | 5.00\nMill | 0"
    prices = "Size|Length|Price|Store|In stock\n2x4|8'|6.00|Yard|\n2x4|8'|1.00|Mill|1"
    one = settings_sheet(most_stores="1", offcut_value="0")
    parts = RAILS.format(2, 90)
    books(tmp_path, Prices=prices, Stores=stores, Shop=one, rack=RACK, parts=parts)
    plan = planned(tmp_path)
    assert {line.store for line in plan.buy} == {"Yard"}

    new = again(tmp_path, plan, (), {plan.boards[0].blanks[0].id})

    assert {(line.store, line.count) for line in new.buy} == {("Yard", 3)}
    assert new.cost.trips == 10
