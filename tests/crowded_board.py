"""One board that gives a great many short pieces: the most that a page must hold. Invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.job.parts import Job
from optimizer.plan.plan import Blank, Cut, CutKind, Plan
from stock.lengths import Length, Unit
from stock.pieces import Lumber
from stock.shop import default_shop
from tests.making_plans import FREE, bought, made, offer, part_of, plan_of, purchase

WIDTH, LENGTH, KERF = Fraction(7, 2), Fraction(9), Fraction(1, 8)


def crowded_board(strips: int, pieces: int) -> Plan:
    """A 2x12 of 16 ft, ripped into ``strips`` 3 1/2 wide, each crosscut into ``pieces`` of 9 in."""
    lumber = Lumber(wood="pine", treated=False, thickness=Fraction(3, 2))
    plank = offer("Landing", "2x12 x 16'", lumber, "11 1/4", "192", "30.00")
    cuts, blanks = [], []

    def cut(kind: CutKind, piece: str, at: Length, near: str, far: str) -> None:
        cuts.append(Cut(n=len(cuts) + 1, kind=kind, piece=piece, at=at, gives=(near, far)))

    cut(CutKind.TRIM, "B1", Fraction(3, 8), "", "B1.a")
    cut(CutKind.TRIM, "B1.a", Fraction(191), "rest0", "")
    for strip in range(strips):
        last = strip + 1 == strips
        far = "" if last else f"rest{strip + 1}"
        cut(CutKind.RIP, f"rest{strip}", WIDTH, f"strip{strip}.0", far)
    for strip in range(strips):
        for n in range(pieces):
            far = "" if n + 1 == pieces else f"strip{strip}.{n + 1}"
            name = f"b{strip * pieces + n + 1}"
            cut(CutKind.CROSSCUT, f"strip{strip}.{n}", LENGTH, name, far)
            x, y = Fraction(1, 2) + n * (LENGTH + KERF), strip * (WIDTH + KERF)
            blanks.append(Blank(id=name, x=x, y=y, length=LENGTH, width=WIDTH))
    block = part_of("Block", "9", "3 1/2", "1 1/2")
    return plan_of(
        default_shop(Unit.IN),
        Job(name="blocks", parts=(block,)),
        (bought("B1", plank, blanks=tuple(blanks), cuts=tuple(cuts)),),
        tuple(made(block, [[each.id]], n, planed=False) for n, each in enumerate(blanks, 1)),
        cost=replace(FREE, boards=Decimal("30.00")),
        buy=(purchase(plank, 1),),
    )
