"""A plan by hand with strips under 3/4 in: they come off the outer edge. Invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.job.parts import Job
from optimizer.plan.plan import Plan
from stock.lengths import Unit
from stock.pieces import Lumber
from stock.shop import default_shop
from tests.making_plans import FREE, blank, bought, cuts, made, offer, part_of, plan_of, purchase

SHOP = replace(default_shop(Unit.IN), narrowest_rip=Fraction(3, 8))


def thin_strips() -> Plan:
    """Two 3 ft boards 3 1/2 wide give three laths of 1/2 each, and one of 1 1/2."""
    lumber = Lumber(wood="ash", treated=False, thickness=Fraction(3, 4))
    board = offer("Landing", "1x4 x 3'", lumber, "3 1/2", "36", "2.00")
    lath, batten = part_of("Lath", "35", "1/2", "3/4"), part_of("Batten", "35", "1 1/2", "3/4")
    lath = replace(lath, count=6)
    batten = replace(batten, count=2)
    boards = tuple(
        bought(
            f"B{n}",
            board,
            blanks=(
                blank(f"b{n}1", "1/2", "0", "35", "1/2"),
                blank(f"b{n}2", "1/2", "5/8", "35", "1/2"),
                blank(f"b{n}3", "1/2", "1 1/4", "35", "1/2"),
                blank(f"b{n}4", "1/2", "1 7/8", "35", "1 1/2"),
            ),
            cuts=cuts(
                f"trim B{n} at 3/8 gives - B{n}.1",
                f"trim B{n}.1 at 35 gives B{n}.2 -",
                f"rip B{n}.2 at 1/2 gives b{n}1 B{n}.3",
                f"rip B{n}.3 at 1/2 gives b{n}2 B{n}.4",
                f"rip B{n}.4 at 1/2 gives b{n}3 B{n}.5",
                f"rip B{n}.5 at 1 1/2 gives b{n}4 -",
            ),
        )
        for n in (1, 2)
    )
    laths = [f"b{n}{strip}" for n in (1, 2) for strip in (1, 2, 3)]
    parts = (
        *(made(lath, [[each]], n, planed=False) for n, each in enumerate(laths, 1)),
        *(made(batten, [[f"b{n}4"]], n, planed=False) for n in (1, 2)),
    )
    return plan_of(
        SHOP,
        Job(name="laths", parts=(lath, batten)),
        boards,
        parts,
        cost=replace(FREE, boards=Decimal("4.00")),
        buy=(purchase(board, 2),),
    )
