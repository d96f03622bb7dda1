"""A small plan made by hand, whose sums can be followed with a pencil. All of it is invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.plan.plan import (
    Blank,
    Board,
    Cost,
    Cut,
    CutKind,
    Leftover,
    MadePart,
    Plan,
    Purchase,
    Status,
    StoreTax,
)
from optimizer.plan.practice import usual_practice
from stock.lengths import Unit


def inches(text: str) -> Fraction:
    """``"3 1/2"`` as a Fraction."""
    return sum((Fraction(word) for word in text.split()), Fraction(0))


def purchase(store: str, offer: str, count: int, each: str, size: str, measures: str) -> Purchase:
    """``measures`` is ``thickness x width x length``."""
    thickness, width, length = map(inches, measures.split(" x "))
    return Purchase(
        store=store,
        offer=offer,
        count=count,
        each=Decimal(each),
        size=size,
        wood="spruce",
        treated=False,
        thickness=thickness,
        width=width,
        length=length,
    )


# 3 · 27.00 + 2 · 6.35 = 93.70, tax 8.25 % = 7.73 (7.73025); 1 · 14.20, no tax.
TWELVES = purchase("Weir Street Lumber", "2x12 x 12'", 3, "27.00", "2x12", "3/2 x 11 1/4 x 144")
FOURS = purchase("Weir Street Lumber", "2x4 x 8'", 2, "6.35", "2x4", "3/2 x 3 1/2 x 96")
POST = purchase("Old Lock Yard", "4x4 x 8'", 1, "14.20", "4x4", "3 1/2 x 3 1/2 x 96")


def bought(board: str, line: Purchase, *blanks: Blank, left: tuple[Leftover, ...] = ()) -> Board:
    rip = Cut(n=1, kind=CutKind.RIP, piece=board, at=inches("4"), gives=("", ""))
    return Board(
        id=board,
        wood=line.wood,
        treated=line.treated,
        thickness=line.thickness,
        width=line.width,
        length=line.length,
        cost=line.each,
        blanks=blanks,
        leftovers=left,
        cuts=(rip,) if line is TWELVES else (),
        size=line.size,
        store=line.store,
        offer=line.offer,
    )


def pulled(board: str, tag: str, bay: str, worth: str, *blanks: Blank) -> Board:
    return Board(
        id=board,
        wood="pine",
        treated=False,
        thickness=inches("3/4"),
        width=inches("5 1/2"),
        length=inches("40"),
        cost=Decimal(worth),
        blanks=blanks,
        leftovers=(),
        cuts=(),
        size="1x6",
        tag=tag,
        bay=bay,
    )


def blank(name: str, length: str, width: str, holds: int = 1) -> Blank:
    return Blank(
        id=name,
        x=Fraction(0),
        y=Fraction(0),
        length=inches(length),
        width=inches(width),
        holds=holds,
    )


def leftover(tag: str, length: str, width: str, worth: str) -> Leftover:
    return Leftover(
        tag=tag,
        x=Fraction(0),
        y=Fraction(0),
        length=inches(length),
        width=inches(width),
        worth=Decimal(worth),
    )


def made(part: str, copy: int, layup: str, finished: str, **facts: object) -> MadePart:
    """``layup`` has a blank for each ply; ``finished`` is ``length x width x thickness``."""
    length, width, thickness = map(inches, finished.split(" x "))
    plies = tuple(((name,),) for name in layup.split())
    known = {"spare": False, "glued": len(plies) > 1, "planed": len(plies) > 1} | facts
    return MadePart(
        part=part,
        copy=copy,
        layup=plies,
        length=length,
        width=width,
        thickness=thickness,
        **known,  # type: ignore[arg-type]
    )


def sample_plan() -> Plan:
    """Boards for 107.90, tax 7.73, glue 1.15; rack 3.10, leftovers 4.40: net 115.48."""
    arm, slat, pad = "60 x 2 3/4 x 2 3/4", "38 x 5 1/2 x 3/4", "5 x 3 1/2 x 1 1/2"
    return Plan(
        job="Boat rack",
        unit=Unit.IN,
        rip_kerf=Fraction(1, 8),
        crosscut_kerf=Fraction(1, 8),
        sawing="free",
        status=Status.WITHIN_GAP,
        cost=Cost(
            boards=Decimal("107.90"),
            tax=Decimal("7.73"),
            glue=Decimal("1.15"),
            time=Decimal("0.00"),
            rack_used=Decimal("3.10"),
            leftovers=Decimal("4.40"),
        ),
        bound=Decimal("114.28"),
        boards=(
            bought("B1", TWELVES, blank("b1", "61", "3"), blank("b2", "61", "3")),
            bought(
                "B2", TWELVES, blank("b3", "61", "3"), left=(leftover("R031", "80", "5", "4.00"),)
            ),
            bought("B3", TWELVES, blank("b4", "61", "3")),
            bought("B4", FOURS, blank("b5", "16", "3 1/2", holds=3)),
            bought("B5", FOURS, left=(leftover("R030", "14", "3 1/2", "0.40"),)),
            bought("B6", POST, blank("b6", "90", "3 1/2")),
            pulled("B7", "R10", "north wall", "1.05", blank("b7", "38", "5 1/2")),
            pulled("B8", "R2", "north wall", "1.00", blank("b8", "38", "5 1/2")),
            pulled("B9", "R10", "north wall", "1.05", blank("b9", "38", "5 1/2")),
        ),
        parts=(
            made("Arm", 1, "b1 b2", arm, remarks=("at 2 13/16 two plies do: saves 11.20",)),
            made("Arm", 2, "b3 b4", arm, remarks=("at 2 13/16 two plies do: saves 11.20",)),
            made("Slat", 1, "b7", slat),
            made("Slat", 2, "b8", slat),
            made("Slat", 3, "b9", slat, spare=True),
            made("Pad", 1, "b5", pad),
            made("Pad", 2, "b5", pad),
            made("Pad", 3, "b5", pad),
            made("Post", 1, "b6", "90 x 3 1/2 x 3 1/2"),
        ),
        buy=(POST, TWELVES, FOURS),
        practice=usual_practice(Unit.IN),
        taxes=(
            StoreTax(store="Old Lock Yard", percent=Decimal(0), tax=Decimal("0.00")),
            StoreTax(store="Weir Street Lumber", percent=Decimal("8.25"), tax=Decimal("7.73")),
        ),
    )


def buying(*lines: Purchase) -> Plan:
    """The sample plan with another list to buy, free of tax."""
    boards = sum((line.sum for line in lines), Decimal("0.00"))
    cost = replace(sample_plan().cost, boards=boards, tax=Decimal("0.00"))
    return replace(sample_plan(), buy=lines, taxes=(), cost=cost, bound=cost.net - 1)


def in_unit(plan: Plan, unit: Unit) -> Plan:
    """``plan`` in a book of ``unit``, with the tape of such a shop."""
    return replace(plan, unit=unit, practice=usual_practice(unit))


def named(plan: Plan, text: str) -> Plan:
    """``plan`` with ``text`` in place of every name that comes out of the books."""
    stores = {"": "", "Old Lock Yard": f"{text} too", "Weir Street Lumber": text}
    return replace(
        plan,
        job=text,
        boards=tuple(
            replace(
                board,
                wood=text,
                size=text,
                bay=board.bay and text,
                tag=board.tag and text,
                store=stores[board.store],
                offer=board.offer and text,
                leftovers=tuple(replace(left, tag=text) for left in board.leftovers),
            )
            for board in plan.boards
        ),
        parts=tuple(replace(part, part=text, remarks=(text,)) for part in plan.parts),
        buy=tuple(
            replace(line, store=stores[line.store], offer=text, size=text, wood=text)
            for line in plan.buy
        ),
        taxes=tuple(replace(line, store=stores[line.store]) for line in plan.taxes),
    )
