"""Rounded sums of rows hold for whole counts, whatever the shares; the bonus is bounded."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.search.first_rows import Floats
from optimizer.search.rounded_rows import RoundedRows

ROWS, COLUMNS = 4, 6


@st.composite
def systems(draw: st.DrawFn) -> tuple[Floats, Floats, Floats]:
    """Entries of rows, whole counts, and what the counts reach in each row at least."""
    entries = np.array(
        draw(st.lists(st.integers(-3, 5), min_size=ROWS * COLUMNS, max_size=ROWS * COLUMNS))
    ).reshape(ROWS, COLUMNS)
    counts = np.array(draw(st.lists(st.integers(0, 4), min_size=COLUMNS, max_size=COLUMNS)))
    slack = np.array(draw(st.lists(st.integers(0, 2), min_size=ROWS, max_size=ROWS)))
    return entries.astype(float), counts.astype(float), (entries @ counts - slack).astype(float)


def drawn_multipliers(data: st.DataObject, many: int, rows: int) -> Floats:
    drawn = data.draw(st.lists(st.floats(-3, 3), min_size=many * rows, max_size=many * rows))
    return np.array(drawn).reshape(many, rows)


def grown(data: st.DataObject, entries: Floats, least: Floats) -> RoundedRows:
    """Rows of any shares, and rows of these rows."""
    rounded = RoundedRows(least)
    nothing = np.zeros(COLUMNS)  # falls short of every row that asks for something
    for _ in range(3):
        multipliers = drawn_multipliers(data, 5, ROWS + len(rounded))
        rounded.extend(multipliers, entries, nothing, 4)
    return rounded


@given(data=st.data(), system=systems())
@settings(max_examples=200)
def test_whole_counts_reach_what_rounded_rows_ask_for(
    data: st.DataObject, system: tuple[Floats, Floats, Floats]
) -> None:
    entries, counts, least = system
    rounded = grown(data, entries, least)
    assert (rounded.coefficients(entries) @ counts >= rounded.least()).all()


@given(data=st.data(), system=systems())
@settings(max_examples=100)
def test_a_coefficient_exceeds_the_plain_sum_by_no_more_than_the_bonus(
    data: st.DataObject, system: tuple[Floats, Floats, Floats]
) -> None:
    entries, _, least = system
    rounded = grown(data, entries, least)
    marked = np.array(data.draw(st.lists(st.booleans(), min_size=ROWS, max_size=ROWS)))
    column = np.where(marked, entries[:, 0], 0)[:, None]
    excess = rounded.coefficients(column)[:, 0] - rounded.plain() @ column[:, 0]
    assert (excess >= -1e-9).all()
    assert (excess <= rounded.most_bonus(marked) + 1e-9).all()


def test_half_of_a_row_that_two_boards_reach_asks_for_two() -> None:
    # Each board gives two; three are asked for: one and a half boards, so two whole ones.
    rounded = RoundedRows(np.array([3.0]))
    entries = np.array([[2.0]])
    assert rounded.extend(np.array([[0.5]]), entries, np.array([1.5]), 9) == 1
    assert rounded.coefficients(entries).tolist() == [[1.0]]
    assert rounded.least().tolist() == [2.0]


def test_what_a_solution_reaches_is_not_asked_for() -> None:
    rounded = RoundedRows(np.array([3.0]))
    assert rounded.extend(np.array([[0.5]]), np.array([[2.0]]), np.array([2.0]), 9) == 0


def test_rows_that_wanted_rows_are_made_of_are_kept() -> None:
    rounded = RoundedRows(np.array([3.0, 5.0]))
    entries = np.array([[2.0], [3.0]])
    rounded.extend(np.array([[0.5, 0], [0, 0.5]]), entries, np.array([0.0]), 9)
    of_the_second = np.zeros((1, 4))
    of_the_second[0, 3] = 1 / 3
    rounded.extend(of_the_second, entries, np.array([0.0]), 9)
    before = rounded.coefficients(entries)
    kept = rounded.keep(np.arange(len(rounded)) == len(rounded) - 1)
    assert kept[-1]
    assert rounded.coefficients(entries).tolist() == before[kept].tolist()


@given(data=st.data(), system=systems())
@settings(max_examples=50)
def test_rows_that_join_are_what_they_were_alone(
    data: st.DataObject, system: tuple[Floats, Floats, Floats]
) -> None:
    entries, counts, least = system
    these, others = grown(data, entries, least), grown(data, entries, least)
    alone = [rounded.coefficients(entries) for rounded in (these, others)]
    reached = [*these.least(), *others.least()]
    these.join(others)
    assert these.coefficients(entries).tolist() == np.vstack(alone).tolist()
    assert these.least().tolist() == reached
    assert (these.coefficients(entries) @ counts >= these.least()).all()
