"""A board sawn by its pattern: where each piece lies, each cut, and every bit of its wood."""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

from optimizer.job.blanks import BlankKind
from optimizer.plan.plan import CutKind
from optimizer.search.knapsack import NEVER
from optimizer.search.patterns import Pattern, Segment, Strip
from optimizer.search.problem import Problem
from optimizer.search.sawing import Piece, Sawyer, take_wanted
from tests.drawn_benches import PINE, Bench, area, benches, sawn_area, worths
from tests.making_plans import inches
from tests.shop_floor import book, on_rack, sawing_problem, shop, sold

NARROW, SHORT, LONG = range(3)  # the kinds of blanks below, by index
KINDS = [
    BlankKind(lumber=PINE, length=inches(length), width=inches(width))
    for length, width in (("20", "2"), ("20", "3"), ("40", "3"))
]


def bench(text: str = "1 x 5 1/2 x 96", **settings: Any) -> Problem:
    """One board sold. Kerfs 1/8, end trim 1/2; leftovers are kept from 12 x 1 1/2."""
    return sawing_problem(book(sold(text, "9.60"), shop=shop(**settings)), KINDS)


def offcut(text: str) -> Problem:
    return sawing_problem(book(on_rack("R001", text), shop=shop()), KINDS)


def pattern(*segments: tuple[str, list[tuple[str, list[int]]]]) -> Pattern:
    """Segments as (length, strips), strips as (width, blanks)."""
    return Pattern(
        0,
        tuple(
            Segment(inches(length), tuple(Strip(inches(w), tuple(kinds)) for w, kinds in strips))
            for length, strips in segments
        ),
    )


def place(piece: Piece) -> str:
    measures = (piece.x, piece.y, piece.length, piece.width)
    return "at {}, {}: {} x {}".format(*map(float, measures))


def told_cuts(sawyer: Sawyer) -> list[str]:
    return [f"{cut.kind} {place(cut.piece)} at {float(cut.at)}" for cut in sawyer.cuts]


def test_trim_crosscut_rip_crosscut_rip() -> None:
    # A segment of 40 ripped to 3, and a full-width piece of 20 ripped to 2 last.
    sawyer = Sawyer(bench(), pattern(("40", [("3", [SHORT])]), ("20", [("5 1/2", [NARROW])])))
    assert told_cuts(sawyer) == [
        "trim at 0.0, 0.0: 96.0 x 5.5 at 0.375",  # 1/2 less the kerf of 1/8
        "trim at 0.5, 0.0: 95.5 x 5.5 at 95.0",
        "crosscut at 0.5, 0.0: 95.0 x 5.5 at 40.0",
        "crosscut at 40.625, 0.0: 54.875 x 5.5 at 20.0",
        "rip at 0.5, 0.0: 40.0 x 5.5 at 3.0",
        "crosscut at 0.5, 0.0: 40.0 x 3.0 at 20.0",
        "rip at 40.625, 0.0: 20.0 x 5.5 at 2.0",
    ]
    blanks = [place(piece) for piece in sawyer.finished() if piece.kind is not None]
    assert blanks == ["at 0.5, 0.0: 20.0 x 3.0", "at 40.625, 0.0: 20.0 x 2.0"]
    assert sorted(place(piece) for piece in sawyer.finished() if sawyer.kept(piece)) == [
        "at 0.5, 3.125: 40.0 x 2.375",
        "at 20.625, 0.0: 19.875 x 3.0",
        "at 40.625, 2.125: 20.0 x 3.375",
        "at 60.75, 0.0: 34.75 x 5.5",
    ]


ONE_LONG = pattern(("40", [("3", [LONG])]))


def test_a_piece_used_up_is_not_cut() -> None:
    sawyer = Sawyer(offcut("1 x 3 x 40"), ONE_LONG)
    assert sawyer.cuts == []
    assert list(map(place, sawyer.finished())) == ["at 0.0, 0.0: 40.0 x 3.0"]


def test_a_kerf_may_run_off_the_end() -> None:
    # Beyond 40 there is 1/16, less than the kerf: one cut, and nothing is left of it.
    sawyer = Sawyer(offcut("1 x 3 x 40 1/16"), ONE_LONG)
    assert [(cut.kind, cut.far) for cut in sawyer.cuts] == [(CutKind.CROSSCUT, None)]
    assert [piece.kind for piece in sawyer.finished()] == [LONG]


def test_a_trim_as_wide_as_its_kerf_leaves_no_scrap() -> None:
    sawyer = Sawyer(bench("1 x 3 x 40 1/4", end_trim="1/8"), ONE_LONG)
    assert [(cut.at, cut.near is None) for cut in sawyer.cuts] == [(0, True), (40, False)]
    assert list(map(place, sawyer.finished())) == ["at 0.125, 0.0: 40.0 x 3.0"]


def test_trimmings_are_scrap_even_where_they_are_long_enough_to_keep() -> None:
    sawyer = Sawyer(bench("1 x 3 x 70", end_trim=15), ONE_LONG)
    assert [piece.length for piece in sawyer.finished()] == [inches("14 7/8"), 40, inches("14 7/8")]
    assert not any(map(sawyer.kept, sawyer.finished()))


def test_only_wanted_blanks_are_sawn() -> None:
    both = pattern(("40", [("3", [SHORT, SHORT]), ("2", [NARROW])]), ("40", [("3", [LONG])]))
    wanted = Counter({SHORT: 1, LONG: 1})
    assert take_wanted(both, wanted) == pattern(("40", [("3", [SHORT])]), ("40", [("3", [LONG])]))
    assert wanted.total() == 0
    assert take_wanted(both, wanted) == pattern()


@given(data=st.data(), drawn=benches())
def test_no_wood_is_lost_or_gained(data: st.DataObject, drawn: Bench) -> None:
    values = data.draw(worths(drawn))
    table = drawn.tables()
    assume(table.price(values)[0] > NEVER // 2)
    sawyer = Sawyer(drawn.problem(), table.column(0, values).pattern)
    assert sawn_area(sawyer) == area(sawyer.board)


@given(data=st.data(), drawn=benches())
def test_every_cut_leaves_its_sides_where_the_piece_was(data: st.DataObject, drawn: Bench) -> None:
    values = data.draw(worths(drawn))
    table = drawn.tables()
    assume(table.price(values)[0] > NEVER // 2)
    sawyer = Sawyer(drawn.problem(), table.column(0, values).pattern)
    there = {id(sawyer.board)}
    for cut in sawyer.cuts:
        there.remove(id(cut.piece))  # each piece is cut once, and after the cut that gave it
        for side in filter(None, (cut.near, cut.far)):
            there.add(id(side))
            assert within(side, cut.piece)
    assert there == {id(piece) for piece in sawyer.finished()}


def within(inner: Piece, outer: Piece) -> bool:
    along = outer.x <= inner.x and inner.x + inner.length <= outer.x + outer.length
    return along and outer.y <= inner.y and inner.y + inner.width <= outer.y + outer.width
