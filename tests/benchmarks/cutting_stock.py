"""Instances of the literature as books of this project, solved by the same code as a shop job.

Nothing is special about them but the shop: no kerf, no trim, no leftover is worth anything, faces
as bought. A unit of length is an inch; all boards are of one lumber.

Where blanks have values and copies are limited (the pricing problem), each blank may also be had
from a lumber of its own, of which a board just its size costs its value: what is not sawn from the
plate is paid for, and the least cost is the total of all values less the best value of the plate.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from optimizer.job.blanks import BlankKind
from optimizer.job.layups import LayUp
from optimizer.job.parts import Faces, Job, Make, Part
from stock.pieces import Lumber
from stock.prices import CENT, Offer
from stock.shop import Sawing
from stock.stock_book import StockBook
from tests.shop_floor import STORE, bare_shop, book

ONE = Fraction(1)
PLATE = Lumber(wood="", treated=False, thickness=ONE)


class Boards(NamedTuple):
    """Equal boards, ``in_stock`` of them (None: plenty), at a whole price each."""

    length: int
    width: int
    price: int
    in_stock: int | None = None


class Item(NamedTuple):
    """Equal blanks, not to be turned."""

    length: int
    width: int
    copies: int


class Valued(NamedTuple):
    """A blank that brings ``value``, at most ``copies`` times."""

    length: int
    width: int
    value: int
    copies: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of an optimum: not below ``least``, not above ``most`` (None: not known)."""

    least: int
    most: int | None = None

    @classmethod
    def just(cls, optimum: int) -> Known:
        return cls(least=optimum, most=optimum)


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingStock:
    """Cut all items from boards at the least cost; known optima by cutting style, if any."""

    name: str
    boards: tuple[Boards, ...]
    items: tuple[Item, ...]
    optima: Mapping[Sawing, Known]

    @classmethod
    def of_lengths(
        cls, name: str, boards: Mapping[int, int], items: Mapping[int, int], optimum: Known
    ) -> CuttingStock:
        """In one dimension: prices of boards and counts of items by length."""
        return cls(
            name=name,
            boards=tuple(Boards(length, 1, price) for length, price in boards.items()),
            items=tuple(Item(length, 1, copies) for length, copies in items.items()),
            optima={Sawing.FREE: optimum},
        )

    def books(self, sawing: Sawing = Sawing.FREE) -> tuple[StockBook, Job]:
        """One unit of the price is a dollar."""
        offers = [
            _offer(PLATE, board.length, board.width, Decimal(board.price), board.in_stock)
            for board in self.boards
        ]
        parts = (_part(n, *item) for n, item in enumerate(self.items, 1))
        return book(*offers, shop=bare_shop(sawing=sawing)), Job(name=self.name, parts=tuple(parts))


@dataclass(frozen=True, slots=True, kw_only=True)
class ValuedPlate:
    """The best value that one plate gives, ripped first.

    ``along`` is the optimum with strips along the length, ``across`` along the width.
    """

    name: str
    length: int
    width: int
    items: tuple[Valued, ...]
    along: int
    across: int

    def turned(self) -> ValuedPlate:
        """The same with plate and items turned, so that strips along the width are ripped."""
        return replace(
            self,
            name=f"{self.name}, turned",
            length=self.width,
            width=self.length,
            items=tuple(each._replace(length=each.width, width=each.length) for each in self.items),
            along=self.across,
            across=self.along,
        )

    @property
    def total(self) -> int:
        """The value of all copies."""
        return sum(item.value * item.copies for item in self.items)

    def books(self) -> tuple[StockBook, Job]:
        """One unit of value is a cent."""
        plate = _offer(PLATE, self.length, self.width, Decimal(0), 1)
        apart = [
            _offer(_apart(n), item.length, item.width, item.value * CENT)
            for n, item in enumerate(self.items, 1)
        ]
        parts = (
            _part(n, item.length, item.width, item.copies) for n, item in enumerate(self.items, 1)
        )
        stock = book(plate, *apart, shop=bare_shop(sawing=Sawing.RIP_FIRST))
        return stock, Job(name=self.name, parts=tuple(parts))

    def lay_ups(self, job: Job) -> list[list[LayUp]]:
        """Each part of ``job`` out of the plate, or out of its own lumber."""
        return [
            [_solid(part, lumber) for lumber in (PLATE, _apart(n))]
            for n, part in enumerate(job.parts, 1)
        ]


def _apart(number: int) -> Lumber:
    return replace(PLATE, wood=f"apart {number}")


def _offer(
    lumber: Lumber, length: int, width: int, price: Decimal, in_stock: int | None = None
) -> Offer:
    return Offer(
        store=STORE,
        lumber=lumber,
        width=Fraction(width),
        length=Fraction(length),
        name=f"{lumber.wood or 'board'} {length} x {width}",
        price=price,
        in_stock=in_stock,
    )


def _part(number: int, length: int, width: int, copies: int) -> Part:
    return Part(
        name=f"Item {number}",
        count=copies,
        length=Fraction(length),
        width=Fraction(width),
        thickness=ONE,
        make=Make.SOLID,
        faces=Faces.AS_BOUGHT,
    )


def _solid(part: Part, lumber: Lumber) -> LayUp:
    blank = BlankKind(lumber=lumber, length=part.length, width=part.width)
    return LayUp(part=part, planed=False, plies=(((blank,),),), thickness=part.thickness)
