"""The page for saw and bench: what to take, saw, glue and put back, with ticks that stay."""

from __future__ import annotations

import hashlib
import html
from collections.abc import Sequence
from itertools import groupby
from pathlib import Path

from optimizer.output import words
from optimizer.output.advice_words import figures_said
from optimizer.output.bars import COST_PARTS, bars
from optimizer.output.page import rendered
from optimizer.output.sticks import TICKS, Stick, stick
from optimizer.plan.comparison import Alternative
from optimizer.plan.handed_over import yard_marks
from optimizer.plan.plan import Board, Plan
from optimizer.plan.plan_file import plan_to_json
from optimizer.plan.tables import leftovers, parts_made, rack_list
from optimizer.work.work import SawnBoard, Work, work_of
from stock.book_file import whole_file

# Pixels on letter paper: room below a board's name, a row of its cuts, one of close print.
_SHEET, _ROW, _CLOSE_ROW = 850, 22, 15


def write_cutting_page(work: Work, path: Path, compared: Sequence[Alternative] = ()) -> None:
    """Write the page of ``work`` to ``path``; an old one stays whole until the new one is done."""
    with whole_file(path) as unfinished:
        unfinished.write_text(cutting_page(work, compared), encoding="utf-8", newline="\n")


def cutting_page(work: Work, compared: Sequence[Alternative] = ()) -> str:
    """The page as HTML; with ways ``compared``, these are drawn side by side at its end."""
    plan = work.plan
    return rendered(
        "cutting.html",
        plan,
        work=work,
        ticks=f"rackfirst {_fingerprint(plan)}",
        takings=_takings(work),
        ways=parts_made(plan),
        kept=leftovers(plan),
        boards=[(n, each, stick(plan, each)) for n, each in enumerate(work.boards, 1)],
        places={each.board.id: n for n, each in enumerate(work.boards, 1)},
        days=[(day, list(steps)) for day, steps in groupby(work.days, lambda step: step.day)],
        cautions=words.cautions(plan),
        crowded=_crowded,
        at_the_store=lambda board: ", ".join(words.read(x, plan) for x in yard_marks(board, plan)),
        foot=TICKS[plan.unit],
        compared=compared,
        bars=bars(compared),
        cost_parts=COST_PARTS,
        way_figures=lambda figures: figures_said(figures, plan.unit),
    )


def framed_page(plan: Plan) -> str:
    """The page in a frame of its own, for a notebook: neither styles nor scripts get out of it."""
    inside = html.escape(cutting_page(work_of(plan)), quote=True)
    return (
        f'<iframe title="{html.escape(words.shown(plan.job), quote=True)}" srcdoc="{inside}" '
        'sandbox="allow-scripts" style="width:100%;height:40rem;border:1px solid #777"></iframe>'
    )


def _fingerprint(plan: Plan) -> str:
    """Under which name the browser keeps the ticks: another plan has its own."""
    return hashlib.sha256(plan_to_json(plan).encode("utf-8", "surrogatepass")).hexdigest()[:16]


def _crowded(board: SawnBoard, drawing: Stick) -> str:
    """How close the rows of a board's cuts must stand so that it fits a sheet of paper."""
    rows = len(board.cuts)
    if drawing.high + _ROW * rows <= _SHEET:
        return ""
    return "many" if drawing.high + _CLOSE_ROW * rows <= _SHEET else "long"


def _takings(work: Work) -> dict[str, list[tuple[int, SawnBoard]]]:
    """Boards with their numbers by where they are fetched: store after store, then the rack's bays
    as one walks along it.
    """
    found: dict[str, list[tuple[int, SawnBoard]]] = {}
    ranks = {(piece.bay, piece.tag): n for n, piece in enumerate(rack_list(work.plan))}
    numbered = list(enumerate(work.boards, 1))
    for n, each in sorted(numbered, key=lambda one: _rank(one[1].board, ranks)):
        board = each.board
        bay = f"Rack, bay {board.bay}" if board.bay else "Rack"
        found.setdefault(bay if board.from_rack else board.store or "Store", []).append((n, each))
    return found


def _rank(board: Board, ranks: dict[tuple[str, str], int]) -> int:
    return ranks[board.bay, board.tag] if board.from_rack else -1
