"""Readers for files of open test instances, as their collections give them.

Expected in one folder: ``worked_examples.json``, ``two_stage_furniture/`` and ``board_patterns/``
with an ``optima.csv`` each, and ``shop_jobs/``. All of it is optional: the project carries a small
set of its own in ``published.py``.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from optimizer.job.parts import Faces, Job, Make, Part
from optimizer.solve import ways_of
from stock.lengths import Unit
from stock.pieces import Lumber
from stock.prices import Offer
from stock.shop import Sawing
from stock.stock_book import StockBook
from tests.benchmarks.cutting_stock import Boards, CuttingStock, Item, Known, Valued, ValuedPlate
from tests.shop_floor import STORE, bare_shop, book

MM = Unit.MM.inches
HEAD_OF_FURNITURE = 10  # lines before the plate: nine of explanation, and how many instances


def worked_examples(folder: Path) -> Iterator[CuttingStock]:
    """The examples in one dimension: stock is length, availability and cost; items width, count."""
    text = (folder / "worked_examples.json").read_text(encoding="utf-8")
    for each in json.loads(text)["one_dimensional"]:
        verified = each["verified"]
        names = ("optimum", "optimum_cost", "min_rolls")
        optimum = next(verified[name] for name in names if name in verified)
        yield CuttingStock(
            name=each["id"],
            boards=tuple(Boards(length, 1, cost, limit) for length, limit, cost in each["stock"]),
            items=tuple(Item(length, 1, copies) for length, copies in each["items"]),
            optima={Sawing.FREE: Known.just(optimum)},
        )


def furniture(folder: Path) -> Iterator[CuttingStock]:
    """Plates of furniture makers: fewest plates, rip first, and with the choice for each plate."""
    files = folder / "two_stage_furniture"
    for row in _optima(files):
        lines = (files / row["instance"]).read_text(encoding="utf-8").splitlines()
        plate, _, *items = _numbers(lines[HEAD_OF_FURNITURE:])
        length, width = plate
        yield CuttingStock(
            name=row["instance"],
            boards=(Boards(length, width, 1),),
            items=tuple(Item(*item) for item in items),
            optima={
                Sawing.RIP_FIRST: Known.just(int(row["rip_first"])),
                # The free style crosscuts once more than the two stages of this column.
                Sawing.FREE: Known(least=0, most=int(row["choice_per_plate_ub"])),
            },
        )


def valued_plates(folder: Path) -> Iterator[ValuedPlate]:
    """Single plates whose blanks have values and limited copies."""
    files = folder / "board_patterns"
    for row in _optima(files):
        text = (files / row["instance"]).read_text(encoding="utf-8")
        (length, width), _, *items = _numbers(text.splitlines())
        yield ValuedPlate(
            name=row["instance"],
            length=length,
            width=width,
            items=tuple(Valued(*item) for item in items),
            along=int(row["two_stage_strips_along_length"]),
            across=int(row["two_stage_strips_along_width"]),
        )


def _optima(folder: Path) -> list[dict[str, str]]:
    with (folder / "optima.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _numbers(lines: list[str]) -> list[list[int]]:
    return [[int(word) for word in line.split()] for line in lines if line.strip()]


# --- shop jobs in JSON ---------------------------------------------------------------------------


def json_shop_jobs(folder: Path) -> Iterator[tuple[StockBook, Job, Known]]:
    """Made-up shop jobs in millimetres, and what is known of their least cost in cents.

    A part is one solid blank, or two plies that are longer and wider by the same allowance in every
    job, at the same price of a glue line: settings of the shop. An offcut is a board with a price
    of its own of which one is sold.

    Raises:
        ValueError: where the lay-ups that the shop's settings give are not those of the file.
    """
    for path in sorted((folder / "shop_jobs").glob("*.json")):
        read = json.loads(path.read_text(encoding="utf-8"))
        stock, job = _json_stock(read), _json_job(read)
        if _ways_made(stock, job) != _ways_told(read):
            raise ValueError(f"{path.name}: lay-ups other than solid or two plies")
        known = Known(least=read["result"]["lower_bound"], most=read["result"]["best"])
        yield stock, job, known


def _json_stock(read: Mapping[str, Any]) -> StockBook:
    offers = (
        Offer(
            store=STORE,
            lumber=Lumber(wood="", treated=False, thickness=board["thickness"] * MM),
            width=board["W"] * MM,
            length=board["L"] * MM,
            name=f"{board['thickness']}x{board['W']} x {board['L']}",
            price=Decimal(board["cost_cents"]).scaleb(-2),
            in_stock=board["qty"],
        )
        for board in read["stock"]
    )
    shop = bare_shop(
        Unit.MM,
        rip_kerf=read["kerf"] * MM,
        crosscut_kerf=read["kerf"] * MM,
        extra_length=10 * MM,
        jointing_per_edge=0 * MM,
        slip=6 * MM,
        as_bought_within=0 * MM,
        shortest_to_plane=0 * MM,
        pay=Decimal(60),  # a glue line is 50 cents, all other work is free
        minutes_per_glue_line=Decimal("0.5"),
        minutes_per_crosscut=Decimal(0),
        minutes_per_rip=Decimal(0),
    )
    return book(*offers, shop=shop)


def _json_job(read: Mapping[str, Any]) -> Job:
    parts = []
    for n, line in enumerate(read["parts"], 1):
        blank = read["blanks"][line["ways"][0]["blank"]]
        parts.append(
            Part(
                name=f"Part {n}",
                count=line["qty"],
                length=blank["l"] * MM,
                width=blank["w"] * MM,
                thickness=blank["thickness"] * MM,
                make=Make.SOLID if len(line["ways"]) == 1 else Make.ANY,
                faces=Faces.AS_BOUGHT,
            )
        )
    return Job(name=read["name"], parts=tuple(parts))


Measured = set[tuple[Fraction, Fraction, Fraction, int, Fraction]]


def _ways_made(stock: StockBook, job: Job) -> list[Measured]:
    """For each part its lay-ups: thickness, length, width, how many, price of gluing."""
    _, lay_ups = ways_of(stock, job)
    return [
        {
            (
                way.blanks[0].lumber.thickness / MM,
                way.blanks[0].length / MM,
                way.blanks[0].width / MM,
                len(way.blanks),
                100 * way.time(stock.shop),
            )
            for way in ways
        }
        for ways in lay_ups
    ]


def _ways_told(read: Mapping[str, Any]) -> list[Measured]:
    def told(way: Mapping[str, int]) -> tuple[Fraction, Fraction, Fraction, int, Fraction]:
        blank = read["blanks"][way["blank"]]
        thickness, length, width = (Fraction(blank[each]) for each in ("thickness", "l", "w"))
        return thickness, length, width, way["n"], Fraction(way["extra_cost_cents"])

    return [set(map(told, line["ways"])) for line in read["parts"]]
