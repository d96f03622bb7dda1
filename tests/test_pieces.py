"""Offcuts as they are: sound between their bad stretches, and straight only once cut short."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.lengths import Length, Unit
from stock.pieces import RackPiece, sound_stretches, straight_width
from tests.making_plans import inches
from tests.shop_floor import on_rack

KERF = Fraction(1, 8)
EIGHT_FEET = "1 1/2 x 3 1/2 x 96"


def piece(*bad: tuple[str, str], crook: str = "0") -> RackPiece:
    stretches = tuple((inches(start), inches(end)) for start, end in bad)
    return on_rack("R001", EIGHT_FEET, bad=stretches, crook=inches(crook))


def sound(*bad: tuple[str, str]) -> list[tuple[Length, Length]]:
    return list(sound_stretches(piece(*bad), KERF))


def test_a_piece_without_faults_is_sound_from_end_to_end() -> None:
    assert sound() == [(0, 96)]


def test_a_kerf_is_lost_on_both_sides_of_a_bad_stretch() -> None:
    assert sound(("40", "46"), ("80", "81")) == [
        (0, inches("39 7/8")),
        (inches("46 1/8"), inches("79 7/8")),
        (inches("81 1/8"), 96),
    ]


def test_bad_ends_are_cut_off_and_bad_neighbours_leave_nothing_between() -> None:
    assert sound(("0", "3"), ("3 1/4", "5"), ("90", "99")) == [(inches("5 1/8"), inches("89 7/8"))]


# Crook 1/2 in over 8 ft, cut in two 1/8, in three 0.0556: the geometry of a shallow arc (derived).
@pytest.mark.parametrize(("length", "lost"), [(96, "1/2"), (48, "1/8"), (32, "1/16"), (24, "0")])
def test_a_shorter_segment_loses_less_to_crook(length: int, lost: str) -> None:
    straight = straight_width(piece(crook="1/2"), Length(length), Unit.IN)
    assert straight == inches("3 1/2") - inches(lost)


@given(
    st.fractions(min_value=1, max_value=96, max_denominator=16),
    st.fractions(min_value=0, max_value=3, max_denominator=32),
)
def test_crook_takes_what_the_arc_takes_and_less_than_a_sixteenth_more(
    length: Fraction, crook: Fraction
) -> None:
    bent = RackPiece(
        tag="R001",
        lumber=piece().lumber,
        width=inches("3 1/2"),
        length=Length(96),
        crook=crook,
    )
    arc = crook * (length / 96) ** 2
    lost = bent.width - straight_width(bent, length, Unit.IN)
    assert lost == 0 if arc <= Fraction(1, 32) else arc <= lost < arc + Fraction(1, 16)
