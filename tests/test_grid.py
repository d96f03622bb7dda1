"""Whole ticks: exact where they can be, and otherwise wrong in the direction that was asked for."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from optimizer.search.grid import Grid, Rounding, fit_grid
from tests.making_plans import inches

lengths = st.fractions(min_value=Fraction(1, 64), max_value=200, max_denominator=127)
some_lengths = st.lists(lengths, min_size=1, max_size=5)
roundings = st.sampled_from(Rounding)
MM = Fraction(5, 127)
TAPE = [Fraction(1, 16)]


def fitted(
    taken: Sequence[Fraction],
    given: Sequence[Fraction],
    marks: Sequence[Fraction] = TAPE,
    *,
    most: int = 5000,
    rounding: Rounding = Rounding.FOR_PLANS,
    bits: bool = False,
) -> Grid:
    return fit_grid(taken, given, marks, most=most, rounding=rounding, bits=bits)


def test_the_tick_is_the_largest_that_measures_all() -> None:
    # 15 = 40 * 3/8, 4 1/2 = 12 * 3/8, 1/8 of a kerf would make it finer.
    grid = fitted([inches("4 1/2"), inches("3/8")], [Fraction(15)], most=40)
    assert (grid.tick, grid.exact) == (Fraction(3, 8), True)
    assert (grid.taken(inches("4 1/2")), grid.given(Fraction(15))) == (12, 40)


def test_inches_and_millimetres_share_a_grid() -> None:
    # 1 mm is 5/127 in, so 1/127 in measures both an inch and a millimetre.
    grid = fitted([MM, Fraction(1)], [Fraction(1)], [])
    assert (grid.tick, grid.exact) == (Fraction(1, 127), True)


@pytest.mark.parametrize("rounding", Rounding)
def test_a_board_off_the_grid_of_its_blanks_loses_nothing(rounding: Rounding) -> None:
    # Blanks of 12 and a kerf of 1/2 add up to halves: of 95 3/16 only 95 can ever be used, and of
    # what is left a tape shows each 1/16.
    taken, board = [Fraction(12), Fraction(1, 2)], 2420 * MM  # 95.2755...
    worthless = fitted(taken, [board], [], rounding=rounding)
    assert (worthless.tick, worthless.exact) == (Fraction(1, 2), True)
    shown = fitted(taken, [board], rounding=rounding)
    assert (shown.tick, shown.exact) == (Fraction(1, 16), True)
    if rounding is Rounding.FOR_PLANS:
        assert worthless.given(board) == 190
        assert shown.given(board) == 95 * 16 + 4


@pytest.mark.parametrize("rounding", Rounding)
def test_where_every_bit_counts_a_bit_of_a_board_is_one_tick(rounding: Rounding) -> None:
    grid = fitted([Fraction(12), Fraction(1, 8)], [2420 * MM], [], rounding=rounding, bits=True)
    assert (grid.tick, grid.exact) == (Fraction(1, 16), True)
    assert grid.taken(Fraction(12)) == 12 * 16
    assert grid.given(Fraction(95)) == 95 * 16
    assert grid.given(Fraction(95) + Fraction(1, 1000)) == 95 * 16 + 1
    assert grid.given(Fraction(95) + Fraction(124, 1000)) == 95 * 16 + 1


def test_ticks_are_so_many_whole_marks_of_a_tape() -> None:
    grid = fitted([Fraction(12), Fraction(1, 32)], [Fraction(95)])
    assert grid.marks(np.arange(5), Fraction(1, 16)).tolist() == [0, 0, 1, 1, 2]
    metric = fitted([100 * MM, 3 * MM], [Fraction(96)], [MM])
    assert metric.given(Fraction(96)) == 2438
    assert metric.marks(np.array([2438]), MM).tolist() == [2438]


@given(
    taken=some_lengths,
    given_=some_lengths,
    most=st.integers(1, 5000),
    rounding=roundings,
    bits=st.booleans(),
)
def test_a_grid_has_no_more_ticks_than_allowed_and_errs_as_asked(
    taken: list[Fraction], given_: list[Fraction], most: int, rounding: Rounding, bits: bool
) -> None:
    grid = fitted(taken, given_, most=most, rounding=rounding, bits=bits)
    assert max(*taken, *given_) <= most * grid.tick
    for length in taken:
        error = grid.taken(length) * grid.tick - length
        assert errs(error, grid.tick, up=rounding is Rounding.FOR_PLANS)
        assert error == 0 or not grid.exact_blanks
    for length in given_:
        error = grid.given(length) * grid.tick - length
        if grid.bits:
            assert abs(error) < grid.tick
            assert (error == 0) or grid.given(length) % 2 == 1
        else:
            assert errs(error, grid.tick, up=rounding is Rounding.FOR_BOUNDS)


def errs(error: Fraction, tick: Fraction, *, up: bool) -> bool:
    """Whether an error is less than a tick this way."""
    return 0 <= (error if up else -error) < tick


@given(taken=some_lengths, board=lengths, bits=st.booleans(), sizes=st.lists(st.integers(0, 4)))
@example(
    taken=[
        Fraction(1, 64),
        Fraction(2, 85),
        Fraction(3, 77),
        Fraction(12, 127),
        Fraction(19116, 97),
    ],
    board=Fraction(200),
    bits=True,
    sizes=[0, 1, 2, 3],
)
def test_on_an_exact_grid_what_fits_and_what_is_left_are_as_they_are(
    taken: list[Fraction], board: Fraction, bits: bool, sizes: list[int]
) -> None:
    grid = fitted(taken, [board], most=10**30, bits=bits)
    assert grid.exact
    used = sum((taken[n % len(taken)] for n in sizes), Fraction(0))
    left = grid.given(board) - sum(grid.taken(taken[n % len(taken)]) for n in sizes)
    assert (left >= 0) == (used <= board)
    if used <= board:
        shown = int(grid.marks(np.array([left], dtype=object), TAPE[0])[0])
        assert shown == (board - used) // TAPE[0]
        assert (left == 0) == (used == board) or not bits


@pytest.mark.parametrize("rounding", Rounding)
def test_lengths_of_nothing_are_on_every_grid(rounding: Rounding) -> None:
    grid = fitted([Fraction(3), Fraction(0)], [Fraction(7)], most=3, rounding=rounding)
    assert grid.taken(Fraction(0)) == 0


@pytest.mark.parametrize("rounding", Rounding)
def test_on_a_coarse_grid_a_board_is_as_long_as_the_blank_that_takes_it_whole(
    rounding: Rounding,
) -> None:
    """Of 143 in all and 794 mm some ticks are too fine; 143 stays so many whole ones."""
    taken, whole = [Fraction(143), 794 * MM, Fraction(1, 8)], Fraction(143)
    grid = fitted(taken, [whole, Fraction(95)], rounding=rounding)
    assert not grid.exact
    assert grid.taken(whole) == grid.given(whole)
    assert grid.taken(whole) * grid.tick == whole
