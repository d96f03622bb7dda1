"""The page for saw and bench: one file, no network, ticks that the browser remembers.

Everything that comes out of the books is escaped by the template engine; a policy in the page
itself lets no script run but the page's own.
"""

from __future__ import annotations

import hashlib
import html
from base64 import b64encode
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from optimizer.output import shop_words, words
from optimizer.output.sticks import stick
from optimizer.plan.plan import Board, Plan
from optimizer.plan.plan_file import plan_to_json
from optimizer.plan.tables import leftovers, parts_made, rack_list
from optimizer.work.work import SawnBoard, Work, work_of
from stock.book_file import whole_file
from stock.lengths import Unit


def write_cutting_page(plan: Plan, path: Path) -> None:
    """Write the page of ``plan`` to ``path``; an old one stays whole until the new one is done."""
    with whole_file(path) as unfinished:
        unfinished.write_text(cutting_page(plan), encoding="utf-8", newline="\n")


def cutting_page(plan: Plan) -> str:
    """The page as HTML."""
    work = work_of(plan)
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
    )


def framed_page(plan: Plan) -> str:
    """The page in a frame of its own, for a notebook: neither styles nor scripts get out of it."""
    inside = html.escape(cutting_page(plan), quote=True)
    return (
        f'<iframe title="{html.escape(words.shown(plan.job), quote=True)}" srcdoc="{inside}" '
        'sandbox="allow-scripts" style="width:100%;height:40rem;border:1px solid #777"></iframe>'
    )


def rendered(template: str, plan: Plan, **values: Any) -> str:
    """A template of this folder, with words and measures for ``plan`` at hand."""
    script = _asset("page.js")
    digest = b64encode(hashlib.sha256(script.encode()).digest()).decode()
    return (
        _environment()
        .get_template(template)
        .render(
            plan=plan,
            paper="a4" if plan.unit is Unit.MM else "letter",
            read=lambda length: words.read(length, plan),
            size=lambda *lengths: words.read_size(plan, *lengths),
            words=words,
            shop=shop_words,
            style=Markup(_asset("page.css")),
            script=Markup(script),
            script_digest=digest,
            **values,
        )
    )


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("optimizer.output"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_showable,
    )


def _showable(value: Any) -> Any:
    """Text without the characters that no page may hold."""
    return words.shown(value) if type(value) is str else value


@cache
def _asset(name: str) -> str:
    folder = Path(__file__).parent / "templates"
    return (folder / name).read_text(encoding="utf-8")


def _fingerprint(plan: Plan) -> str:
    """Under which name the browser keeps the ticks: another plan has its own."""
    return hashlib.sha256(plan_to_json(plan).encode("utf-8", "surrogatepass")).hexdigest()[:16]


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
