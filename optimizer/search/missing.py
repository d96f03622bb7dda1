"""A blank that a begun copy lacks, as a part of its own while the rest of a job is planned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from optimizer.job.blanks import BlankKind
from optimizer.job.layups import LayUp
from optimizer.job.parts import Faces, Part, Treatment
from optimizer.job.ways import NoPlanError
from optimizer.plan.plan import Blank, Board, MadePart
from optimizer.search.rest_stock import lumber_of, same_lumber
from stock.lengths import Length
from stock.pieces import Lumber


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """A blank as the old plan has it, and the part that stands for it, with its one lay-up."""

    blank: Blank
    part: Part
    lay_up: LayUp


def missing_blank(blank: Blank, board: Board, made: MadePart) -> Missing:
    """``blank``, out of ``board``, which the copy ``made`` lacks."""
    part = Part(
        name=f"{made.part} {made.copy}, blank {blank.id}",
        count=1,
        length=blank.length,
        width=blank.width,
        thickness=board.thickness,
        wood=board.wood,
        treated=Treatment.YES if board.treated else Treatment.NO,
        faces=Faces.AS_BOUGHT,
    )
    kind = BlankKind(
        lumber=lumber_of(board),
        length=blank.length,
        width=blank.width,
        own_edges=made.planed and blank.width == board.width,
    )
    lay_up = LayUp(part=part, planed=False, plies=((kind,),))
    return Missing(blank=blank, part=part, lay_up=lay_up)


def spelled(lay_up: LayUp, named: Mapping[tuple[str, bool, Length], Lumber]) -> LayUp:
    """``lay_up`` of a missing blank, in a lumber that is there.

    Raises NoPlanError where there is none.
    """
    ((kind,),) = lay_up.plies
    if same_lumber(kind.lumber) not in named:
        raise NoPlanError(f"{lay_up.part.name}: no such board is left, on the rack or for sale")
    return replace(lay_up, plies=((replace(kind, lumber=named[same_lumber(kind.lumber)]),),))
