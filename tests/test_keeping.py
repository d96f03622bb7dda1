"""Keep or burn, by the shop's own rules. All numbers are invented."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from stock.errors import BookFaultsError
from stock.journal import Line, What
from stock.keeping import OLDER, ages_of_leftovers, read_keep_rules, shelved, to_burn
from stock.lengths import Length, Unit
from stock.pieces import Lumber, RackPiece
from stock.spreadsheet import Book
from tests.settled_shop import books, stock_in
from tests.typed_books import settings_sheet

TODAY = date(2026, 5, 4)
RACK = """
    Size | Length | Tag  | Measured on | Count
    2x4  | 60     | R001 | 2026-04-01  |
    2x4  | 30     | R002 | 2024-04-01  |
    2x4  | 20     | R003 | 2026-04-01  | 2
    2x4  | 11     | R004 | 2026-04-01  |
    2x6  | 30     | R005 |             |
"""


def burned(folder: Path, **sheets: str) -> dict[str, list[str]]:
    path = books(folder, rack=RACK, **sheets)
    stock = stock_in(path)
    rules = read_keep_rules(Book(path), Unit.IN)
    return to_burn(shelved(stock, (), TODAY), rules, stock)


def test_without_rules_only_what_is_worth_nothing_goes(tmp_path: Path) -> None:
    assert burned(tmp_path) == {"R004": ["worth nothing as an offcut"]}


def test_a_section_has_its_own_shortest(tmp_path: Path) -> None:
    keep = "Size | Shortest\n2x4 | 24\n | 12"
    assert burned(tmp_path, Keep=keep).keys() == {"R003", "R004"}


def test_what_lies_too_long_goes(tmp_path: Path) -> None:
    assert burned(tmp_path, Keep="Months\n18")["R002"] == ["lies there for 25 months"]
    assert burned(tmp_path, Keep="Months\n1")["R001"] == ["lies there for 1 month"]
    assert "R005" not in burned(tmp_path, Keep="Months\n18")  # nobody knows for how long


def test_of_too_many_the_longest_stay(tmp_path: Path) -> None:
    keep = "Size | Most\n2x4 | 2"
    assert burned(tmp_path, Keep=keep)["R003"] == ["more than 2 such pieces"]
    assert "R002" not in burned(tmp_path, Keep=keep)


def test_on_a_full_rack_the_least_worthy_for_its_room_goes_first(tmp_path: Path) -> None:
    # By volume: R001 2.2 board feet, R002 1.1, R003 two of 0.7, R005 1.7; short pieces are worth
    # half for their wood (see stock/worth.py), so R003 goes, then R005 before the smaller R002.
    room = settings_sheet(rack_space="4")
    assert burned(tmp_path, Shop=room).keys() == {"R004", "R003", "R005"}
    assert burned(tmp_path, Shop=settings_sheet(rack_space="5")).keys() == {"R004", "R003"}
    assert burned(tmp_path, Shop=settings_sheet(rack_space="9")).keys() == {"R004"}


def test_a_rule_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    with pytest.raises(BookFaultsError, match="sheet Keep, row 2, column Most: this is not a"):
        burned(tmp_path, Keep="Size | Most\n2x4 | few")


def test_how_long_leftovers_lie() -> None:
    lumber = Lumber(wood="SPF", treated=False, thickness=Length(3, 2))

    def line(what: What, tag: str, days_ago: int, count: int = 1) -> Line:
        piece = RackPiece(tag=tag, lumber=lumber, width=Length(3), length=Length(30))
        return Line(day=TODAY - timedelta(days_ago), what=what, piece=piece, count=count)

    journal = [
        line(What.KEPT, "R001", 400, 2),
        line(What.SAWN, "R001", 380, -1),  # after 20 days; its twin still lies
        line(What.KEPT, "R002", 100),
        line(What.SAWN, "R002", 50, -1),  # after 50 days
        line(What.KEPT, "R003", 30),
        line(What.COUNTED, "R003", 10, -1),  # burned: neither used nor lying
        line(What.COUNTED, "R004", 10),  # no leftover of a plan
        line(What.KEPT, "R005", 5),
    ]
    ages = ages_of_leftovers(journal, TODAY)
    assert ages == {
        "under 1 month": (1, 1),
        "1 to 3 months": (1, 0),
        "3 to 6": (0, 0),
        "6 to 12": (0, 0),
        OLDER: (0, 1),
    }
