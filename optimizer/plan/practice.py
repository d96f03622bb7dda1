"""How a shop reads its tape, planes, clamps and rests: what its pages need besides the cuts.

Each field is the setting of the same name in the stock book (``stock/data/settings.csv`` explains
them), taken over into the plan, so that pages can be made from plan.json alone.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal

from stock.lengths import Length, Unit
from stock.shop import ReadTo, Setting, Shop, default_shop, settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """Lengths are inches, times minutes, ``rest`` days, ``working_day`` hours, force pounds,
    pressure pounds per square inch, ``glue_spread`` square feet per gallon.
    """

    read_to: ReadTo
    skim_per_face: Length
    last_pass_per_face: Length
    jointing_per_edge: Length
    edge_trim: Length
    pith_width: Length
    pith_from: Length
    pith_at: Decimal
    shortest_to_plane: Length
    glue_spread: Decimal
    clamps: int
    clamp_force: Decimal
    clamp_pressure: Decimal
    clamp_spacing: Length
    open_time: Decimal
    clamp_time: Decimal
    rest: int
    working_day: Decimal
    minutes_per_crosscut: Decimal
    minutes_per_rip: Decimal
    minutes_per_planed_face: Decimal
    minutes_per_glue_line: Decimal

    def __post_init__(self) -> None:
        """Nothing that is divided by may be zero."""
        needed = ("glue_spread", "clamps", "clamp_force", "clamp_spacing", "working_day")
        for name in needed:
            if getattr(self, name) <= 0:
                raise ValueError(f"{name.replace('_', ' ')} of {getattr(self, name)}")


def practice_of(shop: Shop) -> Practice:
    """The practice of a shop as its settings have it."""
    return Practice(**{each.name: getattr(shop, each.name) for each in fields(Practice)})


def usual_practice(unit: Unit) -> Practice:
    """That of a shop that says nothing else: the defaults of the settings."""
    return practice_of(default_shop(unit))


def practice_settings() -> tuple[Setting, ...]:
    """The settings that it is made of, in the order of the sheet ``Shop``."""
    names = {each.name for each in fields(Practice)}
    return tuple(setting for setting in settings() if setting.field in names)
