"""A plan holds its rack pieces: another job's plan leaves them alone; settling frees the rest."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from optimizer.plan.happened import happened_from
from optimizer.plan.holding import hold
from optimizer.plan.settle import settle
from stock.errors import RackfirstError
from tests.settled_shop import NOW, books, journal_in, planned, rack_in, stock_in, told
from tests.typed_books import workbook

RACK = "Size | Length | Tag | Count\n2x4 | 41 | R001 | 2\n2x4 | 33 | R002 |"
PARTS = "Part | Count | Length | Size\nRail | 1 | 40 | 2x4\nStop | 1 | 32 | 2x4"


def held(book: Path) -> dict[str, str]:
    return {piece.tag: piece.held_for for piece in stock_in(book).rack if piece.held_for}


def test_another_plan_leaves_held_pieces_alone(tmp_path: Path) -> None:
    book = books(tmp_path, rack=RACK, parts=PARTS)
    workbook(tmp_path / "other.xlsx", Parts=PARTS)
    plan = planned(tmp_path)
    assert {board.tag for board in plan.boards} == {"R001", "R002"}

    done = hold(plan, book, NOW)

    assert held(book) == {"R001": "job", "R002": "job"}
    assert told(done.written.lines)[2:] == [("held", "R001", 0), ("held", "R002", 0)]
    assert done.remarks == (
        "all 2 pieces of R001 are held, and 1 used: give the others a tag of their own",
    )
    assert not {board.tag for board in planned(tmp_path, "other").boards} & {"R001", "R002"}
    assert {board.tag for board in planned(tmp_path).boards} == {"R001", "R002"}
    with pytest.raises(RackfirstError, match="R001 is held for job; plan again, then hold"):
        hold(replace(plan, job="other"), book, NOW)


def test_held_twice_is_held_once_and_released_is_free(tmp_path: Path) -> None:
    book = books(tmp_path, rack=RACK, parts=PARTS)
    plan = planned(tmp_path)
    hold(plan, book, NOW)
    assert hold(plan, book, NOW).written.lines == ()
    hold(plan, book, NOW, release=True)
    assert held(book) == {}
    assert told(journal_in(book))[-1] == ("freed", "R002", 0)


def test_settled_what_was_held_and_not_used_is_free_again(tmp_path: Path) -> None:
    book = books(tmp_path, rack=RACK, parts=PARTS)
    plan = planned(tmp_path)
    hold(plan, book, NOW)
    settle(plan, book, happened_from(plan, None, not_sawn="R002"), NOW)
    assert held(book) == {}
    assert rack_in(book) == {"R001": (41, 1), "R002": (33, 1)}
    assert [what for what, _, _ in told(journal_in(book))][-2:] == ["freed", "freed"]


def test_what_is_not_on_the_rack_cannot_be_held(tmp_path: Path) -> None:
    book = books(tmp_path, rack=RACK, parts=PARTS)
    plan = planned(tmp_path)
    books(tmp_path, rack="Size | Length | Tag\n2x4 | 41 | R001", parts=PARTS)
    with pytest.raises(RackfirstError, match="R002 is not on the rack as the plan has it"):
        hold(plan, book, NOW)
