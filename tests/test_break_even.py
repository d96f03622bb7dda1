"""Beams against plies: just under the break-even price the beam wins, just over it plies do."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.advice.asking import Asking
from optimizer.advice.break_even import at_factor, break_evens
from optimizer.advice.variants import from_beams, from_plies
from optimizer.job.parts import Job, Make
from optimizer.plan.plan import Plan, Status
from stock.stock_book import StockBook
from tests.shop_floor import job, part
from tests.small_town import BEAM, POSTS, RAILS, asking, solved, town

SIX = job(replace(POSTS.parts[0], count=6), *RAILS.parts)


def with_pay() -> StockBook:
    """Time and glue are paid, and offcuts count."""
    return town(pay=Decimal(20), glue_price=Decimal(30), offcut_value=Decimal(30))


def takes_beams(plan: Plan) -> bool:
    assert plan.status is Status.PROVEN
    return any(not made.glued for made in plan.parts if made.part == "Post")


@pytest.mark.parametrize(
    ("stock", "wanted"), [(town(), POSTS), (town(), SIX), (with_pay(), POSTS), (with_pay(), SIX)]
)
def test_under_it_the_plan_takes_beams_and_over_it_plies(stock: StockBook, wanted: Job) -> None:
    (found,) = break_evens(stock, wanted, asking())
    assert (found.part, found.section) == ("Post", "4x4 pine")
    assert found.proven
    assert found.factor is not None
    section = (BEAM,)
    under, over = (
        solved(at_factor(stock, section, found.factor * (1 + Fraction(step, 100))), wanted)
        for step in (-1, 1)
    )
    assert (takes_beams(under), takes_beams(over)) == (True, False)
    ((store, name, now, then),) = found.prices
    assert (store, name, now) == ("Weir", BEAM.name, BEAM.price)
    assert abs(then - BEAM.price * Decimal(float(found.factor))) <= Decimal("0.01")


def test_two_posts_out_of_a_beam_break_even_at_the_price_of_the_planks() -> None:
    # Plies: four out of a plank of 6.00 and the offcut. A beam gives both posts.
    (found,) = break_evens(town(), POSTS, asking())
    assert found.prices[0][3] == Decimal("6.00")


def test_a_part_without_the_choice_has_none() -> None:
    assert break_evens(town(), RAILS, asking()) == ()


def test_without_time_it_is_not_found() -> None:
    (found,) = break_evens(town(), POSTS, asking(seconds=0))
    assert (found.factor, found.proven, found.why) == (None, False, "not found in time")


def test_where_the_beam_lies_on_the_rack_its_price_does_not_decide() -> None:
    beam = replace(town().rack[0], tag="R009", lumber=BEAM.lumber, length=Fraction(70))
    stock = replace(town(), rack=(beam,))
    (found,) = break_evens(stock, job(part("2 3/4 x 2 3/4 x 30", name="Post", count=2)), asking())
    assert found.factor is None
    assert found.why == "beams are cheaper, whatever such a beam costs"


def test_other_parts_may_take_beams_in_both_plans() -> None:
    # With cheap beams the one posts are sawn from them beside plies for the others, and this plan
    # spends as much on beams as one without plies: no reason to call beams cheaper at any price.
    stock = town()
    wanted = job(*(part(f"2 3/4 x 2 3/4 x {n}", name=f"Post {n}", count=3) for n in (18, 20)))
    found = {each.part: each for each in break_evens(stock, wanted, asking())}
    assert set(found) == {"Post 18", "Post 20"}
    for name, even in found.items():
        assert even.factor is not None
        assert even.proven
        for step, cheaper in ((-2, Make.SOLID), (2, Make.GLUED)):
            prices = at_factor(stock, (BEAM,), even.factor * (1 + Fraction(step, 100)))
            nets = {
                make: solved(prices, ways(wanted, {name})).cost.net
                for make, ways in ((Make.SOLID, from_beams), (Make.GLUED, from_plies))
            }
            assert min(nets, key=lambda make: nets[make]) is cheaper, (name, step, nets)


def test_the_best_plan_answers_what_it_can() -> None:
    class Counting(Asking):
        asked = 0

        def ask(self, questions):  # type: ignore[no-untyped-def]
            Counting.asked += len(questions)
            return super().ask(questions)

    stock = town()
    (alone,) = break_evens(stock, POSTS, Counting(seconds=600, workers=0))
    without, Counting.asked = Counting.asked, 0
    (beside,) = break_evens(stock, POSTS, Counting(seconds=600, workers=0), solved(stock, POSTS))
    assert beside == alone
    assert Counting.asked == without - 1


def test_what_is_known_when_time_is_over_is_told_as_about_so_much() -> None:
    class Once(Asking):
        """Answers so many rounds, then has no time left."""

        rounds = 3

        def ask(self, questions):  # type: ignore[no-untyped-def]
            Once.rounds -= 1
            return super().ask(questions) if Once.rounds >= 0 else {}

    stock = with_pay()
    wanted = job(replace(POSTS.parts[0], count=3), part("2 3/4 x 2 3/4 x 44", name="Stub", count=5))
    sure = {each.part: each.factor for each in break_evens(stock, wanted, asking())}
    for each in break_evens(stock, wanted, Once(seconds=600, workers=0)):
        assert (each.factor is None) == (each.why == "not found in time")
        assert not each.proven or each.factor == sure[each.part]
