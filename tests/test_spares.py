"""Spares for what fails at the saw: of each grade its share, the longest parts first."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.job.parts import Faces, Part
from optimizer.job.spares import with_spares
from optimizer.plan.audit import AuditError, audit
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.prices import Offer
from tests.shop_floor import book, job, part, shop, sold

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


@given(
    counts=st.lists(st.tuples(st.integers(1, 9), st.integers(0, 2)), min_size=4, max_size=4),
    shares=st.tuples(st.integers(0, 60), st.integers(0, 60)),
)
def test_never_fewer_than_fail_and_never_one_more(
    counts: list[tuple[int, int]], shares: tuple[int, int]
) -> None:
    drawn = [
        replace(each, count=count, spare=spare)
        for each, (count, spare) in zip(ALL, counts, strict=True)
    ]
    rejected = [("No. 2", Decimal(shares[0])), ("Clear", Decimal(shares[1]))]
    spared = with_spares(drawn, rejected)
    assert spared[-1] == drawn[-1]  # it asks for no grade
    for grade, share in rejected:
        copies = sum(each.copies for each in drawn if each.grade == grade)
        more = sum(each.copies for each in spared if each.grade == grade) - copies
        assert more - 1 < copies * share / 100 <= more


@pytest.mark.parametrize(
    ("spares", "said"),
    [
        ((1, 1), None),
        ((0, 2), None),
        ((0, 1), "grade No. 2: 2 of 16 will fail at the saw, and 1 more are made"),
        ((2, 0), "grade No. 2: of its longest part no spare is made"),
    ],
)
def test_the_audit_counts_them_again(spares: tuple[int, int], said: str | None) -> None:
    long, short = sold("3/4 x 2 x 60", "2.00"), sold("3/4 x 2 x 12", "1.00")
    plain = book(*(graded(each, "No. 2") for each in (long, short)), shop=shop(end_trim=0))
    parts = (CLEAT, RAIL)
    drawn = job(
        *(
            replace(each, spare=n, faces=Faces.AS_BOUGHT)
            for each, n in zip(parts, spares, strict=True)
        )
    )
    plan = solve(plain, drawn, Watch())
    failing = replace(plain, shop=replace(plain.shop, rejected=(("No. 2", Decimal(10)),)))
    if said is None:
        audit(plan, failing, drawn)
    else:
        with pytest.raises(AuditError, match=re.escape(said)):
            audit(plan, failing, drawn)


def graded(offer: Offer, grade: str) -> Offer:
    return replace(offer, lumber=replace(offer.lumber, grade=grade))
