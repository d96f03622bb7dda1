"""A fault knows its file, sheet, row and column.

Reading returns values and faults; faults are collected and raised once, each with its place.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

WIDTH = 80
"""Columns of a narrow terminal: what is said there is no wider."""


class RackfirstError(Exception):
    """Anything the user can mend. Its text is written for the user."""


class UnreadableError(ValueError):
    """What was typed cannot be read: ``problem`` says why, ``remedy`` what would do."""

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where something stands in a book; ``row`` counts from 1 as a spreadsheet program does."""

    file: str
    sheet: str = ""
    row: int | None = None
    column: str = ""

    def __str__(self) -> str:
        parts = [self.file]
        if self.sheet:
            parts.append(f"sheet {self.sheet}")
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column:
            parts.append(f"column {self.column}")
        return ", ".join(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong in a book: where, what, what stood there, and what would do."""

    place: Place
    problem: str
    found: str = ""
    remedy: str = ""

    def __str__(self) -> str:
        text = f"{self.place}: {self.problem}"
        if self.found:
            text += f" (it says {self.found!r})"
        if self.remedy:
            text += f"; {self.remedy}"
        return text


class BookFaultsError(RackfirstError):
    """All faults of the books at once."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        if not self.faults:
            raise ValueError("BookFaultsError needs at least one fault")
        super().__init__("\n".join(str(fault) for fault in self.faults))
