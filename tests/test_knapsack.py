"""The tables against filling every room by trial."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from optimizer.search import knapsack
from optimizer.search.knapsack import NEVER, Ints, Knapsack
from tests.benchmarks.measure import solved
from tests.benchmarks.shop_jobs import FAMILIES, shop_job

sizes_and_values = st.lists(st.tuples(st.integers(1, 9), st.integers(-5, 30)), max_size=4)
rests = st.lists(st.integers(0, 20), min_size=1, max_size=25)


def filled(items: list[tuple[int, int]], rest: list[int]) -> Knapsack:
    """A table of one row; ``rest[free]`` is what free room is worth."""
    table = Knapsack(np.array([size for size, _ in items], dtype=np.int64), np.array([rest]))
    table.fill(np.array([[value for _, value in items]], dtype=np.int64).reshape(1, -1))
    return table


def tried(items: list[tuple[int, int]], rest: list[int]) -> list[int]:
    """The most every room can hold, by trying each item first."""

    @cache
    def most(room: int) -> int:
        fillings = (value + most(room - size) for size, value in items if size <= room)
        return max([rest[room], *fillings])

    return [most(room) for room in range(len(rest))]


@given(items=sizes_and_values, rest=rests)
def test_every_room_is_filled_at_its_best(items: list[tuple[int, int]], rest: list[int]) -> None:
    assert filled(items, rest).best[0].tolist() == tried(items, rest)


@given(items=sizes_and_values, rest=rests)
def test_at_least_one_item_is_sawn(items: list[tuple[int, int]], rest: list[int]) -> None:
    most, room = tried(items, rest), len(rest) - 1
    with_one = [value + most[room - size] for size, value in items if size <= room]
    found = filled(items, rest).with_an_item(np.array([0]), np.array([room]))
    assert found.tolist() == [max(with_one, default=int(NEVER))]


@given(data=st.data(), sizes=st.lists(st.integers(1, 9), min_size=1, max_size=4), rest=rests)
def test_few_rows_at_a_time_are_filled_as_each_by_itself_as_far_as_asked(
    data: st.DataObject, sizes: list[int], rest: list[int]
) -> None:
    worths = st.lists(st.integers(-5, 30) | st.just(int(NEVER)), min_size=len(sizes))
    rows = data.draw(st.lists(worths.map(lambda w: w[: len(sizes)]), min_size=1, max_size=5))
    room = st.integers(0, len(rest) - 1)
    longest = data.draw(st.lists(room, min_size=len(rows), max_size=len(rows)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(knapsack, "AT_ONCE", data.draw(st.integers(0, 20)))
        patch.setattr(knapsack, "MOST_ROOMS", data.draw(st.integers(1, 6)))
        table = Knapsack(np.array(sizes), np.array([rest] * len(rows)), np.array(longest))
        table.fill(np.array(rows))
    for row, values in enumerate(rows):
        rooms = np.arange(longest[row] + 1)
        possible = [each for each in zip(sizes, values, strict=True) if each[1] != NEVER]
        alone = filled(possible, rest)
        assert table.best[row, rooms].tolist() == alone.best[0, rooms].tolist()
        with_one, by_itself = (
            np.maximum(each.with_an_item(np.array(of), rooms), NEVER // 2)
            for each, of in ((table, row), (alone, 0))
        )
        assert with_one.tolist() == by_itself.tolist()


@given(items=sizes_and_values, rest=rests)
def test_a_filling_with_a_named_item_has_it_and_is_the_best_such(
    items: list[tuple[int, int]], rest: list[int]
) -> None:
    most, room, table = tried(items, rest), len(rest) - 1, filled(items, rest)
    worths = table.with_each_item(np.array(0), np.array(room))
    for item, (size, value) in enumerate(items):
        if size > room:
            assert worths[item] == NEVER
            continue
        chosen = table.items(0, room, item)
        assert item in chosen
        assert worths[item] == value + most[room - size]
        sizes, values = zip(*(items[i] for i in chosen), strict=True)
        assert sum(values) + rest[room - sum(sizes)] == worths[item]


@given(items=sizes_and_values, rest=rests)
def test_the_items_found_are_worth_what_the_table_says(
    items: list[tuple[int, int]], rest: list[int]
) -> None:
    room = len(rest) - 1
    assume(any(size <= room for size, _ in items))
    table = filled(items, rest)
    chosen = table.items(0, room)
    sizes, values = zip(*(items[i] for i in chosen), strict=True)
    assert sum(values) + rest[room - sum(sizes)] == table.with_an_item(np.array(0), np.array(room))
    assert list(sizes) == sorted(sizes, reverse=True)


def test_what_may_not_be_done_is_never_chosen() -> None:
    table = Knapsack(np.array([2, 3]), np.zeros((1, 12), dtype=np.int64))
    table.fill(np.array([[NEVER, 5]]))
    assert table.items(0, 11) == [1, 1, 1]


def test_rows_are_filled_apart() -> None:
    table = Knapsack(np.array([2, 3]), np.zeros((2, 7), dtype=np.int64))
    table.fill(np.array([[4, 1], [1, 4]]))
    assert [table.items(row, 6) for row in (0, 1)] == [[0, 0, 0], [1, 1]]


@given(
    sizes=st.lists(st.integers(1, 9), min_size=1, max_size=4),
    rest=rests,
    data=st.data(),
)
def test_what_a_filling_with_a_named_item_loses_in_several_rooms_at_once(
    sizes: list[int], rest: list[int], data: st.DataObject
) -> None:
    values = data.draw(
        st.lists(
            st.lists(st.integers(-5, 30), min_size=len(sizes), max_size=len(sizes)),
            min_size=1,
            max_size=3,
        )
    )
    table = Knapsack(np.array(sizes), np.array([rest] * len(values)))
    table.fill(np.array(values))
    asked = data.draw(
        st.lists(
            st.tuples(st.integers(0, len(values) - 1), st.integers(0, len(rest) - 1)), min_size=1
        )
    )
    rows, rooms = np.array(asked).T
    for (row, room), lost in zip(asked, table.deficits(rows, rooms).tolist(), strict=True):
        items = list(zip(sizes, values[row], strict=True))
        most = tried(items, rest)
        worths = {
            i: value + most[room - size] for i, (size, value) in enumerate(items) if size <= room
        }
        for i in range(len(sizes)):
            if i in worths:
                assert lost[i] == max(worths.values()) - worths[i]
            else:
                assert lost[i] > -NEVER // 2


@pytest.mark.parametrize("seed", range(4))
def test_a_search_asks_for_no_more_room_than_its_boards_have(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever stands beyond, it is not looked at: plan and bound are the same."""
    books = shop_job(FAMILIES["A"], seed, lines=3)
    plan = solved(*books, seconds=60).plan
    beyond = dict[Knapsack, tuple[Ints, ...]]()
    fill, begin = Knapsack.fill, Knapsack.__init__

    def begin_and_mark(
        table: Knapsack, sizes: Ints, terminal: Ints, longest: Ints | None = None
    ) -> None:
        begin(table, sizes, terminal, longest)
        if longest is not None:
            rooms = np.arange(terminal.shape[1])
            beyond[table] = np.nonzero(rooms > longest[:, None])

    def fill_and_spoil(table: Knapsack, values: Ints) -> None:
        fill(table, values)
        if table in beyond:
            table.best[beyond[table]] = 2**50

    monkeypatch.setattr(knapsack, "AT_ONCE", 0)
    monkeypatch.setattr(Knapsack, "__init__", begin_and_mark)
    monkeypatch.setattr(Knapsack, "fill", fill_and_spoil)
    assert solved(*books, seconds=60).plan == plan
    assert sum(len(rows) for rows, _ in beyond.values())
