"""Labels to print, cut and stick on: one for each part and each new leftover, with a QR code.

The code (ISO/IEC 18004) holds just the mark or the tag, for a phone that looks it up.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import segno
from markupsafe import Markup

from optimizer.output.page import rendered
from optimizer.output.words import isolated, marked, read_size, shown
from optimizer.plan.plan import Plan
from optimizer.plan.tables import leftovers, parts_made
from optimizer.work.work import Work
from stock.book_file import whole_file
from stock.lengths import Unit

_QUIET = 4  # modules of white around a code, as the standard asks for
_A_SHEET = {Unit.IN: 30, Unit.MM: 24}  # 3 × 10 on letter, 3 × 8 on A4 paper


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """``tag`` stands large and in the code; ``size`` is finished for parts, as left for leftovers;
    ``where`` is out of which board, or where the piece goes.
    """

    tag: str
    name: str
    size: str
    where: str


def labels(work: Work) -> list[Label]:
    """Parts in the plan's order, then leftovers by tag."""
    return [*_of_parts(work), *_of_leftovers(work.plan)]


def _of_parts(work: Work) -> Iterator[Label]:
    plan = work.plan
    boards = {
        blank.id: work.marks.boards[board.id] for board in plan.boards for blank in board.blanks
    }
    for way in parts_made(plan):
        for place in way.places:
            blanks = plan.parts[place].blanks
            out_of = marked(list(dict.fromkeys(boards[blank] for blank in blanks)))
            glued = [work.marks.blanks[blank] for blank in blanks]
            of = f"{marked(glued)} of {out_of}" if len(glued) > 1 else f"of {out_of}"
            yield Label(
                tag=work.marks.parts[place],
                name=way.part,
                size=read_size(plan, way.length, way.width, way.thickness),
                where=of,
            )


def _of_leftovers(plan: Plan) -> Iterator[Label]:
    bays = {left.tag: board.bay for board in plan.boards for left in board.leftovers}
    for piece in leftovers(plan):
        bay = f"bay {isolated(bays[piece.tag])}" if bays[piece.tag] else "bay ________"
        yield Label(
            tag=piece.tag,
            name=" ".join(filter(None, (piece.wood, "treated" if piece.treated else ""))),
            size=read_size(plan, piece.length, piece.width, piece.thickness),
            where=f"{bay}, left of {isolated(piece.board)}",
        )


def write_labels(work: Work, path: Path) -> None:
    """Write the sheets of labels to ``path``, whole or not at all."""
    with whole_file(path) as unfinished:
        unfinished.write_text(labels_page(work), encoding="utf-8", newline="\n")


def labels_page(work: Work) -> str:
    """The labels as a page to print, on letter or A4 paper."""
    told = [(label, _code(label.tag)) for label in labels(work)]
    return rendered("labels.html", work.plan, sheets=list(_sheets(told, _A_SHEET[work.plan.unit])))


def _sheets(
    told: Iterable[tuple[Label, Markup]], most: int
) -> Iterator[list[tuple[Label, Markup]]]:
    listed = list(told)
    return (listed[n : n + most] for n in range(0, len(listed), most))


def _code(tag: str) -> Markup:
    drawn = segno.make_qr(shown(tag), error="m", boost_error=False)
    return Markup(drawn.svg_inline(border=_QUIET, omitsize=True))
