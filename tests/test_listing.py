"""All patterns near the best, against every way of sawing a small board."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from optimizer.job.blanks import BlankKind
from optimizer.search.cutting import CuttingTables
from optimizer.search.fillings import TooManyError
from optimizer.search.knapsack import NEVER, Ints
from optimizer.search.listing import FEWER_STEPS, Listing
from optimizer.search.money import CENT_PARTS
from optimizer.search.patterns import Column
from optimizer.search.watch import Watch
from stock.shop import Sawing
from tests.drawn_benches import PINE, Bench, benches, sawn_cost, worths
from tests.independent_sawing import Counts
from tests.shop_floor import bare_shop, book, sold

PLENTY = 10_000


def near_the_best(
    table: CuttingTables,
    values: Ints,
    caps: Counts,
    budget: int,
    most: int = PLENTY,
    beam: int | None = None,
) -> list[Column]:
    """All patterns of the one board whose deficit is at most ``budget`` search units."""
    listing = Listing(table, values, np.array(caps), most, Watch(), beam=beam)
    return [column for listed in listing.lists(np.array([budget])) for column in listed.columns()]


def counts_of(column: Column, bench: Bench) -> Counts:
    counts = dict(column.counts)
    return tuple(counts.get(kind, 0) for kind in range(len(bench.kinds)))


# The second opinion also crosscuts several blanks out of a longer piece as wide as its board. That
# saves nothing but rounding, where two leftovers are worth a cent more than one: so whole cents.
@given(data=st.data(), bench=benches(whole_cents=True))
@settings(max_examples=150)
def test_the_list_holds_every_pattern_within_the_budget_or_a_better_one(
    data: st.DataObject, bench: Bench
) -> None:
    values = data.draw(worths(bench))
    caps = tuple(data.draw(st.integers(0, 6)) for _ in bench.kinds)
    budget = data.draw(st.integers(0, 4000)) * CENT_PARTS
    table = bench.tables()
    (best,) = table.price(values)
    assume(best > NEVER // 2)
    listed = [
        (counts_of(column, bench), Fraction(column.cost, CENT_PARTS))
        for column in near_the_best(table, values, caps, budget)
    ]
    for counts, cost in bench.every_way(caps).items():
        brought = sum(n * int(value) for n, value in zip(counts, values, strict=True))
        if best - table.cost[0] - (brought - cost * CENT_PARTS) <= budget:
            assert any(
                other_cost <= cost and all(map(int.__ge__, others, counts))
                for others, other_cost in listed
            )


@given(data=st.data(), bench=benches())
@settings(max_examples=300)
def test_a_list_that_yields_holds_all_that_is_left_or_better_ones(
    data: st.DataObject, bench: Bench
) -> None:
    """Of every pattern that loses no more than what the list yields less than the budget."""
    values, caps = data.draw(worths(bench)), (9,) * len(bench.kinds)
    budget, most = data.draw(st.integers(0, 4000)) * CENT_PARTS, data.draw(st.integers(1, 3))
    table = bench.tables()
    (best,) = table.price(values)
    assume(best > NEVER // 2)
    yielding = Listing(table, values, np.array(caps), most, Watch(), yielding=True)
    columns = [c for listed in yielding.lists(np.array([budget])) for c in listed.columns()]
    left = budget - yielding.yielded
    for column in columns:
        brought = sum(n * int(values[kind]) for kind, n in column.counts)
        assert best - table.cost[0] - (brought - column.cost) <= left
    for column in near_the_best(table, values, caps, left):
        counts = counts_of(column, bench)
        assert any(
            other.cost <= column.cost and all(map(int.__ge__, counts_of(other, bench), counts))
            for other in columns
        )


@given(data=st.data(), bench=benches())
@settings(max_examples=100)
def test_a_beam_lists_some_of_what_is_within_the_budget(data: st.DataObject, bench: Bench) -> None:
    """A narrow one some; one as wide as a list is long all."""
    values, caps = data.draw(worths(bench)), (9,) * len(bench.kinds)
    budget = data.draw(st.integers(0, 4000)) * CENT_PARTS
    table = bench.tables()
    (best,) = table.price(values)
    every = near_the_best(table, values, caps, budget)
    assert near_the_best(table, values, caps, budget, beam=PLENTY) == every
    for column in near_the_best(table, values, caps, budget, beam=1):
        brought = sum(n * int(values[kind]) for kind, n in column.counts)
        assert best - table.cost[0] - (brought - column.cost) <= budget


@given(data=st.data(), bench=benches())
@settings(max_examples=100)
def test_a_listed_pattern_costs_what_its_column_says_and_is_within_the_budget(
    data: st.DataObject, bench: Bench
) -> None:
    values = data.draw(worths(bench))
    budget = data.draw(st.integers(0, 4000)) * CENT_PARTS
    table = bench.tables()
    (best,) = table.price(values)
    for column in near_the_best(table, values, (9,) * len(bench.kinds), budget):
        brought = sum(n * int(values[kind]) for kind, n in column.counts)
        assert best - table.cost[0] - (brought - column.cost) <= budget
        assert column.cost == sawn_cost(bench.problem(), column) * CENT_PARTS


# A board of 60 gives 20s and 12s, in a shop without kerf: 3 and 0, 2 and 1, 1 and 3, 0 and 5.
TWENTY, TWELVE = (
    BlankKind(lumber=PINE, length=Fraction(length), width=Fraction(4)) for length in (20, 12)
)
SIXTY = Bench(book(sold("1 x 4 x 60", "6.00"), shop=bare_shop()), (TWELVE, TWENTY))


def listed(budget: int, most: int = PLENTY) -> set[Counts]:
    """Twelves and twenties of each pattern listed; a twelve is worth 120 cents, a twenty 200."""
    values = np.array([120, 200]) * CENT_PARTS
    columns = near_the_best(SIXTY.tables(), values, (9, 9), budget * CENT_PARTS, most)
    return {counts_of(column, SIXTY) for column in columns}


def test_within_no_budget_only_the_best_are_listed() -> None:
    assert listed(0) == {(0, 3), (5, 0)}  # worth 600
    assert listed(39) == {(0, 3), (5, 0)}


def test_a_wider_budget_lists_more() -> None:
    assert listed(40) == {(0, 3), (5, 0), (3, 1)}  # worth 560
    assert listed(80) == {(0, 3), (5, 0), (3, 1), (1, 2)}  # worth 520


def test_less_than_what_fits_is_never_listed() -> None:
    assert listed(10_000) == listed(80)


@pytest.mark.parametrize("most", [10, 20])
def test_a_list_that_yields_is_no_longer_than_asked_for(most: int) -> None:
    """However many pieces fill a board."""
    kinds = [BlankKind(lumber=PINE, length=Fraction(n), width=Fraction(4)) for n in range(5, 10)]
    table = replace(SIXTY, kinds=tuple(kinds)).tables()
    values, budget = np.array([50, 60, 71, 80, 90]) * CENT_PARTS, np.array([400 * CENT_PARTS])
    caps = np.full(5, 12)
    plain = Listing(table, values, caps, PLENTY, Watch())
    assert sum(map(len, plain.lists(budget))) > 100
    yielding = Listing(table, values, caps, most, Watch(), yielding=True)
    assert 0 < sum(map(len, yielding.lists(budget))) <= FEWER_STEPS * most


def test_a_list_whose_fillings_take_too_much_room_is_too_long(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("optimizer.search.fillings.MOST_IN_ALL", 2)
    with pytest.raises(TooManyError):
        listed(10_000)


def test_a_list_that_yields_holds_no_more_of_all_rows_than_there_is_room_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It would be kept, and all that it was made of with it."""
    table, budget, caps = SIXTY.tables(), np.array([400 * CENT_PARTS]), np.full(len(SIXTY.kinds), 9)
    values = np.full(len(SIXTY.kinds), 50) * CENT_PARTS
    listing = Listing(table, values, caps, PLENTY, Watch(), yielding=True)
    assert sum(map(len, listing.lists(budget))) > 2
    monkeypatch.setattr("optimizer.search.yielding.TOGETHER", 2)
    with pytest.raises(TooManyError):
        list(Listing(table, values, caps, PLENTY, Watch(), yielding=True).lists(budget))


