"""What a wish costs. Prices are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.wishes import stated, wishes
from optimizer.job.parts import Faces, Job, Make, Treatment
from optimizer.plan.comparison import Saving
from stock.shop import Sawing
from stock.stock_book import StockBook
from tests.shop_floor import job
from tests.small_town import BEAM, DEAR_PLANK, PLANK, POSTS, RAILS, asking, priced, solved, town


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


# --- each wish that a maker states, by what it costs ---------------------------------------------


def cost_of(stock: StockBook, wanted: Job, what: str) -> Saving:
    """What giving up a wish saves."""
    return next(
        each for each in wishes(stock, wanted, solved(stock, wanted), asking()) if each.what == what
    )


def test_a_clear_face_costs_the_better_boards() -> None:
    # Three rails: the clear board of 21.00 holds two. Without the wish a plank for 6.00 and the
    # offcut, which is worth nothing here.
    clear = replace(
        PLANK, lumber=replace(PLANK.lumber, grade="Clear"), name="clear", price=Decimal(21)
    )
    stock = town()
    stock = replace(stock, offers=(*stock.offers, clear))
    faced = job(replace(RAILS.parts[0], grade="Clear"))
    found = cost_of(stock, faced, "Rail: grade Clear")
    assert (found.at_least, found.at_most) == (Decimal("36.00"), Decimal("36.00"))
    assert (found.minutes, found.glue_lines) == (4, 0)  # two crosscuts fewer


def test_a_clear_face_may_cost_glue_lines_and_hours_too() -> None:
    # A clear board is thin here: two plies of it, and two solid posts out of a plain beam.
    clear = replace(
        PLANK, lumber=replace(PLANK.lumber, grade="Clear"), name="clear", price=Decimal(21)
    )
    stock = priced(replace(town(), offers=(BEAM, clear)), BEAM.name, "5.00")
    found = cost_of(stock, job(replace(POSTS.parts[0], grade="Clear")), "Post: grade Clear")
    assert (found.at_least, found.glue_lines) == (Decimal("37.00"), 2)
    assert found.minutes > 0


def test_spares_that_stand_for_what_fails_of_a_grade_go_with_it() -> None:
    clear = replace(
        PLANK, lumber=replace(PLANK.lumber, grade="Clear"), name="clear", price=Decimal(21)
    )
    stock = town(rejected=(("Clear", Decimal(10)),))
    stock = replace(stock, offers=(*stock.offers, clear))
    faced = job(replace(RAILS.parts[0], grade="Clear", count=5, spare=1))
    told = [what for what, _, _ in stated(stock, faced) if "grade" in what]
    assert told == ["Rail: grade Clear, and its spares"]
    # Six out of three clear boards; five are the offcut and two planks.
    assert cost_of(stock, faced, told[0]).at_least == Decimal("51.00")
    # Five take three clear boards too.
    assert cost_of(stock, faced, "Rail: 1 spare").at_least == Decimal("0.00")


def test_all_out_of_one_board_costs_what_shorter_pieces_would_have_made() -> None:
    # Two rails of 46 fit a plank of 96; two offcuts of 46 1/4 would make one each.
    stock = town()
    stock = replace(stock, rack=(replace(stock.rack[0], count=2),))
    together = job(replace(RAILS.parts[0], count=2, same_board=True))
    found = cost_of(stock, together, "Rail: all out of one board")
    assert (found.at_least, found.at_most) == (Decimal("6.00"), Decimal("6.00"))
    assert (found.minutes, found.glue_lines) == (2, 0)  # an offcut has no end to trim


def test_no_lamination_costs_the_beam_and_saves_the_glue() -> None:
    stock = town()
    found = cost_of(stock, job(replace(POSTS.parts[0], make=Make.SOLID)), "Post: solid, not glued")
    assert (found.at_least, found.glue_lines, found.minutes < 0) == (Decimal("14.00"), -2, True)


def test_one_store_costs_what_the_other_has_cheaper() -> None:
    # Ten rails: five planks at Weir for 30.00, or one for 1.00 at Lock (two rails) and four there.
    stock = town(most_stores=1)
    cheap = replace(DEAR_PLANK, price=Decimal(1), in_stock=1)
    stock = replace(stock, offers=(PLANK, cheap), rack=())
    found = cost_of(stock, job(replace(RAILS.parts[0], count=10)), "at most 1 store")
    assert (found.at_least, found.at_most) == (Decimal("5.00"), Decimal("5.00"))


def test_a_short_car_costs_what_the_long_board_saves() -> None:
    # Two rails of 58: a board of 120 for 9.00 holds both, one of 96 for 6.00 holds one.
    stock = replace(town(longest_carried=100), rack=())
    long_rails = job(replace(RAILS.parts[0], length=Fraction(58), count=2))
    found = cost_of(stock, long_rails, "nothing longer than 100 in the car")
    assert (found.at_least, found.at_most) == (Decimal("3.00"), Decimal("3.00"))


def test_what_gives_up_a_wish_is_a_plan_of_these_books() -> None:
    """No wish is told twice, and each book without it has a plan no dearer."""
    wished = job(
        replace(POSTS.parts[0], spare=1), replace(RAILS.parts[0], same_board=True, count=2)
    )
    stock = town(most_stores=1, longest_carried=100)
    plan = solved(stock, wished)
    told = list(stated(stock, wished))
    assert len({what for what, _, _ in told}) == len(told) == 6
    for what, book, parts in told:
        assert solved(book, parts).cost.net <= plan.cost.net, what
