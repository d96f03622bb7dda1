"""What fails by a hair, in each measure. Prices are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.near_misses import misses, near_misses
from optimizer.job.parts import Faces, Make
from optimizer.plan.comparison import Saving
from stock.lengths import Unit
from tests.shop_floor import job, part, shop, sold
from tests.small_town import PLANK, RAILS, asking, solved, town

# A rail of 46 3/8 is 1/8 too long for the offcut of 46 1/4, and so are two for a plank: 95 usable
# hold 2 · 46 3/8 + 1/8.
LONG_RAILS = job(replace(RAILS.parts[0], length=Fraction(371, 8), count=3))


def test_a_part_that_fails_a_piece_by_a_hair_is_told_with_what_shortening_it_saves() -> None:
    stock = town()
    found = near_misses(stock, LONG_RAILS, solved(stock, LONG_RAILS), Fraction(1, 2), asking())
    assert [(saving.what, saving.at_least) for saving in found] == [
        ("Rail is 1/8 in too long for R001: shortening it", Decimal("6.00"))
    ]


def test_only_misses_within_the_given_amount_are_looked_at() -> None:
    within = {miss.amount for miss in misses(town(), LONG_RAILS, Fraction(1, 2))}
    assert within == {Fraction(1, 8)}
    assert misses(town(), LONG_RAILS, Fraction(1, 16)) == {}


def test_a_part_too_wide_by_a_hair_is_told_too() -> None:
    wide = job(part("1 1/2 x 3 5/8 x 40", name="Sill", faces=Faces.AS_BOUGHT, make=Make.SOLID))
    wider = replace(town().offers[1], width=Fraction(11, 2), name="2x6", price=Decimal(9))
    stock = replace(town(), offers=(*town().offers, wider))
    found = near_misses(stock, wide, solved(stock, wide), Fraction(1, 2), asking())
    assert [(saving.what, saving.at_least) for saving in found] == [
        (
            "Sill is 1/8 in too wide for R001, 1 1/2 x 3 1/2 x 96 (Weir), "
            "1 1/2 x 3 1/2 x 120 (Lock): narrowing it",
            Decimal("9.00"),
        )
    ]


def test_two_side_by_side_that_fail_a_board_by_a_hair_are_told() -> None:
    # 2 · 2 3/4 and a kerf of 1/8 are 5 5/8, 1/8 more than the board: each is 1/16 too wide.
    slats = job(part("1 1/2 x 2 3/4 x 90", name="Slat", count=2, faces=Faces.AS_BOUGHT))
    plank = sold("1 1/2 x 5 1/2 x 96", "8.00", store="Weir")
    stock = replace(town(), offers=(plank,), rack=())
    assert only(near_misses(stock, slats, solved(stock, slats), Fraction(1, 2), asking())) == (
        "Slat is 1/16 in too wide for 2 side by side out of 1 1/2 x 5 1/2 x 96 (Weir): "
        "narrowing it",
        Decimal("8.00"),
    )


def test_a_ply_too_wide_for_a_narrower_board_by_a_hair_is_told() -> None:
    # A ply is 3 5/16 + 1/8 of jointing + 1/8 of slip = 3 9/16 wide: boards of 3 1/2 do not give it.
    post = job(part("2 3/4 x 3 5/16 x 30", name="Post", make=Make.GLUED, faces=Faces.PLANED))
    wide = sold("1 1/2 x 5 1/2 x 96", "14.00", store="Weir")
    stock = replace(town(), offers=(PLANK, wide), rack=())
    found = near_misses(stock, post, solved(stock, post), Fraction(1, 16), asking())
    assert only(found) == (
        "Post is 1/16 in too wide for 1 1/2 x 3 1/2 x 96 (Weir): narrowing it",
        Decimal("8.00"),
    )


def only(found: tuple[Saving, ...]) -> tuple[str, Decimal]:
    (saving,) = found
    return saving.what, saving.at_least


def test_a_part_too_thick_for_one_board_by_a_hair_is_told() -> None:
    # Planed, 1 1/2 gives 1 1/2 less two faces of 1/16 = 1 3/8: a beam for 20.00 must be sawn.
    shelf = job(part("1 7/16 x 3 x 30", name="Shelf", count=2, faces=Faces.PLANED, make=Make.SOLID))
    stock = town()
    found = near_misses(stock, shelf, solved(stock, shelf), Fraction(1, 8), asking())
    assert only(found) == (
        "Shelf is 1/16 in too thick for one board of 1 1/2 pine: thinning it",
        Decimal("14.00"),
    )


def test_a_part_too_thick_for_so_many_plies_by_a_hair_is_told_with_the_glue_lines() -> None:
    # Two plies of 1 1/2 give 2 · 1 7/16 less 1/16 = 2 13/16. A plank gives three plies: nine are
    # three planks, six are two, and each post has a glue line less.
    planks = replace(town(), offers=(PLANK,), rack=())
    post = job(
        part("2 7/8 x 2 3/4 x 30", name="Post", count=3, own=(("most_planed_away", Fraction(2)),))
    )
    (saving,) = near_misses(planks, post, solved(planks, post), Fraction(1, 8), asking())
    assert saving.what == "Post is 1/16 in too thick for 2 plies of 1 1/2 pine: thinning it"
    assert (saving.at_least, saving.glue_lines, saving.minutes > 0) == (Decimal("6.00"), 3, True)


def test_a_part_as_bought_too_thick_for_a_thinner_board_is_told() -> None:
    # Within 1/16 of 1 1/2: up to 1 9/16, which 1 11/16 is 1/8 above.
    rail = job(part("1 11/16 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT))
    stock = town()
    dear = sold("1 3/4 x 3 1/2 x 96", "15.00", store="Weir")
    stock = replace(stock, offers=(*stock.offers, dear))
    assert only(near_misses(stock, rail, solved(stock, rail), Fraction(1, 8), asking())) == (
        "Rail is 1/8 in too thick for one board of 1 1/2 pine: thinning it",
        Decimal("9.00"),
    )


def test_what_may_be_thinner_than_drawn_misses_by_what_it_may_not_be() -> None:
    values = {"name": "Shelf", "count": 2, "faces": Faces.PLANED, "make": Make.SOLID}
    shelf = job(part("1 1/2 x 3 x 30", thickness_at_least="1 7/16", **values))
    stock = town()
    assert only(near_misses(stock, shelf, solved(stock, shelf), Fraction(1, 8), asking())) == (
        "Shelf is 1/16 in too thick for one board of 1 1/2 pine: thinning it",
        Decimal("14.00"),
    )


def test_a_panel_too_wide_for_so_many_strips_by_a_hair_is_told() -> None:
    seat = job(part("1 1/4 x 6 1/2 x 30", name="Seat", count=2))
    stock = town()
    (saving,) = near_misses(stock, seat, solved(stock, seat), Fraction(1, 4), asking())
    assert saving.what == (
        "Seat is 1/8 in too wide for 2 strips of 1 1/2 pine, 2 strips of 3 1/2 pine: narrowing it"
    )
    assert (saving.at_least, saving.at_most) == (Decimal("6.00"), Decimal("6.00"))
    assert saving.glue_lines > 0


def test_a_metric_part_misses_by_whole_millimetres() -> None:
    millimetre = Fraction(5, 127)
    stock = replace(town(), shop=shop(Unit.MM, offcut_value=Decimal(0)))
    # 1 1/2 is 38.1 mm; planed on both faces it gives 38.1 - 2 · 1.6 = 34.9 mm.
    shelf = job(
        replace(
            part("1 x 3 x 30", name="Shelf", faces=Faces.PLANED, make=Make.SOLID),
            thickness=36 * millimetre,
        )
    )
    amounts = {
        miss.amount / millimetre: boards
        for miss, boards in misses(stock, shelf, 5 * millimetre).items()
        if miss.measure == "thickness"
    }
    assert amounts == {2: ["one board of 38.1 pine"]}
