"""Whole ticks: exact where they can be, and otherwise wrong in the direction that was asked for."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimizer.search.grid import Grid, Rounding, fit_grid
from tests.making_plans import inches

lengths = st.fractions(min_value=Fraction(1, 64), max_value=200, max_denominator=127)
some_lengths = st.lists(lengths, min_size=1, max_size=5)
roundings = st.sampled_from(Rounding)


def test_the_tick_is_the_largest_that_measures_all() -> None:
    # 15 = 40 * 3/8, 4 1/2 = 12 * 3/8, 1/8 of a kerf would make it finer.
    grid = fit_grid(
        [inches("4 1/2"), inches("3/8")], [Fraction(15)], most=40, rounding=Rounding.FOR_PLANS
    )
    assert (grid.tick, grid.exact) == (Fraction(3, 8), True)
    assert (grid.taken(inches("4 1/2")), grid.given(Fraction(15))) == (12, 40)


def test_inches_and_millimetres_share_a_grid() -> None:
    # 1 mm is 5/127 in, so 1/127 in measures both an inch and a millimetre.
    grid = fit_grid([Fraction(5, 127)], [Fraction(1)], most=200, rounding=Rounding.FOR_PLANS)
    assert (grid.tick, grid.exact) == (Fraction(1, 127), True)


def test_a_board_off_the_grid_of_its_blanks_is_rounded_without_loss() -> None:
    # Blanks of 12 and a kerf of 1/2 add up to halves: of 95 3/16 only 95 can ever be used.
    taken, board = [Fraction(12), Fraction(1, 2)], inches("95 3/16")
    planned = fit_grid(taken, [board], most=200, rounding=Rounding.FOR_PLANS)
    assert (planned.tick, planned.exact) == (Fraction(1, 2), False)
    assert planned.given(board) == 190


@given(taken=some_lengths, given_=some_lengths, most=st.integers(1, 5000), rounding=roundings)
def test_a_grid_has_no_more_ticks_than_allowed_and_errs_as_asked(
    taken: list[Fraction], given_: list[Fraction], most: int, rounding: Rounding
) -> None:
    grid = fit_grid(taken, given_, most=most, rounding=rounding)
    assert max(*taken, *given_) <= most * grid.tick
    for length in taken:
        assert errs(
            grid, grid.taken(length) * grid.tick - length, up=rounding is Rounding.FOR_PLANS
        )
    for length in given_:
        assert errs(
            grid, grid.given(length) * grid.tick - length, up=rounding is Rounding.FOR_BOUNDS
        )


def errs(grid: Grid, error: Fraction, *, up: bool) -> bool:
    """Whether a length is exact on an exact grid, and else off by less than a tick this way."""
    if grid.exact:
        return error == 0
    return 0 <= (error if up else -error) < grid.tick


@pytest.mark.parametrize("rounding", Rounding)
def test_lengths_of_nothing_are_on_every_grid(rounding: Rounding) -> None:
    grid = fit_grid([Fraction(3), Fraction(0)], [Fraction(7)], most=3, rounding=rounding)
    assert grid.taken(Fraction(0)) == 0
