"""All parts of a job at once: their lay-ups, or one sentence for each that cannot be made."""

from __future__ import annotations

from fractions import Fraction

import pytest

from optimizer.job.layups import LayUp
from optimizer.job.parts import Faces, Make, Part, Treatment
from optimizer.job.ways import NoPlanError, all_ways
from stock.pieces import Lumber
from tests.shop_floor import job, lumber, measures, part, shop

Board = tuple[Lumber, Fraction, Fraction]


def board(text: str, wood: str = "pine", *, treated: bool = False) -> Board:
    """``thickness x width x usable length``."""
    thickness, width, length = measures(text)
    return Lumber(wood=wood, treated=treated, thickness=thickness), length, width


def ways(*parts: Part, stock: list[Board]) -> tuple[tuple[LayUp, ...], ...]:
    return all_ways(job(*parts), stock, shop())


def no_plan(*parts: Part, stock: list[Board]) -> str:
    with pytest.raises(NoPlanError) as raised:
        ways(*parts, stock=stock)
    return str(raised.value)


TWO_BY_FOUR = board("1 1/2 x 3 1/2 x 96")


def test_each_part_has_its_lay_ups_from_every_lumber_that_suits() -> None:
    post = part("2 3/4 x 2 3/4 x 30", name="Post")
    rail = part("1 1/2 x 3 x 30", faces=Faces.AS_BOUGHT)
    of_post, of_rail = ways(post, rail, stock=[TWO_BY_FOUR, board("3 1/2 x 3 1/2 x 96")])
    assert {way.blanks[0].lumber.thickness for way in of_post} == {
        Fraction(3, 2),
        Fraction(7, 2),
    }
    assert [way.part for way in of_rail] == [rail]


def test_wood_and_treatment_of_a_part_are_heeded() -> None:
    stock = [
        board("1 1/2 x 3 1/2 x 96", "white oak"),
        board("1 1/2 x 3 1/2 x 96", "ponderosa pine"),
        board("1 1/2 x 3 1/2 x 96", "ponderosa pine", treated=True),
    ]
    oak = part("1 1/2 x 3 1/2 x 30", name="Oak", wood="white oak")
    pine = part("1 1/2 x 3 1/2 x 30", name="Pine", wood="pine")
    treated = part("1 1/2 x 3 1/2 x 30", name="Treated", treated=Treatment.YES)
    either = part("1 1/2 x 3 1/2 x 30", name="Either", treated=Treatment.EITHER)
    used = [
        {(way.blanks[0].lumber.wood, way.blanks[0].lumber.treated) for way in of_part}
        for of_part in ways(oak, pine, treated, either, stock=stock)
    ]
    assert used == [
        {("white oak", False)},
        {("ponderosa pine", False)},
        {("ponderosa pine", True)},
        {("white oak", False), ("ponderosa pine", False), ("ponderosa pine", True)},
    ]


def test_members_of_a_part_are_of_one_lumber() -> None:
    stock = [TWO_BY_FOUR, board("1 1/2 x 3 1/2 x 96", "white oak")]
    (of_post,) = ways(part("2 3/4 x 2 3/4 x 30"), stock=stock)
    assert {frozenset(blank.lumber for blank in way.blanks) for way in of_post} == {
        frozenset({lumber("1 1/2", "pine")}),
        frozenset({lumber("1 1/2", "white oak")}),
    }


@pytest.mark.parametrize(
    ("what", "says"),
    [
        # As in design: too wide for a board, but not for strips.
        (
            part("1 3/8 x 6 1/2 x 30", make=Make.SOLID),
            "Rail: needs a blank 31 long and 6 5/8 wide; the widest board is 3 1/2; "
            "with Make 'any' it would go, as 3 strips",
        ),
        (
            part("2 3/4 x 2 3/4 x 30", make=Make.SOLID),
            "Rail: a board 1 1/2 thick planes to 1 3/8 at the most; "
            "with Make 'any' it would go, as 2 plies",
        ),
        (
            part("1 3/8 x 3 1/2 x 30", faces=Faces.AS_BOUGHT),
            "Rail: a board 1 1/2 thick does not serve as bought; "
            "with Faces 'any' it would go, as one board, planed",
        ),
        (
            part("1 1/2 x 3 1/2 x 30", wood="white oak"),
            "Rail: no white oak board is on the rack or for sale; "
            "in any wood it would go, as one board, as bought",
        ),
        (
            part("1 1/2 x 3 1/2 x 30", treated=Treatment.YES),
            "Rail: no treated board is on the rack or for sale; "
            "with Treated 'either' it would go, as one board, as bought",
        ),
        (
            part("1 1/2 x 3 1/2 x 100"),
            "Rail: needs a blank 100 long and 3 1/2 wide; "
            "the longest usable board so wide is 96; "
            "a longer board in Prices or Rack would do",
        ),
    ],
)
def test_no_plan_says_why_and_what_would_do(what: Part, says: str) -> None:
    assert no_plan(what, stock=[TWO_BY_FOUR]) == says


