"""Equal settings together, the longest first, and never a piece before it is there."""

from __future__ import annotations

from fractions import Fraction
from itertools import chain, pairwise

from hypothesis import given
from hypothesis import strategies as st

from optimizer.plan.plan import CutKind
from optimizer.work.order import order_of_work, settings_needed
from optimizer.work.saw_cuts import Fate, SawCut, SawnPiece, Setup
from optimizer.work.work import work_of
from tests.demo_plan import demo_plan
from tests.sound_plans import boat_rack
from tests.thin_strips import thin_strips

PIECE = SawnPiece(
    mark="", fate=Fate.WORK, x=Fraction(0), y=Fraction(0), length=Fraction(9), width=Fraction(9)
)


def cut(board: str, n: int, kind: CutKind, at: int | None, after: int | None = None) -> SawCut:
    setups = {CutKind.TRIM: Setup.TAPE, CutKind.CROSSCUT: Setup.STOP, CutKind.RIP: Setup.FENCE}
    return SawCut(
        board=board,
        n=n,
        kind=kind,
        piece=PIECE,
        tape=Fraction(0),
        setup=setups[kind],
        setting=None if at is None else Fraction(at),
        near=None,
        far=None,
        planned=n,
        after=after,
    )


def cross(board: str, n: int, at: int, after: int | None = None) -> SawCut:
    return cut(board, n, CutKind.CROSSCUT, at, after)


def rip(board: str, n: int, at: int, after: int | None = None) -> SawCut:
    return cut(board, n, CutKind.RIP, at, after)


def made(*boards: list[SawCut]) -> list[list[tuple[int | None, list[str]]]]:
    """Passes, their settings, and the cuts of each as ``B1-2``."""
    return [
        [
            (None if s.at is None else int(s.at), [f"{c.board}-{c.planned}" for c in s.cuts])
            for s in each.settings
        ]
        for each in order_of_work(boards)
    ]


def test_one_setting_serves_all_boards_and_the_longest_comes_first() -> None:
    first = [cross("B1", 1, 20), cross("B1", 2, 30, 1)]
    second = [cross("B2", 1, 30), cross("B2", 2, 20, 1)]
    assert settings_needed(chain(first, second)) == 3
    # B1's 30 waits for its 20: set 20 first, and neither is set again.
    third = [cross("B3", 1, 40)]
    passes = made([cross("B1", 1, 30), cross("B1", 2, 20, 1)], second, third)
    assert passes == [[(40, ["B3-1"]), (30, ["B1-1", "B2-1"]), (20, ["B1-2", "B2-2"])]]


def test_what_is_freed_at_a_setting_is_cut_before_it_moves() -> None:
    chain_of_three = [cross("B1", 1, 30), cross("B1", 2, 30, 1), cross("B1", 3, 30, 2)]
    assert made(chain_of_three, [cross("B2", 1, 30)]) == [[(30, ["B1-1", "B1-2", "B1-3", "B2-1"])]]


def test_one_walks_to_the_rip_saw_once_all_segments_are_there() -> None:
    boards = [[cross(b, 1, 50), rip(b, 2, 3, 1), cross(b, 3, 20, 2)] for b in ("B1", "B2")]
    assert made(*boards) == [
        [(50, ["B1-1", "B2-1"])],
        [(3, ["B1-2", "B2-2"])],
        [(20, ["B1-3", "B2-3"])],
    ]


def test_a_cut_that_can_wait_waits_for_the_pass_in_which_its_setting_stands_anyway() -> None:
    """B2's 20 could be cut at once; B1's comes after a rip, so 20 is set once for both."""
    waits = [cross("B2", 1, 20)]
    passes = made([cross("B1", 1, 50), rip("B1", 2, 3, 1), cross("B1", 3, 20, 2)], waits)
    assert passes[2] == [(20, ["B1-3", "B2-1"])]
    assert len(passes[0]) == 1


def test_stop_and_fence_stay_while_the_other_saw_runs() -> None:
    assert settings_needed([cross("B1", 1, 20), rip("B1", 2, 3), cross("B1", 3, 20)]) == 2


def test_a_trim_moves_neither_stop_nor_fence() -> None:
    trim = cut("B1", 2, CutKind.TRIM, None)
    assert settings_needed([cross("B1", 1, 20), trim, cross("B1", 3, 20)]) == 1


def test_the_fence_moves_for_each_thin_strip_of_a_board() -> None:
    """Three laths off each of two boards: three settings, each for both, and one of 1 1/2."""
    work = work_of(thin_strips())
    assert work.settings == 4
    assert work.settings_by_board == 8


def test_the_demo_needs_far_fewer_settings_than_board_by_board() -> None:
    work = work_of(demo_plan())
    assert work.settings * 2 < work.settings_by_board


def test_every_board_s_cuts_are_numbered_in_the_order_in_which_they_come() -> None:
    for plan in (demo_plan(), boat_rack().plan):
        work = work_of(plan)
        seen: dict[str, list[int]] = {}
        for each in chain.from_iterable(every.cuts for every in work.passes):
            seen.setdefault(each.board, []).append(each.n)
        assert seen == {
            each.board.id: list(range(1, len(each.cuts) + 1)) for each in work.boards if each.cuts
        }


@st.composite
def some_boards(draw: st.DrawFn) -> list[list[SawCut]]:
    """Up to five boards of up to eight cuts, each after an earlier one of its board or free."""
    boards = []
    for b in range(draw(st.integers(1, 5))):
        cuts: list[SawCut] = []
        for n in range(1, draw(st.integers(1, 8)) + 1):
            kind = draw(st.sampled_from([CutKind.CROSSCUT, CutKind.RIP]))
            after = draw(st.integers(1, n - 1)) if n > 1 else None
            cuts.append(cut(f"B{b}", n, kind, draw(st.integers(1, 4)), after))
        boards.append(cuts)
    return boards


@given(some_boards())
def test_every_cut_is_made_once_and_after_the_one_it_waits_for(boards: list[list[SawCut]]) -> None:
    order = list(chain.from_iterable(each.cuts for each in order_of_work(boards)))
    keys = [(each.board, each.planned) for each in order]
    assert sorted(keys) == sorted((c.board, c.planned) for c in chain.from_iterable(boards))
    for at, each in enumerate(order):
        assert each.after is None or (each.board, each.after) in keys[:at]


@given(some_boards())
def test_no_setting_stands_twice_in_a_row(boards: list[list[SawCut]]) -> None:
    for each in order_of_work(boards):
        stands = [setting.at for setting in each.settings]
        assert all(one != other for one, other in pairwise(stands))


@given(some_boards())
def test_passes_go_from_saw_to_saw_no_more_often_than_must_be(boards: list[list[SawCut]]) -> None:
    """The least is one more than the most walks that any chain of cuts asks for."""
    deepest = 0
    for board in boards:
        passes: dict[int, int] = {}
        for each in board:
            before = passes[each.after] if each.after else 0
            passes[each.planned] = before + (before % 2 != (each.kind is CutKind.RIP))
            deepest = max(deepest, passes[each.planned])
    assert len(order_of_work(boards)) <= deepest + 1
