"""A job done in other ways. Prices are invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.advice.variants import BEST, alternatives, thick_parts
from optimizer.job.parts import Job, Make
from stock.prices import Store
from stock.stock_book import StockBook
from tests.shop_floor import job, part, sold
from tests.small_town import DEAR_PLANK, PLANK, POSTS, RAILS, asking, solved, town


def nets(stock: StockBook, wanted: Job) -> dict[str, str]:
    """The net of each way, or why it does not go."""
    found = alternatives(stock, wanted, asking())
    return {way.name: str(way.plan.cost.net) if way.plan else way.why for way in found}


def test_each_choice_that_the_books_leave_is_a_way() -> None:
    assert list(nets(town(), POSTS)) == [
        BEST,
        "thick parts from beams",
        "thick parts from plies",
        "everything bought new",
        "one store only",
    ]
    assert list(nets(replace(town(), rack=()), RAILS)) == [BEST, "one store only"]


def test_a_beam_or_plies_whatever_is_cheaper() -> None:
    found = nets(town(), POSTS)
    # Four plies of 31 out of planks of 95 usable, one of them out of the offcut.
    assert found[BEST] == found["thick parts from plies"] == "6.00"
    assert found["thick parts from beams"] == "20.00"


def test_what_the_rack_saves() -> None:
    found = nets(town(), RAILS)
    assert (found[BEST], found["everything bought new"]) == ("6.00", "12.00")


def test_one_store_more_costs_its_trip() -> None:
    """The third rail out of a plank for 6.00, or out of half a one for 3.00 at the other store."""
    half = sold("1 1/2 x 3 1/2 x 48", "3.00", store="Lock", size="2x4", in_stock=1)
    stock = replace(town(), rack=(), offers=(PLANK, half))
    stores = tuple(replace(store, trip_cost=Decimal(4)) for store in stock.stores)
    found = nets(replace(stock, stores=stores), RAILS)
    assert (found[BEST], found["one store only"], found["one store more"]) == (
        "16.00",
        "16.00",
        "17.00",
    )


def test_nobody_drives_to_a_store_to_buy_nothing() -> None:
    """A plank of the first store makes the two rails that the rack does not."""
    stores = tuple(replace(store, trip_cost=Decimal(4)) for store in town().stores)
    found = nets(replace(town(), stores=stores), RAILS)
    assert (found[BEST], found["one store only"]) == ("10.00", "10.00")
    assert "one store more" not in found


def test_no_yard_cuts_says_why_it_does_not_go() -> None:
    stock = town(longest_carried=Fraction(110))
    stock = replace(
        stock, offers=(DEAR_PLANK,), stores=(Store(name="Lock", fee_per_cut=Decimal(1)),)
    )
    found = nets(stock, job(part("1 1/2 x 3 1/2 x 50", make=Make.SOLID)))
    assert found[BEST] == "10.00"
    assert found["no yard cuts"] == (
        "Rail: the boards that would do are longer than the longest carried, 110; a higher "
        "`longest carried` would do, or an empty one where they are delivered"
    )


def test_a_better_plan_found_on_the_way_is_the_best_mix() -> None:
    stock = town()
    poor = solved(replace(stock, rack=()), RAILS)
    assert poor.cost.net == 12
    ways = alternatives(stock, RAILS, asking(), poor)
    assert min(way.plan.cost.net for way in ways if way.plan) == 6
    best, *_ = ways
    assert best.name == BEST
    assert best.plan
    assert best.plan.cost.net == 6


@pytest.mark.parametrize(
    ("make", "thick"), [(Make.ANY, ["Post"]), (Make.SOLID, []), (Make.GLUED, [])]
)
def test_a_thick_part_leaves_the_choice_of_a_beam(make: Make, thick: list[str]) -> None:
    wanted = job(replace(POSTS.parts[0], make=make), *RAILS.parts)
    assert [each.part.name for each in thick_parts(town(), wanted)] == thick
