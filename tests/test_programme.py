"""The programme over given patterns: whole counts, what is missing, and sums in whole cents.

The solver itself is tried in test_libraries.py.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.job.parts import Faces, Make
from optimizer.search.answers import Whole
from optimizer.search.counts import Range, boards, bought, made
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.layout import lay_out
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column, distinct
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.solver import NOTHING
from optimizer.search.watch import Watch
from optimizer.search.whole_programme import WholeProgramme
from stock.prices import Store, to_cent
from stock.stock_book import StockBook
from tests.drawn_jobs import drawn_job
from tests.shop_floor import bare_shop, book, on_rack, part, posed, sold
from tests.small_jobs import small_job

# Boards of 60 give three rails of 20 or one brace of 30 and one rail; kerf and trim are 0.
RAIL, BRACE = part("1 x 4 x 20", "Rail", count=5), part("1 x 4 x 30", "Brace", count=1)


def grown(problem: Problem) -> list[Column]:
    """Patterns enough for the linear optimum."""
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme = Programme(problem)
    grow(problem, tables, programme, Watch())
    return programme.columns


def solved(problem: Problem, columns: list[Column]) -> Whole:
    programme = WholeProgramme(problem)
    programme.add(columns)
    whole = programme.solve_whole(Watch()).whole
    assert whole is not None
    return whole


def boards_cut(whole: Whole) -> dict[int, int]:
    """How many boards of each supply."""
    cut: dict[int, int] = {}
    for column, count in whole.boards:
        cut[column.pattern.supply] = cut.get(column.pattern.supply, 0) + count
    return cut


def test_whole_counts_make_every_part_at_the_least_cost() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL, BRACE)
    whole = solved(problem, grown(problem))
    assert boards_cut(whole) == {0: 3}
    assert whole.missing == (0, 0)
    assert whole.made == {(0, 0): 5, (1, 0): 1}
    assert whole.cost == pytest.approx(1800)


def test_the_linear_optimum_halves_boards_and_says_what_blanks_are_worth() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL)
    programme = Programme(problem)
    programme.add(grown(problem))
    linear = programme.solve_linear()
    assert linear.value == pytest.approx(1000)  # 5/3 boards
    assert linear.blanks[0] == pytest.approx(200 * CENT_PARTS, abs=2)
    assert not linear.missing


def test_no_more_boards_are_cut_than_there_are() -> None:
    # The offcut is worth nothing to the shop, so both are taken first; the offer is short too.
    offcuts = on_rack("R001", "1 x 4 x 20", count=2)
    stock = book(sold("1 x 4 x 60", "6.00", in_stock=1), offcuts, shop=bare_shop())
    problem = posed(stock, replace(RAIL, count=7))
    whole = solved(problem, grown(problem))
    assert boards_cut(whole) == {0: 1, 1: 2}
    assert whole.missing == (2,)


def test_counts_end_where_blanks_end_to_be_of_use() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL, BRACE)
    useful, columns = {0: 5, 1: 1}, grown(problem)
    pays = replace(columns[0], cost=-1)  # more of these would always be better
    programme = WholeProgramme(problem)
    programme.add([*columns, pays])
    relaxed = programme.relaxed()
    most = relaxed.all.most[relaxed.columns - len(columns) - 1 : relaxed.columns].tolist()
    assert most[-1] == float("inf")
    for column, count in zip(columns, most, strict=False):
        assert all(n * count >= useful[kind] for kind, n in column.counts)
        assert any(n * (count - 1) < useful[kind] for kind, n in column.counts)


def test_a_cutoff_hides_plans_that_are_no_cheaper() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL, BRACE)
    programme = WholeProgramme(problem)
    programme.add(grown(problem))
    best = programme.solve_whole(Watch())
    assert best.whole is not None
    again = WholeProgramme(problem)
    again.add(programme.columns)
    cheaper = again.solve_whole(Watch(), below=best.whole.cost - 0.5)
    assert cheaper.complete
    assert cheaper.whole is None
    assert cheaper.bound >= best.whole.cost - 0.5


def test_an_ended_watch_stops_the_search() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL)
    programme = WholeProgramme(problem)
    programme.add(grown(problem))
    watch = Watch()
    watch.stop()
    attempt = programme.solve_whole(watch)
    assert attempt.whole is None or attempt.whole.missing == (0,)


def test_nothing_below_the_cutoff_is_found_or_claimed() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL)
    programme = WholeProgramme(problem)
    programme.add(grown(problem))
    attempt = programme.solve_whole(Watch(), below=1199.5)  # the least is 2 boards, 1200 cents
    assert attempt.whole is None
    assert attempt.complete


def test_of_patterns_that_give_the_same_the_cheapest_is_kept() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL)
    (column, *_) = grown(problem)
    dearer = replace(column, cost=column.cost + 1)
    assert distinct([dearer, column, dearer]) == [column]


# --- sums in whole cents -------------------------------------------------------------------------


def pays_only_money(seed: int) -> bool:
    """No time is paid, and no leftover is worth anything: blanks in surplus change no sum."""
    shop = small_job(seed)[0].shop
    return not shop.pay and not shop.offcut_value


@pytest.mark.parametrize("seed", [seed for seed in range(40) if pays_only_money(seed)])
def test_the_programme_pays_what_the_bill_says(seed: int) -> None:
    stock, job = drawn_job(seed)
    problem = posed(stock, *job.parts)
    whole = solved(problem, grown(problem))
    net = lay_out(problem, stock, job.parts, whole).cost.net
    assert whole.cost == pytest.approx(float(100 * net), abs=1e-3)


def taxed_stock(*stores: tuple[str, str]) -> StockBook:
    """The same board in every store, as (price, tax percent)."""
    offers = [sold("1 x 4 x 60", price, store=f"store {n}") for n, (price, _) in enumerate(stores)]
    taxes = (Store(name=f"store {n}", tax_percent=Decimal(t)) for n, (_, t) in enumerate(stores))
    return replace(book(*offers, shop=bare_shop()), stores=tuple(taxes))


def least_bill(boards: int, stores: list[tuple[str, str]]) -> Decimal:
    """The least price with tax of so many boards, trying every share between two stores."""
    (price, tax), (other_price, other_tax) = stores

    def bill(count: int, price: str, tax: str) -> Decimal:
        exact = Fraction(price) * count
        return to_cent(exact) + to_cent(exact * Fraction(tax) / 100)

    return min(
        bill(n, price, tax) + bill(boards - n, other_price, other_tax) for n in range(boards + 1)
    )


def fullest(problem: Problem) -> list[Column]:
    """The fullest pattern of every board."""
    worths = np.full(len(problem.kinds), 1000 * CENT_PARTS)
    (table,) = (CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber)
    table.price(worths)
    return [table.column(s, worths) for s in range(len(table.supplies))]


def test_half_a_cent_of_tax_is_rounded_up_in_each_store() -> None:
    # Two boards in one store: 11.00 and 0.55. One in each: 2 * (5.50 + 0.28), as 0.275 is rounded
    # up: 11.56. Rounded down it would be 11.54 and seem the better.
    problem = posed(taxed_stock(("5.50", "5"), ("5.50", "5")), replace(RAIL, count=6))
    whole = solved(problem, fullest(problem))
    assert whole.cost == pytest.approx(1155)
    assert len(boards_cut(whole)) == 1


prices = st.integers(400, 460).map(lambda cents: str(Decimal(cents).scaleb(-2)))
taxes = st.sampled_from(["0", "4.5", "5", "8.25", "8.875"])


@given(boards=st.integers(1, 7), stores=st.lists(st.tuples(prices, taxes), min_size=2, max_size=2))
@settings(max_examples=60)
def test_the_whole_optimum_is_the_least_rounded_bill(
    boards: int, stores: list[tuple[str, str]]
) -> None:
    problem = posed(taxed_stock(*stores), replace(RAIL, count=3 * boards))
    whole = solved(problem, fullest(problem))
    assert whole.cost == pytest.approx(float(least_bill(boards, stores)) * 100)


def test_glue_is_rounded_once_for_all_parts() -> None:
    # Two boards 1 thick as they come make 2. The glue line of 24 x 6 is a square foot: at 3.00 a
    # gallon for 250 of them 1.2 cents. Five blocks take 6 cents, not five times 1.
    glue_shop = bare_shop(glue_price=Decimal(3), jointing_per_edge=0, slip=0, extra_length=0)
    block = part("2 x 6 x 24", count=5, make=Make.GLUED, faces=Faces.AS_BOUGHT)
    problem = posed(book(sold("1 x 6 x 24", "1.00"), shop=glue_shop), block)
    assert solved(problem, fullest(problem)).cost == pytest.approx(10 * 100 + 6)


def test_a_lay_up_may_be_held_for_which_no_pattern_is_known() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL, BRACE)
    held = {made(0, 0): Range(5, None)}
    for lacking in (False, True):
        programme = Programme(problem, lacking=lacking)
        programme.hold(held)
        assert (programme.solve_linear().value < NOTHING) == lacking
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    linear = grow(problem, tables, programme, Watch())
    assert linear.value == pytest.approx(600 * (5 / 3 + 1 / 2))  # three rails a board, two braces


def test_counts_that_contradict_each_other_have_no_optimum() -> None:
    problem = posed(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), RAIL, BRACE)
    programme = Programme(problem, lacking=True)
    programme.add(grown(problem))
    programme.hold({boards(0): Range(3, None), bought(0): Range(0, 2)})
    assert programme.solve_linear().value == NOTHING
    programme.hold({boards(0): Range(3, None)})
    assert programme.solve_linear().value == pytest.approx(1800)
