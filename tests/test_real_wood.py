"""What a board and a machine do not allow is not planned, though it would be cheaper.

Each case is solved twice: with a rule of the shop or of the wood, and without. The plan without it
costs less, and the audit refuses it where the rule holds. All prices are invented.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.job.parts import Faces, Make, Part, Treatment
from optimizer.job.spares import with_spares
from optimizer.plan.audit import AuditError, audit
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.pieces import RackPiece
from stock.prices import Offer
from stock.shop import Sawing, Shop
from tests.making_plans import inches
from tests.shop_floor import book, job, on_rack, part, shop, sold

PLAIN = shop()


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """Boards and a part, with a rule and without it, and what the audit says of breaking it."""

    boards: tuple[Offer | RackPiece, ...]
    part: Part
    said: str
    without: Callable[[Shop], Shop] = lambda shop: shop
    part_without: Part | None = None
    boards_without: tuple[Offer | RackPiece, ...] | None = None
    shop: Shop = PLAIN


TWO_BY_FOUR = sold("1 1/2 x 3 1/2 x 96", "4.00")
FOUR_BY_FOUR = sold("3 1/2 x 3 1/2 x 96", "9.00")


def without(**settings: str | int) -> Callable[[Shop], Shop]:
    """The shop with other settings, lengths as text."""
    typed = {name: inches(str(value)) for name, value in settings.items()}
    return lambda shop: replace(shop, **typed)


def graded(offer: Offer, grade: str) -> Offer:
    return replace(offer, lumber=replace(offer.lumber, grade=grade))


BOARD = part("1 1/2 x 3 1/2 x 44", faces=Faces.AS_BOUGHT)
OFFCUT = on_rack("R001", "1 1/2 x 3 1/2 x 60")
LEG = part("4 1/8 x 2 3/4 x 64")

RULES = {
    "shortest to rip": Rule(
        # Six segments of 7, two pegs side by side, take 42 5/8; three lengths of two pegs, 45 5/8.
        boards=(sold("1 1/2 x 3 1/2 x 44", "4.00"),),
        part=part("1 1/2 x 1 5/8 x 7", count=12, make=Make.SOLID),
        said="which is shorter than the shortest to rip",
        without=without(shortest_to_rip=0),
        shop=shop(sawing=Sawing.CROSSCUT_FIRST),
    ),
    "shortest to plane": Rule(
        boards=(TWO_BY_FOUR, on_rack("R001", "1 1/2 x 3 1/2 x 11 3/4")),
        part=part("1 3/8 x 3 1/2 x 10 3/4", make=Make.SOLID),
        said="is shorter than the shortest to plane",
        without=without(shortest_to_plane=0),
    ),
    "held at crosscut": Rule(
        # 31 blocks of 3 and their kerfs are 97: the board gives 30, or fewer with stubs.
        boards=(TWO_BY_FOUR,),
        part=part("1 1/2 x 3 1/2 x 3", count=30, faces=Faces.AS_BOUGHT),
        said="is too short to be held at a crosscut",
        without=without(held_at_crosscut=0),
    ),
    "deepest rip": Rule(
        boards=(FOUR_BY_FOUR, sold("3 1/2 x 1 1/2 x 96", "8.00")),
        part=part("3 1/2 x 1 1/2 x 90", count=2, make=Make.SOLID),
        said="which is thicker than the saw cuts from both faces",
        without=without(deepest_rip=3),
        shop=shop(deepest_rip=1),
    ),
    "pith": Rule(
        # Beside its pith the wide board gives 5 1/8, below it and above.
        boards=(sold("1 1/2 x 11 1/4 x 48", "9.00"), sold("1 1/2 x 8 x 48", "12.00")),
        part=part("1 1/2 x 8 x 44", faces=Faces.AS_BOUGHT),
        said="b1 has the pith of a wide board in it",
        shop=shop(pith_width=1),
        without=without(pith_width=0),
    ),
    "longest to rip": Rule(
        boards=(sold("1 1/2 x 5 1/2 x 144", "9.00"), sold("1 1/2 x 3 x 144", "12.00")),
        part=part("1 1/2 x 3 x 130", faces=Faces.AS_BOUGHT),
        said="which is longer than the longest to rip",
        without=without(longest_to_rip=144),
    ),
    "narrowest rip": Rule(
        boards=(sold("1 1/2 x 3 1/2 x 48", "4.00"), sold("1 1/2 x 5/8 x 48", "6.00")),
        part=part("1 1/2 x 5/8 x 44", faces=Faces.AS_BOUGHT),
        said="is ripped 5/8 wide, under the narrowest rip",
        without=without(narrowest_rip=0),
    ),
    "widest strip": Rule(
        # One strip of 6 1/4 and a narrow one, or three strips of a dearer board.
        boards=(
            sold("1 1/2 x 6 1/4 x 96", "5.00"),
            sold("1 1/2 x 2 1/2 x 96", "9.00"),
            sold("1 1/2 x 4 x 96", "12.00"),
        ),
        part=part("1 3/8 x 7 1/2 x 80", make=Make.GLUED),
        said="wide is too narrow or too wide",
        without=without(widest_strip=7),
    ),
    "narrowest strip": Rule(
        boards=(
            sold("1 1/2 x 5 x 96", "5.00"),
            sold("1 1/2 x 1 1/4 x 96", "1.00"),
            sold("1 1/2 x 3 1/2 x 96", "9.00"),
        ),
        part=part("1 3/8 x 5 1/2 x 80", make=Make.GLUED),
        said="wide is too narrow or too wide",
        without=without(narrowest_strip=1),
    ),
    "most plies": Rule(
        boards=(sold("3/4 x 3 1/2 x 96", "1.00"), sold("1 1/2 x 3 1/2 x 96", "9.00")),
        part=part("2 1/2 x 2 3/4 x 80"),
        said="has 4 plies, more than the most plies",
        shop=shop(most_plies=2),
        without=lambda shop: replace(shop, most_plies=5),
    ),
    "most strips": Rule(
        boards=(sold("1 1/2 x 2 1/2 x 96", "2.00"), sold("1 1/2 x 4 1/2 x 96", "9.00")),
        part=part("1 3/8 x 8 x 80", make=Make.GLUED),
        said="strips, more than the most strips",
        shop=shop(most_strips=2),
        without=lambda shop: replace(shop, most_strips=8),
    ),
    "slip": Rule(
        boards=(sold("1 1/2 x 3 x 96", "4.00"), sold("1 1/2 x 3 1/2 x 96", "9.00")),
        part=part("2 3/4 x 2 7/8 x 80"),
        said="width 3 is under the 25/8 that it needs",
        without=without(slip=0, edge_trim=0),
        shop=shop(edge_trim=0),
    ),
    "treated wood": Rule(
        boards=(TWO_BY_FOUR, sold("1 1/2 x 3 1/2 x 96", "2.00", treated=True)),
        part=BOARD,
        said="treated wood: no on the drawing, and not so on its boards",
        part_without=replace(BOARD, treated=Treatment.EITHER),
    ),
    "spare": Rule(
        boards=(TWO_BY_FOUR,),
        part=part("1 1/2 x 3 1/2 x 44", count=2, spare=1, faces=Faces.AS_BOUGHT),
        said="copy 3 (spare): is not made",
        part_without=part("1 1/2 x 3 1/2 x 44", count=2, faces=Faces.AS_BOUGHT),
    ),
    "rejected": Rule(
        # Two come out of one board; if one in ten fails, one more is made, out of another.
        boards=(graded(TWO_BY_FOUR, "No. 2"),),
        part=replace(BOARD, grade="No. 2", count=2),
        said="grade No. 2: 1 of 2 will fail at the saw, and 0 more are made",
        shop=replace(PLAIN, rejected=(("No. 2", Decimal(10)),)),
        without=lambda shop: replace(shop, rejected=()),
    ),
    "edge trim": Rule(
        # Two 2x4s keep 2(3 1/2 - 2/16) = 6 3/4 but for their eased edges, and 6 1/2 with these.
        boards=(TWO_BY_FOUR,),
        part=part("1 3/8 x 6 5/8 x 40", make=Make.GLUED),
        said="width 13/2 is under the 27/4 that it needs",
        without=without(edge_trim=0),
    ),
    "widest to plane": Rule(
        boards=(sold("1 1/2 x 14 x 48", "9.00"), TWO_BY_FOUR),
        part=part("1 3/8 x 13 x 44"),
        said="is wider than the widest to plane",
        without=without(widest_to_plane=15),
    ),
    "bad stretches": Rule(
        boards=(TWO_BY_FOUR, replace(OFFCUT, bad=((Fraction(30), Fraction(32)),))),
        part=BOARD,
        said="does not lie in the usable wood",
        boards_without=(TWO_BY_FOUR, OFFCUT),
    ),
    "knots": Rule(
        boards=(TWO_BY_FOUR, replace(OFFCUT, bad=((Fraction(30), Fraction(32)),))),
        part=BOARD,
        said="is cut with its bad stretches in it, which the part minds",
        part_without=replace(BOARD, knots_ok=True),
    ),
    "grade": Rule(
        boards=(TWO_BY_FOUR, graded(sold("1 1/2 x 3 1/2 x 72", "9.00"), "Clear")),
        part=replace(BOARD, grade="Select"),
        said="promises no grade, and Select is asked for",
        part_without=BOARD,
    ),
    "a lower grade": Rule(
        boards=(
            graded(TWO_BY_FOUR, "No. 2"),
            graded(sold("1 1/2 x 3 1/2 x 72", "9.00"), "No. 1"),
        ),
        part=replace(BOARD, grade="No. 1"),
        said="promises No. 2, and No. 1 is asked for",
        part_without=replace(BOARD, grade="No. 2"),
    ),
    "crook": Rule(
        # 1/2 over 60 is 1/2 · (44/60)² = 0.27 over 44: no 3 1/2 is left, and nothing to joint.
        boards=(TWO_BY_FOUR, replace(OFFCUT, crook=Fraction(1, 2))),
        part=BOARD,
        said="is crooked, and no edge is straightened",
        boards_without=(TWO_BY_FOUR, OFFCUT),
    ),
    "same board": Rule(
        boards=(
            sold("3/4 x 3 1/2 x 48", "3.00"),
            sold("3/4 x 3 1/2 x 96", "9.00"),
        ),
        part=part("3/4 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT, same_board=True),
        said="is not out of one blank with all its copies",
        part_without=part("3/4 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT),
    ),
    "same board, side by side": Rule(
        # 30 + 1/8 + 30 is too long for each, and 3 1/2 wide one alone: the dear one takes both.
        boards=(sold("3/4 x 3 1/2 x 48", "3.00"), sold("3/4 x 7 1/4 x 48", "9.00")),
        part=part("3/4 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT, same_board=True),
        said="is not out of one blank with all its copies",
        part_without=part("3/4 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT),
    ),
    "pairs": Rule(
        boards=(sold("3/4 x 3 1/2 x 48", "3.00"), sold("3/4 x 3 1/2 x 96", "9.00")),
        part=part("3/4 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT, pairs=True),
        said="2 copies are not out of one blank with their pair",
        part_without=part("3/4 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT),
    ),
    "carries load": Rule(
        # The inner ply of three may be 33 and 32 long, out of a short board.
        boards=(
            sold("1 1/2 x 3 1/2 x 36", "1.00"),
            sold("1 1/2 x 3 1/2 x 72", "9.00"),
        ),
        part=replace(LEG, carries_load=True),
        said="has a ply joined end to end, which the part does not allow",
        part_without=replace(LEG, butt_joints=True),
    ),
    "least stagger": Rule(
        boards=(
            sold("1 1/2 x 3 1/2 x 36", "1.00"),
            sold("1 1/2 x 3 1/2 x 72", "9.00"),
        ),
        part=replace(LEG, butt_joints=True),
        said="has a butt joint nearer to an end than the least stagger",
        shop=shop(least_stagger=33),
        without=without(least_stagger=12),
    ),
    "thickness at least": Rule(
        boards=(sold("1 1/2 x 3 1/2 x 96", "4.00"), sold("2 x 3 1/2 x 96", "8.00")),
        part=part("1 1/2 x 3 x 40", faces=Faces.PLANED, make=Make.SOLID),
        said="has another finished size than the drawing",
        part_without=part(
            *("1 1/2 x 3 x 40",),
            faces=Faces.PLANED,
            make=Make.SOLID,
            thickness_at_least="1 3/8",
        ),
    ),
    "an allowance of its own": Rule(
        boards=(sold("1 1/2 x 3 1/2 x 42", "4.00"), sold("1 1/2 x 3 1/2 x 96", "9.00")),
        part=part("1 3/8 x 3 x 40", make=Make.SOLID, own=(("extra_length", Fraction(3)),)),
        said="length 41 is under the 43 that it needs",
        part_without=part("1 3/8 x 3 x 40", make=Make.SOLID),
    ),
}


def test_a_crooked_board_is_crosscut_first_where_that_saves_width() -> None:
    # Over all of its 96 it is 1 out of straight: 2 1/2 are left. A third of it has a ninth of that,
    # up to 1/8: 3 3/8 are left for a slat 31 long and 3 1/4 wide.
    bent = on_rack("R001", "3/4 x 3 1/2 x 96", crook=Fraction(1))
    slats = part("3/4 x 3 1/4 x 31", count=3, faces=Faces.AS_BOUGHT)
    plan = solve(book(bent, shop=shop()), job(slats), Watch())
    kinds = [str(cut.kind) for cut in plan.boards[0].cuts]
    assert kinds[0] == "crosscut"
    assert kinds.count("straighten") == 3


def test_both_sides_of_a_knot_are_used_and_make_one_board() -> None:
    knotty = on_rack("R001", "3/4 x 3 1/2 x 64", bad=((Fraction(31), Fraction(33)),))
    slats = part("3/4 x 3 1/2 x 30 1/2", count=2, faces=Faces.AS_BOUGHT)
    (board,) = solve(book(knotty, shop=shop()), job(slats), Watch()).boards
    assert [(blank.x, blank.length) for blank in board.blanks] == [
        (0, inches("30 1/2")),
        (inches("33 1/8"), inches("30 1/2")),
    ]


@pytest.mark.parametrize("name", RULES)
def test_a_plan_that_would_be_cheaper_is_refused(name: str) -> None:
    rule = RULES[name]
    heeded = book(*rule.boards, shop=rule.shop)
    free = book(*(rule.boards_without or rule.boards), shop=rule.without(rule.shop))
    drawn = job(*with_spares([rule.part], heeded.shop.rejected))
    plan = solve(heeded, drawn, Watch(seconds=20))
    cheaper = solve(free, job(rule.part_without or rule.part), Watch(seconds=20))
    assert cheaper.cost.net < plan.cost.net
    with pytest.raises(AuditError, match=re.escape(rule.said)):
        audit(cheaper, heeded, drawn)
