"""What a wish costs, and what fails by a hair. Prices are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.wishes import misses, near_misses, stated, wishes
from optimizer.job.parts import Faces, Make, Treatment
from stock.shop import Sawing
from tests.shop_floor import job, part
from tests.small_town import POSTS, RAILS, asking, solved, town


def test_each_wish_of_the_books_is_told() -> None:
    wished = job(
        replace(
            POSTS.parts[0],
            make=Make.SOLID,
            faces=Faces.PLANED,
            wood="oak",
            treated=Treatment.YES,
            spare=2,
        ),
        replace(RAILS.parts[0], make=Make.GLUED, faces=Faces.ANY),
    )
    stock = town(most_stores=1, longest_carried=Fraction(120), sawing=Sawing.RIP_FIRST)
    held = replace(stock.rack[0], held_for="gangway")
    stock = replace(stock, rack=(held,), woods=("pine", "oak"))
    assert [what for what, _, _ in stated(stock, wished)] == [
        "Post: solid, not glued",
        "Post: faces planed",
        "Post: in oak",
        "Post: treated",
        "Post: 2 spares",
        "Rail: glued, not solid",
        "at most 1 store",
        "nothing longer than 120 in the car",
        "sawing rip first",
        "rack pieces held for gangway",
    ]


def test_giving_up_a_wish_saves_what_the_job_then_costs_less() -> None:
    solid = job(replace(POSTS.parts[0], make=Make.SOLID))
    stock = town()
    (saving,) = wishes(stock, solid, solved(stock, solid), asking())
    # A beam for 20.00, or a plank for 6.00 and the offcut; a glue line for each post.
    assert (saving.what, saving.at_least, saving.at_most) == ("Post: solid, not glued", 14, 14)
    assert (saving.glue_lines, saving.minutes < 0) == (-2, True)


def test_a_wish_that_costs_nothing_saves_nothing() -> None:
    stock = town()
    found = wishes(stock, RAILS, solved(stock, RAILS), asking())
    assert {saving.what: (saving.at_least, saving.at_most) for saving in found} == {
        "Rail: solid, not glued": (0, 0),
        "Rail: faces as bought": (0, 0),
    }


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
