"""Settling a plan: the stock book comes to know that it was carried out, or that it was not."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from optimizer.plan.carried_out import CarriedOut, Settled, plan_name
from optimizer.plan.happened import Happened, check_happened
from optimizer.plan.holding import freed_by
from optimizer.plan.plan import Plan
from stock.journal import lines_of, undoing
from stock.rack_change import change_rack
from stock.rack_writing import Change, Shelf


def settle(plan: Plan, book: Path, happened: Happened, now: datetime) -> Settled:
    """Writes into the stock book that ``plan`` was carried out; nothing if it says so already.

    Raises:
        RackfirstError: where it cannot have happened so, a rack piece of the plan is not on the
            rack, or the book cannot be changed; it is then as it was.
    """
    check_happened(plan, happened)
    remarks: list[str] = []

    def decide(shelf: Shelf) -> Change:
        name = plan_name(plan)
        if done := lines_of(shelf.journal, name):
            remarks.append(f"{name} was settled on {done[0].day} already: nothing is changed")
            return Change()
        settling = CarriedOut(plan, happened, shelf, now.date())
        lines = list(settling.lines())
        freed = list(freed_by(name, shelf, lines, now.date()))
        remarks.extend(settling.remarks)
        held = {line.piece.tag.casefold(): "" for line in freed}
        return Change(lines=[*lines, *freed], held=held)

    written = change_rack(book, decide, now)
    return Settled(written=written, remarks=tuple(remarks))


def undo(plan: Plan, book: Path, now: datetime) -> Settled:
    """Takes a settled plan back; nothing if it is not settled.

    Raises:
        RackfirstError: where a piece that came by it is gone, or the book cannot be changed.
    """
    remarks: list[str] = []

    def decide(shelf: Shelf) -> Change:
        name = plan_name(plan)
        lines = undoing(shelf.journal, name, now.date())
        if not lines:
            remarks.append(f"{name} is not settled in {shelf.stock.name}: nothing is changed")
        return Change(lines=lines)

    written = change_rack(book, decide, now)
    return Settled(written=written, remarks=tuple(remarks))
