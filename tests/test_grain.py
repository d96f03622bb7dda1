"""Lines that name one board come out of one blank, in rows and columns. All prices are invented."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from optimizer.advice.wishes import stated
from optimizer.job.grain import grids, searched_as
from optimizer.job.job_book import read_job
from optimizer.job.parts import Faces, Make, Part
from optimizer.job.telling import told_ways
from optimizer.job.together import together as planned_together
from optimizer.output.words import cautions
from optimizer.plan.plan import Status
from optimizer.plan.plan_file import plan_from_json, plan_to_json
from optimizer.replan import replan
from optimizer.search.watch import Watch
from optimizer.solve import solve, ways_of
from optimizer.work.work import work_of
from stock.lengths import Length, Unit
from tests.damage import changed, holds, refused
from tests.making_plans import Case, inches
from tests.shop_floor import book, job, part, shop, sold

SIX_FEET = sold("3/4 x 7 1/4 x 73", "9.00")  # 72 of it are usable
SHORT = sold("3/4 x 3 1/2 x 31", "2.00")


def line(text: str, name: str, count: int = 1, board: str = "front", **values: object) -> Part:
    return part(f"3/4 x {text}", name, count=count, of_board=board, faces=Faces.AS_BOUGHT, **values)


DOOR, RAIL = line("3 1/2 x 30", "Door", 2), line("3 1/2 x 8", "Rail")
"""As wide as each other: 30 + 30 + 8, two kerfs and 1 extra are 69 1/4 long."""

STILE = line("2 x 30", "Stile", 2)
"""As long as the doors: 3 1/2 + 3 1/2 + 2 + 2 and three kerfs are 11 3/8 wide."""


def made_of(*lines: Part, boards: tuple[object, ...] = (SIX_FEET, SHORT)) -> Case:
    stock, drawn = book(*boards, shop=shop()), job(*lines)  # type: ignore[arg-type]
    return Case(plan=solve(stock, drawn, Watch()), stock=stock, job=drawn)


# --- how they lie --------------------------------------------------------------------------------


def laid(*lines: Part) -> list[tuple[list[tuple[str, int]], list[tuple[str, int]]]]:
    (together,) = searched_as(lines)
    return [
        ([(p.name, n) for p, n in grid.along], [(p.name, n) for p, n in grid.across])
        for grid in grids(together)
    ]


def test_lines_as_wide_lie_end_to_end() -> None:
    assert laid(DOOR, RAIL) == [([("Door", 2), ("Rail", 1)], [("Door", 1)])]


def test_lines_as_long_lie_side_by_side_and_the_same_again_behind() -> None:
    assert laid(DOOR, STILE) == [
        ([("Door", 1)], [("Door", 2), ("Stile", 2)]),
        ([("Door", 2)], [("Door", 1), ("Stile", 1)]),
    ]


def test_lines_alike_lie_either_way() -> None:
    assert len(laid(DOOR, replace(DOOR, name="Lid"))) == 4


def test_every_copy_lies_in_it_once() -> None:
    for lines in ((DOOR, RAIL), (DOOR, STILE), (DOOR, replace(DOOR, name="Lid", spare=2))):
        (together,) = searched_as(lines)
        for grid in grids(together):
            assert grid.copies == together.copies == sum(each.copies for each in lines)


def test_other_lines_are_searched_by_themselves() -> None:
    alone, other = line("3 1/2 x 30", "Alone", board=""), line("2 x 9", "Other", board="back")
    searched = searched_as((DOOR, alone, other, replace(RAIL, of_board="Front")))
    assert [each.name for each in searched] == ["Door + Rail", "Alone", "Other"]


# --- plans ---------------------------------------------------------------------------------------


def test_end_to_end_they_are_one_blank_that_the_plan_takes_apart() -> None:
    case = made_of(DOOR, RAIL)
    plan = case.plan
    assert plan.status is Status.PROVEN
    (blank,) = (blank for board in plan.boards for blank in board.blanks)
    assert (blank.length, blank.width, blank.holds) == (inches("69 1/4"), inches("3 1/2"), 3)
    assert [(made.part, made.copy, made.length) for made in plan.parts] == [
        ("Door", 1, 30),
        ("Door", 2, 30),
        ("Rail", 1, 8),
    ]
    assert {made.remarks for made in plan.parts} == {
        ("3 parts of board 'front' in one length, crosscut last",)
    }
    assert plan_from_json(plan_to_json(plan)) == plan
    assert work_of(plan).marks.blanks[blank.id] == "A1–2+C1"


def test_without_the_wish_it_would_be_cheaper_and_is_refused() -> None:
    case = made_of(DOOR, RAIL)
    apart = [replace(each, of_board="") for each in case.job.parts]
    cheaper = made_of(*apart)
    assert cheaper.plan.cost.net < case.plan.cost.net
    refused(replace(cheaper, job=case.job), "is not out of one blank with all of board front")


def test_side_by_side_two_rows_of_two() -> None:
    # 30 + 30, a kerf and 1 extra long, 3 1/2 + 2 and a kerf wide: all four abreast are too wide.
    case = made_of(DOOR, STILE)
    (blank,) = (blank for board in case.plan.boards for blank in board.blanks)
    assert (blank.length, blank.width) == (inches("61 1/8"), inches("5 5/8"))
    told = "4 parts of board 'front' in one blank, 2 side by side, ripped and then crosscut last"
    assert {made.remarks for made in case.plan.parts} == {(told,)}
    assert "ripping" in cautions(case.plan)


def test_planed_each_has_its_edges_to_joint() -> None:
    lines = [replace(each, faces=Faces.PLANED, thickness=inches("5/8")) for each in (DOOR, STILE)]
    case = made_of(*lines)
    (blank,) = (blank for board in case.plan.boards for blank in board.blanks)
    assert (blank.length, blank.width) == (inches("61 1/8"), inches("5 7/8"))
    assert all(made.planed for made in case.plan.parts)


def test_tenons_count_and_the_plan_has_them() -> None:
    tenoned = replace(RAIL, tenons=(Length(1), Length(1)), length=Length(6))
    case = made_of(DOOR, tenoned)
    assert [made.tenons for made in case.plan.parts] == [(), (), (1, 1)]
    assert case.plan.boards[0].blanks[0].length == inches("69 1/4")


def a_board(seed: int) -> tuple[Part, ...]:
    """Two or three lines as wide or as long as each other; some too short to be held or planed."""
    draw = random.Random(seed)
    faces = draw.choice((Faces.AS_BOUGHT, Faces.PLANED, Faces.ANY))
    wide, long = draw.choice((2, 3)), draw.randint(3, 30)
    lines = []
    for n in range(draw.randint(2, 3)):
        size = (draw.randint(2, 20), wide) if seed % 2 else (long, draw.randint(1, 3))
        length, width = (Length(4 * each + draw.randint(0, 3)) / 4 for each in size)
        width = Length(wide) if seed % 2 else width
        length = length if seed % 2 else Length(long)
        drawn = part(f"5/8 x {width} x {length}", f"Line {n}", count=draw.choice((1, 2)))
        lines.append(replace(drawn, of_board="front", faces=faces, spare=draw.choice((0, 0, 1))))
    return tuple(lines)


@pytest.mark.parametrize("seed", range(16))
def test_whatever_lines_share_a_board_the_audit_finds_them_in_it(seed: int) -> None:
    lines = a_board(seed)
    boards = (sold("3/4 x 40 x 196", "40.00"), sold("5/8 x 40 x 196", "45.00"))
    saws = shop(widest_to_plane=40, longest_to_rip=196)
    stock, drawn = book(*boards, shop=saws), job(*lines)
    plan = solve(stock, drawn, Watch(seconds=20))  # audited
    (blank,) = (blank for board in plan.boards for blank in board.blanks)
    bought = sum(line.count for line in plan.buy)
    assert (bought, blank.holds) == (1, sum(each.copies for each in lines))


def test_giving_the_board_up_is_a_wish_that_has_its_price() -> None:
    # 30 + 20, a kerf and 1 extra are too long for a short board, which would do for each alone.
    case = made_of(replace(DOOR, count=1), replace(RAIL, length=Length(20)))
    wishes = {what: books for what, *books in stated(case.stock, case.job)}
    stock, easier = wishes["Rail: all out of one board"]
    assert solve(stock, easier, Watch()).cost.net < case.plan.cost.net


# --- the audit -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("job.parts.0.width", inches("3 5/8"), "is of one board with parts unlike it"),
        ("job.parts.1.length", inches("8 1/2"), "length 277/4 is under the 279/4 that it needs"),
        ("job.parts.1.length", inches("7 1/2"), "length 277/4 is over the 275/4 that it needs"),
        ("job.parts.1.of_board", "back", "is not out of one blank with all of board front"),
        ("job.parts.1.of_board", "", "blank b1 stands in copies of 2 parts"),
        ("stock.shop.crosscut_kerf", inches("1/4"), "under the"),
    ],
)
def test_another_drawing_is_refused(path: str, value: object, said: str) -> None:
    case = made_of(DOOR, RAIL)
    holds(case)
    refused(changed(case, path, value), said)


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("job.parts.1.width", inches("2 1/8"), "is under the 23/4 that it needs"),
        ("stock.shop.narrowest_rip", inches("3"), "too narrow or too thick"),
        ("stock.shop.shortest_to_rip", inches("62"), "too short or too long"),
    ],
)
def test_what_lies_side_by_side_must_be_sawn_apart(path: str, value: object, said: str) -> None:
    case = made_of(DOOR, STILE)
    holds(case)
    refused(changed(case, path, value), said)


# --- in the middle of a job, and beside other jobs -----------------------------------------------


def test_a_spoiled_blank_takes_all_of_its_parts_with_it() -> None:
    case = made_of(DOOR, RAIL)
    spoiled = case.plan.boards[0].blanks[0].id
    again = replan(case.plan, case.stock, case.job, set(), {spoiled}, Watch(seconds=20))
    holds(replace(case, plan=again))
    assert [(made.part, made.copy) for made in again.parts] == [
        ("Door", 1),
        ("Door", 2),
        ("Rail", 1),
    ]
    # Beside it the board is wide enough for another.
    (board,) = again.boards
    assert (board.spoiled, [blank.holds for blank in board.blanks]) == ((spoiled,), [3])


def test_two_jobs_may_call_a_board_alike() -> None:
    one = job(DOOR, RAIL)
    both = planned_together([one, replace(one, name="bench")])
    assert len(searched_as(both.parts)) == 2


# --- the sheet -----------------------------------------------------------------------------------

HEAD = "Part,Count,Length,Width,Thickness,Same board,Make,Faces\n"


def read(tmp_path: Path, *rows: str) -> tuple[list[Part], list[str]]:
    (tmp_path / "job.csv").write_text(HEAD + "\n".join(rows), encoding="utf-8")
    reading = read_job(tmp_path / "job.csv", book(SIX_FEET, shop=shop()))
    parts = list(reading.job.parts) if reading.job else []
    return parts, [str(fault) for fault in reading.faults]


def test_yes_is_the_line_alone_and_a_name_is_shared(tmp_path: Path) -> None:
    parts, faults = read(
        tmp_path,
        "Door,2,30,3 1/2,3/4,Front,,",
        "Rail,1,8,3 1/2,3/4,front,,",
        "Slat,3,20,2,3/4,Yes,,",
        "Lid,1,20,2,3/4,no,,",
    )
    assert not faults
    assert [(each.same_board, each.of_board) for each in parts] == [
        (False, "Front"),
        (False, "front"),
        (True, ""),
        (False, ""),
    ]
    assert [each.name for each in searched_as(parts)] == ["Door + Rail", "Slat", "Lid"]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("Rail,1,8,3 1/2,1,front,,", "of one board with row 2, and has another thickness"),
        ("Rail,1,8,3 1/2,3/4,front,,planed", "and has another Faces"),
        ("Rail,1,8,3,3/4,front,,", "some are wider and some longer than others"),
        ("Rail,1,8,3 1/2,3/4,front,glued,", "what is glued is not out of one board"),
    ],
)
def test_lines_that_cannot_be_one_blank_are_refused(tmp_path: Path, row: str, said: str) -> None:
    _, faults = read(tmp_path, "Door,2,30,3 1/2,3/4,front,,", row)
    assert any(said in fault for fault in faults), faults


def test_each_way_is_told_with_the_names_of_its_lines() -> None:
    case = made_of(DOOR, RAIL)
    _, ways = ways_of(case.stock, case.job)
    told = told_ways(zip(searched_as(case.job.parts), ways, strict=True), Unit.IN)
    assert "Door: 2 of 30 × 3 1/2 × 3/4, out of board 'front'" in told
    assert "Rail: 1 of 8 × 3 1/2 × 3/4, out of board 'front'" in told
    assert (
        "60 finished Door × 2 + 8 finished Rail + 1/4 kerf × 2 + 1 extra length = 69 1/4"
    ) in told
    assert "3 parts of board 'front' in one length, crosscut last" in told


def test_a_solid_part_stays_solid() -> None:
    (together,) = searched_as((replace(DOOR, make=Make.ANY), RAIL))
    assert together.make is Make.SOLID
    assert together.thickness_at_least == Fraction(3, 4)
