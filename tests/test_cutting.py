"""The tables against every way of sawing a small board, and what they find against the saw."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from optimizer.job.blanks import BlankKind
from optimizer.search import cutting
from optimizer.search.grid import Rounding
from optimizer.search.knapsack import NEVER
from optimizer.search.money import CENT_PARTS
from optimizer.search.sawing import Sawyer
from stock.lengths import Length
from stock.shop import Sawing
from tests.drawn_benches import PINE, Bench, area, benches, sawn_area, sawn_cost, worths
from tests.shop_floor import book, shop, sold


@given(data=st.data(), bench=benches(whole_cents=True))
@settings(max_examples=300)
def test_the_best_value_is_that_of_trying_every_way(data: st.DataObject, bench: Bench) -> None:
    values = data.draw(worths(bench))
    assert bench.found(values) == bench.best(values)


@given(data=st.data(), bench=benches())
def test_tables_priced_before_tell_the_same_as_new_ones(data: st.DataObject, bench: Bench) -> None:
    """At other worths, and at the same ones again, which they do not reckon twice."""
    table, several = bench.tables(), [data.draw(worths(bench)) for _ in range(2)]
    for values in (several[0], several[1], several[1], several[0]):
        new = bench.tables()
        assert table.price(values).tolist() == new.price(values).tolist()
        if new.price(values)[0] > NEVER // 2:
            assert table.column(0, values) == new.column(0, values)


@given(data=st.data(), bench=benches())
@settings(max_examples=300)
def test_the_pattern_found_costs_what_its_column_says(data: st.DataObject, bench: Bench) -> None:
    values = data.draw(worths(bench))
    table = bench.tables()
    (value,) = table.price(values)
    assume(value > NEVER // 2)
    column = table.column(0, values)
    brought = sum(n * int(values[kind]) for kind, n in column.counts)
    assert column.cost == sawn_cost(bench.problem(), column) * CENT_PARTS
    assert brought - column.cost == value - table.cost[0]


@given(data=st.data(), bench=benches())
@settings(max_examples=300)
def test_several_patterns_are_sawn_for_what_they_cost_and_the_best_comes_first(
    data: st.DataObject, bench: Bench
) -> None:
    values = data.draw(worths(bench))
    table = bench.tables()
    (value,) = table.price(values)
    assume(value > NEVER // 2)
    columns = table.columns(0, values, most=6)
    assert [c.cost for c in columns] == [
        sawn_cost(bench.problem(), column) * CENT_PARTS for column in columns
    ]
    gains = [sum(n * int(values[kind]) for kind, n in c.counts) - c.cost for c in columns]
    assert gains == sorted(gains, reverse=True)
    assert all(gain <= value - table.cost[0] for gain in gains)


# --- where the exact grid would be too fine ------------------------------------------------------


@contextmanager
def most_ticks(along: int, across: int) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(cutting, "MOST_TICKS_ALONG", along)
        patch.setattr(cutting, "MOST_TICKS_ACROSS", across)
        yield


@given(data=st.data(), bench=benches(odd=True))
@settings(max_examples=300)
def test_on_a_coarse_grid_a_pattern_fits_its_board(data: st.DataObject, bench: Bench) -> None:
    values = data.draw(worths(bench))
    with most_ticks(data.draw(st.integers(20, 300)), data.draw(st.integers(8, 100))):
        table = bench.tables()
        (value,) = table.price(values)
    assume(value > NEVER // 2)
    column = table.column(0, values)
    sawyer = Sawyer(bench.problem(), column.pattern)
    pieces = [piece for piece in sawyer.finished() if piece.kind is not None]
    assert Counter(piece.kind for piece in pieces) == dict(column.counts)
    assert sawn_area(sawyer) == area(sawyer.board)


@given(data=st.data(), bench=benches(odd=True))
@settings(max_examples=300)
def test_on_a_coarse_grid_a_bound_leaves_nothing_out(data: st.DataObject, bench: Bench) -> None:
    values = data.draw(worths(bench))
    best = bench.best(values)
    if best is None:
        reject()
    with most_ticks(data.draw(st.integers(20, 300)), data.draw(st.integers(8, 100))):
        found = bench.found(values, Rounding.FOR_BOUNDS)
    assert found is not None
    assert found >= best


def test_on_a_coarse_grid_what_is_left_of_a_segment_is_left_in_a_bound() -> None:
    # In ticks of 2 the segment of 11 is only 5, but a blank of 8 leaves 3 of its inches: worth 1
    # cent (0.68), the other 11 inches of the board 3 (2.50). 20 - 4 is paid at the least.
    saws = shop(
        rip_kerf=0,
        crosscut_kerf=0,
        end_trim=0,
        shortest_to_rip=0,
        shortest_kept=1,
        narrowest_kept=1,
        offcut_value=Decimal(50),
    )
    sizes = (8, 11)
    kinds = tuple(BlankKind(lumber=PINE, length=Length(n), width=Length(3)) for n in sizes)
    bench = Bench(stock=book(sold("1 x 3 x 22", "0.20"), shop=saws), kinds=kinds)
    nothing = np.zeros(2, dtype=np.int64)
    assert bench.best(nothing) == -16
    with most_ticks(20, 8):
        found = bench.found(nothing, Rounding.FOR_BOUNDS)
    assert found is not None
    assert found >= -16


def test_a_segment_that_may_not_be_ripped_is_one_blank() -> None:
    # As a segment 1686/127 long, crosscut to 12 once more, the board would leave 13 92/127 and
    # 1 35/127, worth 28 + 3 cents apart; crosscut to 12 it leaves 15 in one, worth only 30.
    saws = shop(
        rip_kerf=0,
        crosscut_kerf=0,
        end_trim=0,
        shortest_to_rip=20,
        longest_to_rip=30,
        shortest_kept=1,
        narrowest_kept=1,
        offcut_value=Decimal(50),
        sawing=Sawing.CROSSCUT_FIRST,
    )
    lengths = (Length(12), Length(Fraction(1686, 127)))
    kinds = tuple(BlankKind(lumber=PINE, length=length, width=Length(3)) for length in lengths)
    bench = Bench(stock=book(sold("1 x 3 x 27", "2.17"), shop=saws), kinds=kinds)
    nothing = np.zeros(2, dtype=np.int64)
    assert bench.best(nothing) == -187
    assert bench.found(nothing) == -187
