"""Short ways to write a plan by hand, and to change one thing in it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from optimizer.job.parts import Job, Part
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
)
from optimizer.plan.practice import practice_of
from stock.pieces import Lumber, RackPiece
from stock.prices import Offer
from stock.shop import Shop
from stock.stock_book import StockBook


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A plan with its books."""

    plan: Plan
    stock: StockBook
    job: Job


NOTHING = Decimal("0.00")
FREE = Cost(
    boards=NOTHING, tax=NOTHING, glue=NOTHING, time=NOTHING, rack_used=NOTHING, leftovers=NOTHING
)


def inches(text: str) -> Fraction:
    """``31 1/4`` as a length."""
    return sum(map(Fraction, text.split()), Fraction(0))


def blank(name: str, x: str, y: str, length: str, width: str, holds: int = 1) -> Blank:
    x_, y_, length_, width_ = map(inches, (x, y, length, width))
    return Blank(id=name, x=x_, y=y_, length=length_, width=width_, holds=holds)


def leftover(tag: str, x: str, y: str, length: str, width: str, worth: str) -> Leftover:
    x_, y_, length_, width_ = map(inches, (x, y, length, width))
    return Leftover(tag=tag, x=x_, y=y_, length=length_, width=width_, worth=Decimal(worth))


def cuts(*lines: str) -> tuple[Cut, ...]:
    """Cuts as lines like ``rip B1.1 at 2 5/8 gives b1 -``, ``-`` for scrap."""
    found = []
    for n, line in enumerate(lines, start=1):
        what, _, given = line.partition(" gives ")
        work, _, at = what.partition(" at ")
        kind, piece = work.split()
        near, far = ("" if name == "-" else name for name in given.split())
        found.append(Cut(n=n, kind=CutKind(kind), piece=piece, at=inches(at), gives=(near, far)))
    return tuple(found)


def offer(store: str, name: str, lumber: Lumber, width: str, length: str, price: str) -> Offer:
    return Offer(
        store=store,
        lumber=lumber,
        width=inches(width),
        length=inches(length),
        name=name,
        price=Decimal(price),
        size=name.split()[0],
    )


def bought(name: str, source: Offer, **pieces: Any) -> Board:
    """A board from a store."""
    origin = {"store": source.store, "offer": source.name, "cost": source.price}
    return _board(name, source, **origin, **pieces)


def pulled(name: str, source: RackPiece, worth: str = "0.00", **pieces: Any) -> Board:
    """A board from the rack."""
    origin = {"tag": source.tag, "bay": source.bay, "cost": Decimal(worth)}
    return _board(name, source, **origin, **pieces)


def _board(name: str, source: Offer | RackPiece, **values: Any) -> Board:
    return Board(
        id=name,
        wood=source.lumber.wood,
        treated=source.lumber.treated,
        thickness=source.lumber.thickness,
        width=source.width,
        length=source.length,
        size=source.size,
        **({"leftovers": (), "cuts": ()} | values),
    )


def made(part: Part, layup: list[list[str]], copy: int = 1, *, planed: bool) -> MadePart:
    """A copy of ``part`` out of plies of strips, each strip one blank."""
    return MadePart(
        part=part.name,
        copy=copy,
        spare=copy > part.count,
        glued=sum(map(len, layup)) > 1,
        planed=planed,
        layup=tuple(tuple((strip,) for strip in ply) for ply in layup),
        length=part.length + sum(part.tenons),
        tenons=part.tenons,
        width=part.width,
        thickness=part.thickness,
    )


def purchase(source: Offer, count: int) -> Purchase:
    return Purchase(
        store=source.store,
        offer=source.name,
        count=count,
        each=source.price,
        size=source.size,
        wood=source.lumber.wood,
        treated=source.lumber.treated,
        thickness=source.lumber.thickness,
        width=source.width,
        length=source.length,
    )


def part_of(name: str, length: str, width: str, thickness: str) -> Part:
    length_, width_, thickness_ = map(inches, (length, width, thickness))
    return Part(name=name, count=1, length=length_, width=width_, thickness=thickness_)


def plan_of(
    shop: Shop,
    job: Job,
    boards: tuple[Board, ...],
    parts: tuple[MadePart, ...],
    *,
    cost: Cost = FREE,
    bound: Decimal | None = None,
    **values: Any,
) -> Plan:
    bound = cost.net if bound is None else bound
    return Plan(
        job=job.name,
        unit=shop.unit,
        rip_kerf=shop.rip_kerf,
        crosscut_kerf=shop.crosscut_kerf,
        sawing=shop.sawing,
        status=Status.PROVEN if bound == cost.net else Status.WITHIN_GAP,
        cost=cost,
        bound=bound,
        boards=boards,
        parts=parts,
        practice=practice_of(shop),
        **({"buy": ()} | values),
    )
