"""Edge glue-ups of unequal strips, and of more than the planer takes.

Each strip loses 1/8 at either edge (`edge trim`, more than jointing); the panel is 1/8 wider than
finished. Common practice, no source.
"""

from __future__ import annotations

from itertools import combinations_with_replacement

from hypothesis import given, settings
from hypothesis import strategies as st

from optimizer.job.bench import Bench
from optimizer.job.layups import LayUp
from optimizer.job.panels import MOST_UNEQUAL
from optimizer.job.panels import panels as edge_glued
from optimizer.job.parts import Make, Part
from optimizer.job.ways import lay_ups
from stock.lengths import Length, Unit, round_up
from stock.shop import Shop
from tests.making_plans import inches
from tests.shop_floor import part, shop
from tests.test_layups import boards

SOLD = boards("3/4", "3 1/2 x 96", "4 1/2 x 96")


def panels(what: Part, in_shop: Shop | None = None) -> list[LayUp]:
    found, _ = lay_ups(what, [SOLD], in_shop or shop())
    return [way for way in found if len(way.plies[0]) > 1]


def widths(way: LayUp) -> list[Length]:
    return [strip[0].width for strip in way.plies[0]]


def test_boards_of_their_own_widths_side_by_side() -> None:
    # 7 1/4 + 1/8 = 7 3/8 is just what 4 1/2 and 3 1/2 keep: 4 1/4 + 3 1/4 = 7 1/2.
    found = [widths(way) for way in panels(part("5/8 x 7 1/4 x 30"))]
    assert [inches("4 1/2"), inches("3 1/2")] in found
    # One of 3 1/2 and what is missing, ripped: 7 3/8 - 3 1/4 + 1/4.
    assert [inches("4 3/8"), inches("3 1/2")] in found


@given(st.fractions(min_value=4, max_value=24, max_denominator=16))
def test_every_panel_is_wide_enough_and_no_strip_is_too_many(width: Length) -> None:
    what = Part(
        name="Top",
        count=1,
        length=Length(30),
        width=width,
        thickness=inches("5/8"),
        make=Make.GLUED,
    )
    for way in panels(what):
        kept = [each - inches("1/4") for each in widths(way)]
        assert sum(kept) >= width + inches("1/8")
        assert sum(kept) - min(kept) < width + inches("1/8")
        assert all(inches("1 1/2") <= each <= 5 for each in widths(way))


def test_edge_trim_counts_only_where_it_is_more_than_jointing() -> None:
    thin = [widths(way) for way in panels(part("5/8 x 6 x 30"), shop(edge_trim=0))]
    # 6 1/8 in two: 3 1/16, and 1/16 jointed off each edge.
    assert [inches("3 3/16")] * 2 in thin


def test_a_panel_too_wide_for_the_planer_goes_through_in_sections() -> None:
    # Five strips of 3 1/2 keep 3 1/4 each: three are 9 3/4 wide and pass 12 1/2, four do not.
    top = part("5/8 x 16 x 30")
    five = next(way for way in panels(top) if widths(way) == [inches("3 1/2")] * 5)
    assert five.remarks == (
        "glue and plane it in sections of 3 + 2 strips, then joint and join these",
    )
    narrow = next(way for way in panels(part("5/8 x 6 x 30")))
    assert narrow.remarks == ()


def test_no_strip_is_wider_than_the_planer() -> None:
    small = shop(widest_to_plane=4)
    assert all(max(widths(way)) <= 4 for way in panels(part("5/8 x 10 x 30"), small))


@given(
    width=st.fractions(min_value=4, max_value=20, max_denominator=16),
    own=st.lists(st.integers(24, 80), max_size=4, unique=True),
    most_strips=st.integers(2, 6),
)
@settings(max_examples=60, deadline=None)
def test_unequal_strips_are_the_thriftiest_of_all_that_could_be_laid_side_by_side(
    width: Length, own: list[int], most_strips: int
) -> None:
    top = Part(name="Top", count=1, length=Length(30), width=width, thickness=inches("5/8"))
    too_wide_for_a_strip = "6 x 96"  # is ripped
    sold = boards("3/4", *(f"{Length(each, 16)} x 96" for each in own), too_wide_for_a_strip)
    bench = Bench(top, sold, shop(most_strips=most_strips))
    found = [strips for strips in every_panel(bench) if len(set(strips)) > 1]
    thriftiest = sorted(found, key=lambda strips: (sum(strips), len(strips), strips))
    ways = [way for way in edge_glued(bench) if isinstance(way, LayUp)]
    made = [tuple(widths(way)) for way in ways if len(set(widths(way))) > 1]
    assert made == thriftiest[:MOST_UNEQUAL]


def every_panel(bench: Bench) -> set[tuple[Length, ...]]:
    """By trying each choice of boards, with a strip ripped to what is missing and without."""
    lost, panel = inches("1/4"), bench.part.width + inches("1/8")
    own = [w for w in bench.boards.widths if inches("1 1/2") <= w <= 5]
    found = set()
    for count in range(1, bench.shop.most_strips + 1):
        for chosen in combinations_with_replacement(own, count):
            left = panel - sum(chosen) + count * lost
            last = round_up(left + lost, Unit.IN)
            fewer = chosen[0] - lost <= -left
            narrower = any(w - own[own.index(w) - 1] <= -left for w in chosen if w != own[0])
            if left <= 0 and not fewer and not narrower:
                found.add(chosen[::-1])
            if left > 0 and count < bench.shop.most_strips and inches("1 1/2") <= last <= 5:
                found.add(tuple(sorted((*chosen, last), reverse=True)))
    return found
