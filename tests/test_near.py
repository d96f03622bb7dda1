"""Of plans as cheap the best is taken, and what a little more money buys is told as it is.

Wood, stores and prices are invented.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import partial

import pytest

from optimizer.job.parts import Faces, Job, Make
from optimizer.plan.audit import audit
from optimizer.plan.comparison import Gain
from optimizer.plan.plan import Plan, Status
from optimizer.plan.plan_file import plan_to_json
from optimizer.search.answers import Linear
from optimizer.search.cutting import CuttingTables
from optimizer.search.growing import grow
from optimizer.search.knapsack import Knapsack
from optimizer.search.near import Beside, Found
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.sums import at_counts, rack_gain, rack_loss, worth_of_leftovers
from optimizer.search.watch import Watch
from optimizer.solve import More, searched, solve, solve_near, ways_of
from stock.stock_book import StockBook
from tests.drawn_jobs import as_part, drawn_job
from tests.independent import least_net
from tests.shop_floor import bare_shop, book, job, on_rack, part, shop, sold
from tests.small_jobs import DrawnPart, small_job

PLAIN = {"faces": Faces.AS_BOUGHT, "make": Make.SOLID}
SIX_RAILS = job(part("1 x 4 x 20", count=6, **PLAIN))
SHORT = sold("1 x 4 x 60", "6.00")


def near(stock: StockBook, wanted: Job, amount: str) -> tuple[Plan, tuple[Gain, ...]]:
    more = More(amount=Decimal(amount), watch=Watch(seconds=600))
    return solve_near(stock, wanted, Watch(seconds=600), more)


def bought(plan: Plan) -> int:
    return sum(line.count for line in plan.buy)


def merit(plan: Plan, stock: StockBook) -> tuple[int, Decimal, int, int]:
    left = sum(len(board.leftovers) for board in plan.boards)
    lines = sum(len(made.blanks) - 1 for made in plan.parts)
    return bought(plan), -rack_gain(plan.boards, worth_of_leftovers(stock)), left, lines


def first_found(beside: Beside) -> Found:
    return beside.best


# --- ties ----------------------------------------------------------------------------------------


def test_one_long_board_goes_before_several_short_ones_for_the_same_money() -> None:
    stock = book(
        SHORT, sold("1 x 4 x 120", "12.00"), sold("1 x 4 x 180", "18.00"), shop=bare_shop()
    )
    plan = solve(stock, job(part("1 x 4 x 20", count=9, **PLAIN)), Watch())
    assert (bought(plan), plan.cost.net, plan.status) == (1, 18, Status.PROVEN)


PER_FOOT = {
    "2x4": "0.50",
    "2x6": "0.80",
    "2x8": "1.10",
    "1x4": "0.55",
    "1x6": "0.90",
    "4x4": "1.40",
}


def by_the_foot(
    seed: int, factor: int = 1, a_board: str = "0"
) -> tuple[StockBook, list[DrawnPart]]:
    """A small job whose boards cost so much by the foot, and so much each; nothing else counts."""
    stock, parts = small_job(seed)
    offers = {
        (offer.store, name := f"{offer.size} x {feet}'"): replace(
            offer,
            length=Fraction(12 * feet),
            name=name,
            price=Decimal(PER_FOOT[offer.size]) * feet * factor + Decimal(a_board),
            in_stock=None,
        )
        for offer in stock.offers
        for feet in (offer.length // 12, offer.length // 12 + 4)
    }
    nothing = dict.fromkeys(("glue_price", "pay", "offcut_value"), Decimal(0))
    free = tuple(replace(store, tax_percent=Decimal(0)) for store in stock.stores)
    shop_ = replace(stock.shop, **nothing)
    return replace(stock, offers=tuple(offers.values()), shop=shop_, stores=free), parts


@pytest.mark.parametrize("seed", range(5))
def test_no_plan_as_cheap_buys_fewer_boards_says_the_second_opinion(seed: int) -> None:
    stock, drawn = by_the_foot(seed)
    plan = solve(stock, Job(name="small", parts=tuple(map(as_part, drawn))), Watch(seconds=600))
    # A thousand times as dear, and a cent for each board: the last three digits count boards.
    least, proven = least_net(drawn, by_the_foot(seed, 1000, "0.01")[0])
    assert proven
    assert divmod(round(100 * least), 1000) == (100 * plan.cost.net, bought(plan))


def test_offcuts_of_no_worth_in_the_sum_are_still_spared_by_their_worth() -> None:
    # At 0 % both offcuts are free: the one of 30 leaves the other one 60 long.
    offcuts = on_rack("R001", "1 x 4 x 60"), on_rack("R002", "1 x 4 x 30")
    for rack in (offcuts, offcuts[::-1]):
        stock = book(SHORT, *rack, shop=bare_shop())
        plan = solve(stock, job(part("1 x 4 x 30", **PLAIN)), Watch())
        assert [board.tag for board in plan.boards] == ["R002"]


def test_nothing_is_glued_for_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two legs out of a 4x4, whole or of strips: by sheer size they take as much of it."""
    stock, legs = (
        book(sold("4 x 4 x 96", "20.00"), shop=shop()),
        part("2 3/4 x 2 3/4 x 17", count=2),
    )
    chosen = solve(stock, job(legs), Watch(seconds=600))
    supplies, [ways] = ways_of(stock, job(legs))
    of_strips = [[lay_up for lay_up in ways if lay_up.glued]]
    glued = searched(stock, job(legs), supplies, of_strips, Watch(seconds=600)).found.answer
    assert [len(made.blanks) for made in glued.parts] == [2, 2]
    monkeypatch.setattr(Beside, "best_of_ties", first_found)
    first = solve(stock, job(legs), Watch(seconds=600))
    assert chosen.cost.net == first.cost.net == glued.cost.net
    assert 2 in [len(made.blanks) for made in first.parts]  # come upon first by chance
    assert [len(made.blanks) for made in chosen.parts] == [1, 1]


