"""The sheet Journal as lines, and lines as the sheet; faults name the cell."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from stock.errors import BookFaultsError
from stock.journal import Line, What
from stock.journal_sheet import line_cells, past_tags, read_journal
from stock.lengths import Length, Unit
from stock.pieces import Lumber, RackPiece
from stock.rack_forms import JOURNAL
from stock.spreadsheet import Book
from tests.typed_books import workbook

HEADER = "Date | What | Tag | In | Out | Thickness | Width | Length"

lengths = st.fractions(min_value=Length(1, 64), max_value=300, max_denominator=127)
words = st.text(st.sampled_from("abcRS 0123456789-"), max_size=9).map(
    lambda text: " ".join(text.split())
)


@st.composite
def lines(draw: st.DrawFn) -> Line:
    what = draw(st.sampled_from(tuple(What)))
    still = what in (What.HELD, What.FREED)
    return Line(
        day=draw(st.dates(date(1990, 1, 1), date(2100, 1, 1))),
        what=what,
        piece=RackPiece(
            tag=f"R{draw(st.integers(1, 999)):03}",
            lumber=Lumber(wood=draw(words), treated=draw(st.booleans()), thickness=draw(lengths)),
            width=draw(lengths),
            length=draw(lengths),
            size=draw(st.sampled_from(("", "2x4", "5/4x6", "38x89"))),
            bay=draw(words),
        ),
        count=0 if still else draw(st.sampled_from((-3, -1, 1, 2))),
        plan=draw(words),
        note=draw(words),
        also=draw(st.sampled_from(((), (("Note", "wet"), ("Held for", "boat rack"))))),
    )


def in_book(path: Path, journal: list[Line], unit: Unit) -> Book:
    headers = [column.header for column in JOURNAL.columns]
    with xlsxwriter.Workbook(path, {"strings_to_numbers": False}) as book:
        sheet = book.add_worksheet("Journal")
        sheet.write_row(0, 0, headers)
        for number, line in enumerate(journal, 1):
            for header, content in line_cells(line, unit).items():
                if content is not None:
                    shown = content.isoformat() if isinstance(content, date) else content
                    sheet.write(number, headers.index(header), shown)
    return Book(path)


@settings(max_examples=30)
@given(journal=st.lists(lines(), max_size=6), unit=st.sampled_from(Unit))
def test_every_line_is_read_as_it_was_written(
    tmp_path_factory: pytest.TempPathFactory, journal: list[Line], unit: Unit
) -> None:
    book = in_book(tmp_path_factory.mktemp("journal") / "j.xlsx", journal, unit)
    assert list(read_journal(book, unit)) == journal
    assert past_tags(book) == {line.piece.tag for line in journal}


def test_without_a_sheet_there_is_no_journal(tmp_path: Path) -> None:
    book = Book(workbook(tmp_path / "b.xlsx", Rack="Size | Length\n2x4 | 30"))
    assert read_journal(book, Unit.IN) == ()
    assert past_tags(book) == frozenset()


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("2026-05-04 | sold | R001 | 1 | | 1 1/2 | 3 1/2 | 30", "row 2, column What: this is not"),
        ("2026-05-04 | kept | | 1 | | 1 1/2 | 3 1/2 | 30", "row 2, column Tag: it is empty"),
        (
            "4 May | kept | R001 | 1 | | 1 1/2 | 3 1/2 | 30",
            "row 2, column Date: this is not a date",
        ),
        ("2026-05-04 | kept | R001 | 1 | 1 | 1 1/2 | 3 1/2 | 30", "moves pieces in, or else out"),
        ("2026-05-04 | kept | R001 | 1 | | 1 1/2 | 3 1/2 | long", "column Length: this is not a"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(tmp_path: Path, row: str, said: str) -> None:
    book = Book(workbook(tmp_path / "b.xlsx", Journal=f"{HEADER}\n{row}"))
    with pytest.raises(BookFaultsError, match=f"b.xlsx, sheet Journal, .*{said}"):
        read_journal(book, Unit.IN)


def test_a_missing_column_is_named_once(tmp_path: Path) -> None:
    book = Book(
        workbook(tmp_path / "b.xlsx", Journal="Date | What | Tag | In\n2026-05-04 | kept | R1 | 1")
    )
    with pytest.raises(
        BookFaultsError, match=r"column Out: the column is missing[^$]*column Length: the"
    ):
        read_journal(book, Unit.IN)
