"""Spares for what fails at the saw: of each grade its share, the longest parts first."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from optimizer.job.parts import Part
from optimizer.job.spares import with_spares
from tests.shop_floor import part

RAIL = part("3/4 x 2 x 60", name="Rail", count=6, grade="No. 2")
CLEAT = part("3/4 x 2 x 12", name="Cleat", count=10, grade="No. 2")
DOOR = part("3/4 x 4 x 40", name="Door", count=4, grade="Clear")
PLAIN = part("3/4 x 4 x 90", name="Plain", count=40)


ALL = (CLEAT, RAIL, DOOR, PLAIN)


def spares(*rejected: tuple[str, str], of: tuple[Part, ...] = ALL) -> list[int]:
    return [p.spare for p in with_spares(of, [(grade, Decimal(n)) for grade, n in rejected])]


def test_one_in_ten_of_a_grade_is_made_once_more_the_longest_first() -> None:
    # 16 of No. 2: one in ten is 1.6, so two: a rail, then a cleat.
    assert spares(("No. 2", "10")) == [1, 1, 0, 0]
    assert spares(("No. 2", "6")) == [0, 1, 0, 0]


def test_each_grade_has_its_own_share_and_what_asks_for_none_has_none() -> None:
    assert spares(("No. 2", "6"), ("Clear", "5")) == [0, 1, 1, 0]
    assert spares() == [0, 0, 0, 0]


def test_spares_that_were_asked_for_count_and_stay() -> None:
    # 18 of No. 2: one in twenty is 0.9, so one, a third rail.
    two = replace(RAIL, spare=2)
    assert spares(("No. 2", "5"), of=(CLEAT, two)) == [0, 3]
