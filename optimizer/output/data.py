"""Every list of a plan as data: pandas DataFrames for a notebook, CSV files for other programs.

DataFrames hold the exact values of the lists. A CSV file holds lengths as plain decimals in the
plan's unit, which its header names: a spreadsheet program would turn 1/2 into a date.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from optimizer.output.lists import lists
from optimizer.output.words import shown
from optimizer.plan.plan import Plan
from stock.book_file import whole_file
from stock.errors import RackfirstError
from stock.lengths import Unit

if TYPE_CHECKING:
    import pandas as pd

_PLACES = 6  # of a decimal that does not end
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


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
