"""The tables against every way of sawing a small board, and what they find against the saw."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from optimizer.search import cutting
from optimizer.search.grid import Rounding
from optimizer.search.knapsack import NEVER
from optimizer.search.money import CENT_PARTS
from optimizer.search.sawing import Sawyer
from tests.drawn_benches import Bench, area, benches, sawn_area, sawn_cost, worths


@given(data=st.data(), bench=benches(whole_cents=True))
@settings(max_examples=300)
def test_the_best_value_is_that_of_trying_every_way(data: st.DataObject, bench: Bench) -> None:
    values = data.draw(worths(bench))
    assert bench.found(values) == bench.best(values)


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
