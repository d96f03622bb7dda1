"""Pieces of several rooms compared in one go, against pair by pair."""

from __future__ import annotations

from unittest.mock import patch

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from optimizer.search.room_pieces import Pieces, marks_of, sums_of

KINDS = 3
WORTHS, CAPS = np.array([7, 5, 3]), np.array([2, 1, 3])

drawn_pieces = st.lists(
    st.tuples(
        st.integers(0, 3),  # the room
        st.tuples(*[st.integers(0, 3)] * KINDS),
        st.integers(0, 4),  # what it is worth beside its blanks
    ),
    min_size=1,
    max_size=25,
)
Drawn = tuple[int, tuple[int, ...], int]


def pieces_of(drawn: list[Drawn]) -> Pieces[Drawn]:
    counts = np.array([each for _, each, _ in drawn], dtype=np.int16)
    values = counts @ WORTHS + [rest for _, _, rest in drawn]
    return Pieces(np.zeros(len(drawn), dtype=np.int64), values, counts, drawn.__getitem__)


def useful(piece: Drawn) -> tuple[int, ...]:
    return tuple(min(n, int(cap)) for n, cap in zip(piece[1], CAPS, strict=True))


def merits(pieces: Pieces[Drawn]) -> list[tuple[int, ...]]:
    """The useful blanks and the rest of each, in order."""
    several = map(pieces.what, range(len(pieces)))
    return sorted((*useful(piece), piece[2]) for piece in several)


@given(drawn=drawn_pieces)
def test_of_each_room_those_stay_that_no_other_of_it_betters(drawn: list[Drawn]) -> None:
    rooms = np.array([room for room, _, _ in drawn])
    found = pieces_of(drawn).undominated_of(rooms, 4, WORTHS, CAPS)
    assert len(found) == 4
    for room, pieces in enumerate(found):
        every = {(*useful(piece), piece[2]) for piece in drawn if piece[0] == room}
        bettered = {
            one
            for one in every
            for other in every
            if one != other and all(a <= b for a, b in zip(one, other, strict=True))
        }
        assert merits(pieces) == sorted(every - bettered)
        assert all(pieces.what(i)[0] == room for i in range(len(pieces)))


@given(drawn=drawn_pieces, few=st.integers(0, 8))
def test_where_they_are_many_each_room_is_as_if_alone(drawn: list[Drawn], few: int) -> None:
    rooms = np.array([room for room, _, _ in drawn])
    with patch("optimizer.search.room_pieces.FEW", few):
        found = pieces_of(drawn).undominated_of(rooms, 4, WORTHS, CAPS)
        for room, pieces in enumerate(found):
            alone = pieces_of(drawn).chosen(np.flatnonzero(rooms == room))
            assert merits(pieces) == merits(alone.undominated(WORTHS, CAPS))


@given(drawn=drawn_pieces, at_once=st.integers(1, 20))
def test_counts_summed_some_at_once_come_to_the_same(drawn: list[Drawn], at_once: int) -> None:
    counts, marks = pieces_of(drawn).counts, marks_of(KINDS)
    with patch("optimizer.search.room_pieces.AT_ONCE", at_once):
        assert sums_of(counts, marks).tolist() == (counts.astype(np.int64) @ marks).tolist()


def test_counts_of_no_kinds_come_to_nothing() -> None:
    none = np.zeros((2, 0), dtype=np.int16)
    assert sums_of(none, np.zeros(0, dtype=np.int64)).tolist() == [0, 0]
