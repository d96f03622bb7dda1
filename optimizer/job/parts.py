"""Finished parts, as a drawing gives them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from stock.lengths import Length


class Treatment(StrEnum):
    """Whether a part asks for treated wood."""

    NO = "no"
    YES = "yes"
    EITHER = "either"


class Make(StrEnum):
    """How a part may be built up."""

    ANY = "any"
    SOLID = "solid"
    GLUED = "glued"


class Faces(StrEnum):
    """How a part's faces are left."""

    ANY = "any"
    AS_BOUGHT = "as bought"
    PLANED = "planed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One line of the parts sheet; all measures finished, in inches.

    ``length`` runs shoulder to shoulder, ``tenons`` are added to it. ``wood`` is empty where any
    will do, ``grade`` where it asks for none. ``thickness_at_least`` lets it come out thinner than
    ``thickness``. ``same_board``: all copies out of one blank; ``pairs``: two and two. All lines
    that name one ``of_board`` come out of one blank together, which is a part of its own to the
    search, with these as ``members`` (``grain.py``). ``own`` are allowances in place of the shop's,
    by the names of ``Shop``. No board thicker than ``thickest_board`` is sawn for it; that
    is asked in comparisons only.
    """

    name: str
    count: int
    length: Length
    width: Length
    thickness: Length
    wood: str = ""
    treated: Treatment = Treatment.NO
    make: Make = Make.ANY
    faces: Faces = Faces.ANY
    tenons: tuple[Length, ...] = ()
    thickness_at_least: Length | None = None
    thickest_board: Length | None = None
    spare: int = 0
    note: str = ""
    grade: str = ""
    knots_ok: bool = False
    carries_load: bool = False
    same_board: bool = False
    of_board: str = ""
    pairs: bool = False
    butt_joints: bool = False
    own: tuple[tuple[str, Length], ...] = ()
    members: tuple[Part, ...] = ()

    def __post_init__(self) -> None:
        if self.count < 1 or self.spare < 0:
            raise ValueError(f"part {self.name}: count {self.count}, spare {self.spare}")
        if min(self.length, self.width, self.thickness) <= 0 or any(t < 0 for t in self.tenons):
            raise ValueError(f"part {self.name}: a measure is not above zero")

    @property
    def copies(self) -> int:
        """How many must be made, spares included."""
        return self.count + self.spare

    @property
    def least_thickness(self) -> Length:
        """The thinnest that it may come out."""
        return self.thickness_at_least or self.thickness

    @property
    def length_with_tenons(self) -> Length:
        """Finished length from end to end."""
        return self.length + sum(self.tenons)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardware:
    """A line of what else the job takes: dowels, screws, hinges; ``price`` of one."""

    item: str
    count: int
    price: Decimal = Decimal("0.00")
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """The parts to make, under the name of their book, and what they take beside wood.

    ``jobs`` names several that are planned together.
    """

    name: str
    parts: tuple[Part, ...]
    jobs: tuple[str, ...] = ()
    hardware: tuple[Hardware, ...] = ()

    def __post_init__(self) -> None:
        if not self.parts:
            raise ValueError(f"job {self.name} has no parts")


def prefix(job: str) -> str:
    """What stands before the name of a part of ``job`` where several are planned together."""
    return f"{job}: "
