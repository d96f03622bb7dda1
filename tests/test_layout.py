"""Counts laid out: boards with names, parts with their blanks, every sum added up anew."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from optimizer.job.parts import Faces, Make, Part
from optimizer.plan.plan import Status
from optimizer.search.answers import Whole
from optimizer.search.layout import Answer, finish, lay_out
from optimizer.search.patterns import Column, Pattern, Segment, Strip
from optimizer.search.watch import Watch
from stock.pieces import RackPiece
from stock.prices import Store
from stock.stock_book import StockBook
from tests.making_plans import inches
from tests.shop_floor import JOB, book, on_rack, part, posed, shop, sold

# Three rails of 30 fit in a board of 96, whose ends are trimmed by 1/2: 3 * 30 + 2/8 of kerf.
RAIL = part("1 1/2 x 3 1/2 x 30", count=4, make=Make.SOLID, faces=Faces.AS_BOUGHT)
OFFER = sold("1 1/2 x 3 1/2 x 96", "4.11", size="2x4")


def crosscut(supply: int, *blanks: int) -> Column:
    """A 2x4 crosscut into blanks of 30; what it costs does not matter here."""
    width, length = inches("3 1/2"), inches("30")
    segments = (Segment(length, (Strip(width, (blank,)),)) for blank in blanks)
    pattern = Pattern(supply, tuple(segments))
    return Column(pattern, pattern.counts(), 0)


def answer(
    stock: StockBook, *columns: tuple[Column, int], parts: tuple[Part, ...] = (RAIL,)
) -> Answer:
    """The plan of cutting boards by ``columns``, so many each, and making all parts one way."""
    made = {(p, 0): each.copies for p, each in enumerate(parts)}
    whole = Whole(boards=columns, made=made, missing=(0,) * len(parts), cost=0.0)
    return lay_out(posed(stock, *parts), stock, parts, whole)


def test_boards_blanks_and_parts_are_numbered_in_order() -> None:
    found = answer(book(OFFER, shop=shop()), (crosscut(0, 0, 0, 0), 1), (crosscut(0, 0), 1))
    assert [(board.id, [blank.id for blank in board.blanks]) for board in found.boards] == [
        ("B1", ["b1", "b2", "b3"]),
        ("B2", ["b4"]),
    ]
    assert [(made.part, made.copy, made.blanks) for made in found.parts] == [
        ("Rail", 1, ("b1",)),
        ("Rail", 2, ("b2",)),
        ("Rail", 3, ("b3",)),
        ("Rail", 4, ("b4",)),
    ]


def test_cuts_name_the_pieces_they_give() -> None:
    found = answer(book(OFFER, shop=shop()), (crosscut(0, 0, 0, 0), 1), (crosscut(0, 0), 1))
    cuts = [(str(cut.kind), cut.piece, str(cut.at), *cut.gives) for cut in found.boards[1].cuts]
    assert cuts == [
        ("trim", "B2", "3/8", "", "B2.1"),
        ("trim", "B2.1", "95", "B2.2", ""),
        ("crosscut", "B2.2", "30", "b4", "R001"),
    ]


def test_leftovers_get_tags_after_those_of_the_rack() -> None:
    # 95 - 30 - 1/8 = 64 7/8 is kept. The 95 - 3 * 30 - 3/8 of a full board are not.
    stock = book(OFFER, on_rack("R007", "1 1/2 x 3 1/2 x 20"), shop=shop())
    found = answer(stock, (crosscut(0, 0, 0, 0), 1), (crosscut(0, 0), 1))
    left = [(rest.tag, rest.x, rest.length) for board in found.boards for rest in board.leftovers]
    assert left == [("R008", inches("30 5/8"), inches("64 7/8"))]


def test_blanks_in_surplus_are_not_sawn_nor_boards_cut_for_nothing() -> None:
    found = answer(book(OFFER, shop=shop()), (crosscut(0, 0, 0, 0), 3))
    assert [len(board.blanks) for board in found.boards] == [3, 1]
    assert found.buy[0].count == 2


def test_each_piece_of_a_rack_row_is_a_board_and_equal_rows_follow() -> None:
    stock = book(
        on_rack("R001", "1 1/2 x 3 1/2 x 30", count=2, bay="A"),
        on_rack("R005", "1 1/2 x 3 1/2 x 30", count=2, bay="B"),
        shop=shop(),
    )
    found = answer(stock, (crosscut(0, 0), 4))
    pulled = [(board.id, board.tag, board.bay) for board in found.boards]
    assert pulled == [
        ("B1", "R001", "A"),
        ("B2", "R001", "A"),
        ("B3", "R005", "B"),
        ("B4", "R005", "B"),
    ]
    assert found.buy == ()


def test_bought_boards_are_numbered_first_and_offcuts_used_first() -> None:
    stock = book(OFFER, on_rack("R001", "1 1/2 x 3 1/2 x 30"), shop=shop())
    found = answer(stock, (crosscut(0, 0, 0, 0), 1), (crosscut(1, 0), 1))
    assert [(board.id, board.from_rack) for board in found.boards] == [("B1", False), ("B2", True)]
    surplus = answer(stock, (crosscut(0, 0, 0, 0), 2), (crosscut(1, 0), 1))
    assert [len(board.blanks) for board in surplus.boards if board.from_rack] == [1]


def test_a_bought_board_is_not_marked_with_a_tag_of_the_rack() -> None:
    stock = book(OFFER, on_rack("b1", "1 1/2 x 3 1/2 x 30"), shop=shop())
    found = answer(stock, (crosscut(0, 0, 0, 0), 1), (crosscut(1, 0), 1))
    assert [(board.id, board.tag) for board in found.boards] == [("B2", ""), ("B3", "b1")]


def test_boards_lie_in_the_order_of_the_book_and_none_is_compared_with_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def compared(one: RackPiece, other: object) -> bool:
        raise AssertionError(f"{one.tag} is compared")

    monkeypatch.setattr(RackPiece, "__eq__", compared)
    lengths = ("33", "31", "32")
    rack = [on_rack(f"R0{length}", f"1 1/2 x 3 1/2 x {length}") for length in lengths]
    columns = [(crosscut(s, 0), 1) for s in (2, 1, 0)]
    found = answer(book(*rack, shop=shop()), *columns, parts=(replace(RAIL, count=3),))
    assert [board.tag for board in found.boards] == ["R033", "R031", "R032"]


def test_the_last_copies_are_the_spare_ones() -> None:
    rail = replace(RAIL, count=1, spare=2)
    found = answer(book(OFFER, shop=shop()), (crosscut(0, 0, 0, 0), 1), parts=(rail,))
    assert [made.spare for made in found.parts] == [False, True, True]


def test_tax_is_rounded_once_in_each_store() -> None:
    # 2 * 4.11 at 8.25 % is 0.67815; rounded for each board it would be 2 * 0.34.
    other = sold("1 1/2 x 3 1/2 x 96", "4.10", store="Old Lock Yard")
    stores = (Store(name=OFFER.store, tax_percent=Decimal("8.25")), Store(name=other.store))
    stock = replace(book(OFFER, other, shop=shop()), stores=stores)
    found = answer(stock, (crosscut(0, 0), 2), (crosscut(1, 0), 2))
    assert [(tax.store, tax.tax) for tax in found.taxes] == [
        (OFFER.store, Decimal("0.68")),
        ("Old Lock Yard", Decimal("0.00")),
    ]
    assert (found.cost.boards, found.cost.tax) == (Decimal("16.42"), Decimal("0.68"))


def test_the_bill_of_a_leg() -> None:
    # The leg of layups.py, out of two pieces 31 x 3 of one 2x4. Glue: 93/144/250 * 36 = 0.093.
    # Time at 20.00 an hour: 27 minutes to plane and glue, two trims, two crosscuts, two rips of
    # 2, 2 and 4 minutes: 43 minutes, 14.33. Worth: 30 % of 4.11 for 96; 95 - 62 - 2/8 = 32 3/4 are
    # left, at 3/4: 0.3154...
    leg = part("2 3/4 x 2 3/4 x 28", "Leg", tenons=["1", "1"])
    segment = Segment(inches("31"), (Strip(inches("3"), (0,)),))
    pattern = Pattern(0, (segment, segment))
    stock = book(OFFER, shop=shop(pay=Decimal(20), glue_price=Decimal(36)))
    found = answer(stock, (Column(pattern, pattern.counts(), 0), 1), parts=(leg,))
    cost = found.cost
    assert (cost.glue, cost.time, cost.leftovers) == tuple(map(Decimal, ("0.09", "14.33", "0.32")))
    assert cost.net == Decimal("4.11") + Decimal("0.09") + Decimal("14.33") - Decimal("0.32")


@pytest.mark.parametrize(
    ("bound", "gap_percent", "status"),
    [
        ("8.22", "0", Status.PROVEN),
        ("8.21", "1", Status.WITHIN_GAP),
        ("8.00", "1", Status.OUT_OF_TIME),
    ],
)
def test_the_status_says_how_the_search_ended(bound: str, gap_percent: str, status: Status) -> None:
    stock = book(OFFER, shop=shop(offcut_value=Decimal(0)))
    found = answer(stock, (crosscut(0, 0, 0, 0), 1), (crosscut(0, 0), 1))
    watch = Watch(gap_percent=Decimal(gap_percent))
    watch.found(found.cost.net)
    watch.proved(Decimal(bound))
    plan = finish(found, stock, JOB, watch)
    assert (plan.status, plan.bound, plan.cost.net) == (status, Decimal(bound), Decimal("8.22"))


def test_what_was_never_bounded_is_bounded_by_nothing() -> None:
    stock = book(OFFER, shop=shop())
    found = answer(stock, (crosscut(0, 0, 0, 0), 2))
    plan = finish(found, stock, JOB, Watch())
    assert (plan.status, plan.bound) == (Status.OUT_OF_TIME, Decimal("0.00"))
