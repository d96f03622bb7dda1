"""What is read at saw and bench: lowest terms, rounded only where it is read."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from optimizer.output.saw_words import cut_row, mixed_up, settings_told
from optimizer.output.words import read
from optimizer.plan.marks import NearAlike, piece_marks
from optimizer.plan.plan import Plan
from optimizer.work.saw_cuts import saw_cuts
from optimizer.work.work import work_of
from stock.lengths import Length, Unit
from stock.shop import ReadTo
from tests.making_plans import cuts, leftover
from tests.sound_plans import boat_rack, metric_post
from tests.thin_strips import thin_strips


def reading_to(plan: Plan, step: ReadTo) -> Plan:
    return replace(plan, practice=replace(plan.practice, read_to=step))


@pytest.mark.parametrize(
    ("length", "step", "told"),
    [
        ("63/2", ReadTo.SIXTEENTHS, "31 1/2"),
        ("1001/32", ReadTo.THIRTY_SECONDS, "31 9/32"),
        ("1001/32", ReadTo.SIXTEENTHS, "31 5/16"),  # half a step is rounded up
        ("94/3", ReadTo.SIXTEENTHS, "31 5/16"),
        ("94/3", ReadTo.THIRTY_SECONDS, "31 11/32"),
        ("31/32", ReadTo.SIXTEENTHS, "1"),
    ],
)
def test_a_tape_is_read_in_lowest_terms(length: str, step: ReadTo, told: str) -> None:
    assert read(Length(length), reading_to(boat_rack().plan, step)) == told


@pytest.mark.parametrize(
    ("millimetres", "step", "told"),
    [
        ("724.4", ReadTo.MILLIMETRES, "724"),
        ("724.5", ReadTo.MILLIMETRES, "725"),
        ("724.3", ReadTo.HALF_MILLIMETRES, "724.5"),
        ("724.2", ReadTo.HALF_MILLIMETRES, "724"),
    ],
)
def test_a_metric_tape(millimetres: str, step: ReadTo, told: str) -> None:
    length = Fraction(millimetres) * Unit.MM.inches
    assert read(length, reading_to(metric_post().plan, step)) == told


def test_readings_are_never_added_up_from_rounded_ones() -> None:
    """Twelve pieces of 3 1/48 in, kerfs of 3/32: the last mark lies at 12 × 3 1/48 + 11 × 3/32 =
    37 9/32. From pieces rounded to 3 and kerfs of 1/8 one would read 37 3/8.
    """
    plan = reading_to(replace(boat_rack().plan, crosscut_kerf=Length(3, 32)), ReadTo.SIXTEENTHS)
    lines = [
        f"crosscut B1{'.' + str(n - 1) if n > 1 else ''} at 145/48 gives c{n} B1.{n}"
        for n in range(1, 13)
    ]
    board = replace(plan.boards[0], cuts=cuts(*lines), blanks=())
    *_, last = saw_cuts(plan, board, piece_marks(plan))
    assert last.tape == Length(1193, 32)
    assert cut_row(plan, last).tape == "37 5/16"
    assert cut_row(plan, last).setting == "stop 3"


def test_a_thin_strip_is_told_to_fall_outside() -> None:
    (first, *_), _ = (each.cuts[2:] for each in work_of(thin_strips()).boards)
    row = cut_row(thin_strips(), first)
    assert row.setting == "fence 2 7/8, thin strip falls outside"
    assert row.comes_off == "A1, 35 × 1/2"


def test_trims_say_which_end_and_what_is_left() -> None:
    left, right, *_ = work_of(boat_rack().plan).boards[1].cuts
    assert [cut_row(boat_rack().plan, cut).what for cut in (left, right)] == [
        "Trim left end",
        "Trim right end",
    ]
    assert cut_row(boat_rack().plan, right).at == "95"
    assert cut_row(boat_rack().plan, right).setting == "at 95 from its left end"
    assert cut_row(boat_rack().plan, right).comes_off == "scrap, 3/8 × 3 1/2"
    assert cut_row(boat_rack().plan, right).remains == "B2, 95 × 3 1/2"


def test_a_bad_stretch_is_named_and_measured_from_the_end_in_hand() -> None:
    """B1, from the rack, is bad from 16 to 22: cut at 16, and 5 7/8 and a kerf off the rest."""
    plan = boat_rack().plan
    lines = ("trim B1 at 16 gives b1 B1.1", "trim B1.1 at 5 3/4 gives - R005")
    kept = leftover("R005", "22", "0", "22", "3 1/2", "0.10")
    board = replace(plan.boards[0], cuts=cuts(*lines), leftovers=(kept,))
    assert board.from_rack
    first, second = saw_cuts(plan, board, piece_marks(plan))
    assert cut_row(plan, first).what == "Trim before bad stretch"
    row = cut_row(plan, second)
    assert (row.what, row.at, row.tape) == ("Trim left end", "5 3/4", "21 7/8")
    assert row.comes_off == "bad stretch, 5 3/4 × 3 1/2"


def test_how_often_is_set() -> None:
    assert (
        settings_told(work_of(thin_strips()))
        == "4 settings of stop and fence (8 if sawn board by board)"
    )


def test_parts_easily_mixed_up_say_how_they_differ() -> None:
    work = work_of(boat_rack().plan)
    pair = NearAlike(
        first="Rail",
        second="Post",
        rough=True,
        length=Length(1, 8),
        width=Length(-1, 4),
        thickness=Length(0),
    )
    assert mixed_up(work, pair) == (
        "Blanks of A (Rail) and C (Post) are easily mixed up: C is 1/8 longer and 1/4 narrower."
    )