@pytest.mark.parametrize("seed", [3, 8, 16, 17, 23, 39])
def test_ties_cost_the_same_and_are_no_worse(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    stock, wanted = drawn_job(seed)
    chosen = solve(stock, wanted, Watch(seconds=600))
    monkeypatch.setattr(Beside, "best_of_ties", first_found)
    first = solve(stock, wanted, Watch(seconds=600))
    assert chosen.status is first.status is Status.PROVEN
    assert chosen.cost.net == first.cost.net
    assert merit(chosen, stock) <= merit(first, stock)


def test_ties_are_looked_for_only_once_the_plan_is_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Decimal] = []

    def noted(beside: Beside) -> Found:
        asked.append(beside.best.net)
        return beside.best

    monkeypatch.setattr(Beside, "best_of_ties", noted)
    stock, wanted = drawn_job(11)
    assert solve(stock, wanted, Watch(gap_percent=Decimal(50))).status is Status.WITHIN_GAP
    assert asked == []
    proven = solve(stock, wanted, Watch(seconds=600))
    assert (proven.status, asked) == (Status.PROVEN, [proven.cost.net])


@pytest.mark.parametrize(("count", "left"), [(2, 1), (4, 0)])
def test_of_each_sound_length_of_an_offcut_what_is_left_of_it_counts(count: int, left: int) -> None:
    # Two rails fit in each sound length and leave less than is kept; the other length is kept.
    knotty = on_rack("R001", "1 x 4 x 100", bad=((Fraction(50), Fraction(51)),))
    stock = book(SHORT, knotty, shop=bare_shop(offcut_value=Decimal(30)))
    rails = job(part("1 x 4 x 20", count=count, **PLAIN))
    search = searched(stock, rails, *ways_of(stock, rails), Watch())
    aim = partial(rack_loss, search.problem, worth=worth_of_leftovers(stock))
    cost, boards = search.found.answer.cost, search.found.answer.boards
    assert (cost.cash, sum(len(board.leftovers) for board in boards)) == (0, left)
    lost = 100 * float(cost.rack_used - cost.leftovers)
    assert at_counts(aim, search.found.whole) == pytest.approx(lost)


# --- what a little more money buys ---------------------------------------------------------------


def test_a_board_fewer_is_told_from_what_it_costs_more() -> None:
    stock = book(SHORT, sold("1 x 4 x 120", "12.30"), shop=bare_shop())
    plan, gains = near(stock, SIX_RAILS, "0.30")
    assert (bought(plan), plan.cost.net) == (2, 12)
    (gain,) = gains
    assert (gain.more, gain.boards, bought(gain.plan)) == (Decimal("0.30"), 1, 1)
    assert near(stock, SIX_RAILS, "0.29") == (plan, ())


def test_each_step_on_the_way_has_its_own_price() -> None:
    # Two boards of 60 become one of 120 for 0.50 more, three of them one of 180 for 2.00 more.
    stock = book(
        SHORT, sold("1 x 4 x 120", "12.50"), sold("1 x 4 x 180", "20.00"), shop=bare_shop()
    )
    _, gains = near(stock, job(part("1 x 4 x 20", count=9, **PLAIN)), "5")
    assert [(gain.boards, gain.more) for gain in gains if gain.boards] == [
        (1, Decimal("0.50")),
        (2, Decimal("2.00")),
    ]


