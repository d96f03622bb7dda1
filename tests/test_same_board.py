"""Copies out of one blank, side by side: sawn whole, ripped apart last. All prices are invented."""

from __future__ import annotations

from dataclasses import replace

from optimizer.job.parts import Faces
from optimizer.output.words import cautions
from optimizer.plan.plan import MadePart
from optimizer.search.watch import Watch
from optimizer.solve import solve
from tests.damage import changed, holds, refused
from tests.making_plans import Case, inches
from tests.shop_floor import book, job, part, shop, sold

SIDE_BY_SIDE = "2 copies side by side in one blank, ripped apart last"


def two_slats_of_one_board() -> Case:
    """2 × 3 1/2 and a kerf are 7 1/8: a board of 7 1/4 × 47 holds both abreast."""
    stock = book(sold("3/4 x 7 1/4 x 48", "9.00"), shop=shop())
    slats = part("3/4 x 3 1/2 x 30", count=2, faces=Faces.AS_BOUGHT, same_board=True)
    drawn = job(slats)
    return Case(plan=solve(stock, drawn, Watch()), stock=stock, job=drawn)


def test_all_copies_lie_in_one_blank_and_the_maker_is_told_how() -> None:
    plan = two_slats_of_one_board().plan
    (blank,) = plan.boards[0].blanks
    assert (blank.length, blank.width, blank.holds) == (30, inches("7 1/8"), 2)
    assert [made.remarks for made in plan.parts] == [(SIDE_BY_SIDE,)] * 2
    assert "ripping" in cautions(plan)


def test_the_audit_knows_what_lies_side_by_side() -> None:
    case = two_slats_of_one_board()
    holds(case)

    def silent(parts: tuple[MadePart, ...]) -> tuple[MadePart, ...]:
        return tuple(replace(made, remarks=()) for made in parts)

    wider = changed(case, "job.parts.0.width", inches("3 5/8"))
    refused(wider, "is under the 59/8 that it needs")
    refused(changed(case, "plan.parts", silent), "the maker is not told")
    refused(changed(case, "stock.shop.narrowest_rip", inches("4")), "too narrow or too thick")
    refused(changed(case, "stock.shop.shortest_to_rip", inches("31")), "too short or too long")
    refused(changed(case, "stock.shop.rip_kerf", inches("1/4")), "under the")
