"""What came and what went: the rack is the sum, and nothing is taken back that is gone."""

from __future__ import annotations

from datetime import date

import pytest

from stock.errors import RackfirstError
from stock.journal import Line, What, counted, is_settled, rack_sum, sums, undoing
from stock.lengths import Length
from stock.pieces import Lumber, RackPiece

DAY = date(2026, 5, 4)


def piece(tag: str, length: int = 40, count: int = 1, wood: str = "SPF") -> RackPiece:
    lumber = Lumber(wood=wood, treated=False, thickness=Length(3, 2))
    return RackPiece(tag=tag, lumber=lumber, width=Length(7, 2), length=Length(length), count=count)


def line(what: What, tag: str, count: int, plan: str = "", length: int = 40) -> Line:
    return Line(day=DAY, what=what, piece=piece(tag, length), count=count, plan=plan)


def told(lines: list[Line]) -> list[tuple[str, str, int, int]]:
    return [(str(e.what), e.piece.tag, int(e.piece.length), e.count) for e in lines]


def test_the_rack_is_the_sum() -> None:
    journal = [
        line(What.KEPT, "R001", 3),
        line(What.SAWN, "R001", -1),
        line(What.KEPT, "R002", 1),
        line(What.SAWN, "R002", -1),
        line(What.COUNTED, "R001", 2, length=41),
    ]
    assert [(p.tag, p.length, p.count) for p in rack_sum(journal)] == [
        ("R001", 40, 2),
        ("R001", 41, 2),
    ]


def test_the_spelling_of_tags_and_woods_does_not_count() -> None:
    one, other = piece("r001", wood="spf"), piece("R001", wood="SPF")
    journal = [Line(day=DAY, what=What.KEPT, piece=one, count=1)]
    assert list(counted(journal, [other], DAY, "")) == []


def test_what_differs_from_the_rack_is_counted() -> None:
    journal = [line(What.KEPT, "R001", 2), line(What.KEPT, "R002", 1), line(What.KEPT, "R004", 1)]
    rack = [piece("R001", count=1), piece("R003", count=2), piece("R004", length=39)]
    lines = list(counted(journal, rack, DAY, "by hand"))
    assert told(lines) == [
        ("counted", "R001", 40, -1),
        ("counted", "R002", 40, -1),
        ("counted", "R004", 40, -1),
        ("counted", "R003", 40, 2),
        ("counted", "R004", 39, 1),
    ]
    assert {line.note for line in lines} == {"by hand"}
    assert sums([*journal, *lines]) == {s: n for s, n in sums([*journal, *lines]).items() if n > 0}


def test_undone_means_line_by_line() -> None:
    journal = [
        line(What.KEPT, "R001", 1),
        line(What.SAWN, "R001", -1, "bench 1"),
        line(What.BOUGHT, "B1", 1, "bench 1"),
        line(What.SAWN, "B1", -1, "bench 1"),
        line(What.KEPT, "R002", 1, "bench 1"),
    ]
    assert is_settled(journal, "bench 1")
    back = undoing(journal, "bench 1", DAY)
    assert told(back) == [
        ("undone", "R002", 40, -1),
        ("undone", "B1", 40, 1),
        ("undone", "B1", 40, -1),
        ("undone", "R001", 40, 1),
    ]
    journal += back
    assert not is_settled(journal, "bench 1")
    assert undoing(journal, "bench 1", DAY) == []
    assert [p.tag for p in rack_sum(journal)] == ["R001"]


def test_what_was_held_is_not_undone() -> None:
    journal = [line(What.HELD, "R001", 0, "bench 1")]
    assert not is_settled(journal, "bench 1")


@pytest.mark.parametrize(
    ("since", "why"),
    [
        (line(What.SAWN, "R002", -1, "shelf 2"), "went into shelf 2; undo that plan first"),
        (line(What.COUNTED, "R002", -1), "is no longer on the rack .since 2026-05-04"),
        (line(What.COUNTED, "R001", 1, length=20), "another piece has that tag by now"),
    ],
)
def test_what_is_gone_cannot_be_taken_back(since: Line, why: str) -> None:
    journal = [
        line(What.KEPT, "R001", 1),
        line(What.SAWN, "R001", -1, "bench 1"),
        line(What.KEPT, "R002", 1, "bench 1"),
        since,
    ]
    with pytest.raises(RackfirstError, match=why):
        undoing(journal, "bench 1", DAY)


@pytest.mark.parametrize(("what", "count"), [(What.SAWN, 0), (What.HELD, 1)])
def test_a_line_moves_wood_or_holds_it(what: What, count: int) -> None:
    with pytest.raises(ValueError, match="of R001"):
        line(what, "R001", count)
