"""Boards, parts and shops in few words, for tests; woods, stores and prices are invented.

Measures are written ``1 1/2 x 3 1/2 x 96``: thickness × width × length in inches.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from optimizer.job.blanks import BlankKind
from optimizer.job.parts import Job, Part
from optimizer.job.ways import all_ways
from optimizer.search.problem import Problem, pose
from optimizer.search.supplies import supplies_of
from stock.lengths import Length, Unit
from stock.pieces import Lumber, RackPiece
from stock.prices import Offer, Store
from stock.shop import Shop, default_shop
from stock.stock_book import StockBook
from stock.worth import Worth
from tests.making_plans import inches

STORE = "Weir Yard"
JOB = "boathouse"


def measures(text: str) -> list[Length]:
    return [inches(each) for each in text.split(" x ")]


def shop(unit: Unit = Unit.IN, **settings: Any) -> Shop:
    """The default shop but for ``settings``; lengths may be typed as text or whole inches."""
    typed: dict[str, Any] = {
        name: inches(str(value)) if isinstance(value, str | int) and _is_length(name) else value
        for name, value in settings.items()
    }
    return replace(default_shop(unit), **typed)


def _is_length(setting: str) -> bool:
    return isinstance(getattr(default_shop(Unit.IN), setting), Fraction)


def bare_shop(unit: Unit = Unit.IN, **settings: Any) -> Shop:
    """A shop whose saws take no kerf and cut anything, and that keeps nothing."""
    takes = ("rip_kerf", "crosscut_kerf", "end_trim", "edge_trim")
    asks = ("held_at_crosscut", "shortest_to_rip", "narrowest_rip")
    nothing = dict.fromkeys((*takes, *asks), Length(0))
    endless = dict.fromkeys(("longest_to_rip", "deepest_rip"), Length(10**6))
    free = {**nothing, **endless, "offcut_value": Decimal(0)}
    return shop(unit, **(free | settings))


def lumber(thickness: str, wood: str = "pine", *, treated: bool = False) -> Lumber:
    return Lumber(wood=wood, treated=treated, thickness=inches(thickness))


def sold(text: str, price: str, *, wood: str = "pine", store: str = STORE, **values: Any) -> Offer:
    thickness, width, length = measures(text)
    return Offer(
        store=store,
        lumber=Lumber(wood=wood, treated=values.pop("treated", False), thickness=thickness),
        width=width,
        length=length,
        name=text,
        price=Decimal(price),
        **values,
    )


def on_rack(tag: str, text: str, *, wood: str = "pine", **values: Any) -> RackPiece:
    thickness, width, length = measures(text)
    return RackPiece(
        tag=tag,
        lumber=Lumber(wood=wood, treated=values.pop("treated", False), thickness=thickness),
        width=width,
        length=length,
        **values,
    )


def book(*boards: Offer | RackPiece, shop: Shop, tax: str = "0") -> StockBook:
    """A stock book; every store in it has the same ``tax``."""
    offers = tuple(board for board in boards if isinstance(board, Offer))
    stores = dict.fromkeys(offer.store for offer in offers)
    return StockBook(
        name="stock.xlsx",
        shop=shop,
        rack=tuple(board for board in boards if isinstance(board, RackPiece)),
        offers=offers,
        stores=tuple(Store(name=name, tax_percent=Decimal(tax)) for name in stores),
    )


def part(text: str, name: str = "Rail", **values: Any) -> Part:
    """A part finished to thickness × width × length; lengths among ``values`` as text."""
    thickness, width, length = measures(text)
    if "tenons" in values:
        values["tenons"] = tuple(map(inches, values["tenons"]))
    if "thickness_at_least" in values:
        values["thickness_at_least"] = inches(values["thickness_at_least"])
    made: dict[str, Any] = {
        "name": name,
        "count": 1,
        "thickness": thickness,
        "width": width,
        "length": length,
    }
    return Part(**(made | values))


def job(*parts: Part) -> Job:
    return Job(name=JOB, parts=parts)


def posed(stock: StockBook, *parts: Part) -> Problem:
    """The problem of making ``parts`` from ``stock``, with all their lay-ups."""
    supplies = supplies_of(stock, parts, JOB)
    boards = [(supply.lumber, supply.usable, supply.width) for supply in supplies]
    return pose(stock, parts, all_ways(job(*parts), boards, stock.shop), supplies)


def sawing_problem(stock: StockBook, kinds: Iterable[BlankKind]) -> Problem:
    """A problem of sawing only: no part asks for the blanks."""
    return Problem(
        shop=stock.shop,
        worth=Worth(stock.shop, stock.offers),
        supplies=supplies_of(stock, (), JOB),
        kinds=tuple(sorted(kinds)),
        ways=(),
        copies=(),
        rounded_sums=0,
    )
