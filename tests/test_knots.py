"""An offcut with bad stretches is cut whole for parts that do not mind, or in its sound lengths.

All prices are invented.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import cache

import numpy as np
import pytest

from optimizer.job.parts import Faces, Job, Part
from optimizer.output.words import cautions
from optimizer.plan.audit import AuditError, audit
from optimizer.plan.plan import Plan, Status
from optimizer.plan.plan_file import plan_from_json, plan_to_json
from optimizer.replan import replan
from optimizer.search.answers import Whole
from optimizer.search.bound import lower_bound
from optimizer.search.branching import Branching
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow
from optimizer.search.layout import lay_out
from optimizer.search.money import CENT_PARTS
from optimizer.search.programme import Programme
from optimizer.search.standing import Standing
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.pieces import RackPiece
from stock.stock_book import StockBook
from tests.drawn_jobs import as_part
from tests.independent import least_net, rounding_slack
from tests.shop_floor import book, job, on_rack, part, posed, shop, sold
from tests.small_jobs import knotty_job

TWO_BY_FOUR = sold("1 1/2 x 3 1/2 x 96", "8.00")


def knotty(count: int = 1, bad: tuple[int, int] = (46, 48)) -> RackPiece:
    stretch = (Fraction(bad[0]), Fraction(bad[1]))
    return on_rack("R001", "1 1/2 x 3 1/2 x 96", count=count, bad=(stretch,))


def rail(length: int, count: int = 1, *, knots: bool = False, name: str = "Rail") -> Part:
    text = f"1 1/2 x 3 1/2 x {length}"
    return part(text, name, count=count, faces=Faces.AS_BOUGHT, knots_ok=knots)


def stock_of(*boards: RackPiece) -> StockBook:
    return book(TWO_BY_FOUR, *boards, shop=shop(end_trim=0))


def cut_how(plan: Plan) -> list[tuple[bool, int]]:
    """Of each offcut: whether it is cut whole, and how many blanks it gives."""
    return [(board.whole, len(board.blanks)) for board in plan.boards if board.from_rack]


def test_it_is_cut_whole_where_that_is_cheaper() -> None:
    # A rail of 40 that minds fits either side of the knot; one of 80 that does not takes it all,
    # and the rail goes into a new board, as it would beside a new board for the long one.
    stock = stock_of(knotty())
    drawn = job(rail(80, knots=True, name="Brace"), rail(40))
    plan = solve(stock, drawn, Watch())
    assert plan.status is Status.PROVEN
    assert cut_how(plan) == [(True, 1)]
    assert len(plan.buy) == 1
    assert plan_from_json(plan_to_json(plan)) == plan
    assert cautions(plan)["bad stretches"].startswith("R001: cut with them in it")
    with_new = solve(stock_of(), drawn, Watch())
    assert plan.cost.net < with_new.cost.net


def test_it_is_cut_in_its_sound_lengths_where_these_are_cheaper() -> None:
    # Two rails of 45 that mind fill both sides; whole it would give one rail that does not.
    stock = stock_of(knotty())
    plan = solve(stock, job(rail(45, 2), rail(45, 1, knots=True, name="Brace")), Watch())
    assert plan.status is Status.PROVEN
    assert cut_how(plan) == [(False, 2)]
    assert sum(line.count for line in plan.buy) == 1


def test_of_two_alike_each_is_cut_its_way() -> None:
    stock = stock_of(knotty(count=2))
    plan = solve(stock, job(rail(80, knots=True, name="Brace"), rail(45, 2)), Watch())
    assert plan.status is Status.PROVEN
    assert sorted(cut_how(plan)) == [(False, 2), (True, 1)]
    assert not plan.buy


def test_a_short_part_that_does_not_mind_leaves_the_other_length_whole() -> None:
    plan = solve(stock_of(knotty()), job(rail(44, knots=True)), Watch())
    assert cut_how(plan) == [(False, 1)]
    assert plan.cost.net < plan.cost.rack_used


def test_a_bad_end_comes_off_even_where_parts_do_not_mind() -> None:
    (supply,) = posed(stock_of(knotty(bad=(0, 3))), rail(80, knots=True)).supplies[1:]
    assert not supply.lumber.faulty
    assert supply.usable == 96 - 3 - Fraction(1, 8)


def test_the_audit_refuses_one_piece_cut_both_ways() -> None:
    two, one = stock_of(knotty(count=2)), stock_of(knotty())
    drawn = job(rail(80, knots=True, name="Brace"), rail(45, 2))
    plan = solve(two, drawn, Watch())
    with pytest.raises(AuditError, match="the rack has 1 of R001, and the plan pulls 2"):
        audit(plan, one, drawn)


@pytest.mark.parametrize(
    ("whole", "minding", "said"),
    [
        (False, "", "does not lie in the usable wood"),
        (True, "Brace", "is cut with its bad stretches in it, which the part minds"),
    ],
)
def test_the_audit_knows_which_way_serves_which_parts(whole: bool, minding: str, said: str) -> None:
    stock, drawn = stock_of(knotty()), job(rail(80, knots=True, name="Brace"))
    plan = solve(stock, drawn, Watch())
    boards = tuple(replace(board, whole=whole) for board in plan.boards)
    parts = tuple(replace(p, knots_ok=p.name != minding) for p in drawn.parts)
    with pytest.raises(AuditError, match=re.escape(said)):
        audit(replace(plan, boards=boards), stock, replace(drawn, parts=parts))


def test_sound_wood_is_not_said_to_be_cut_whole() -> None:
    stock, drawn = stock_of(on_rack("R001", "1 1/2 x 3 1/2 x 81")), job(rail(80))
    plan = solve(stock, drawn, Watch())
    boards = tuple(replace(board, whole=True) for board in plan.boards)
    with pytest.raises(AuditError, match="is to keep its bad stretches, and has none"):
        audit(replace(plan, boards=boards), stock, drawn)


def test_what_is_begun_one_way_goes_on_that_way() -> None:
    # The rail of 15 is sawn off the piece, and then the brace is spoiled: out of what is left of
    # the piece, knots and all, it would save 1.50. But that is cut in its sound lengths by now.
    bad = ((Fraction(16), Fraction(18)), (Fraction(63), Fraction(64)))
    sizes = (("96", "8.00"), ("58", "3.50"), ("44", "3.00"), ("15", "3.00"))
    sold_so = [sold(f"1 1/2 x 3 1/2 x {length}", price) for length, price in sizes]
    piece = on_rack("R001", "1 1/2 x 3 1/2 x 123", bad=bad)
    stock = book(*sold_so, piece, shop=shop(end_trim=0))
    rails = [rail(length, name=f"Rail {length}") for length in (15, 44, 58)]
    drawn = job(*rails, rail(88, knots=True, name="Brace"))
    plan = solve(stock, drawn, Watch())
    assert cut_how(plan) == [(False, 3)]
    blank_of = {made.part: made.blanks[0] for made in plan.parts}
    spoiled = {blank_of["Brace"]}
    again = replan(plan, stock, drawn, {blank_of["Rail 15"]}, spoiled, Watch(seconds=20))
    audit(again, stock, drawn)
    assert cut_how(again) == [(False, 3)]
    assert again.status is Status.PROVEN
    assert [board.cost for board in again.boards if not board.from_rack] == [Decimal("8.00")] * 2


def test_a_piece_begun_whole_goes_on_whole() -> None:
    # Of the brace nothing is left that counts; another short brace comes out of its end.
    stock = stock_of(knotty(bad=(20, 22)))
    drawn = job(rail(60, knots=True, name="Brace"), rail(30, knots=True, name="Cleat"))
    plan = solve(stock, drawn, Watch())
    assert cut_how(plan) == [(True, 2)]
    (board,) = plan.boards
    again = replan(plan, stock, drawn, {board.blanks[0].id}, set(), Watch(seconds=20))
    audit(again, stock, drawn)
    assert cut_how(again) == [(True, 2)]


QUICK = (3, 6, 8, 9, 10, 11, 12)
"""Small jobs that the second opinion is soon through with."""


@cache
def second_opinion(seed: int) -> Fraction:
    stock, drawn = knotty_job(seed)
    least, proven = least_net(drawn, stock)
    assert proven
    return least


@pytest.mark.parametrize("seed", QUICK)
def test_no_plan_is_cheaper_by_the_second_opinion(seed: int) -> None:
    stock, drawn = knotty_job(seed)
    plan = solve(stock, Job(name="small", parts=tuple(map(as_part, drawn))), Watch(seconds=60))
    assert plan.status is Status.PROVEN
    assert abs(Fraction(plan.cost.net) - second_opinion(seed)) <= rounding_slack(stock)


@pytest.mark.parametrize("seed", QUICK)
@pytest.mark.parametrize("factor", [0.7, 1.0, 1.5])
def test_no_worths_lift_the_bound_above_the_least_cost(seed: int, factor: float) -> None:
    stock, drawn = knotty_job(seed)
    problem = posed(stock, *map(as_part, drawn))
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    right = grow(problem, tables, Programme(problem), Watch()).blanks
    bound = lower_bound(problem, tables, (right * factor).astype(np.int64)).cost
    assert Fraction(bound, CENT_PARTS) <= 100 * second_opinion(seed)


@pytest.mark.parametrize("seed", QUICK)
def test_branches_alone_come_to_the_same(seed: int) -> None:
    stock, drawn = knotty_job(seed)
    parts = [*map(as_part, drawn)]
    problem, watch = posed(stock, *parts), Watch(seconds=60)
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]

    def net_of(whole: Whole) -> Decimal:
        return lay_out(problem, stock, parts, whole).cost.net

    standing = Standing(problem, net_of, watch)
    Branching(problem, tables, tables, standing, watch).run()
    assert watch.bound == standing.net
    assert abs(Fraction(standing.net) - second_opinion(seed)) <= rounding_slack(stock)
