"""The summary on screen: one page that adds up."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sample_plan import buying, named, purchase, sample_plan

from optimizer.output.summary import summary
from optimizer.plan.beside import Consumable, Load
from optimizer.plan.plan import Status

PAGE = """\
Boat rack: 9 parts to make

Buy at Old Lock Yard: 14.20
   1  4x4 × 8'  spruce                                 14.20 each        14.20
Buy at Weir Street Lumber: 93.70 + tax 7.73 = 101.43
   2  2x4 × 8'  spruce                                  6.35 each        12.70
   3  2x12 × 12'  spruce                               27.00 each        81.00

Pull from the rack: 3 pieces (R2, R10)
Back on the rack: 2 pieces (R030, R031)
Glue up: 2 parts out of 4 blanks
Take care (see Parts): ripping, short parts, planing, gluing, dust
Remarks (see Parts in shopping.xlsx): 1

Cash     116.78  =  boards 107.90 + tax 7.73 + glue 1.15
Net      115.48  =  cash 116.78 + rack used 3.10 − leftovers 4.40
This plan: at most 1.20 above the least possible."""


def long_plan(lines: int, stores: int = 1):
    """A plan that buys ``lines`` lengths at each of ``stores`` stores."""
    return buying(
        *(
            purchase(f"Yard {n}", f"2x4 x {feet}'", 1, "1.00", "2x4", f"3/2 x 3 1/2 x {12 * feet}")
            for n in range(stores)
            for feet in range(1, lines + 1)
        )
    )


def test_the_whole_page():
    assert summary(sample_plan()) == PAGE


def test_a_proof_is_said_as_one():
    plan = replace(sample_plan(), status=Status.PROVEN, bound=sample_plan().cost.net)

    assert summary(plan).endswith("This plan: proven: no cheaper plan exists.")


def test_how_far_a_plan_may_be_from_the_least_is_never_cut():
    plan = sample_plan()
    bound = plan.cost.net - Decimal("1234.56")
    open_plan = replace(plan, status=Status.OUT_OF_TIME, bound=bound)
    said = "This plan: at most 1234.56 above the least possible; stopped by time or Ctrl-C."
    assert said in summary(open_plan).splitlines()


@pytest.mark.parametrize("stores", [1, 2, 3, 5])
@pytest.mark.parametrize("lines", [1, 3, 10, 40])
def test_any_list_fits_a_page_of_24_lines_and_80_columns(lines, stores):
    page = summary(long_plan(lines, stores)).splitlines()

    assert len(page) <= 24
    assert max(map(len, page)) <= 80


def test_a_list_that_does_not_fit_says_where_the_rest_stands():
    page = summary(long_plan(40))
    listed = page.count("1.00 each")

    assert f"… and {40 - listed} more, see shopping.xlsx" in page
    assert len(page.splitlines()) == 24


def test_a_list_that_just_fits_is_whole():
    room = 24 - len(summary(long_plan(1)).splitlines())

    assert summary(long_plan(1 + room)).count("1.00 each") == 1 + room


def test_sums_and_sentences_are_wrapped_and_never_cut():
    plan = sample_plan()
    cost = replace(plan.cost, trips=Decimal("106.00"), yard_cuts=Decimal("102.40"))
    load = Load(weight=487, limit=20, unknown=3)
    page = summary(replace(plan, cost=cost, load=load)).splitlines()
    assert page[-4:-1] == [
        "Cash     325.18  =  boards 107.90 + tax 7.73 + glue 1.15 + trips 106.00",
        "                    + cuts at the store 102.40",
        "Net      323.88  =  cash 325.18 + rack used 3.10 − leftovers 4.40",
    ]
    said = " ".join(line.strip() for line in page)
    assert "the car may carry 20: 25 trips, or have them delivered" in said
    assert max(map(len, page)) <= 80


def test_finish_and_hardware_stand_beside_the_cash():
    plan = sample_plan()
    hinges = Consumable(item="Hinges", amount="2", sum=Decimal("39.74"))
    page = summary(replace(plan, consumables=(*plan.consumables, hinges)))
    paid = plan.cost.cash + plan.beside + hinges.sum
    beside = plan.beside + hinges.sum
    assert f"\nPaid {paid:>10}  =  cash 116.78 + finish and hardware {beside}\n" in page


def test_a_load_of_woods_that_are_in_no_table_is_not_passed_over():
    page = summary(replace(sample_plan(), load=Load(limit=60, unknown=10))).splitlines()
    said = " ".join(line.strip() for line in page)
    assert (
        "Load: not known, for the woods of 10 boards are in no table; the car may carry 60 lb"
        in said
    )
    assert "Load" not in summary(replace(sample_plan(), load=Load(unknown=10)))


def test_nothing_to_buy_is_said():
    assert "Nothing to buy: the rack has it all." in summary(buying())


def test_treated_wood_asks_for_care():
    plan = sample_plan()
    treated = tuple(replace(board, treated=True) for board in plan.boards)

    assert "ripping, short parts, planing, gluing, treated wood, dust" in summary(
        replace(plan, boards=treated)
    )


def test_a_plan_without_a_dangerous_act_gives_no_caution():
    plan = sample_plan()
    posts = tuple(part for part in plan.parts if part.part == "Post")
    boards = tuple(replace(board, cuts=()) for board in plan.boards)

    assert "Take care" not in summary(replace(plan, parts=posts, boards=boards))


def test_a_plan_without_remarks_has_no_line_for_them():
    parts = tuple(replace(part, remarks=()) for part in sample_plan().parts)

    assert "Remarks" not in summary(replace(sample_plan(), parts=parts))


def test_names_out_of_the_books_neither_steer_the_terminal_nor_break_the_page():
    page = summary(named(sample_plan(), "long\x1b[31m\nname\t" * 20))

    assert "\x1b" not in page
    assert "\t" not in page
    assert len(page.splitlines()) == len(PAGE.splitlines())
    assert max(map(len, page.splitlines())) <= 80
