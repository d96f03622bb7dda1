"""The second opinion itself, against published examples and cuts that can be counted by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from stock.pieces import Lumber
from stock.prices import Offer
from stock.shop import Sawing
from stock.stock_book import StockBook
from tests.independent import least_net, ways_to_make
from tests.independent_sawing import Blank, Saw, best_value
from tests.small_jobs import DrawnPart, small_job

ONE_BY = Lumber(wood="pine", treated=False, thickness=Fraction(1))
FREE_SAW = Saw(crosscut_kerf=0, rip_kerf=0, shortest_to_rip=0, longest_to_rip=9999, narrowest_rip=0)


def fewest_boards(
    board: tuple[int, int], items: Sequence[tuple[int, int, int]], sawing: Sawing = Sawing.FREE
) -> int:
    """How many boards (length, width) the items (length, width, count) take, sawn without kerf."""
    drawn, _ = small_job(0)
    shop = replace(
        drawn.shop,
        rip_kerf=Fraction(0),
        crosscut_kerf=Fraction(0),
        end_trim=Fraction(0),
        held_at_crosscut=Fraction(0),
        shortest_to_rip=Fraction(0),
        longest_to_rip=Fraction(9999),
        pay=Decimal(0),
        offcut_value=Decimal(0),
        sawing=sawing,
    )
    length, width = map(Fraction, board)
    offer = Offer(
        store="S", lumber=ONE_BY, width=width, length=length, name="board", price=Decimal(1)
    )
    parts = [
        DrawnPart(
            name=f"P{n}",
            count=count,
            length=Fraction(length),
            width=Fraction(width),
            thickness=ONE_BY.thickness,
            make="solid",
            faces="as bought",
        )
        for n, (length, width, count) in enumerate(items)
    ]
    stock = StockBook(name="b", shop=shop, rack=(), offers=(offer,), stores=())
    boards, proven = least_net(parts, stock)
    assert proven
    assert boards.denominator == 1
    return int(boards)


@pytest.mark.parametrize(
    ("board", "lengths", "fewest"),
    [
        # MiniZinc benchmark cutstock.mzn (Puchinger 2007).
        (10, {7: 2, 5: 2, 3: 4}, 4),
        # OR-Tools sample bin_packing_mip.
        (100, {48: 1, 30: 2, 19: 1, 36: 3, 27: 1, 42: 2, 24: 1}, 4),
        # Lumber example of Winston, Introduction to Mathematical Programming; lecture notes MIE376.
        (17, {3: 25, 5: 20, 9: 15}, 19),
    ],
)
def test_published_examples_in_one_dimension(
    board: int, lengths: dict[int, int], fewest: int
) -> None:
    # Fewer boards are shorter than all items together, so these answers need no trust.
    assert (fewest - 1) * board < sum(length * count for length, count in lengths.items())
    items = [(length, 1, count) for length, count in lengths.items()]
    assert fewest_boards((board, 1), items) == fewest


@pytest.mark.parametrize(
    ("sawing", "fewest"), [(Sawing.RIP_FIRST, 4), (Sawing.CROSSCUT_FIRST, 3), (Sawing.FREE, 3)]
)
def test_published_furniture_plates(sawing: Sawing, fewest: int) -> None:
    # Instance A-1 of Macedo, Alves, Valério de Carvalho, Computers & Operations Research 37
    # (2010): two-stage optimum 4, without a limit of stages 3.
    items = [(1680, 420, 6), (463, 386, 18)]
    assert fewest_boards((2750, 1220), items, sawing) == fewest


def test_a_board_of_one_blank_is_worth_as_many_as_fit() -> None:
    assert best_value(100, 10, [Blank(30, 4)], [5], FREE_SAW) == 3 * 2 * 5


def test_kerf_may_run_off_the_end() -> None:
    saw = replace(FREE_SAW, crosscut_kerf=1, rip_kerf=1)
    assert best_value(61, 10, [Blank(30, 10)], [5], saw) == 10
    assert best_value(60, 10, [Blank(30, 10)], [5], saw) == 5


def test_each_cut_is_paid_and_each_leftover_counts() -> None:
    saw = replace(
        FREE_SAW,
        crosscut_kerf=1,
        pay_per_crosscut=Fraction(1, 2),
        worth=lambda length, width: length * width if length >= 20 else 0,
    )
    # Two blanks, two cuts, a leftover of 100 - 2 * (30 + 1) = 38 by 10.
    assert best_value(100, 10, [Blank(30, 10)], [320], saw) == 2 * 320 + 38 * 10 - 1


def test_short_segments_are_not_ripped() -> None:
    saw = replace(FREE_SAW, shortest_to_rip=12, sawing="crosscut first")
    assert best_value(20, 10, [Blank(10, 5)], [1], saw) == 0
    assert best_value(20, 10, [Blank(10, 5)], [1], replace(saw, sawing="free")) == 4


def test_own_edges_come_only_from_a_board_just_as_wide() -> None:
    kept = Blank(30, 5, own_edges=True)
    assert best_value(100, 10, [kept], [1], FREE_SAW) == 0
    assert best_value(100, 5, [kept], [1], FREE_SAW) == 3


def test_a_post_of_2_3_4_is_one_4x4_or_two_plies_of_2x() -> None:
    stock, parts = next(
        (stock, parts)
        for stock, parts in map(small_job, range(50))
        if parts[0].name.startswith("Post")
        and {Fraction(3, 2), Fraction(7, 2)} <= {offer.lumber.thickness for offer in stock.offers}
    )
    made = {
        (lumber.thickness, number)
        for way in ways_to_make(parts, stock)[0]
        for lumber, _, number in way.blanks
    }
    assert {(Fraction(7, 2), 1), (Fraction(3, 2), 2)} <= made


def test_every_drawn_job_can_be_made_and_a_third_choose_between_lay_ups() -> None:
    choosing = 0
    for seed in range(30):
        stock, parts = small_job(seed)
        ways = ways_to_make(parts, stock)
        assert all(ways)
        choosing += any(len(part_ways) > 1 for part_ways in ways)
    assert choosing >= 10


def test_a_second_opinion_that_takes_too_long_is_ended_and_the_next_one_is_given() -> None:
    stock, drawn = small_job(0)
    expected = least_net(drawn, stock)
    with pytest.raises(TimeoutError):
        least_net(drawn, stock, seconds=0)
    assert least_net(drawn, stock, seconds=600) == expected
