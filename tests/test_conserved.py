"""Wood is conserved, whatever a shop does: what came in is what went out and what lies there.

Hypothesis carries out plans, takes them back, changes the rack by hand, counts it, holds pieces and
has boards go wrong at the saw, in any order; all in one workbook on the disk. All numbers invented.
"""

from __future__ import annotations

import os
import tempfile
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import openpyxl
from hypothesis import HealthCheck, event, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from optimizer.job.job_book import Books, read_books
from optimizer.job.ways import NoPlanError
from optimizer.plan.happened import Happened
from optimizer.plan.holding import hold
from optimizer.plan.plan import Board, Plan
from optimizer.plan.settle import settle, undo
from optimizer.replan import replan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.errors import RackfirstError
from stock.journal import What, sums
from stock.rack_change import change_rack
from stock.rack_writing import Change
from stock.stocktake import start_counting, take_stock
from tests.settled_shop import NOW, books, journal_in, stock_in, volume_on_rack
from tests.typed_books import workbook

JOBS = {
    "rails": "Part | Count | Length | Size\nRail | 2 | 31 1/4 | 2x4",
    "stops": "Part | Count | Length | Size\nStop | 1 | 20 | 2x4\nBar | 1 | 44 | 2x4",
    "slats": "Part | Count | Length | Thickness | Width\nSlat | 3 | 26 | 1 1/2 | 1 1/2",
}


