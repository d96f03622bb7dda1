"""A plan under way is not overwritten, and one that was replaced is not carried out.

The journal knows what is held and settled. That a plan was replaced, where something went wrong at
the saw, stands in a note beside it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from optimizer.plan.carried_out import plan_name
from optimizer.plan.holding import holds
from optimizer.plan.plan import Plan
from optimizer.plan.plan_file import PlanFileError, read_plan
from stock.book_file import whole_file
from stock.errors import RackfirstError
from stock.journal import Journal, lines_of
from stock.journal_sheet import read_journal
from stock.spreadsheet import Book
from stock.stock_book import StockBook

_IS_KEPT = ", and is not overwritten; name another folder with --out"


def check_replaceable(paths: Iterable[Path], stock: StockBook, book: Path) -> None:
    """Raises RackfirstError where one of ``paths`` is a plan that ``stock``, read from ``book``,
    has settled or holds pieces for: its pages are still needed.
    """
    there = [path for path in paths if path.exists()]
    journal = read_journal(Book(book), stock.shop.unit) if there else ()
    for path in there:
        try:
            plan = read_plan(path)
        except PlanFileError:
            continue  # no plan of ours
        if day := _settled_on(plan, journal):
            raise RackfirstError(f"{path} was settled on {day}{_IS_KEPT}")
        if holds(plan_name(plan), journal, stock.rack):
            raise RackfirstError(f"{path} holds pieces of {stock.name}{_IS_KEPT}")


def check_not_settled(plan: Plan, stock: StockBook, book: Path) -> None:
    """Raises RackfirstError where ``plan`` is settled: then there is no rest to plan."""
    if day := _settled_on(plan, read_journal(Book(book), stock.shop.unit)):
        raise RackfirstError(
            f"the plan was settled on {day} in {stock.name}; take that back with settle --undo, "
            "then replan"
        )


def _settled_on(plan: Plan, journal: Journal) -> str:
    lines = lines_of(journal, plan_name(plan))
    return str(lines[0].day) if lines else ""


# --- one plan in the place of another ------------------------------------------------------------


def note_of(path: Path) -> Path:
    """Where it stands that the plan at ``path`` was replaced, and by which."""
    return path.with_name(f"{path.stem} replaced by.txt")


def mark_replaced(path: Path, new: Path) -> None:
    """Notes beside the plan at ``path`` that the one at ``new`` goes on from it.

    Raises RackfirstError if that cannot be written.
    """
    try:
        way = os.path.relpath(new, path.parent)
    except ValueError:  # on another drive
        way = str(new.absolute())
    with whole_file(note_of(path)) as unfinished:
        unfinished.write_text(f"{way}\n", encoding="utf-8")


def check_not_replaced(path: Path) -> None:
    """Raises RackfirstError where another plan goes on from the one at ``path``, and is there."""
    note = note_of(path)
    if not note.exists():
        return
    new = path.parent / note.read_text(encoding="utf-8").strip()
    if new.exists():
        raise RackfirstError(
            f"{path} was replaced by {Path(os.path.normpath(new))}; go on with that one (or, if it "
            "was a mistake, delete it first)"
        )
