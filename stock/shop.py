"""The shop: its saws, machines, allowances and keep rules."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cache
from typing import Any

from stock.lengths import MILLIMETRE, Length, Unit, parse_length
from stock.tables import read_table

WIDEST_KERF = Length(1, 2)  # inches: four times a full kerf; a rule of this program, no source

NARROWEST_PITH = Length(1, 4)  # inches, of the band that is ripped out; a rule of this program


class Sawing(StrEnum):
    """Which cut comes first on a board."""

    FREE = "free"
    RIP_FIRST = "rip first"
    CROSSCUT_FIRST = "crosscut first"


class ReadTo(StrEnum):
    """How fine a maker reads a tape."""

    SIXTEENTHS = "16ths"
    THIRTY_SECONDS = "32nds"
    MILLIMETRES = "mm"
    HALF_MILLIMETRES = "half mm"

    @property
    def step(self) -> Length:
        """The finest step, in inches."""
        match self:
            case ReadTo.SIXTEENTHS:
                return Length(1, 16)
            case ReadTo.THIRTY_SECONDS:
                return Length(1, 32)
            case ReadTo.MILLIMETRES:
                return MILLIMETRE
            case ReadTo.HALF_MILLIMETRES:
                return MILLIMETRE / 2

    @property
    def unit(self) -> Unit:
        """The unit of a tape that is read so."""
        inches = (ReadTo.SIXTEENTHS, ReadTo.THIRTY_SECONDS)
        return Unit.IN if self in inches else Unit.MM


class SettingError(ValueError):
    """A setting that makes no sense beside the others: its name, why, and what would do."""

    def __init__(self, setting: str, problem: str, remedy: str) -> None:
        self.setting = setting
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{setting}: {problem}; {remedy}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Every setting of the sheet ``Shop``, by its name there with underscores for blanks.

    Lengths are inches, money is Decimal, minutes and percent are Decimal. Defaults, units and a
    line of explanation for each stand in data/settings.csv.

    Raises:
        SettingError: where two settings contradict each other or one is out of bounds.
    """

    unit: Unit
    rip_kerf: Length
    crosscut_kerf: Length
    end_trim: Length
    edge_trim: Length
    skim_per_face: Length
    last_pass_per_face: Length
    jointing_per_edge: Length
    slip: Length
    extra_length: Length
    most_planed_away: Length
    as_bought_within: Length
    shortest_to_plane: Length
    shortest_to_rip: Length
    longest_to_rip: Length
    deepest_rip: Length
    pith_width: Length
    pith_from: Length
    pith_at: Decimal
    held_at_crosscut: Length
    narrowest_strip: Length
    widest_strip: Length
    narrowest_rip: Length
    widest_to_plane: Length
    most_plies: int
    most_strips: int
    least_stagger: Length
    glue_price: Decimal
    glue_spread: Decimal
    glue_waste: Decimal
    finish_coats: int
    finish_price: Decimal
    finish_spread: Decimal
    pay: Decimal
    minutes_per_crosscut: Decimal
    minutes_per_rip: Decimal
    minutes_per_planed_face: Decimal
    minutes_per_glue_line: Decimal
    longest_carried: Length | None
    least_yard_piece: Length
    yard_tolerance: Length
    heaviest_load: Decimal | None
    shortest_kept: Length
    narrowest_kept: Length
    offcut_value: Decimal
    rack_space: Decimal
    sawing: Sawing
    read_to: ReadTo
    clamps: int
    clamp_force: Decimal
    clamp_pressure: Decimal
    clamp_spacing: Length
    open_time: Decimal
    clamp_time: Decimal
    rest: int
    working_day: Decimal
    most_stores: int | None
    near_miss: Length
    prices_good_for: int
    grades: tuple[str, ...]
    rejected: tuple[tuple[str, Decimal], ...]
    bought_moisture: Decimal
    room_temperature: Decimal
    room_humidity: Decimal

    def __post_init__(self) -> None:
        kerfs = {"rip kerf": self.rip_kerf, "crosscut kerf": self.crosscut_kerf}
        for setting, kerf in kerfs.items():
            if kerf > WIDEST_KERF:
                remedy = "saw a scrap and measure it: mostly 1/8 in or 3 mm"
                raise SettingError(setting, "it is wider than 1/2 in, 12.7 mm", remedy)
        if not 0 <= self.offcut_value <= 90:
            raise SettingError("offcut value", "it is not from 0 to 90", "30 is the default")
        if 0 < self.end_trim < self.crosscut_kerf:
            raise SettingError(
                "end trim",
                "it is less than the crosscut kerf, which is part of it",
                "type 0, or at least the crosscut kerf",
            )
        if self.glue_spread <= 0:
            raise SettingError("glue spread", "it is zero", "250 is the default")
        if self.finish_spread <= 0:
            raise SettingError("finish spread", "it is zero", "400 is the default")
        if self.narrowest_strip > self.widest_strip:
            raise SettingError(
                "narrowest strip", "it is wider than the widest strip", "make it narrower"
            )
        if self.longest_carried is not None and self.least_yard_piece > self.longest_carried:
            raise SettingError(
                "least yard piece", "it is longer than the longest carried", "make it shorter"
            )
        if self.shortest_to_rip > self.longest_to_rip:
            raise SettingError(
                "shortest to rip", "it is longer than the longest to rip", "make it shorter"
            )
        self._check_pith()
        self._check_grades()
        self._check_practice()

    def _check_pith(self) -> None:
        """Both halves keep some width, and the saw has room for its two kerfs."""
        if not 30 <= self.pith_at <= 70:
            raise SettingError("pith at", "it is not from 30 to 70", "50 is the middle")
        if 0 < self.pith_width <= max(2 * self.rip_kerf, NARROWEST_PITH):
            raise SettingError(
                "pith width",
                "it is no more than two rip kerfs, which are part of it, or than 1/4 in, 6.35 mm",
                "type 0 to leave the pith in, or some 1 in or 25 mm",
            )
        if 4 * self.pith_width > self.pith_from:
            raise SettingError(
                "pith width", "it is more than a quarter of pith from", "make it narrower"
            )

    def _check_grades(self) -> None:
        known = {grade.casefold() for grade in self.grades}
        for grade, _ in self.rejected:
            if grade.casefold() not in known:
                remedy = f"type one of the grades: {'; '.join(self.grades)}"
                raise SettingError("rejected", f"{grade} is not one of the grades", remedy)

    def _check_practice(self) -> None:
        if self.clamp_force <= 0:
            raise SettingError("clamp force", "it is zero", "1000 is the default")
        if not 0 < self.working_day <= 24:
            raise SettingError("working day", "it is not from 1 to 24 hours", "8 is the default")
        if self.read_to.unit is not self.unit:
            fitting = " or ".join(each for each in ReadTo if each.unit is self.unit)
            raise SettingError("read to", f"the book is in {self.unit}", f"type {fitting}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A line of data/settings.csv; ``inch`` and ``mm`` are the defaults as one would type them."""

    name: str
    kind: str
    choices: tuple[str, ...]
    inch: str
    mm: str
    planned: bool
    explanation: str

    @property
    def field(self) -> str:
        """Its name in ``Shop``."""
        return self.name.replace(" ", "_")

    def default(self, unit: Unit) -> str:
        return self.inch if unit is Unit.IN else self.mm


def promises(grade: str, wanted: str, shop: Shop) -> bool:
    """Whether a board of ``grade`` is as good as ``wanted``; one without a grade promises none."""
    grades = shop.grades
    return grade in grades and grades.index(grade) <= grades.index(wanted)


@cache
def settings() -> tuple[Setting, ...]:
    """All settings, in the order of the sheet."""
    return tuple(
        Setting(
            name=row["setting"],
            kind=row["kind"],
            choices=tuple(filter(None, row["choices"].split("|"))),
            inch=row["inch"],
            mm=row["mm"],
            planned=row["planned"] == "yes",
            explanation=row["explanation"],
        )
        for row in read_table("settings")
    )


def setting_value(setting: Setting, value: Any) -> Any:
    """``value`` as ``Shop`` holds it: choices become Unit, Sawing and ReadTo."""
    match setting.name:
        case "unit":
            return Unit(value)
        case "sawing":
            return Sawing(value)
        case "read to":
            return ReadTo(value)
        case _:
            return value


@cache
def default_shop(unit: Unit) -> Shop:
    """The shop of a book in ``unit`` that says nothing else."""
    return Shop(**{each.field: _default(each, unit) for each in settings()})


def _default(setting: Setting, unit: Unit) -> Any:
    text = setting.default(unit)
    match setting.kind:
        case "choice":
            return setting_value(setting, text)
        case "length" | "long length" | "allowance":
            return parse_length(text, unit) if text else None
        case "count" | "number":
            return int(text) if text else None
        case "words":
            return tuple(word.strip() for word in text.split(";"))
        case "shares":
            return ()
        case _:
            return Decimal(text) if text else None
