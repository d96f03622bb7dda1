"""At the saw, things go wrong: what is cut stays cut, and the rest is planned anew."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from optimizer.job.job_book import Books, read_books
from optimizer.output.difference import difference
from optimizer.plan.audit import AuditError, audit
from optimizer.plan.happened import Happened
from optimizer.plan.midway import standing
from optimizer.plan.plan import Board, Plan
from optimizer.plan.plan_file import plan_from_json, plan_to_json
from optimizer.plan.settle import settle
from optimizer.replan import replan
from optimizer.search.watch import Watch
from stock.errors import RackfirstError
from tests.journeys import run
from tests.settled_shop import NOW, books, planned, rack_in, read
from tests.test_demo import JOB, STOCK, solved
from tests.typed_books import settings_sheet

PARTS = "Part | Count | Length | Size\nRail | 3 | 40 | 2x4"
NO_RACK = "Size | Length | Tag\n2x4 | 13 | R001"


@pytest.fixture(scope="module")
def demo() -> tuple[Books, Plan]:
    both = read_books(JOB, STOCK)
    return both, solved(both.stock, both.job)


def again(both: Books, plan: Plan, cut: Collection[str], spoiled: Collection[str]) -> Plan:
    return replan(plan, both.stock, both.job, set(cut) - {*spoiled}, spoiled, Watch(seconds=8))


def geometry(board: Board) -> list[tuple[str, Fraction]]:
    return [(str(cut.kind), cut.at) for cut in board.cuts]


# --- the demo ------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(3))
def test_a_cut_that_is_done_is_never_touched(demo: tuple[Books, Plan], seed: int) -> None:
    both, plan = demo
    ids = [blank.id for board in plan.boards for blank in board.blanks]
    draw = random.Random(seed)
    cut = set(ids[: draw.randrange(len(ids))])
    spoiled = {draw.choice(ids)}

    new = again(both, plan, cut, spoiled)

    audit(new, both.stock, both.job)
    assert plan_from_json(plan_to_json(new)) == new
    boards = {board.id: board for board in new.boards}
    for board in plan.boards:
        before = standing(plan, board, cut - spoiled, spoiled)
        if before.untouched:
            continue
        after = boards[board.id]
        assert after.made == len(before.cuts)
        assert geometry(after)[: after.made] == [(str(c.kind), c.at) for c in before.cuts]
        assert set(before.blanks) <= set(after.blanks)  # the same ids at the same places
        assert not spoiled & {blank.id for blank in after.blanks}
        if after.spoiled and after.cuts:
            uncut = [replace(each, made=0) if each is after else each for each in new.boards]
            with pytest.raises(AuditError, match="are spoiled, and 0 came off so far"):
                audit(replace(new, boards=tuple(uncut)), both.stock, both.job)
    bought = Counter((b.store, b.offer) for b in plan.boards if not b.from_rack)
    assert bought <= Counter((b.store, b.offer) for b in new.boards if not b.from_rack)


def test_it_never_costs_more_than_buying_the_spoiled_blank_alone(demo: tuple[Books, Plan]) -> None:
    both, plan = demo
    for board in (plan.boards[0], plan.boards[-1]):
        blank = board.blanks[0]
        new = again(both, plan, (), {blank.id})
        alone = min(
            Fraction(offer.price) * (100 + Fraction(tax[offer.store])) / 100
            for tax in [{store.name: store.tax_percent for store in both.stock.stores}]
            for offer in both.stock.offers
            if (offer.lumber.wood, offer.lumber.treated) == (board.wood, board.treated)
            and offer.lumber.thickness == board.thickness
            and offer.width >= blank.width
            and offer.length >= blank.length + 1  # half an inch off each end
        )
        assert Fraction(new.cost.net - plan.cost.net) <= alone + Fraction(2, 100)
        assert new.cost.net >= new.bound


# --- what stands, what is bought -----------------------------------------------------------------


def test_the_rest_of_a_board_serves_before_a_new_one(tmp_path: Path) -> None:
    # Two rails out of one 8 ft 2x4 and one out of another; 54 7/8 are left of that.
    books(tmp_path, rack=NO_RACK, parts=PARTS)
    plan, both = planned(tmp_path), read(tmp_path)
    assert len(plan.boards) == 2
    single = next(board for board in plan.boards if len(board.blanks) == 1)
    spoiled = next(board for board in plan.boards if board is not single).blanks[0].id

    new = again(both, plan, {single.blanks[0].id}, {spoiled})

    assert new.cost.boards == plan.cost.boards
    after = next(board for board in new.boards if board.id == single.id)
    assert len(after.blanks) == 2
    assert after.made == 3  # two trims and the crosscut of the first rail
    assert "Buy besides" not in difference(plan, new)
    assert f"Sawn otherwise from here on: {single.id}" in difference(plan, new)


def test_a_board_bought_and_not_needed_is_kept_whole(tmp_path: Path) -> None:
    """A cheaper way is found in what lies there: the other board stays as it is, and counts."""
    books(tmp_path, rack=NO_RACK, parts=PARTS)
    plan, both = planned(tmp_path), read(tmp_path)
    single = next(board for board in plan.boards if len(board.blanks) == 1)
    # The maker turns up an offcut that serves for the third rail, before its board is cut.
    books(tmp_path, rack=f"{NO_RACK}\n2x4 | 40 | R002", parts=PARTS)
    both = read(tmp_path)
    cut = {b.id for board in plan.boards if board is not single for b in board.blanks}

    new = again(both, plan, cut, ())

    kept = next(board for board in new.boards if board.id == single.id)
    assert kept.kept_whole
    assert (kept.leftovers[0].length, kept.leftovers[0].x) == (95, Fraction(1, 2))
    for longer in (replace(kept.leftovers[0], x=Fraction(0), length=Fraction(96)),
                   replace(kept.leftovers[0], length=Fraction(94))):  # fmt: skip
        boards = [replace(b, leftovers=(longer,)) if b is kept else b for b in new.boards]
        with pytest.raises(AuditError, match=f"board {kept.id}: "):
            audit(replace(new, boards=tuple(boards)), both.stock, both.job)
    assert f"Not needed any more: {single.id}" in difference(plan, new)
    assert "Pull besides: R002" in difference(plan, new)
    settle(new, tmp_path / "stock.xlsx", Happened(), NOW)
    rack = rack_in(tmp_path / "stock.xlsx")
    assert rack[kept.leftovers[0].tag] == (95, 1)
    assert "R002" not in rack


def test_a_ply_that_is_spoiled_is_replaced_by_its_like(tmp_path: Path) -> None:
    parts = "Part | Count | Length | Thickness | Width\nLeg | 1 | 28 | 2 3/4 | 2 3/4"
    books(tmp_path, rack=NO_RACK, parts=parts)
    plan, both = planned(tmp_path), read(tmp_path)
    good, bad = plan.parts[0].blanks
    new = again(both, plan, {good}, {bad})
    (leg,) = new.parts
    assert leg.blanks[0] == good
    assert leg.blanks[1] not in (good, bad)
    places = {blank.id: blank for board in new.boards for blank in board.blanks}
    assert places[leg.blanks[1]].width == places[good].width
    assert [board.spoiled for board in new.boards if board.spoiled] == [(bad,)]


@pytest.mark.parametrize("sawing", ["rip first", "crosscut first"])
def test_a_shop_saws_on_in_its_own_order(tmp_path: Path, sawing: str) -> None:
    parts = "Part | Count | Length | Thickness | Width\nSlat | 5 | 30 | 1 1/2 | 1 1/2"
    books(tmp_path, rack=NO_RACK, parts=parts, Shop=settings_sheet(sawing=sawing))
    plan, both = planned(tmp_path), read(tmp_path)
    for blank in plan.boards[0].blanks[:3]:
        new = again(both, plan, {plan.boards[0].blanks[0].id}, {blank.id})
        audit(new, both.stock, both.job)


def test_a_second_mishap_goes_on_from_the_first(tmp_path: Path) -> None:
    books(tmp_path, rack=NO_RACK, parts=PARTS)
    plan, both = planned(tmp_path), read(tmp_path)
    first = again(both, plan, (), {plan.boards[0].blanks[0].id})
    made = {board.id: geometry(board)[: board.made] for board in first.boards if board.made}
    assert made
    ids = [blank.id for board in first.boards for blank in board.blanks]
    second = again(both, first, (), {ids[-1]})
    for board in second.boards:
        before = made.get(board.id, [])
        assert geometry(board)[: len(before)] == before
    assert sum(len(board.spoiled) for board in second.boards) == 2


def test_with_nothing_wrong_the_plan_stays(tmp_path: Path) -> None:
    books(tmp_path, rack=NO_RACK, parts=PARTS)
    plan, both = planned(tmp_path), read(tmp_path)
    assert again(both, plan, (), ()).cost == plan.cost


def test_a_board_bought_besides_is_not_marked_with_a_tag_of_the_rack(tmp_path: Path) -> None:
    books(tmp_path, rack=NO_RACK, parts=PARTS)
    plan = planned(tmp_path)
    books(tmp_path, rack=NO_RACK.replace("R001", "B3"), parts=PARTS)
    spoiled = [blank.id for board in plan.boards for blank in board.blanks]
    new = again(read(tmp_path), plan, (), spoiled)
    assert [board.id for board in plan.boards] == ["B1", "B2"]
    assert {board.id for board in new.boards} == {"B1", "B2", "B4"}


def test_after_settling_it_is_too_late(tmp_path: Path) -> None:
    book = books(tmp_path, rack="Size | Length | Tag\n2x4 | 96 | R001",
                 parts="Part | Count | Length | Size\nRail | 1 | 40 | 2x4")  # fmt: skip
    plan = planned(tmp_path)
    settle(plan, book, Happened(), NOW)
    with pytest.raises(RackfirstError, match=r"R001 is in the plan and not on the rack .* --undo"):
        again(read(tmp_path), plan, (), {plan.boards[0].blanks[0].id})


def test_what_was_bought_must_still_stand_in_the_prices(tmp_path: Path) -> None:
    books(tmp_path, rack=NO_RACK, parts=PARTS)
    plan = planned(tmp_path)
    books(tmp_path, rack=NO_RACK, parts=PARTS, Prices="Size | Length | Price\n2x4 | 8' | 4.5")
    with pytest.raises(RackfirstError, match=r"does not sell 2x4 x 8' at 4.25 any more"):
        again(read(tmp_path), plan, (), {plan.boards[0].blanks[0].id})


# --- as a user -----------------------------------------------------------------------------------


def test_replan_writes_beside_the_old_plan_and_says_what_differs(tmp_path: Path) -> None:
    books(tmp_path, rack=NO_RACK, parts=PARTS)
    assert run("plan", tmp_path / "job.xlsx").exit_code == 0
    old = (tmp_path / "job-plan" / "plan.json").read_bytes()
    result = run("replan", tmp_path / "job-plan", "--done", "B1", "--spoiled", "b3")
    assert result.exit_code == 0, result.output
    assert "Cash " in result.stdout
    assert "job-plan-2: plan.json, shopping.xlsx, cutting.html, labels.html" in result.stdout
    assert (tmp_path / "job-plan" / "plan.json").read_bytes() == old
    assert (tmp_path / "job-plan-2" / "shopping.xlsx").exists()
    wrong = run("replan", tmp_path / "job-plan-2", "--spoiled", "b99")
    assert wrong.exit_code == 1
    assert "b99: the plan has no such blank or board" in wrong.stderr
