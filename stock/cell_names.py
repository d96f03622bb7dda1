"""How a workbook names cells and areas: ``C7``, ``A1:P26``; rows and columns count from 1."""

from __future__ import annotations

from functools import cache
from typing import TypeAlias

At: TypeAlias = tuple[int, int]  # row and column, both from 1


def place(reference: str) -> At:
    """``C7`` is row 7, column 3; 0 for what is not said."""
    letters = reference.rstrip("0123456789")
    return int(reference[len(letters) :] or 0), _column(letters)


@cache
def _column(letters: str) -> int:
    column = 0
    for letter in letters.replace("$", ""):
        column = column * 26 + ord(letter) - ord("A") + 1
    return column


def corners(area: str) -> tuple[At, At]:
    """The first and last cell of ``A1:P26``; of ``A1``, the same twice."""
    first, _, last = area.replace("$", "").partition(":")
    return place(first), place(last or first)


def reference(at: At) -> str:
    """``C7`` for row 7, column 3."""
    row, column = at
    letters = ""
    while column:
        column, letter = divmod(column - 1, 26)
        letters = chr(ord("A") + letter) + letters
    return f"{letters}{row}"
