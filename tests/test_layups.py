"""From finished parts to rough blanks, each number worked out beside the test.

The allowances are the defaults of the inch shop: skim and last pass 1/32 a face, jointing 1/16 an
edge, slip 1/8, extra length 1. They are common practice, no source; boards measure as in PS 20-20
(2x4: 1 1/2 × 3 1/2).
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from optimizer.job.layups import LayUp
from optimizer.job.limits import Boards
from optimizer.job.parts import Faces, Make, Part
from optimizer.job.ways import lay_ups
from stock.lengths import MILLIMETRE, Length, Unit
from stock.shop import Shop
from tests.making_plans import inches
from tests.shop_floor import lumber, measures, part, shop


def boards(thickness: str, *sizes: str, treated: bool = False) -> Boards:
    """Boards of one thickness, each ``width x usable length``."""
    pairs = tuple(sorted((length, width) for width, length in map(measures, sizes)))
    return Boards(lumber=lumber(thickness, treated=treated), sizes=pairs)


def ways(what: Part, *stock: Boards, in_shop: Shop | None = None) -> list[LayUp]:
    return lay_ups(what, stock, in_shop or shop())[0]


def reasons(what: Part, *stock: Boards, in_shop: Shop | None = None) -> str:
    """Why nothing makes the part; the nearest miss last."""
    found, refusals = lay_ups(what, stock, in_shop or shop())
    assert not found
    return "\n".join(r.reason for r in sorted(refusals, key=lambda refusal: refusal.step))


def told(way: LayUp) -> str:
    """``planed 2 plies of 1 strip, 31 x 3``; members alike are told once."""
    faces = "planed" if way.planed else "as bought"
    (strips,) = {len(ply) for ply in way.plies}
    (length,) = {blank.length for blank in way.blanks}
    widths = " + ".join(say(width) for width in dict.fromkeys(blank.width for blank in way.blanks))
    edges = ", own edges" if any(blank.own_edges for blank in way.blanks) else ""
    copies = f", {way.copies} copies" if way.copies > 1 else ""
    return f"{faces}, {len(way.plies)}x{strips}, {say(length)} x {widths}{edges}{copies}"


def say(length: Length) -> str:
    whole, rest = divmod(length, 1)
    return f"{whole} {rest}" if whole and rest else f"{whole or rest}"


# --- solid ---------------------------------------------------------------------------------------


def test_a_blank_as_bought_is_sawn_straight_to_its_finished_size() -> None:
    # 30 1/3 + 3/4 + 3/4 = 31 5/6 stays, since nothing is added to it that a tape must show.
    rail = part("1 1/2 x 3 x 30 1/3", tenons=["3/4", "3/4"], make=Make.SOLID)
    (way,) = ways(rail, boards("1 1/2", "3 1/2 x 96"))
    assert told(way) == "as bought, 1x1, 31 5/6 x 3"


@pytest.mark.parametrize(
    ("thickness", "at_least", "serves"),
    [
        ("1 7/16", None, True),  # 1/16 under 1 1/2
        ("1 9/16", None, True),  # 1/16 over
        ("1 27/64", None, False),  # 5/64 under
        ("1 37/64", None, False),  # 5/64 over
        ("1 1/4", "1 1/4", True),
        ("1 15/64", "1 1/4", False),
    ],
)
def test_thickness_as_bought(thickness: str, at_least: str | None, serves: bool) -> None:
    wish: dict[str, Any] = {"thickness_at_least": at_least} if at_least else {}
    rail = part("1 1/2 x 3 x 30", faces=Faces.AS_BOUGHT, **wish)
    assert bool(ways(rail, boards(thickness, "3 1/2 x 96"))) is serves


def test_a_planed_blank_is_longer_and_wider_and_rounded_up_to_the_tape() -> None:
    # 30 1/3 + 1 = 31 1/3, up to 31 3/8; 3 + 2/16 = 3 1/8; 1 1/2 - 4/32 = 1 3/8 is thick enough.
    rail = part("1 3/8 x 3 x 30 1/3", make=Make.SOLID)
    assert list(map(told, ways(rail, boards("1 1/2", "3 1/2 x 96")))) == [
        "planed, 1x1, 31 3/8 x 3 1/8"
    ]


def test_a_board_just_as_wide_keeps_its_edges() -> None:
    # From the 2x4 the blank is 3 1/2 as it comes; from the 2x6 it is 3 1/2 + 2/16 and jointed.
    rail = part("1 3/8 x 3 1/2 x 30", make=Make.SOLID)
    assert list(map(told, ways(rail, boards("1 1/2", "3 1/2 x 96", "5 1/2 x 96")))) == [
        "planed, 1x1, 31 x 3 1/2, own edges",
        "planed, 1x1, 31 x 3 5/8",
    ]


def test_own_edges_need_a_board_long_enough_among_those_just_as_wide() -> None:
    rail = part("1 3/8 x 3 1/2 x 60", make=Make.SOLID)
    assert list(map(told, ways(rail, boards("1 1/2", "3 1/2 x 48", "5 1/2 x 96")))) == [
        "planed, 1x1, 61 x 3 5/8"
    ]


def test_in_a_metric_book_rough_sizes_are_whole_millimetres() -> None:
    # 500.4 + 25 = 525.4, up to 526; 60 + 2 * 1.5 = 63; 38 - 4 * 0.8 = 34.8 makes 34.
    mm = MILLIMETRE
    rail = Part(
        name="Rail",
        count=1,
        length=Fraction("500.4") * mm,
        width=60 * mm,
        thickness=34 * mm,
        make=Make.SOLID,
    )
    stock = Boards(lumber=lumber("190/127"), sizes=((2400 * mm, 89 * mm),))  # 38 mm
    (way,) = ways(rail, stock, in_shop=shop(Unit.MM))
    assert (way.blanks[0].length, way.blanks[0].width) == (526 * mm, 63 * mm)


# --- glued ---------------------------------------------------------------------------------------


def test_the_leg_of_two_plies() -> None:
    # 2 * (1 1/2 - 2/32) - 2/32 = 2 13/16 >= 2 3/4; 2 3/4 + 2/16 + 1/8 = 3; 28 + 1 + 1 + 1 = 31.
    leg = part("2 3/4 x 2 3/4 x 28", tenons=["1", "1"])
    assert list(map(told, ways(leg, boards("1 1/2", "3 1/2 x 96")))) == ["planed, 2x1, 31 x 3"]


def test_as_many_plies_as_the_thickness_takes() -> None:
    # Two plies keep 2 13/16; one 1/64 more takes a third: 3 * 1 7/16 - 1/16 = 4 1/4.
    stock = boards("1 1/2", "3 1/2 x 96")
    thick = part("2 53/64 x 2 3/4 x 28")
    away_freely = shop(most_planed_away=2)
    assert [len(way.plies) for way in ways(thick, stock, in_shop=away_freely)] == [3]
    few = shop(most_plies=2, most_planed_away=2)
    assert "3 plies 1 1/2 thick are too many" in reasons(thick, stock, in_shop=few)


def test_much_is_planed_away_only_where_nothing_else_makes_the_part() -> None:
    # Three plies of 1 1/2 keep 4 1/4, 1 1/4 over 3; five of 3/4 keep 5 * 11/16 - 1/16 = 3 3/8.
    block = part("3 x 2 3/4 x 28")
    twos, ones = boards("1 1/2", "3 1/2 x 96"), boards("3/4", "3 1/2 x 96")
    (only,) = ways(block, twos)
    assert len(only.plies) == 3
    assert only.remarks == ("1 1/4 is planed away; at 2 13/16 thick one ply less would do",)
    # 1 7/16 + 3 × 11/16, or 2 × 1 7/16 + 11/16: plies of both keep 3 7/16 or 3 1/2.
    found = ways(block, twos, ones)
    assert {len(way.plies) for way in found} == {3, 4, 5}
    assert all(way.remarks == () for way in found)


def test_boards_as_they_come_are_stacked_only_where_that_is_asked_for() -> None:
    # 2 * 1 1/2 = 3; 3 + 2/16 + 1/8 = 3 1/4 wide; 20 + 1 = 21 long.
    stock = boards("1 1/2", "3 1/2 x 96")
    block = part("3 x 3 x 20", faces=Faces.AS_BOUGHT)
    assert list(map(told, ways(block, stock))) == ["as bought, 2x1, 21 x 3 1/4"]
    assert all(way.planed for way in ways(part("3 x 3 x 20"), stock))


def test_strips_are_equal_or_as_wide_as_a_board() -> None:
    # The panel takes 6 1/4 + 2/16 = 6 3/8 and each strip loses 2/8. Two: 3 3/16 + 1/4 = 3 7/16;
    # three: 2 1/8 + 1/4; four: 1 19/32 + 1/4, up to 1 7/8; five: 1 11/40 + 1/4, up to 1 9/16. A
    # 3 1/2 board as it is keeps 3 1/4: two do, or one and a strip of 6 3/8 - 3 1/4 + 1/4.
    panel = part("1 3/8 x 6 1/4 x 30", make=Make.GLUED)
    assert list(map(told, ways(panel, boards("1 1/2", "3 1/2 x 96")))) == [
        "planed, 1x2, 31 x 3 7/16",
        "planed, 1x2, 31 x 3 1/2",
        "planed, 1x3, 31 x 2 3/8",
        "planed, 1x4, 31 x 1 7/8",
        "planed, 1x5, 31 x 1 9/16",
        "planed, 1x2, 31 x 3 1/2 + 3 3/8",
    ]


def test_no_strip_is_wider_or_narrower_than_the_shop_allows() -> None:
    panel = part("1 3/8 x 6 1/4 x 30", make=Make.GLUED)
    narrow = shop(narrowest_strip=2, widest_strip="3 7/16")
    found = {told(way) for way in ways(panel, boards("1 1/2", "3 1/2 x 96"), in_shop=narrow)}
    assert found == {"planed, 1x2, 31 x 3 7/16", "planed, 1x3, 31 x 2 3/8"}


def test_more_strips_than_the_shop_allows_are_refused() -> None:
    # Twelve strips of at most 5 keep 12 * 4 7/8 = 58 1/2; eight keep 39.
    table = part("1 3/8 x 42 x 60")
    assert "8 strips do not make 42" in reasons(table, boards("1 1/2", "5 1/2 x 96"))


# --- wishes --------------------------------------------------------------------------------------

TWO_BY = boards("1 1/2", "3 1/2 x 96", "7 1/4 x 96")


@pytest.mark.parametrize(
    ("make", "glued"), [(Make.ANY, {True, False}), (Make.SOLID, {False}), (Make.GLUED, {True})]
)
def test_make_is_heeded(make: Make, glued: set[bool]) -> None:
    panel = part("1 3/8 x 6 x 30", make=make)
    assert {way.glued for way in ways(panel, TWO_BY)} == glued


@pytest.mark.parametrize(
    ("thickness", "faces", "planed"),
    [
        ("1 1/2", Faces.ANY, {False}),  # 1 1/2 cannot be planed to 1 1/2
        ("1 7/16", Faces.AS_BOUGHT, {False}),
        ("1 3/8", Faces.PLANED, {True}),
        ("1 3/8", Faces.ANY, {True}),  # 1/8 from 1 1/2 as bought: too far
    ],
)
def test_faces_are_heeded(thickness: str, faces: Faces, planed: set[bool]) -> None:
    panel = part(f"{thickness} x 6 x 30", faces=faces)
    assert {way.planed for way in ways(panel, TWO_BY)} == planed


def test_treated_wood_is_neither_ripped_planed_nor_glued() -> None:
    treated = boards("1 1/2", "3 1/2 x 96", treated=True)
    assert list(map(told, ways(part("1 1/2 x 3 1/2 x 30"), treated))) == [
        "as bought, 1x1, 30 x 3 1/2, own edges"
    ]
    assert "treated wood is not ripped" in reasons(part("1 1/2 x 3 x 30"), treated)
    assert not ways(part("1 3/8 x 3 1/2 x 30"), treated)
    assert not ways(part("2 3/4 x 2 3/4 x 30"), treated)


# --- limits --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("what", "why"),
    [
        # 12 7/16 + 2/16 = 12 9/16
        ("1 3/8 x 12 7/16 x 30", "12 9/16 is wider than the widest to plane, 12 1/2"),
        ("1 1/2 x 3 x 11 3/4", "the longest usable board so wide is 11 7/8"),
        ("1 1/2 x 3 x 120 1/4", "which is longer than the longest to rip, 120"),
        ("1 1/2 x 5/8 x 30", "which is narrower than the narrowest rip, 3/4"),
        ("1 1/2 x 15 x 30", "needs a blank 30 long and 15 wide; the widest board is 13 3/4"),
        ("1 1/2 x 3 x 180", "the longest usable board so wide is 168"),
        ("1 1/4 x 2 x 180", "needs a blank 181 long and 2 1/8 wide"),
    ],
)
def test_what_machines_and_boards_do_not_allow_is_refused(what: str, why: str) -> None:
    longest = "11 7/8" if "11 7/8" in why else "168"
    assert why in reasons(part(what, make=Make.SOLID), boards("1 1/2", f"13 3/4 x {longest}"))


def test_a_board_too_thick_for_the_saw_is_refused() -> None:
    rail = part("3 1/2 x 3 x 30", make=Make.SOLID, faces=Faces.AS_BOUGHT)
    thick = boards("3 1/2", "3 1/2 x 96")
    assert ways(rail, thick, in_shop=shop(deepest_rip="1 3/4"))
    why = reasons(rail, thick, in_shop=shop(deepest_rip="1 11/16"))
    assert "and 3 1/2 is more than twice the deepest rip, 1 11/16" in why
    (told,) = ways(rail, thick, in_shop=shop(deepest_rip=2))[0].remarks
    assert "rip from both faces" in told


def test_a_board_too_thin_to_plane_is_refused() -> None:
    rail = part("1 15/32 x 3 x 30", make=Make.SOLID, faces=Faces.PLANED)
    why = reasons(rail, boards("1 1/2", "3 1/2 x 96"))
    assert why == "a board 1 1/2 thick planes to 1 3/8 at the most"


def test_at_the_limit_it_still_goes() -> None:
    stock = boards("1 1/2", "13 3/4 x 168")
    for what in ("1 3/8 x 12 3/8 x 11", "1 1/2 x 3/4 x 12", "1 1/2 x 3 x 120"):
        assert ways(part(what, make=Make.SOLID), stock)


def test_a_board_just_as_wide_needs_no_rip() -> None:
    (long,) = ways(part("1 1/2 x 3 1/2 x 150", make=Make.SOLID), boards("1 1/2", "3 1/2 x 168"))
    assert long.blanks[0].own_edges
    short = ways(part("1 1/2 x 3 1/2 x 6", make=Make.SOLID), boards("1 1/2", "3 1/2 x 168"))
    assert list(map(told, short)) == [
        "as bought, 1x1, 6 x 3 1/2, own edges",
        "as bought, 1x1, 12 x 3 1/2",  # out of a wider board, were there one
    ]


# --- glue and time -------------------------------------------------------------------------------


def test_glue_and_time_of_a_leg() -> None:
    # One glue line 31 × 3 = 93 in²; at 250 ft² and 36.00 a gallon 93/144/250 * 36 = 0.093.
    # 6 planed faces (two on each ply, two of the whole) of 2 min, a glue line of 15: 27 min.
    leg = part("2 3/4 x 2 3/4 x 28", tenons=["1", "1"])
    costly = shop(glue_price=Decimal(36), pay=Decimal(20))
    (way,) = ways(leg, boards("1 1/2", "3 1/2 x 96"), in_shop=costly)
    assert way.glue_area() == 93
    assert way.glue(costly) == Fraction("0.093")
    assert way.time(costly) == Fraction(27, 60) * 20


def test_glue_of_a_panel_runs_along_its_edges() -> None:
    # Three strips 31 long meet at two edges 1 1/2 high.
    panel = part("1 3/8 x 6 1/2 x 30", make=Make.GLUED)
    equal = ways(panel, boards("1 1/2", "3 1/4 x 96"))
    (three,) = (w for w in equal if [b.width for b in w.blanks] == [inches("2 1/2")] * 3)
    assert three.glue_area() == 2 * 31 * inches("1 1/2")


def test_nothing_is_planed_on_a_part_as_bought() -> None:
    (way,) = ways(part("1 1/2 x 3 1/2 x 30"), boards("1 1/2", "3 1/2 x 96"))
    assert (way.planed_faces, way.glue_lines, way.glue_area()) == (0, 0, 0)
