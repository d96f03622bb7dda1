"""The text of plan.json back to a plan, every fault named by its key.

What follows from other keys (cash, net, gap, sums, the flat list of blanks) must agree with them.
"""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from typing import Any

from optimizer.plan.beside import Consumable, Load
from optimizer.plan.json_node import Node, PlanFileError
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
from optimizer.plan.practice import Practice, practice_settings, usual_practice
from stock.lengths import Unit
from stock.shop import ReadTo, Setting

FORMAT = "rackfirst-plan/1"
GAP_TOLERANCE = 0.00005  # the one float; a person may have rounded it to four places

Object = dict[str, Any]

# In the order in which a bill is read.
COST = (
    "boards", "tax", "trips", "yard_cuts", "glue", "time", "cash", "rack_used", "leftovers", "net",
)  # fmt: skip


def plan_from_json(text: str) -> Plan:
    """The plan that ``plan_to_json`` wrote; PlanFileError names the key of the first fault."""
    root = Node.parse(text)
    if root["format"].text() != FORMAT:
        raise root["format"].wrong(f"{FORMAT!r}, the only plan file that is known here")
    unit = root["unit"].word(Unit)
    try:
        plan = Plan(
            job=root["job"].text(),
            unit=unit,
            rip_kerf=root["kerf"]["rip"].length(unit),
            crosscut_kerf=root["kerf"]["crosscut"].length(unit),
            sawing=root["sawing"].text(),
            status=root["status"].word(Status),
            cost=Cost(**{n: root["cost"][n].money() for n in COST if n not in ("cash", "net")}),
            bound=root["bound"].money(),
            boards=tuple(_board_in(node, unit) for node in root["boards"]),
            parts=tuple(_part_in(node, unit) for node in root["parts"]),
            buy=tuple(_purchase_in(node, unit) for node in root["buy"]),
            taxes=tuple(_tax_in(node) for node in root["taxes"]),
            practice=_practice_in(root, unit),
            consumables=tuple(_consumable_in(node) for node in root.may_have("consumables", [])),
            load=_load_in(root),
            remarks=tuple(remark.text() for remark in root.may_have("remarks", [])),
        )
    except ValueError as error:  # the plan itself refuses sums that do not add up
        raise PlanFileError(f"not a sound plan: {error}") from error
    _expect(root["cost"]["cash"], money_text(plan.cost.cash))
    _expect(root["cost"]["net"], money_text(plan.cost.net))
    gap = root["gap"]
    if type(gap.value) not in (int, float) or not abs(gap.value - plan.gap) <= GAP_TOLERANCE:
        raise gap.wrong(f"(net - bound) / net, {plan.gap}")
    return plan


def _board_in(node: Node, unit: Unit) -> Board:
    origins = {"store": ("store", "offer"), "rack": ("tag", "bay")}
    if node["from"].text() not in origins:
        raise node["from"].wrong("'store' or 'rack'")
    from_rack = node["from"].text() == "rack"
    origin: Object = {key: node[key].text() for key in origins[node["from"].text()]}
    return Board(
        id=node["id"].text(),
        **origin,
        cost=node["worth" if from_rack else "price"].money(),
        **_lumber_in(node, unit),
        blanks=tuple(
            Blank(id=n["id"].text(), **_place_in(n, unit), holds=n["holds"].whole())
            for n in node["blanks"]
        ),
        leftovers=tuple(
            Leftover(tag=n["tag"].text(), **_place_in(n, unit), worth=n["worth"].money())
            for n in node["leftovers"]
        ),
        cuts=tuple(_cut_in(n, unit) for n in node["cuts"]),
        spoiled=tuple(n.text() for n in node.may_have("spoiled", [])),
        made=node.may_have("made", 0).whole(),
        whole=node.may_have("whole", False).truth(),
    )


