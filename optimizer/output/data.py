"""Every list of a plan as data: pandas DataFrames for a notebook, CSV files for other programs.

DataFrames hold exact values, lengths in inches (Fraction), money in Decimal. A CSV file holds
lengths as plain decimals in the plan's unit, which its header names: a spreadsheet program would
turn 1/2 into a date.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields
from decimal import Decimal
from fractions import Fraction
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any

from optimizer.output.labels import Label, labels
from optimizer.output.shop_words import clock, cut_row
from optimizer.output.words import shown
from optimizer.plan.plan import Plan, Purchase
from optimizer.plan.tables import (
    KeptPiece,
    PulledPieces,
    leftovers,
    parts_made,
    rack_list,
    shopping_list,
)
from optimizer.work.gluing import gallons
from optimizer.work.saw_cuts import SawnPiece
from optimizer.work.work import Work, work_of
from stock.book_file import whole_file
from stock.errors import RackfirstError
from stock.lengths import Length, Unit

if TYPE_CHECKING:
    import pandas as pd

_PLACES = 6  # of a decimal that does not end
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """A cut, ``step`` by step of the order of work; ``cut`` is its number on its board."""

    step: int
    saw: str
    setup: str
    setting: Length | None
    board: str
    cut: int
    what: str
    piece: str
    tape: Length
    near: str
    near_length: Length | None
    near_width: Length | None
    far: str
    far_length: Length | None
    far_width: Length | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLine:
    """A blank: its mark, the part it is for, where it lies on its board."""

    mark: str
    part: str
    board: str
    x: Length
    y: Length
    length: Length
    width: Length
    thickness: Length
    holds: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """Copies of a part that are made alike, by their marks; measures are finished."""

    marks: tuple[str, ...]
    part: str
    copies: int
    spares: int
    length: Length
    width: Length
    thickness: Length
    tenons: tuple[Length, ...]
    planed: bool
    plies: int
    strips: int
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StackLine:
    """A glue-up; the glue in US gallons."""

    batch: int
    mark: str
    part: str
    blanks: tuple[str, ...]
    plies: int
    glue_lines: int
    gallons: Fraction
    clamps_by_spacing: int
    clamps_by_force: int
    length: Length
    width: Length
    thickness: Length
    final_length: Length
    final_width: Length
    final_thickness: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """A step of the day plan; times are hours and minutes since work began that day."""

    day: int
    until: int
    task: str
    begin: str
    minutes: int
    batch: int | None


def lists(plan: Plan) -> dict[str, tuple[type, list[Any]]]:
    """Every list by its name, with the kind of its rows."""
    work = work_of(plan)
    return {
        "buy": (Purchase, list(chain.from_iterable(shopping_list(plan).values()))),
        "rack": (PulledPieces, rack_list(plan)),
        "cuts": (CutLine, list(_cut_lines(work))),
        "pieces": (PieceLine, list(_piece_lines(work))),
        "parts": (PartLine, list(_part_lines(work))),
        "stacks": (StackLine, list(_stack_lines(work))),
        "days": (DayLine, list(_day_lines(work))),
        "leftovers": (KeptPiece, leftovers(plan)),
        "labels": (Label, labels(work)),
    }


def _cut_lines(work: Work) -> Iterator[CutLine]:
    step = 0
    for each in work.passes:
        for cut in each.cuts:
            step += 1
            row = cut_row(work.plan, cut)
            near_length, near_width = _measures(cut.near)
            far_length, far_width = _measures(cut.far)
            yield CutLine(
                step=step,
                saw=str(each.station),
                setup=str(cut.setup),
                setting=cut.setting,
                board=work.marks.boards[cut.board],
                cut=cut.n,
                what=row.what,
                piece=cut.piece.mark,
                tape=cut.tape,
                near=_name(cut.near),
                near_length=near_length,
                near_width=near_width,
                far=_name(cut.far),
                far_length=far_length,
                far_width=far_width,
            )


def _measures(piece: SawnPiece | None) -> tuple[Length | None, Length | None]:
    return (piece.length, piece.width) if piece else (None, None)


def _name(piece: SawnPiece | None) -> str:
    return (piece.mark or str(piece.fate)) if piece else ""


def _piece_lines(work: Work) -> Iterator[PieceLine]:
    parts = {blank: made.part for made in work.plan.parts for blank in made.blanks}
    for board in work.plan.boards:
        for blank in board.blanks:
            yield PieceLine(
                mark=work.marks.blanks[blank.id],
                part=parts.get(blank.id, ""),
                board=work.marks.boards[board.id],
                x=blank.x,
                y=blank.y,
                length=blank.length,
                width=blank.width,
                thickness=board.thickness,
                holds=blank.holds,
            )


def _part_lines(work: Work) -> Iterator[PartLine]:
    taken = [each.name for each in fields(PartLine) if each.name != "marks"]
    for way in parts_made(work.plan):
        marks = tuple(work.marks.parts[place] for place in way.places)
        yield PartLine(marks=marks, **{name: getattr(way, name) for name in taken})


def _stack_lines(work: Work) -> Iterator[StackLine]:
    for batch in work.batches:
        for stack in batch.stacks:
            yield StackLine(
                batch=batch.number,
                mark=stack.mark,
                part=stack.made.part,
                blanks=tuple(member.mark for member in stack.members),
                plies=len(stack.plies),
                glue_lines=stack.glue_lines,
                gallons=gallons(stack.glue_area, work.plan.practice),
                clamps_by_spacing=stack.clamps_by_spacing,
                clamps_by_force=stack.clamps_by_force,
                length=stack.length,
                width=stack.width,
                thickness=stack.thickness,
                final_length=stack.made.length,
                final_width=stack.made.width,
                final_thickness=stack.made.thickness,
            )


def _day_lines(work: Work) -> Iterator[DayLine]:
    for step in work.days:
        yield DayLine(
            day=step.day,
            until=step.until or step.day,
            task=str(step.task),
            begin=clock(step.begin),
            minutes=step.minutes,
            batch=step.batch or None,
        )


# --- a notebook ----------------------------------------------------------------------------------


def frames(plan: Plan) -> dict[str, pd.DataFrame]:
    """Each list as a DataFrame of the same exact objects; columns are the fields of its rows."""
    import pandas as pd  # takes 0.4 s, which only a notebook should pay

    found = {}
    for name, (kind, rows) in lists(plan).items():
        columns = [field.name for field in fields(kind)]
        cells = [[getattr(row, column) for column in columns] for row in rows]
        # dtype=object: Fraction and Decimal stay what they are.
        found[name] = pd.DataFrame(cells, columns=columns, dtype=object)
    return found


# --- files ---------------------------------------------------------------------------------------


def csv_names(plan: Plan) -> list[str]:
    """The names of the files that :func:`write_csv` writes."""
    return [f"{name}.csv" for name in lists(plan)]


def write_csv(plan: Plan, folder: Path) -> None:
    """Write each list as a CSV file into ``folder``, which is made if it is missing.

    UTF-8 with a mark at its start, by which spreadsheet programs know it. A text that such a
    program would take for a formula gets an apostrophe, as OWASP advises ("CSV Injection").

    Raises:
        RackfirstError: where the folder or a file in it cannot be written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise RackfirstError(f"{folder} is no folder and cannot become one") from error
    for name, (kind, rows) in lists(plan).items():
        with (
            whole_file(folder / f"{name}.csv") as unfinished,
            unfinished.open("w", encoding="utf-8-sig", newline="") as file,
        ):
            csv.writer(file).writerows(_csv_rows(kind, rows, plan.unit))


def _csv_rows(kind: type, rows: Iterable[Any], unit: Unit) -> Iterator[list[str]]:
    columns = fields(kind)
    yield [f"{each.name}, {unit}" if "Length" in str(each.type) else each.name for each in columns]
    for row in rows:
        yield [_csv_cell(getattr(row, each.name), str(each.type), unit) for each in columns]


def _csv_cell(value: Any, kind: str, unit: Unit) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case Fraction():
            return _decimal(value / unit.inches if "Length" in kind else value)
        case int() | Decimal():
            return f"{value}"
        case tuple():
            return _text("; ".join(_csv_cell(each, kind, unit) for each in value))
    return _text(shown(str(value)))


def _text(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text


def _decimal(value: Fraction) -> str:
    whole = f"{round(value * 10**_PLACES):0{_PLACES + 1}}"
    return f"{whole[:-_PLACES]}.{whole[-_PLACES:]}".rstrip("0").rstrip(".")
