"""The direct model, board by board, gives valid plans at its own least cost in either solver."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from stock.shop import Sawing
from tests.benchmarks.direct_model import DirectModel
from tests.benchmarks.general_solvers import Model, by_cbc, by_cp_sat
from tests.drawn_jobs import drawn_job, least_cents
from tests.independent import alone
from tests.shop_floor import bare_shop, book, job, part, shop, sold


def value(model: Model, values: list[int]) -> int:
    return sum(cost * count for cost, count in zip(model.costs, values, strict=True))


def test_both_solvers_find_the_least_of_a_small_programme() -> None:
    # 7 a + 4 b with 3 a + 2 b at least 7, a and b at most 3: a 1, b 2 at 15; a 3 is 21, b 3 is 19.
    model = Model()
    a, b = model.count(3, Fraction(7)), model.count(3, Fraction(4))
    model.at_most(-7, (a, -3), (b, -2))
    assert by_cbc(model, 60) == [1, 2]
    assert alone().submit(by_cp_sat, model, 60.0).result() == [1, 2]


def test_boards_are_crosscut_into_sections_that_are_ripped() -> None:
    # One board 100 x 10: a section of 60 ripped into 7 and 3, the rest of 40 x 10 as it is.
    stock = book(sold("1 x 10 x 100", "5.00"), shop=bare_shop())
    parts = [
        part(f"1 x {width} x {length}", name=f"{length} x {width}", make="solid")
        for length, width in ((60, 7), (50, 3), (40, 10))
    ]
    direct = DirectModel(stock, job(*parts))
    values = by_cbc(direct.model, 60)
    assert values is not None
    plan = direct.plan(values)
    assert plan.cost.net == Decimal("5.00")
    blanks = {(b.x, b.y, b.length, b.width) for b in plan.boards[0].blanks}
    ripped_first = {(0, 0, 60, 7), (0, 7, 50, 3), (60, 0, 40, 10)}
    ripped_last = {(40, 0, 60, 7), (40, 7, 50, 3), (0, 0, 40, 10)}
    other_edge = {(0, 3, 60, 7), (0, 0, 50, 3), (60, 0, 40, 10)}
    both = {(40, 3, 60, 7), (40, 0, 50, 3), (0, 0, 40, 10)}
    assert blanks in (ripped_first, ripped_last, other_edge, both)


def test_a_job_that_cannot_be_done_has_no_answer() -> None:
    stock = book(sold("1 1/2 x 3 1/2 x 96", "5.00", in_stock=1), shop=shop())
    direct = DirectModel(stock, job(part("1 1/2 x 3 1/2 x 60", count=2, make="solid")))
    assert by_cbc(direct.model, 60) is None


# Boards are crosscut first: the least cost of a shop that rips first says nothing of it.
CROSSCUT = [seed for seed in range(8) if drawn_job(seed)[0].shop.sawing is not Sawing.RIP_FIRST]


@pytest.mark.parametrize("seed", CROSSCUT[:4])
def test_small_jobs_cost_at_least_the_least(seed: int) -> None:
    stock, small = drawn_job(seed)
    direct = DirectModel(stock, small)
    values = alone().submit(by_cp_sat, direct.model, 60.0).result()
    assert values is not None
    assert 100 * direct.plan(values).cost.net >= least_cents(seed) - 2  # audited on the way
