"""Sound plans out of rack pieces, one for each way of building and of sawing."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

from optimizer.job.parts import Faces, Job, Part, Treatment
from optimizer.plan.plan import Board
from stock.lengths import Unit
from stock.pieces import Lumber, RackPiece
from stock.shop import default_shop
from stock.stock_book import StockBook
from tests.making_plans import Case, blank, cuts, inches, made, part_of, plan_of, pulled
from tests.sound_plans import THICK, THIN

TREATED_POST = Lumber(wood="Southern Pine", treated=True, thickness=inches("3 1/2"))


def off_the_rack(part: Part, layups: list[list[list[str]]], *boards: Board, planed: bool) -> Case:
    """Copies of one part out of rack pieces, in a shop that counts neither time, glue nor worth.

    ``boards`` with one tag are the pieces of one row of the rack.
    """
    tags = Counter(board.tag for board in boards)
    rack = tuple(
        RackPiece(
            tag=board.tag,
            lumber=Lumber(wood=board.wood, treated=board.treated, thickness=board.thickness),
            width=board.width,
            length=board.length,
            count=tags[board.tag],
        )
        for board in {board.tag: board for board in boards}.values()
    )
    shop = default_shop(Unit.IN)
    stock = StockBook(name="stock.xlsx", shop=shop, rack=rack, offers=(), stores=())
    job = Job(name="bench", parts=(part,))
    parts = tuple(made(part, layup, n, planed=planed) for n, layup in enumerate(layups, start=1))
    return Case(plan=plan_of(shop, job, boards, parts), stock=stock, job=job)


def off_cut(name: str, lumber: Lumber, width: str, length: str, **pieces: Any) -> Board:
    """A board from the rack, tag R001; used whole where nothing is said, B1 as blank b1."""
    source = RackPiece(tag="R001", lumber=lumber, width=inches(width), length=inches(length))
    whole = (blank(name.replace("B", "b"), "0", "0", length, width),)
    return pulled(name, source, **({"blanks": whole} | pieces))


def treated_post() -> Case:
    """A treated post as bought, from an offcut that needs no cut at all."""
    post = replace(part_of("Post", "36", "3 1/2", "3 1/2"), treated=Treatment.YES)
    return off_the_rack(post, [[["b1"]]], off_cut("B1", TREATED_POST, "3 1/2", "36"), planed=False)


def stack_as_bought() -> Case:
    """Two boards 1 1/2 thick as they come for 3; 3 + 2/16 + 1/8 wide, 20 + 1 long."""
    block = replace(part_of("Block", "20", "3", "3"), faces=Faces.AS_BOUGHT)
    plies = (off_cut(name, THICK, "3 1/4", "21") for name in ("B1", "B2"))
    return off_the_rack(block, [[["b1"], ["b2"]]], *plies, planed=False)


def whole_boards_side_by_side() -> Case:
    """Two 3 1/2 boards keep 2(3 1/2 - 2/8) - 2/16 = 6 3/8: their eased edges are trimmed by 1/8."""
    panel = part_of("Panel", "30", "6 3/8", "1 3/8")
    strips = (off_cut(name, THICK, "3 1/2", "31") for name in ("B1", "B2"))
    return off_the_rack(panel, [[["b1", "b2"]]], *strips, planed=True)


def own_edges() -> Case:
    """A planed part as wide as its board keeps the board's edges."""
    rail = part_of("Rail", "30", "3 1/2", "1 3/8")
    return off_the_rack(rail, [[["b1"]]], off_cut("B1", THICK, "3 1/2", "31"), planed=True)


def short_parts_share_a_blank() -> Case:
    """Two parts of 5, a kerf and 1 extra are 11 1/8; the shortest to plane is 12."""
    peg = replace(part_of("Peg", "5", "3 1/2", "1 3/8"), count=2)
    shared = off_cut("B1", THICK, "3 1/2", "12", blanks=(blank("b1", "0", "0", "12", "3 1/2", 2),))
    return off_the_rack(peg, [[["b1"]], [["b1"]]], shared, planed=True)


def segment_ripped_in_two() -> Case:
    """Two slats out of 40 by 5 1/2: first a segment, then two strips."""
    return _two_slats(
        "crosscut B1 at 30 gives B1.1 -",
        "rip B1.1 at 2 1/2 gives b1 B1.2",
        "rip B1.2 at 2 1/2 gives b2 -",
    )


def board_ripped_in_two() -> Case:
    """The same two slats: first two strips, then each to length."""
    return _two_slats(
        "rip B1 at 2 1/2 gives B1.1 B1.2",
        "rip B1.2 at 2 1/2 gives B1.3 -",
        "crosscut B1.1 at 30 gives b1 -",
        "crosscut B1.3 at 30 gives b2 -",
    )


def _two_slats(*lines: str) -> Case:
    slat = replace(part_of("Slat", "30", "2 1/2", "3/4"), count=2)
    slats = (blank("b1", "0", "0", "30", "2 1/2"), blank("b2", "0", "2 5/8", "30", "2 1/2"))
    board = off_cut("B1", THIN, "5 1/2", "40", blanks=slats, cuts=cuts(*lines))
    return off_the_rack(slat, [[["b1"]], [["b2"]]], board, planed=False)


ALL = (
    treated_post,
    stack_as_bought,
    whole_boards_side_by_side,
    own_edges,
    short_parts_share_a_blank,
    segment_ripped_in_two,
    board_ripped_in_two,
)
