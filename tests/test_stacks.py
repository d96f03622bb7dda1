"""Face glue-ups in full, each number worked out beside the test.

Skim and last pass 1/32 a face: a board 1 1/2 thick keeps 1 7/16 as a ply, one of 3/4 keeps 11/16;
the whole loses 1/16 more. Common practice, no source; boards measure as in PS 20-20.
"""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from optimizer.job.layups import LayUp
from optimizer.job.parts import Make, Part
from optimizer.job.ways import lay_ups
from stock.lengths import Length
from stock.shop import Shop
from tests.making_plans import inches
from tests.shop_floor import part, shop
from tests.test_layups import boards

TWOS = boards("1 1/2", "3 1/2 x 96", "9 1/4 x 96")
ONES = boards("3/4", "3 1/2 x 96")


def stacks(what: Part, in_shop: Shop | None = None) -> list[LayUp]:
    found, _ = lay_ups(what, [ONES, TWOS], in_shop or shop())
    return [way for way in found if len(way.plies) > 1]


def thicknesses(way: LayUp) -> list[Length]:
    return [ply[0][0].lumber.thickness for ply in way.plies]


def test_thin_plies_lie_inside() -> None:
    # 2 1/16 + 1/16 = 2 1/8: 1 7/16 + 11/16 just do.
    leg = part("2 1/16 x 2 3/4 x 28")
    one_and_a_half, three_quarters = inches("1 1/2"), inches("3/4")
    assert [one_and_a_half, three_quarters] in map(thicknesses, stacks(leg))
    # 3 7/16 + 1/16: two of 1 7/16 and one of 11/16 are 3 9/16.
    assert [one_and_a_half, three_quarters, one_and_a_half] in map(
        thicknesses, stacks(part("3 7/16 x 2 3/4 x 28"))
    )


@given(st.fractions(min_value=2, max_value=5, max_denominator=16))
def test_no_ply_of_a_mixed_stack_could_be_left_away_or_thinner(thickness: Length) -> None:
    what = Part(name="Leg", count=1, length=Length(28), width=Length(2), thickness=thickness)
    for way in stacks(what):
        plies = thicknesses(way)
        left = sum(plies) - inches("1/16") * (len(plies) + 1)
        assert left >= thickness
        if len(set(plies)) > 1:
            assert left - min(plies) + inches("1/16") < thickness
            assert left - inches("3/4") < thickness  # none of 1 1/2 could be of 3/4
            assert all(inner <= min(plies[0], plies[-1]) for inner in plies[1:-1])


def test_wide_plies_are_strips_whose_joints_do_not_line_up() -> None:
    # 8 + 1/8 + 1/8 = 8 1/4 wide: two strips of 4 1/8 + 1/4, or three of 2 3/4 + 1/4. Each ply is
    # flattened: 2(1 1/2 - 1/16 - 1/16) - 1/16 = 2 11/16.
    top = part("2 5/8 x 8 x 40")
    (of_strips,) = (way for way in stacks(top) if len(way.plies[0]) > 1)
    widths = [[strip[0].width for strip in ply] for ply in of_strips.plies]
    assert widths == [[inches("4 3/8")] * 2, [Length(3)] * 3]
    assert all(len(one) != len(other) for one, other in pairwise(of_strips.plies))
    # Members have two faces each, so have both plies once glued, and the whole.
    assert of_strips.planed_faces == 2 * (5 + 2 + 1)
    assert of_strips.glue_lines == 4
    assert of_strips.glue_area() == 3 * 41 * inches("1 1/2") + 41 * inches("8 3/4")


def test_inner_plies_are_joined_only_where_the_part_says_so() -> None:
    # Three plies of 1 1/2 keep 4 1/4.
    post = part("4 1/8 x 2 3/4 x 64", make=Make.GLUED)
    assert all(len(strip) == 1 for way in stacks(post) for ply in way.plies for strip in ply)
    allowed = part("4 1/8 x 2 3/4 x 64", make=Make.GLUED, butt_joints=True)
    joined = [way for way in stacks(allowed) if any(len(ply[0]) > 1 for ply in way.plies)]
    # 65 long, joined at a half and at a third, on the tape.
    assert [[blank.length for blank in way.plies[1][0]] for way in joined] == [
        [inches("32 1/2"), inches("32 1/2")],
        [inches("21 11/16"), inches("43 5/16")],
    ]
    assert all(len(way.plies[0][0]) == len(way.plies[-1][0]) == 1 for way in joined)
    assert all("never for load" in way.remarks[0] for way in joined)
    loaded = part("4 1/8 x 2 3/4 x 64", butt_joints=True, carries_load=True)
    assert all(len(strip) == 1 for way in stacks(loaded) for ply in way.plies for strip in ply)


def test_joints_of_plies_that_touch_are_a_stagger_apart() -> None:
    # Four plies of 1 1/2 keep 5 11/16: the inner two are joined 12 apart.
    post = part("5 1/2 x 2 3/4 x 64", butt_joints=True)
    (joined,) = (way for way in stacks(post) if any(len(ply[0]) > 1 for ply in way.plies))
    first, second = (ply[0][0].length for ply in joined.plies[1:3])
    assert second - first == 12
    assert first + second == 65


def test_a_range_of_thickness_takes_fewer_plies() -> None:
    # Two plies keep 2 13/16, three 4 1/4.
    post = part("3 x 2 3/4 x 28", thickness_at_least="2 3/4")
    two = [way for way in stacks(post) if thicknesses(way) == [inches("1 1/2")] * 2]
    assert [way.thickness for way in two] == [inches("2 13/16")]
