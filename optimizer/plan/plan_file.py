"""A plan and plan.json: a file that someone can check with nothing but it and the two books.

Lengths are exact rationals in the plan's unit ("45/4"), money has two places, names and tags stand
as typed. Equal plans give equal bytes; there is no time stamp. What follows from other keys (cash,
net, gap, sums, the flat list of blanks) is written for the reader and must agree when read back.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

from optimizer.plan.beside import Consumable
from optimizer.plan.json_node import PlanFileError
from optimizer.plan.plan import Blank, Board, Cut, Leftover, MadePart, Plan, Purchase
from optimizer.plan.plan_reading import COST, FORMAT, money_text, plan_from_json
from optimizer.plan.practice import Practice, practice_settings
from stock.book_file import whole_file
from stock.lengths import Length, exact_text

__all__ = ["PlanFileError", "plan_from_json", "plan_to_json", "read_plan", "write_plan"]

Say = Callable[[Length], str]
Object = dict[str, Any]


def write_plan(plan: Plan, path: Path) -> None:
    """Write ``plan`` to ``path``; an old file there stays whole until the new one is complete."""
    with whole_file(path) as unfinished:
        unfinished.write_text(plan_to_json(plan), encoding="utf-8", newline="\n")


def read_plan(path: Path) -> Plan:
    """The plan at ``path``; :class:`PlanFileError` names the file and the key of a fault."""
    try:
        return plan_from_json(path.read_text(encoding="utf-8"))
    except FileNotFoundError as error:
        raise PlanFileError(
            f"there is no plan {path}; name the folder that `rackfirst plan` has written, such as "
            "bench-plan for bench.xlsx"
        ) from error
    except OSError as error:
        raise PlanFileError(f"{path} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        wanted = "name plan.json, or the folder that it lies in"
        raise PlanFileError(f"{path} is no plan: it is not written in UTF-8; {wanted}") from error
    except PlanFileError as error:
        raise PlanFileError(f"{path}: {error}") from error


def plan_to_json(plan: Plan) -> str:
    """The text of plan.json, with a newline at its end."""

    def say(length: Length) -> str:
        return exact_text(length, plan.unit)

    document = {
        "format": FORMAT,
        "unit": str(plan.unit),
        "job": plan.job,
        "kerf": {"rip": say(plan.rip_kerf), "crosscut": say(plan.crosscut_kerf)},
        "sawing": plan.sawing,
        "status": str(plan.status),
        "cost": {name: money_text(getattr(plan.cost, name)) for name in COST},
        "bound": money_text(plan.bound),
        "gap": plan.gap,
        "boards": [_board_out(board, say) for board in plan.boards],
        "parts": [_part_out(made, say) for made in plan.parts],
        "buy": [_purchase_out(line, say) for line in plan.buy],
        "taxes": [
            {
                "store": line.store,
                "percent": _plain(line.percent),
                **{name: money_text(getattr(line, name)) for name in ("tax", "cuts", "trip")},
            }
            for line in plan.taxes
        ],
        "practice": _practice_out(plan.practice, say),
        "consumables": [_consumable_out(each) for each in plan.consumables],
        "load": {
            "weight": plan.load.weight,
            "limit": plan.load.limit,
            "unknown": plan.load.unknown,
        },
        "remarks": list(plan.remarks),
    }
    return json.dumps(document, indent=1, ensure_ascii=False) + "\n"


def _board_out(board: Board, say: Say) -> Object:
    if board.from_rack:
        origin = {
            "from": "rack",
            "tag": board.tag,
            "worth": money_text(board.cost),
            "bay": board.bay,
        }
    else:
        origin = {"from": "store", "store": board.store, "offer": board.offer}
        origin["price"] = money_text(board.cost)
    return {
        "id": board.id,
        **origin,
        **_lumber_out(board, say),
        "blanks": [
            {"id": blank.id, **_place_out(blank, say), "holds": blank.holds}
            for blank in board.blanks
        ],
        "leftovers": [
            {"tag": left.tag, **_place_out(left, say), "worth": money_text(left.worth)}
            for left in board.leftovers
        ],
        "cuts": [_cut_out(cut, say) for cut in board.cuts],
        **({"spoiled": list(board.spoiled)} if board.spoiled else {}),
        **({"made": board.made} if board.made else {}),
        **({"whole": True} if board.whole else {}),
    }


def _lumber_out(board: Board | Purchase, say: Say) -> Object:
    return {
        "size": board.size,
        "wood": board.wood,
        "treated": board.treated,
        "thickness": say(board.thickness),
        "width": say(board.width),
        "length": say(board.length),
    }


def _place_out(piece: Blank | Leftover, say: Say) -> Object:
    return {name: say(getattr(piece, name)) for name in ("x", "y", "length", "width")}


def _cut_out(cut: Cut, say: Say) -> Object:
    place = {"n": cut.n, "kind": str(cut.kind), "piece": cut.piece, "at": say(cut.at)}
    return {**place, "gives": list(cut.gives)}


def _part_out(made: MadePart, say: Say) -> Object:
    return {
        "part": made.part,
        "copy": made.copy,
        "spare": made.spare,
        "make": "glued" if made.glued else "solid",
        "faces": "planed" if made.planed else "as bought",
        "layup": [[list(strip) for strip in ply] for ply in made.layup],
        "blanks": list(made.blanks),
        **{name: say(getattr(made, name)) for name in ("length", "width", "thickness")},
        "tenons": [say(tenon) for tenon in made.tenons],
        "remarks": list(made.remarks),
    }


def _purchase_out(line: Purchase, say: Say) -> Object:
    count = {"count": line.count, "each": money_text(line.each), "sum": money_text(line.sum)}
    lumber = _lumber_out(line, say)
    return {
        "store": line.store,
        "offer": line.offer,
        **count,
        **lumber,
        "priced_on": line.priced_on,
    }


def _consumable_out(each: Consumable) -> Object:
    counted = {"item": each.item, "amount": each.amount, "sum": money_text(each.sum)}
    return {**counted, "in_cash": each.in_cash, "how": each.how}


def _practice_out(practice: Practice, say: Say) -> Object:
    """Each setting under its own name, lengths and numbers as elsewhere in the file."""

    def written(value: Any) -> str | int:
        match value:
            case Length():
                return say(value)
            case Decimal():
                return _plain(value)
            case int():
                return value
        return str(value)

    return {each.name: written(getattr(practice, each.field)) for each in practice_settings()}


def _plain(number: Decimal) -> str:
    """Equal numbers read alike: 8.250 as 8.25."""
    text = f"{number + 0:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
