"""How long a blank is: for one copy, or for several where hand or machine ask for more."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.job.bench import Bench
from optimizer.job.parts import Part
from optimizer.job.ways import lay_ups
from stock.lengths import Length
from tests.making_plans import inches
from tests.shop_floor import part, shop
from tests.test_layups import boards

SOLD = boards("1 1/2", "3 1/2 x 96")


def lengths(what: Part, *, planed: bool = False, ripped: bool = False) -> dict[int, Length]:
    runs = Bench(what, SOLD, shop()).runs(planed=planed, ripped=ripped)
    return {run.copies: run.length for run in runs}


def test_a_long_part_is_alone_in_its_blank() -> None:
    rail = part("1 1/2 x 3 x 30", count=9)
    assert lengths(rail, ripped=True) == {1: 30}
    assert lengths(rail, planed=True, ripped=True) == {1: 31}


def test_short_parts_share_a_length_that_the_machines_take() -> None:
    # One of 5 and 1 extra are 6, two and a kerf 11 1/8: both up to 12. Three are 16 1/4 …
    peg = part("1 1/2 x 3 x 5", count=9)
    expected = {1: "12", 2: "12", 3: "16 1/4", 4: "21 3/8", 5: "26 1/2"}
    assert lengths(peg, ripped=True) == {n: inches(each) for n, each in expected.items()}
    assert lengths(peg) == {1: 5}  # off a board as wide: only crosscut


def test_a_part_too_short_to_be_held_leaves_a_stub_in_the_hand() -> None:
    # 2 pegs of 3, two kerfs, 1 extra and 4 in the hand.
    peg = part("1 1/2 x 3 x 3", count=3)
    assert lengths(peg) == {1: inches("8 1/8"), 2: inches("11 1/4")}


@pytest.mark.parametrize(
    ("wish", "count", "copies"),
    [("same_board", 5, [5]), ("pairs", 4, [2]), ("pairs", 5, [2, 3]), ("pairs", 1, [1])],
)
def test_copies_that_belong_together_share_a_length(
    wish: str, count: int, copies: list[int]
) -> None:
    wishes: dict[str, Any] = {wish: True}
    assert list(lengths(part("1 1/2 x 3 x 30", count=count, **wishes))) == copies


def test_the_length_for_two_of_an_odd_one_is_told_to_hold_a_spare() -> None:
    told = {}
    for count in (1, 2, 3):
        rail = part("1 1/2 x 3 1/2 x 30", count=count, pairs=True)
        found, _ = lay_ups(rail, [SOLD], shop())
        told[count] = {(way.copies, way.remarks) for way in found}
    spare = ("where a length for two holds one, its other half is a spare",)
    assert told == {1: {(1, ())}, 2: {(2, ())}, 3: {(2, spare), (3, ())}}


@given(
    st.fractions(min_value="1/2", max_value=40, max_denominator=16),
    st.integers(1, 12),
    st.booleans(),
)
def test_no_blank_is_shorter_than_hand_and_machines_ask(
    length: Length, count: int, planed: bool
) -> None:
    what = Part(name="Peg", count=count, length=length, width=Length(3), thickness=inches("1 1/2"))
    found = lengths(what, planed=planed, ripped=True)
    assert found
    for copies, blank in found.items():
        assert blank >= 12
        assert blank >= copies * length + (copies - 1) * inches("1/8")
        if length < 4:  # all of them come off while four inches are held
            assert blank >= copies * (length + inches("1/8")) + 4
    if count > 1 and found.keys() != {1}:
        # Any number of copies can be made up, without one too many.
        assert 1 in found


def test_of_one_board_or_strips_it_is_said_that_much_is_planed_away() -> None:
    # 3 1/2 - 4 * 1/32 = 3 3/8: 3/8 over 3, and 5/8 over 2 3/4, where up to 1/2 goes unsaid.
    posts, freely = boards("3 1/2", "2 x 96", "3 1/2 x 96"), shop(deepest_rip=4)
    assert all(not way.remarks for way in lay_ups(part("3 x 3 x 28"), [posts], freely)[0])
    found, _ = lay_ups(part("2 3/4 x 2 3/4 x 28"), [posts], freely)
    assert {way.glued for way in found} == {True, False}
    assert {way.remarks for way in found} == {
        (
            "from 3 1/2 down to 2 3/4 thick: resaw or rip it thinner first if the saw takes it, "
            "else many light passes, as the planer's manual says",
        )
    }


def beside(what: Part, *, planed: bool = False) -> dict[int, tuple[Length, Length]]:
    found = Bench(what, SOLD, shop()).side_by_side(planed=planed)
    return {run.abreast: (run.length, width.result) for run, width in found}


def test_copies_of_one_board_may_lie_side_by_side_too() -> None:
    # Two by two: 2 × 30, a kerf and 1 extra long; 2 × 3 and a kerf wide. Or all four abreast.
    slat = part("1 1/2 x 3 x 30", count=4, same_board=True)
    assert beside(slat) == {
        2: (inches("61 1/8"), inches("6 1/8")),
        4: (inches("30"), inches("12 3/8")),
    }
    # Planed, each has two edges to joint: 4 × 1/8 more, and one blank long 1 extra.
    assert beside(slat, planed=True)[4] == (inches("31"), inches("12 7/8"))


def test_what_is_too_short_to_be_ripped_apart_is_lengthened() -> None:
    assert beside(part("1 1/2 x 3 x 8", count=2, same_board=True)) == {
        2: (inches("12"), inches("6 1/8"))
    }


def test_other_parts_lie_in_no_blank_side_by_side() -> None:
    assert not beside(part("1 1/2 x 3 x 30", count=4))
    assert not beside(part("1 1/2 x 1/2 x 30", count=4, same_board=True))  # too narrow a rip
