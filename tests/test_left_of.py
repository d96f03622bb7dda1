"""What is left of a board has its grade and its faults."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from optimizer.plan.left_of import piece_of
from stock.pieces import RackPiece
from tests.making_plans import inches, pulled
from tests.shop_floor import book, on_rack, shop

WHOLE = on_rack(
    "R001", "1 1/2 x 3 1/2 x 96", crook=Fraction(1, 2), bad=((Fraction(40), Fraction(46)),)
)


def left(x: int, length: int, width: str = "3 1/2") -> RackPiece:
    stock = book(WHOLE, shop=shop())
    board = pulled("B1", WHOLE, blanks=())
    return piece_of(board, Fraction(x), Fraction(length), inches(width), "R002", stock)


@pytest.mark.parametrize(("parts", "crook"), [(1, "0.5"), (2, "0.125"), (3, "0.0556")])
def test_cut_in_equal_lengths_it_is_less_crooked(parts: int, crook: str) -> None:
    # The geometry of a shallow arc (derived): 1/2 in over 8 ft is 1/8 over a half, 0.0556 over a
    # third of it.
    assert abs(left(0, 96 // parts).crook - Fraction(crook)) < Fraction(1, 20_000)


def test_what_was_ripped_has_a_straight_edge() -> None:
    assert left(0, 96, width="3").crook == 0


def test_bad_stretches_are_those_within_it() -> None:
    assert left(42, 30).bad == ((0, 4),)
    assert left(20, 24).bad == ((20, 24),)
    assert left(50, 40).bad == ()


def test_its_grade_is_that_of_the_board() -> None:
    clear = replace(WHOLE, lumber=replace(WHOLE.lumber, grade="Clear"))
    stock = book(clear, shop=shop())
    piece = piece_of(
        pulled("B1", clear, blanks=()), Fraction(0), Fraction(30), inches("3"), "R002", stock
    )
    assert (piece.lumber.grade, piece.tag) == ("Clear", "R002")