def test_a_negative_budget_lists_nothing() -> None:
    assert listed(-1) == set()


# Of a board of 20 usable an 8 is sawn, 1 wide: from the end of it, or out of a whole strip of it.
# Both need two rips and two crosscuts, but the strip leaves two pieces that are kept and the last
# crosscut is spared where a segment takes all of the board.
EIGHT, ALL = (
    BlankKind(lumber=PINE, length=Fraction(length), width=Fraction(width))
    for length, width in ((8, 1), (20, 6))
)


def test_a_board_used_up_to_its_end_spares_a_cut() -> None:
    paid = replace(
        bare_shop(),
        pay=Decimal(30),
        offcut_value=Decimal(50),
        end_trim=Fraction(1),
        shortest_to_rip=Fraction(0),
        narrowest_rip=Fraction(0),
        sawing=Sawing.CROSSCUT_FIRST,
    )
    bench = Bench(book(sold("1 x 6 x 22", "0.22"), shop=paid), (EIGHT, ALL))
    table, caps = bench.tables(), (1, 0)
    columns = near_the_best(table, np.zeros(2, dtype=np.int64), caps, 1000 * CENT_PARTS)
    (least,) = bench.every_way(caps).values()
    assert min(Fraction(column.cost, CENT_PARTS) for column in columns) == least


def test_too_many_are_refused() -> None:
    with pytest.raises(TooManyError):
        listed(10_000, 1)