class Shop(RuleBasedStateMachine):
    """One stock book, some jobs, and the wood that came and went by what physically happened."""

    @initialize()
    def opens(self) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.book = books(self.folder)
        for name, parts in JOBS.items():
            workbook(self.folder / f"{name}.xlsx", Parts=parts)
        self.came, self.went = volume(self.book), Fraction(0)
        self.settled: list[tuple[Plan, Fraction, Fraction]] = []
        self.waiting: list[tuple[Plan, str]] = []
        self.refusals: list[str] = []
        take_stock(self.book, None, NOW)

    def both(self, job: str) -> Books:
        return read_books(self.folder / f"{job}.xlsx", self.book)

    @rule(job=st.sampled_from(sorted(JOBS)))
    def plans(self, job: str) -> None:
        both = self.both(job)
        self.waiting.append((solve(both.stock, both.job, Watch(seconds=10)), job))

    @rule(job=st.sampled_from(sorted(JOBS)))
    def carries_out(self, job: str) -> None:
        self.plans(job)
        self.settles(some_not_sawn=False)

    @precondition(lambda self: self.waiting)
    @rule(data=st.data())
    def goes_wrong_at_the_saw(self, data: st.DataObject) -> None:
        plan, job = self.waiting.pop()
        ids = [blank.id for board in plan.boards for blank in board.blanks]
        off = data.draw(st.sets(st.sampled_from(ids)))
        spoiled = data.draw(st.sampled_from(ids))
        both = self.both(job)
        try:
            again = replan(
                plan, both.stock, both.job, off - {spoiled}, {spoiled}, Watch(seconds=10)
            )
        except (NoPlanError, RackfirstError):
            return  # the rack has changed under the plan
        assert again.cost.net >= again.bound
        event("went wrong, and planned anew")
        self.waiting.append((again, job))

    @precondition(lambda self: self.waiting)
    @rule(some_not_sawn=st.booleans())
    def settles(self, some_not_sawn: bool) -> None:
        plan, _ = self.waiting.pop()
        not_sawn = {plan.boards[-1].id} if some_not_sawn else set()
        happened = Happened(not_sawn=frozenset(not_sawn))
        try:
            done = settle(plan, self.book, happened, NOW)
        except RackfirstError as error:
            self.refusals.append(str(error))  # a piece went into another plan meanwhile
            return
        if not done.written.lines:
            return  # an equal plan was settled already
        bought = sum((came(b, b.id in not_sawn) for b in plan.boards), Fraction(0))
        sawn = [board for board in plan.boards if board.id not in not_sawn]
        lost = sum((area(board) - kept(board) for board in sawn), Fraction(0))
        self.came += bought
        self.went += lost
        self.settled.append((plan, bought, lost))
        event("settled")

    @precondition(lambda self: self.settled)
    @rule(data=st.data())
    def takes_back(self, data: st.DataObject) -> None:
        number = data.draw(st.integers(0, len(self.settled) - 1))
        plan, bought, lost = self.settled[number]
        try:
            undo(plan, self.book, NOW)
        except RackfirstError as error:
            self.refusals.append(str(error))  # what came by it is gone
            return
        self.came -= bought
        self.went -= lost
        del self.settled[number]
        event("taken back")

    @precondition(lambda self: self.waiting)
    @rule(release=st.booleans())
    def holds(self, release: bool) -> None:
        try:
            hold(self.waiting[-1][0], self.book, NOW, release=release)
        except RackfirstError:
            return  # the rack has changed under the plan, or another job holds it

    @rule(length=st.sampled_from(("18", "25 1/2", "61")), count=st.integers(1, 3))
    def brings_by_hand(self, length: str, count: int) -> None:
        opened = openpyxl.load_workbook(self.book)
        sheet = opened["Rack"]
        headers = [cell.value for cell in sheet[1]]
        row = {"Size": "2x4", "Length": length, "Count": count}
        for header, value in row.items():
            cell = sheet.cell(sheet.max_row + (header == "Size"), headers.index(header) + 1)
            cell.value = value
        opened.save(self.book)
        take_stock(self.book, None, NOW)
        self.came += count * Fraction(21, 4) * length_of(length)

    @precondition(lambda self: stock_in(self.book).rack)
    @rule(data=st.data())
    def counts_at_the_shelf(self, data: st.DataObject) -> None:
        rack = stock_in(self.book).rack
        piece = data.draw(st.sampled_from(rack))
        found = data.draw(st.integers(0, 3))
        sheet = self.folder / "count.xlsx"
        start_counting(self.book, sheet)
        opened = openpyxl.load_workbook(sheet)
        headers = [cell.value for cell in opened["Count"][1]]
        for row in opened["Count"].iter_rows(min_row=2):
            if row[headers.index("Tag")].value == piece.tag:
                row[headers.index("Found")].value = found
        opened.save(sheet)
        take_stock(self.book, sheet, NOW)
        each = piece.lumber.thickness * piece.width * piece.length
        self.came += (found - piece.count) * each

    @invariant()
    def wood_is_conserved(self) -> None:
        if hasattr(self, "book"):
            assert self.came == self.went + volume_on_rack(self.book)

    @invariant()
    def a_refusal_says_why(self) -> None:
        said = getattr(self, "refusals", [])
        assert all("the rack" in each or "is not undone" in each for each in said)

    @invariant()
    def the_rack_is_the_sum_of_its_journal(self) -> None:
        if hasattr(self, "book"):
            lines = journal_in(self.book)
            rack = stock_in(self.book).rack
            assert sum(sums(lines).values()) == sum(piece.count for piece in rack)
            assert all(line.count for line in lines if line.what not in (What.HELD, What.FREED))
            assert not change_rack(self.book, lambda shelf: Change(), NOW).lines


def volume(book: Path) -> Fraction:
    rack = stock_in(book).rack
    return sum((p.count * p.lumber.thickness * p.width * p.length for p in rack), Fraction(0))


def area(board: Board) -> Fraction:
    return board.thickness * board.width * board.length


def kept(board: Board) -> Fraction:
    return sum(
        (board.thickness * left.width * left.length for left in board.leftovers), Fraction(0)
    )


def came(board: Board, not_sawn: bool) -> Fraction:
    """What a bought board brings; one that is not sawn, as far as it is usable (1/2 in off)."""
    if board.from_rack:
        return Fraction(0)
    return area(replace(board, length=board.length - 1)) if not_sawn else area(board)


def length_of(typed: str) -> Fraction:
    return sum((Fraction(part) for part in typed.split()), Fraction(0))


TestShop = Shop.TestCase
TestShop.settings = settings(
    max_examples=int(os.environ.get("SHOPS", "12")),  # a short share in every run
    stateful_step_count=12,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
