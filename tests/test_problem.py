"""The job as the search sees it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest

from optimizer.job.parts import Faces, Make
from optimizer.search.money import CENT_PARTS, money_units
from optimizer.search.shares import fair_shares
from optimizer.search.supplies import supplies_of
from optimizer.search.supply import Supply
from optimizer.search.watch import Watch
from tests.making_plans import inches
from tests.shop_floor import JOB, bare_shop, book, on_rack, part, posed, shop, sold


def test_an_offer_costs_its_price_with_tax_and_the_pay_for_its_end_trims() -> None:
    # 10.00 and 8.25 % tax, two trims of 2 minutes at 30.00 an hour; 96 less two trims of 1/2.
    stock = book(
        sold("1 1/2 x 3 1/2 x 96", "10.00", in_stock=3),
        shop=shop(pay=Decimal(30)),
        tax="8.25",
    )
    (supply,) = supplies_of(stock, (), JOB)
    assert supply.cost == 10 + Fraction("0.825") + 2
    assert supply.tax == Fraction("0.825")
    assert (supply.usable, supply.limit) == (95, 3)


def test_an_offcut_costs_what_it_is_worth_and_is_usable_from_end_to_end() -> None:
    # The offer costs 9.60 for 96: at 30 % 40 inches are worth 1.20, and 3/4 of that as they are
    # between 24 and 48 long.
    stock = book(
        sold("1 1/2 x 3 1/2 x 96", "9.60"),
        on_rack("R001", "1 1/2 x 3 1/2 x 40"),
        shop=shop(pay=Decimal(30)),
        tax="10",
    )
    _, offcut = supplies_of(stock, (), JOB)
    assert (offcut.cost, offcut.usable, offcut.limit) == (Fraction("0.90"), 40, 1)


def test_equal_offcuts_are_one_supply() -> None:
    stock = book(
        on_rack("R001", "1 1/2 x 3 1/2 x 40", count=2, bay="A"),
        on_rack("R002", "1 1/2 x 3 1/2 x 41"),
        on_rack("R003", "1 1/2 x 3 1/2 x 40", bay="B"),
        shop=shop(),
    )
    assert [(tags(supply), supply.limit) for supply in supplies_of(stock, (), JOB)] == [
        (["R001", "R003"], 3),
        (["R002"], 1),
    ]


def tags(supply: Supply) -> list[str]:
    return [getattr(source, "tag", "") for source in supply.sources]


def test_what_cannot_be_used_is_no_supply() -> None:
    stock = book(
        sold("1 1/2 x 3 1/2 x 96", "9.60", in_stock=0),
        sold("1 1/2 x 3 1/2 x 1", "0.10"),  # all of it goes with the end trims
        on_rack("R001", "1 1/2 x 3 1/2 x 40", held_for="club house"),
        on_rack("R002", "1 1/2 x 3 1/2 x 40", held_for=JOB.upper()),
        on_rack("R003", "1 1/2 x 3 1/2 x 41", count=0),
        shop=shop(),
    )
    assert [tags(supply) for supply in supplies_of(stock, (), JOB)] == [["R002"]]


def test_money_is_rounded_down_to_search_units() -> None:
    assert money_units(Fraction("12.34")) == 1234 * CENT_PARTS
    assert money_units(Fraction(1, 300)) == CENT_PARTS // 3
    assert money_units(Fraction(-1, 300)) == -(CENT_PARTS // 3) - 1


def test_ways_count_blanks_by_kind_and_cost_glue_and_time() -> None:
    # The leg of layups.py: two plies 31 x 3. Six faces and a glue line: 27 minutes at 20.00 are
    # 9.00; 93 square inches of glue at 36.00 a gallon for 250 square feet are 0.093.
    stock = book(
        sold("1 1/2 x 3 1/2 x 96", "9.60"),
        shop=shop(pay=Decimal(20), glue_price=Decimal(36)),
    )
    leg = part("2 3/4 x 2 3/4 x 28", "Leg", count=4, spare=1, tenons=["1", "1"])
    problem = posed(stock, leg)
    ((way,),) = problem.ways
    assert way.blanks == ((0, 2),)
    assert way.cost == 9 + Fraction("0.093")
    assert (problem.kinds[0].length, problem.kinds[0].width) == (31, 3)
    assert problem.copies == (5,)
    assert problem.useful_blanks.tolist() == [10]


def test_parts_share_equal_blanks() -> None:
    stock = book(sold("1 1/2 x 3 1/2 x 96", "9.60"), shop=shop())
    rails = [part("1 1/2 x 3 x 30", name, make=Make.SOLID) for name in ("Rail", "Ledge")]
    problem = posed(stock, *rails)
    assert [kind.length for kind in problem.kinds] == [30]
    assert problem.useful_blanks.tolist() == [2]


def test_blanks_that_hold_several_copies_are_of_use_for_all_that_are_asked() -> None:
    """Seven parts of 5: a blank of 12 holds one or two, longer ones hold three and more."""
    machines = bare_shop(shortest_to_rip=12)
    stock = book(sold("1 x 6 x 48", "1.80"), shop=machines)
    problem = posed(stock, part("1 x 2 x 5", count=7))
    held = dict[int, set[int]]()
    for way in problem.ways[0]:
        ((kind, _),) = way.blanks
        held.setdefault(kind, set()).add(way.copies)
    useful = problem.useful_blanks.tolist()
    for kind, copies in held.items():
        assert useful[kind] >= -(-7 // min(copies))
        if len(copies) == 1:
            assert useful[kind] == -(-7 // min(copies))
    assert any(len(copies) == 1 and 7 % min(copies) for copies in held.values())


@pytest.mark.parametrize("copies", range(1, 8))
@pytest.mark.parametrize("ways", [((1, 1), (2, 1)), ((2, 2), (3, 3)), ((3, 1),), ((2, 3), (5, 1))])
def test_no_plan_without_needless_makings_takes_more_blanks_than_are_useful(
    copies: int, ways: tuple[tuple[int, int], ...]
) -> None:
    """Every such plan is tried; each way makes some copies at once out of so many blanks."""
    stock = book(sold("1 x 6 x 48", "1.80"), shop=bare_shop())
    problem = posed(stock, part("1 x 2 x 20", count=copies))
    way = problem.ways[0][0]
    several = tuple(replace(way, copies=n, blanks=((0, count),)) for n, count in ways)
    useful = replace(problem, ways=(several,)).useful_blanks[0]
    taken = [
        sum(n * count for n, (_, count) in zip(times, ways, strict=True))
        for times in product(range(copies + 1), repeat=len(ways))
        if (made := sum(n * at_once for n, (at_once, _) in zip(times, ways, strict=True))) >= copies
        and all(made - at_once < copies for n, (at_once, _) in zip(times, ways, strict=True) if n)
    ]
    assert max(taken) <= useful
    if len(ways) == 1:
        assert max(taken) == useful


def test_boards_and_blanks_are_grouped_by_lumber() -> None:
    stock = book(
        sold("1 1/2 x 3 1/2 x 96", "9.60"),
        sold("3/4 x 3 1/2 x 96", "6.10"),
        sold("7/16 x 3 1/2 x 96", "5.00"),  # nothing is made of it
        on_rack("R001", "1 1/2 x 3 1/2 x 40"),
        shop=bare_shop(),
    )
    sawn_only = {"make": Make.SOLID, "faces": Faces.AS_BOUGHT}
    rail, slat = part("1 1/2 x 3 x 30", **sawn_only), part("3/4 x 2 x 30", **sawn_only)
    problem = posed(stock, rail, slat)
    grouped = {
        lumber.thickness: (supplies, [problem.kinds[k].width for k in kinds])
        for lumber, (supplies, kinds) in problem.by_lumber.items()
    }
    assert grouped == {
        Fraction(3, 2): ((0, 3), [Fraction(3)]),
        inches("3/4"): ((1,), [Fraction(2)]),
    }


def test_each_sum_that_the_bill_rounds_is_counted() -> None:
    board, rail = sold("1 1/2 x 3 1/2 x 96", "9.60"), part("1 1/2 x 3 x 30")
    assert posed(book(board, shop=shop()), rail).rounded_sums == 0
    costly = shop(pay=Decimal(20), glue_price=Decimal(36))
    assert posed(book(board, shop=costly, tax="6"), rail).rounded_sums == 3


@pytest.mark.parametrize(
    ("fee", "of_pack", "step"),
    [("0.50", "3.00", 50), ("2.00", "3.00", 100), ("2.00", "2.25", 100)],
)
def test_every_net_is_a_multiple_of_lots_and_of_what_a_yard_takes(
    fee: str, of_pack: str, step: int
) -> None:
    # The yard cuts the long board in halves, but it is paid whole; so is a pack.
    stock = book(
        sold("1 1/2 x 3 1/2 x 192 1/8", "20.00"),
        sold("1 1/2 x 3 1/2 x 96", "21.00"),
        sold("1 1/2 x 3 1/2 x 95", of_pack, pack=4),
        shop=shop(longest_carried=96, offcut_value=Decimal(0)),
    )
    stores = tuple(replace(store, fee_per_cut=Decimal(fee)) for store in stock.stores)
    rail = part("1 1/2 x 3 1/2 x 94", make=Make.SOLID, faces=Faces.AS_BOUGHT)
    problem = posed(replace(stock, stores=stores), rail)
    assert problem.step() == fair_shares(problem, Watch()).step() == step
