"""The drawing of a board is true to scale, and nothing on it covers anything else on a phone."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import pytest

from optimizer.output.stick_numbers import Kerf
from optimizer.output.stick_scale import FIGURE
from optimizer.output.sticks import Stick, stick
from optimizer.plan.plan import Plan
from optimizer.work.work import SawnBoard, work_of
from tests.crowded_board import crowded_board
from tests.demo_plan import demo_plan
from tests.sample_plan import sample_plan
from tests.sound_plans import boat_rack, metric_post
from tests.thin_strips import thin_strips

PLANS = [demo_plan, sample_plan, thin_strips, lambda: boat_rack().plan, lambda: metric_post().plan]


def drawn(plan: Plan) -> list[tuple[SawnBoard, Stick]]:
    return [(each, stick(plan, each)) for each in work_of(plan).boards]


@pytest.fixture(params=PLANS)
def sticks(request: pytest.FixtureRequest) -> list[tuple[SawnBoard, Stick]]:
    return drawn(request.param())


def test_lengths_and_widths_are_to_scale(sticks: list[tuple[SawnBoard, Stick]]) -> None:
    for each, drawing in sticks:
        board, across = each.board, drawing.bottom - drawing.top
        for piece, area in zip(each.pieces, drawing.areas, strict=False):
            assert area.left == pytest.approx(100 * float(piece.x / board.length), abs=0.01)
            assert area.wide == pytest.approx(100 * float(piece.length / board.length), abs=0.01)
            high = across * float(piece.width / board.width)
            assert area.high == pytest.approx(high, abs=0.05)
            lower = drawing.bottom - across * float(piece.y / board.width)
            assert area.top + area.high == pytest.approx(lower, abs=0.05)


def test_every_cut_has_its_number_and_every_tape_reading_its_flag() -> None:
    for each, drawing in drawn(demo_plan()):
        assert [kerf.n for kerf in drawing.kerfs] == list(range(1, len(each.cuts) + 1))
        places = {cut.tape for cut in each.cuts if not cut.kind.along}
        assert len(drawing.flags) == len(places)


@pytest.mark.parametrize("plan", [demo_plan, lambda: crowded_board(3, 20)])
def test_no_reading_covers_another_or_the_line_of_another(plan: Callable[[], Plan]) -> None:
    for _, drawing in drawn(plan()):
        for one, other in combinations(drawing.flags, 2):
            first, second = sorted((one, other), key=lambda flag: flag.left)
            wide = 12 if first.upright else len(first.reading) * FIGURE
            if (
                first.left * drawing.least_wide / 100 + wide
                > second.left * drawing.least_wide / 100
            ):
                assert first.rise > second.rise  # the second one's line ends below the first


@pytest.mark.parametrize(
    ("plan", "standing"), [(crowded_board(3, 20), True), (boat_rack().plan, False)]
)
def test_readings_that_crowd_stand_upright(plan: Plan, standing: bool) -> None:
    assert {flag.upright for _, each in drawn(plan) for flag in each.flags} == {standing}


def test_numbers_keep_clear_of_one_another_on_a_phone() -> None:
    """Where cuts crowd a few may touch: at most one in twenty."""
    numbers = touching = 0
    for _, drawing in [*drawn(demo_plan()), *drawn(crowded_board(3, 20))]:
        numbers += len(drawing.kerfs)
        pairs = combinations(drawing.kerfs, 2)
        touching += sum(_apart(one, other, drawing.least_wide) < 14 for one, other in pairs)
    assert touching * 20 <= numbers


def _apart(one: Kerf, other: Kerf, wide: int) -> float:
    along = (one.number_left - other.number_left) * wide / 100
    across = one.number_top - other.number_top
    return float((along**2 + across**2) ** 0.5)


def test_a_mark_fits_its_piece_lying_or_standing() -> None:
    for each, drawing in drawn(demo_plan()):
        for area in drawing.areas:
            if not area.mark:
                continue
            wide = area.wide * drawing.least_wide / 100
            assert max(wide, area.high) >= 7 * len(area.mark), (each.mark, area.mark)
            assert min(wide, area.high) >= 11, (each.mark, area.mark)


def test_a_board_without_a_cut_is_one_blank() -> None:
    _, drawing = drawn(sample_plan())[5]
    (area,) = drawing.areas
    assert (area.left, area.wide, area.mark) == (0, 100, "B6")


def test_the_drawing_is_told_in_words() -> None:
    _, drawing = drawn(boat_rack().plan)[1]
    assert drawing.told == (
        "Board B2 with its cuts, from the left end: C1a 31 × 3, C1b 31 × 3, R003 32 3/4 × 3 1/2"
    )
