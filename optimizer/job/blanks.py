"""A kind of blank: a rough piece as it comes from the saw, before planing and gluing."""

from __future__ import annotations

from dataclasses import dataclass

from stock.lengths import Length
from stock.pieces import Lumber


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class BlankKind:
    """Lumber of a length and width (inches). Its thickness is its board's: nothing is turned on
    edge.

    ``own_edges``: the blank keeps both edges of a board that is just this wide; it may not be
    ripped from a wider one, since a sawn edge would need jointing that the width does not allow
    for.
    """

    lumber: Lumber
    length: Length
    width: Length
    own_edges: bool = False

    def __post_init__(self) -> None:
        if self.length <= 0 or self.width <= 0:
            raise ValueError(f"blank {self.length} x {self.width}")
