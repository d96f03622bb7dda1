"""A blank that a begun copy lacks, as a part of its own while the rest of a job is planned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from optimizer.job.blanks import BlankKind
from optimizer.job.layups import LayUp
from optimizer.job.parts import Faces, Part, Treatment
from optimizer.job.ways import NoPlanError
from optimizer.plan.left_of import lumber_of
from optimizer.plan.plan import Blank, Board, MadePart
from optimizer.search.rest_stock import same_lumber
from stock.pieces import Lumber
from stock.shop import Shop, promises


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """A blank as the old plan has it, and the part that stands for it, with its one lay-up."""

    blank: Blank
    part: Part
    lay_up: LayUp


def missing_blank(blank: Blank, board: Board, made: MadePart, drawn: Part) -> Missing:
    """``blank``, out of ``board``, which the copy ``made`` of a part lacks, as it was ``drawn``."""
    part = Part(
        name=f"{made.part} {made.copy}, blank {blank.id}",
        count=1,
        length=blank.length,
        width=blank.width,
        thickness=board.thickness,
        wood=board.wood,
        treated=Treatment.YES if board.treated else Treatment.NO,
        faces=Faces.AS_BOUGHT,
        grade=drawn.grade,
        knots_ok=drawn.knots_ok,
    )
    kind = BlankKind(
        lumber=lumber_of(board),
        length=blank.length,
        width=blank.width,
        own_edges=made.planed and blank.width == board.width,
    )
    lay_up = LayUp(part=part, planed=False, plies=(((kind,),),), thickness=board.thickness)
    return Missing(blank=blank, part=part, lay_up=lay_up)


def spelled(lay_up: LayUp, lumbers: Iterable[Lumber], shop: Shop) -> tuple[LayUp, ...]:
    """``lay_up`` of a missing blank, in each lumber that is there and good enough.

    Raises NoPlanError where there is none.
    """
    kind, part = lay_up.blanks[0], lay_up.part
    fit = [
        lumber
        for lumber in lumbers
        if same_lumber(lumber) == same_lumber(kind.lumber)
        and (part.knots_ok or not lumber.faulty)
        and (not part.grade or promises(lumber.grade, part.grade, shop))
    ]
    if not fit:
        raise NoPlanError(f"{part.name}: no such board is left, on the rack or for sale")
    return tuple(
        replace(lay_up, plies=(((replace(kind, lumber=lumber),),),)) for lumber in sorted(fit)
    )
