"""Patterns are put together when they are asked for, and columns alike are kept once."""

from __future__ import annotations

from fractions import Fraction

from optimizer.search.patterns import Column, Pattern, Segment, Segments, Strip, distinct

WHOLE = (Segment(Fraction(40), (Strip(Fraction(7, 2), (0, 0)), Strip(Fraction(3), (1,)))),)


def test_a_pattern_is_put_together_once_and_only_when_it_is_asked_for() -> None:
    asked: list[int] = []

    def segments() -> Segments:
        asked.append(1)
        return WHOLE

    pattern = Pattern(3, segments)
    assert Column(pattern, ((0, 2), (1, 1)), 5).key == (3, ((0, 2), (1, 1)))
    assert not asked
    assert pattern.counts() == ((0, 2), (1, 1))
    assert pattern.segments is WHOLE
    assert asked == [1]


def test_how_it_was_given_makes_no_difference() -> None:
    given, asked = Pattern(3, WHOLE), Pattern(3, lambda: WHOLE)
    assert given == asked
    assert hash(given) == hash(asked)
    assert repr(given) == repr(asked)
    assert given != Pattern(4, WHOLE)
    assert given != WHOLE


def test_of_columns_with_the_same_blanks_the_cheapest_is_kept() -> None:
    dear, cheap = (Column(Pattern(3, WHOLE), ((0, 2), (1, 1)), cost) for cost in (7, 5))
    other = Column(Pattern(4, WHOLE), ((0, 2), (1, 1)), 6)
    assert distinct([dear, other, cheap]) == [cheap, other]
