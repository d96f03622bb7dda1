"""Who saws by plan.json, by the page or by the workbook gets exactly what was planned."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from optimizer.job.parts import Faces
from optimizer.output.cutting_page import write_cutting_page
from optimizer.output.saw_words import cut_row
from optimizer.plan.plan import CutKind, Plan
from optimizer.plan.plan_file import plan_from_json, plan_to_json
from optimizer.plan.tables import marks
from optimizer.search.watch import Watch
from optimizer.solve import solve
from optimizer.work.saw_cuts import Setup
from optimizer.work.work import work_of
from stock.lengths import parse_length
from tests.browser import needs_chromium, opened
from tests.demo_plan import demo_plan
from tests.read_back import table, written
from tests.sawn_by_hand import Told, as_planned, sawn, sawn_by_plan
from tests.shop_floor import book, job, on_rack, part, shop, sold
from tests.sound_plans import boat_rack, metric_post
from tests.thin_strips import thin_strips


def knotty_and_yard_cut() -> Plan:
    """Rails out of an offcut on both sides of its bad stretch, and out of a board that the car
    carries only in two pieces: the one from 0 to 120 and the one from 120 1/8, both trimmed.
    """
    bad = ((Fraction(42), Fraction(45)),)
    boards = (
        on_rack("R001", "1 1/2 x 3 1/2 x 90", bad=bad),
        sold("1 1/2 x 3 1/2 x 240", "20.00"),
    )
    stock = book(*boards, shop=shop(longest_carried=120))
    (store,) = stock.stores
    cutting = replace(stock, stores=(replace(store, fee_per_cut=Decimal("0.50")),))
    rails = [
        part(f"1 1/2 x 3 1/2 x {long}", f"Rail {long}", count=count, faces=Faces.AS_BOUGHT)
        for long, count in ((40, 2), (100, 2))
    ]
    return solve(cutting, job(*rails), Watch())


PLANS = {
    "knotty and yard cut": knotty_and_yard_cut,
    "demo": demo_plan,
    "boat rack": lambda: boat_rack().plan,
    "metric": lambda: metric_post().plan,
    "thin strips": thin_strips,
}

# What a person reads in a row of the page, whatever stands in its attributes.
READ_ROWS = """() => [...document.querySelectorAll('article.board')].map(board => [
    board.querySelector('.m').innerText,
    [...board.querySelectorAll('tbody tr')].map(row =>
        [...row.querySelectorAll('td')].map(cell =>
            cell.innerText.trim().replaceAll('\u00a0', ' ')))])"""


@pytest.fixture(params=PLANS)
def plan(request: pytest.FixtureRequest) -> Plan:
    made: Plan = PLANS[request.param]()
    return made


def sawn_by(plan: Plan, lines: dict[str, list[Told]]) -> None:
    """Every board, sawn by its lines, gives what the plan wants of it."""
    assert sum(map(len, lines.values())) == sum(len(board.cuts) for board in plan.boards)
    for board, mark in zip(plan.boards, marks(plan).values(), strict=True):
        bench = sawn(plan, board, mark, lines.get(mark, []))
        as_planned(plan, board, bench)
        assert sorted(bench.scrap) == sorted(sawn_by_plan(plan, board).scrap)


def test_by_plan_json(plan: Plan) -> None:
    read = plan_from_json(plan_to_json(plan))
    for board in read.boards:
        as_planned(read, board, sawn_by_plan(read, board))


@needs_chromium
@pytest.mark.parametrize("width", [1280, 390])
def test_by_the_page_in_a_browser(plan: Plan, tmp_path: Path, width: int) -> None:
    write_cutting_page(work_of(plan), tmp_path / "cutting.html")
    with opened(tmp_path / "cutting.html", width=width) as shown:
        boards = shown.page.evaluate(READ_ROWS)
    lines = {}
    for mark, rows in boards:
        lines[mark] = [
            Told(
                what=cut.split(maxsplit=1)[1],
                piece=piece,
                setting=setting,
                tape=tape,
                comes_off=off,
                remains=rest,
            )
            for cut, piece, setting, tape, off, rest in rows
        ]
    sawn_by(plan, lines)


def test_by_the_workbook(plan: Plan, tmp_path: Path) -> None:
    rows = [row for row in table(written(plan, tmp_path), "Cuts")[2:] if len(row) > 2 and row[2]]
    lines: dict[str, list[Told]] = {}
    for _, mark, _, what, piece, tape, setting, off, rest in map(strings, rows):
        told = Told(what=what, piece=piece, setting=setting, tape=tape, comes_off=off, remains=rest)
        lines.setdefault(mark, []).append(told)
    sawn_by(plan, lines)


def test_in_the_order_of_work(plan: Plan) -> None:
    """Setting after setting over all boards: each piece is there when its cut comes."""
    work = work_of(plan)
    there = set(work.marks.boards.values())
    yards = (cut for each in work.boards for cut in each.cuts if cut.kind is CutKind.YARD)
    there |= {side.mark for cut in yards for side in cut.sides}
    for cut in (cut for each in work.passes for cut in each.cuts):
        assert cut.piece.mark in there
        there.discard(cut.piece.mark)
        there |= {side.mark for side in cut.sides if side.mark}
    blanks = {work.marks.blanks[blank.id] for board in plan.boards for blank in board.blanks}
    kept = {left.tag for board in plan.boards for left in board.leftovers}
    uncut = {each.mark for each in work.boards if not each.cuts}
    assert there - uncut == (blanks | kept) - {
        work.marks.blanks[b.blanks[0].id] for b in plan.boards if not b.cuts and b.blanks
    }


def test_what_is_trimmed_by_the_tape_is_measured_on_the_piece_in_hand(plan: Plan) -> None:
    for cut in (cut for each in work_of(plan).passes for cut in each.cuts):
        if cut.setup is Setup.TAPE:
            at = parse_length(cut_row(plan, cut).at, plan.unit)
            assert at < cut.piece.length
            assert at == (cut.near.length if cut.near else 0)


def test_a_reading_that_is_a_sixteenth_off_is_found() -> None:
    plan = boat_rack().plan
    board = plan.boards[0]
    good = Told(
        what="Crosscut",
        piece="R001",
        setting="stop 41",
        tape="41",
        comes_off="R001, 41 × 3 1/2",
        remains="scrap, 2 7/8 × 3 1/2",
    )
    rip = replace(good, what="Rip", setting="fence 2 5/8", tape="2 5/8")
    rip = replace(rip, comes_off="A1, 41 × 2 5/8", remains="scrap, 41 × 3/4")
    as_planned(plan, board, sawn(plan, board, "R001", [good, rip]))
    off = replace(
        rip,
        setting="fence 2 9/16",
        tape="2 9/16",
        comes_off="A1, 41 × 2 9/16",
        remains="scrap, 41 × 13/16",
    )
    with pytest.raises(AssertionError):
        as_planned(plan, board, sawn(plan, board, "R001", [good, off]))


def strings(row: list[object]) -> list[str]:
    return [f"{cell:g}" if isinstance(cell, float) else str(cell) for cell in row]
