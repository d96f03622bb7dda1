"""A plan board by board makes all parts out of what there is, and is told at once."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.plan.audit import audit
from optimizer.search.answers import Whole
from optimizer.search.board_by_board import plan_board_by_board
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.layout import finish, lay_out
from optimizer.search.problem import Problem
from optimizer.search.watch import Watch
from optimizer.solve import searched_as, solve, with_beside
from stock.stock_book import StockBook
from tests.drawn_jobs import drawn_job, least_cents
from tests.shop_floor import JOB, bare_shop, book, job, on_rack, part, posed, sold
from tests.test_knots import knotty, rail, stock_of


def planned(problem: Problem) -> Whole | None:
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    return plan_board_by_board(problem, tables)


def boards_of(stock: StockBook, problem: Problem) -> dict[str, int]:
    """How many boards are cut, by their length."""
    whole, cut = planned(problem), Counter[str]()
    assert whole is not None
    for column, count in whole.boards:
        cut[str(problem.supplies[column.pattern.supply].length)] += count
    return dict(cut)


@pytest.mark.parametrize("seed", range(60))
def test_of_small_jobs_it_passes_the_audit(seed: int) -> None:
    stock, drawn = drawn_job(seed)
    problem = posed(stock, *drawn.parts)
    whole = planned(problem)
    assert whole is not None
    answer = lay_out(problem, stock, searched_as(drawn.parts), whole)
    audit(with_beside(finish(answer, stock, JOB, Watch()), stock, drawn), stock, drawn)
    if seed < 6:
        assert Fraction(answer.cost.net) * 100 >= least_cents(seed) - Fraction(1, 2)


def test_boards_are_filled_one_after_another_and_what_is_cheaper_is_taken() -> None:
    # Six rails of 20 out of two boards of 60; for a seventh a board of 30 costs less than another.
    stock = book(sold("1 x 4 x 60", "6.00"), sold("1 x 4 x 30", "4.00"), shop=bare_shop())
    assert boards_of(stock, posed(stock, part("1 x 4 x 20", count=6))) == {"60": 2}
    assert boards_of(stock, posed(stock, part("1 x 4 x 20", count=7))) == {"60": 2, "30": 1}


def test_offcuts_are_used_no_more_often_than_they_lie_there() -> None:
    stock = book(
        sold("1 x 4 x 60", "6.00"), on_rack("R001", "1 x 4 x 22", count=2), shop=bare_shop()
    )
    assert boards_of(stock, posed(stock, part("1 x 4 x 20", count=5))) == {"22": 2, "60": 1}


def test_there_is_none_where_boards_run_out() -> None:
    stock = book(sold("1 x 4 x 60", "6.00", in_stock=1), shop=bare_shop())
    assert planned(posed(stock, part("1 x 4 x 20", count=3))) is not None
    assert planned(posed(stock, part("1 x 4 x 20", count=4))) is None


def test_an_offcut_is_cut_whole_or_in_its_sound_lengths() -> None:
    stock = stock_of(knotty())
    problem = posed(stock, rail(80, knots=True, name="Brace"), rail(40, 2))
    whole = planned(problem)
    assert whole is not None
    cut = Counter({c.pattern.supply: n for c, n in whole.boards})
    for one, stretches in problem.stretches.items():
        assert all(cut[one] + cut[each] <= 1 for each in stretches)


def test_it_is_told_before_there_is_a_bound() -> None:
    told = list[tuple[Decimal | None, Decimal | None]]()
    stock = book(sold("1 x 4 x 60", "6.00"), shop=bare_shop())
    solve(stock, job(part("1 x 4 x 20", count=6)), Watch(tell=lambda *now: told.append(now)))
    assert told[0] == (Decimal("12.00"), None)


@pytest.mark.parametrize("length", [10, 20])
def test_of_plans_as_cheap_the_one_of_fewest_boards_is_still_looked_for(length: int) -> None:
    # Boards of one blank each cost as much by the foot: the plan made at once may be of these.
    stock = book(
        sold(f"1 x 4 x {length}", "2.00"), sold(f"1 x 4 x {3 * length}", "6.00"), shop=bare_shop()
    )
    plan = solve(stock, job(part(f"1 x 4 x {length}", count=3)), Watch())
    assert [board.length for board in plan.boards] == [3 * length]
