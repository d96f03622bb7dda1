"""The tables of a plan: order, counts and exact values."""

from dataclasses import replace
from decimal import Decimal

from sample_plan import buying, inches, pulled, purchase, sample_plan

from optimizer.plan.tables import (
    bought_as,
    leftovers,
    marks,
    parts_made,
    rack_list,
    shopping_list,
)


def test_stores_stand_in_the_order_of_the_plan():
    assert list(shopping_list(sample_plan())) == ["Old Lock Yard", "Weir Street Lumber"]


def test_boards_stand_as_in_a_yard_by_thickness_then_width_then_length():
    post, twelves, fours = sample_plan().buy
    longer_fours = purchase("Weir Street Lumber", "2x4 x 12'", 1, "0", "2x4", "3/2 x 3 1/2 x 144")
    thin = purchase("Weir Street Lumber", "1x12 x 8'", 1, "0", "1x12", "3/4 x 11 1/4 x 96")
    plan = buying(twelves, longer_fours, post, fours, thin)

    assert shopping_list(plan)["Weir Street Lumber"] == [thin, fours, longer_fours, twelves]


def test_nothing_to_buy_is_an_empty_list():
    assert shopping_list(buying()) == {}


def test_pieces_of_one_tag_are_pulled_together_and_r2_stands_before_r10():
    pulled_ones = [(piece.tag, piece.count, piece.worth) for piece in rack_list(sample_plan())]

    assert pulled_ones == [("R2", 1, Decimal("1.00")), ("R10", 2, Decimal("1.05"))]


def test_the_rack_is_walked_along_by_bay_and_ends_with_pieces_without_one():
    places = {"R1": "", "R2": "bay 10", "R3": "bay 9", "R4": "Bay 9"}
    boards = tuple(pulled(f"B{tag}", tag, bay, "0.00") for tag, bay in places.items())

    walk = [piece.tag for piece in rack_list(replace(sample_plan(), boards=boards, parts=()))]

    assert walk == ["R3", "R4", "R2", "R1"]


def test_copies_made_alike_stand_in_one_line():
    ways = [(way.part, way.copies, way.spares, way.plies) for way in parts_made(sample_plan())]

    assert ways == [("Arm", 2, 0, 2), ("Slat", 3, 1, 1), ("Pad", 3, 0, 1), ("Post", 1, 0, 1)]


def test_a_copy_made_otherwise_stands_in_a_line_of_its_own():
    plan = sample_plan()
    first, *others = plan.parts
    solid = replace(first, layup=((("b1",),),), glued=False)

    ways = parts_made(replace(plan, parts=(solid, *others)))

    assert [(way.part, way.copies, way.plies) for way in ways[:2]] == [("Arm", 1, 1), ("Arm", 1, 2)]


def test_blanks_are_counted_over_all_copies_and_name_their_boards():
    arm, slat, *_ = parts_made(sample_plan())
    (plies,), (slats,) = arm.blanks, slat.blanks

    assert (plies.count, plies.length, plies.width) == (4, 61, 3)
    assert (plies.size, plies.wood, plies.boards) == ("2x12", "spruce", ("B1", "B2", "B3"))
    assert slats.boards == ("R2", "R10 (1)", "R10 (2)")


def test_boards_are_marked_by_their_ids_and_rack_pieces_by_their_tags():
    assert marks(sample_plan()) == {
        **{board: board for board in ("B1", "B2", "B3", "B4", "B5", "B6")},
        "B7": "R10 (1)",
        "B8": "R2",
        "B9": "R10 (2)",
    }


def test_each_line_to_buy_knows_its_boards():
    plan = sample_plan()
    bought = {line.offer: bought_as(line, plan) for line in plan.buy}

    assert bought == {
        "4x4 x 8'": ("B6",),
        "2x12 x 12'": ("B1", "B2", "B3"),
        "2x4 x 8'": ("B4", "B5"),
    }


def test_copies_with_other_tenons_stand_in_a_line_of_their_own():
    first, *others = sample_plan().parts
    tenoned = replace(first, tenons=(inches("1"),))

    ways = parts_made(replace(sample_plan(), parts=(tenoned, *others)))

    assert [(way.copies, way.tenons) for way in ways[:2]] == [(1, (1,)), (1, ())]


def test_a_blank_that_holds_three_copies_is_sawn_once():
    (pads,) = next(way for way in parts_made(sample_plan()) if way.part == "Pad").blanks

    assert (pads.count, pads.holds) == (1, 3)


def test_blanks_out_of_another_size_of_board_stand_in_a_line_of_their_own():
    plan = sample_plan()
    wider = replace(plan.boards[1], size="2x14")

    (arm, *_) = parts_made(replace(plan, boards=(plan.boards[0], wider, *plan.boards[2:])))

    assert arm.copies == 2
    assert [(b.count, b.size, b.boards) for b in arm.blanks] == [
        (3, "2x12", ("B1", "B3")),
        (1, "2x14", ("B2",)),
    ]


def test_leftovers_stand_by_tag_and_keep_the_size_only_at_full_width():
    kept = [
        (piece.tag, piece.size, piece.board, piece.length) for piece in leftovers(sample_plan())
    ]

    assert kept == [("R030", "2x4", "B5", 14), ("R031", "", "B2", 80)]
