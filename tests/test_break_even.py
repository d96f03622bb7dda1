"""Beams against plies: just under the break-even price the beam wins, just over it plies do."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.advice.break_even import at_factor, break_evens
from optimizer.job.parts import Job
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
