"""Out of wide boards the pith is ripped, and both sides of it are boards of their own.

All prices are invented. A 2x12 measures 1 1/2 x 11 1/4 (PS 20-20, dry).
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.job.parts import Faces
from optimizer.job.ways import NoPlanError
from optimizer.output.cutting_page import cutting_page
from optimizer.output.saw_words import cut_row
from optimizer.plan.marks import piece_marks
from optimizer.plan.plan import CutKind, Plan, Status
from optimizer.replan import replan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from optimizer.work.saw_cuts import saw_cuts
from optimizer.work.work import work_of
from stock.lengths import MILLIMETRE, Unit
from stock.pith import pith_band, pith_of
from stock.shop import Sawing, SettingError, Shop
from tests.damage import changed, refused
from tests.making_plans import Case, inches
from tests.shop_floor import book, job, lumber, on_rack, part, shop, sold

TWO_BY_TWELVE = sold("1 1/2 x 11 1/4 x 144", "20.00")


def rips_it_out(**settings: object) -> Shop:
    return shop(pith_width=1, **settings)


def slats(count: int, size: str = "1 1/2 x 5 x 40"):
    return part(size, count=count, faces=Faces.AS_BOUGHT)


# --- where it lies -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "percent", "band"),
    [
        ("11 1/4", 50, ("5 1/8", "6 1/8")),  # 5 5/8 in the middle, 1/2 to each side
        ("9 1/4", 50, ("4 1/8", "5 1/8")),
        ("11 1/4", 40, ("4", "5")),
        ("11 1/8", 50, ("5 1/16", "6 1/16")),  # 5 1/16 as it is
        ("11 3/16", 50, ("5 1/16", "6 1/16")),  # 5 3/32 down to the tape
    ],
)
def test_the_band_lies_where_the_shop_says(width: str, percent: int, band: tuple[str, str]) -> None:
    rule = rips_it_out(pith_at=Decimal(percent))
    assert pith_band(inches(width), rule, Unit.IN) == tuple(map(inches, band))


def test_in_a_metric_book_it_begins_on_a_whole_millimetre() -> None:
    rule = shop(Unit.MM, pith_width=25 * MILLIMETRE)
    band = pith_band(286 * MILLIMETRE, rule, Unit.MM)
    assert band == (130 * MILLIMETRE, 155 * MILLIMETRE)  # 143 - 12.5 = 130.5


def test_narrow_boards_keep_their_pith_and_so_does_what_is_not_ripped() -> None:
    rule = rips_it_out()
    assert pith_band(inches("9 1/8"), rule, Unit.IN) is None
    assert pith_band(inches("12"), shop(), Unit.IN) is None
    assert pith_of(lumber("1 1/2", treated=True), inches("12"), rule) is None
    assert pith_of(lumber("7"), inches("12"), rule) is None  # the saw cuts 3 1/8 from each face
    assert pith_of(lumber("6"), inches("12"), rule) is not None


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        ({"pith_width": "1/4"}, "it is no more than two rip kerfs"),
        ({"pith_width": "1", "pith_from": "3"}, "it is more than a quarter of pith from"),
        ({"pith_at": Decimal(20)}, "it is not from 30 to 70"),
    ],
)
def test_a_band_that_leaves_no_board_is_refused(settings: dict[str, object], said: str) -> None:
    with pytest.raises(SettingError, match=said):
        shop(**settings)


# --- how it is sawn ------------------------------------------------------------------------------


def two_slats(**settings: object) -> Plan:
    return solve(book(TWO_BY_TWELVE, shop=rips_it_out(**settings)), job(slats(2)), Watch())


def told(plan: Plan) -> list[str]:
    return [f"{cut.kind} {cut.piece} at {float(cut.at)}" for cut in plan.boards[0].cuts]


def test_a_long_board_is_crosscut_and_each_length_ripped_beside_its_pith() -> None:
    # No board over 120 is ripped: first off the board, then the pith out, then each half to 5.
    assert told(two_slats()) == [
        "trim B1 at 0.375",
        "trim B1.1 at 143.0",
        "crosscut B1.2 at 40.0",
        "rip B1.3 at 5.125",
        "rip B1.5 at 0.75",  # 1 less the kerfs of 1/8: above it 5 1/8 remain
        "joint B1.4 at 5.0",
        "joint B1.6 at 5.0",
    ]
    (first, second) = two_slats().boards[0].blanks
    assert [(blank.y, blank.width) for blank in (first, second)] == [(0, 5), (inches("6 1/8"), 5)]


def test_a_shop_that_rips_first_takes_the_pith_out_of_the_whole_board() -> None:
    board = sold("1 1/2 x 11 1/4 x 96", "14.00")
    in_shop = rips_it_out(sawing=Sawing.RIP_FIRST)
    plan = solve(book(board, shop=in_shop), job(slats(4)), Watch())
    kinds = [cut.kind for cut in plan.boards[0].cuts]
    assert kinds[:4] == [CutKind.TRIM, CutKind.TRIM, CutKind.RIP, CutKind.RIP]
    assert plan.status is Status.PROVEN


def test_both_rips_are_paid() -> None:
    free, paid = two_slats(), two_slats(pay=Decimal(60))
    # At 1.00 a minute: three crosscuts of 2, two rips and two jointed edges of 4.
    assert paid.cost.time - free.cost.time == 3 * 2 + 4 * 4


def test_one_side_may_be_left_for_the_rack() -> None:
    plan = solve(book(TWO_BY_TWELVE, shop=rips_it_out()), job(slats(1)), Watch())
    lies = {(left.y, left.width, left.length) for left in plan.boards[0].leftovers}
    assert (inches("6 1/8"), inches("5 1/8"), inches("40")) in lies


def test_what_is_crosscut_off_whole_keeps_its_pith() -> None:
    plan = two_slats()
    (rest,) = [left for left in plan.boards[0].leftovers if left.width == inches("11 1/4")]
    assert rest.length == 144 - 1 - 40 - Fraction(1, 8)


def test_a_crooked_board_is_straightened_first() -> None:
    # 1 over 80 is 1/4 over 40: 11 are left of the width, and 4 7/8 above the pith.
    bent = on_rack("R001", "1 1/2 x 11 1/4 x 80", crook=Fraction(1))
    thin = slats(2, "1 1/2 x 4 7/8 x 40")
    plan = solve(book(bent, shop=rips_it_out()), job(thin), Watch())
    assert [str(cut.kind) for cut in plan.boards[0].cuts] == [
        "crosscut",
        "straighten",
        "rip",
        "rip",
        "rip",
    ]


# --- what is said --------------------------------------------------------------------------------


def test_the_sheet_calls_the_band_by_its_name_and_warns_of_it() -> None:
    plan = two_slats()
    rows = [cut_row(plan, cut) for cut in saw_cuts(plan, plan.boards[0], piece_marks(plan))]
    assert [row.comes_off for row in rows if "pith" in row.comes_off] == ["pith, 40 × 3/4"]
    page = cutting_page(work_of(plan))
    assert "pith, 40" in page
    assert "Beside the pith a board may spring apart" in page


def test_without_a_wide_board_nothing_is_said_of_pith() -> None:
    board = sold("1 1/2 x 7 1/4 x 96", "9.00")
    plan = solve(book(board, shop=rips_it_out()), job(slats(1)), Watch())
    assert "pith" not in cutting_page(work_of(plan))


def test_a_part_wider_than_both_sides_says_what_would_do() -> None:
    wide = part("1 1/2 x 8 x 40", faces=Faces.AS_BOUGHT)
    with pytest.raises(NoPlanError) as why:
        solve(book(TWO_BY_TWELVE, shop=rips_it_out()), job(wide), Watch())
    assert "the widest board is 5 1/8, beside its pith" in str(why.value)
    assert "or a wider `pith from`" in str(why.value)


# --- what the audit knows, and what goes wrong ---------------------------------------------------


def test_a_leftover_with_half_of_the_pith_is_refused() -> None:
    plan = solve(book(TWO_BY_TWELVE, shop=rips_it_out()), job(slats(1)), Watch())
    case = Case(plan=plan, stock=book(TWO_BY_TWELVE, shop=rips_it_out()), job=job(slats(1)))
    at = next(n for n, left in enumerate(plan.boards[0].leftovers) if left.y)
    lower = changed(case, f"plan.boards.0.leftovers.{at}.y", inches("6"))
    refused(lower, "keeps the pith of a board that was ripped")


def test_when_a_blank_beside_it_is_spoiled_the_pith_is_out_already() -> None:
    stock, drawn = book(TWO_BY_TWELVE, shop=rips_it_out()), job(slats(4))
    plan = solve(stock, drawn, Watch())
    below = next(blank for blank in plan.boards[0].blanks if blank.y == 0)
    again = replan(plan, stock, drawn, [], [below.id], Watch())  # audited
    (board,) = again.boards
    made = [cut.kind for cut in board.cuts[: board.made]]
    assert made.count(CutKind.RIP) == 2
    assert again.buy[0].count == 1  # the rest of the board gives one more