@pytest.mark.parametrize(
    ("what", "says"),
    [
        (
            part("1 1/2 x 3 1/2 x 44", count=3, faces=Faces.AS_BOUGHT, same_board=True),
            "Rail: needs a blank 133 1/4 long and 3 1/2 wide; the longest usable board so wide is "
            "96; without Same board it would go, as one board, as bought",
        ),
        (
            part("1 1/2 x 3 1/2 x 60", count=2, faces=Faces.AS_BOUGHT, pairs=True),
            "without Pairs it would go",
        ),
        (part("4 1/8 x 2 3/4 x 120"), "the longest usable board so wide is 96"),
    ],
)
def test_a_wish_for_one_board_that_none_is_long_enough_for_is_named(what: Part, says: str) -> None:
    assert says in no_plan(what, stock=[TWO_BY_FOUR])


def test_every_part_that_cannot_be_made_is_named_and_no_other() -> None:
    parts = [
        part("1 1/2 x 3 1/2 x 100", name="Rail"),
        part("1 1/2 x 3 1/2 x 30", name="Slat"),
        part("8 x 8 x 30", name="Block"),
    ]
    lines = no_plan(*parts, stock=[TWO_BY_FOUR]).splitlines()
    assert [line.split(":")[0] for line in lines] == ["Rail", "Block"]


def test_the_nearest_miss_is_told() -> None:
    # The thin board is too thin; the thick one is only too short.
    stock = [board("3/4 x 3 1/2 x 96"), board("1 1/2 x 3 1/2 x 24")]
    said = no_plan(part("1 3/8 x 3 x 30", make=Make.SOLID), stock=stock)
    assert said.startswith("Rail: needs a blank 31 long")


def test_of_boards_too_thin_the_thickest_is_told() -> None:
    stock = [board("3/4 x 3 1/2 x 96"), board("1 1/2 x 3 1/2 x 96")]
    said = no_plan(part("2 x 3 x 30", make=Make.SOLID), stock=stock)
    assert said.startswith("Rail: a board 1 1/2 thick planes to 1 3/8 at the most")


def test_of_boards_too_short_the_longest_is_told() -> None:
    stock = [board("1 1/2 x 9 1/4 x 191"), board("1 1/2 x 3 1/2 x 95", "white oak")]
    said = no_plan(part("1 1/2 x 3 1/2 x 300"), stock=stock)
    assert "300 long and 3 1/2 wide; the longest usable board so wide is 191" in said


def test_a_panel_of_too_many_strips_is_not_told_to_want_thicker_boards() -> None:
    # Eight strips of 5 at the most keep 8 * 4 3/4 = 38, of whatever thickness.
    stock = [board("1 1/2 x 9 1/4 x 96"), board("3/4 x 7 1/4 x 96")]
    assert "8 strips do not make 40" in no_plan(part("3/4 x 40 x 60"), stock=stock)


def test_boards_that_the_car_does_not_carry_are_named() -> None:
    stock, sold = [board("3 1/2 x 3 1/2 x 96")], [board("2 1/2 x 5 1/2 x 143")]
    beam, car = part("4 1/2 x 4 1/2 x 110"), shop(longest_carried=100)
    said = "the boards that would do are longer than the longest carried, 100; a higher `longest"
    with pytest.raises(NoPlanError, match=said):
        all_ways(job(beam), stock, car, left_behind=sold)
    longer = part("3 1/2 x 3 1/2 x 110")
    with pytest.raises(NoPlanError, match="would do, in Prices with a higher `longest carried`"):
        all_ways(job(longer), stock, car)