def test_a_beam_is_told_as_glue_lines_fewer() -> None:
    # A post out of a 4x4 for 9.00, or of two plies from a 2x4 for 4.00.
    stock = book(
        sold("1 1/2 x 3 1/2 x 96", "4.00"), sold("3 1/2 x 3 1/2 x 96", "9.00"), shop=bare_shop()
    )
    post = job(part("2 3/4 x 2 3/4 x 30"))
    plan, gains = near(stock, post, "5")
    assert plan.cost.net == 4
    assert max(gain.glue_lines for gain in gains) == 1
    assert {gain.more for gain in gains if gain.glue_lines} == {Decimal("5.00")}
    assert not any(gain.glue_lines for gain in near(stock, post, "4.99")[1])


def test_fewer_cuts_and_longer_leftovers_are_told() -> None:
    # A board as wide as the slat needs no rip; a longer one leaves a piece worth keeping.
    stock = book(
        sold("1 x 6 x 60", "6.00"),
        sold("1 x 4 x 60", "6.50"),
        sold("1 x 6 x 120", "7.00"),
        shop=bare_shop(offcut_value=Decimal(0)),
    )
    plan, gains = near(stock, job(part("1 x 4 x 58", **PLAIN)), "1")
    assert plan.cost.net == 6
    assert any(gain.more == Decimal("0.50") and gain.cuts == 1 for gain in gains)
    assert any(gain.more == 1 and gain.longest >= 60 and gain.left > 0 for gain in gains)


def test_no_two_tables_are_filled_in_one_place(monkeypatch: pytest.MonkeyPatch) -> None:
    filled: dict[CuttingTables, Knapsack] = {}

    def noted(
        problem: Problem, tables: Sequence[CuttingTables], programme: Programme, watch: Watch
    ) -> Linear:
        filled.update((table, table.board_table) for table in tables)
        return grow(problem, tables, programme, watch)

    monkeypatch.setattr("optimizer.search.near.grow", noted)
    near(book(SHORT, shop=bare_shop()), SIX_RAILS, "1")
    assert len(set(filled.values())) == len(filled) > 1


def test_trips_are_in_what_it_costs_more() -> None:
    # The long board is dearer, and sold where nothing else is bought: its own trip is paid too.
    stock = book(SHORT, sold("1 x 4 x 120", "12.30", store="Lock"), shop=bare_shop())
    trips = tuple(replace(store, trip_cost=Decimal(2)) for store in stock.stores)
    plan, gains = near(replace(stock, stores=trips), SIX_RAILS, "5")
    assert plan.cost.net == 14
    assert plan.cost.trips == 2
    assert all(gain.plan.cost.trips >= 2 for gain in gains)


def test_no_more_stores_are_driven_to_than_the_shop_allows() -> None:
    # Six rails from Weir, or five of them from there and a dear wide board of Lock for the last.
    stock = book(
        SHORT,
        sold("1 x 4 x 100", "10.00"),
        sold("1 x 4 x 20", "2.10", store="Lock"),
        shop=bare_shop(most_stores=1),
    )
    plan, gains = near(stock, SIX_RAILS, "9")
    assert plan.status is Status.PROVEN
    assert all(len({line.store for line in gain.plan.buy}) == 1 for gain in gains)


@pytest.mark.parametrize("seed", [0, 7, 11, 15, 21])
def test_every_gain_is_a_sound_plan_within_the_amount(seed: int) -> None:
    stock, wanted = drawn_job(seed)
    plan, gains = near(stock, wanted, "4")
    assert plan.status is Status.PROVEN
    for gain in gains:
        audit(gain.plan, stock, wanted)
        assert 0 <= gain.more == gain.plan.cost.net - plan.cost.net <= 4
        assert gain.plan.bound == plan.bound
        assert max(gain.gained) > 0
        assert not any(other.betters(gain) for other in gains if other is not gain)
    again = near(stock, wanted, "4")[1]
    assert [plan_to_json(g.plan) for g in again] == [plan_to_json(g.plan) for g in gains]


def test_small_jobs_do_gain_something() -> None:
    found = [near(*drawn_job(seed), "4")[1] for seed in (0, 11, 15)]
    assert all(found)


def test_nothing_more_is_looked_for_once_the_user_said_stop() -> None:
    stock = book(SHORT, sold("1 x 4 x 120", "12.30"), shop=bare_shop())
    more = More(amount=Decimal(1), watch=Watch())
    more.watch.stop()
    plan, gains = solve_near(stock, SIX_RAILS, Watch(), more)
    assert (plan.cost.net, gains) == (12, ())