def _lumber_in(node: Node, unit: Unit) -> Object:
    words = {name: node[name].text() for name in ("size", "wood")}
    measures = {name: node[name].length(unit) for name in ("thickness", "width", "length")}
    return {**words, "treated": node["treated"].truth(), **measures}


def _place_in(node: Node, unit: Unit) -> Object:
    return {name: node[name].length(unit) for name in ("x", "y", "length", "width")}


def _cut_in(node: Node, unit: Unit) -> Cut:
    gives = [name.text() for name in node["gives"]]
    if len(gives) != 2:
        raise node["gives"].wrong('two names, "" for scrap')
    return Cut(
        n=node["n"].whole(),
        kind=node["kind"].word(CutKind),
        piece=node["piece"].text(),
        at=node["at"].length(unit),
        gives=(gives[0], gives[1]),
    )


def _part_in(node: Node, unit: Unit) -> MadePart:
    for key, words in {"make": ("glued", "solid"), "faces": ("planed", "as bought")}.items():
        if node[key].text() not in words:
            raise node[key].wrong(f"{words[0]!r} or {words[1]!r}")
    made = MadePart(
        part=node["part"].text(),
        copy=node["copy"].whole(),
        spare=node["spare"].truth(),
        glued=node["make"].text() == "glued",
        planed=node["faces"].text() == "planed",
        layup=tuple(
            tuple(tuple(blank.text() for blank in strip) for strip in ply) for ply in node["layup"]
        ),
        **{name: node[name].length(unit) for name in ("length", "width", "thickness")},
        tenons=tuple(tenon.length(unit) for tenon in node["tenons"]),
        remarks=tuple(remark.text() for remark in node["remarks"]),
    )
    _expect(node["blanks"], list(made.blanks))
    return made


def _purchase_in(node: Node, unit: Unit) -> Purchase:
    line = Purchase(
        store=node["store"].text(),
        offer=node["offer"].text(),
        count=node["count"].whole(),
        each=node["each"].money(),
        **_lumber_in(node, unit),
        priced_on=node.may_have("priced_on", "").text(),
    )
    _expect(node["sum"], money_text(line.sum))
    return line


def _load_in(root: Node) -> Load:
    if "load" not in root:  # in an older file
        return Load()
    return Load(**{name: root["load"][name].whole() for name in ("weight", "limit", "unknown")})


def _tax_in(node: Node) -> StoreTax:
    money = {name: node.may_have(name, "0.00").money() for name in ("cuts", "trip")}
    percent, tax = node["percent"].percent(), node["tax"].money()
    return StoreTax(store=node["store"].text(), percent=percent, tax=tax, **money)


def _consumable_in(node: Node) -> Consumable:
    words = {name: node[name].text() for name in ("item", "amount", "how")}
    return Consumable(**words, sum=node["sum"].money(), in_cash=node["in_cash"].truth())


def _practice_in(root: Node, unit: Unit) -> Practice:
    """What the plan says of the shop's practice; a setting that it lacks is at its default."""
    usual = usual_practice(unit)
    if "practice" not in root:
        return usual
    typed: Object = {
        setting.field: _setting_in(root["practice"][setting.name], setting, unit)
        for setting in practice_settings()
        if setting.name in root["practice"]
    }
    return replace(usual, **typed)


def _setting_in(node: Node, setting: Setting, unit: Unit) -> Any:
    match setting.kind:
        case "choice":
            return node.word(ReadTo)
        case "length" | "allowance":
            return node.length(unit)
        case "count" | "number":
            return node.whole()
        case _:
            return node.amount()


def _expect(node: Node, value: object) -> None:
    """Whether a key that follows from others says so."""
    if node.value != value:
        raise node.wrong(f"{json.dumps(value, ensure_ascii=False)}, as the other keys have it")


def money_text(amount: Decimal) -> str:
    """``amount`` as plan.json holds it, with two places."""
    text = f"{amount + 0:.2f}"  # + 0: no sum reads -0.00
    if Decimal(text) != amount:
        raise ValueError(f"{amount} is not whole cents")
    return text
