"""How much of the gap is left inside the segments and the strips of a board.

A board that loses at most its budget loses somewhere at least what its best filling by other pieces
leaves; the rest is what may be lost inside a segment, and so on inside a strip.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np

from optimizer.search.cutting import CuttingTables
from optimizer.search.knapsack import Ints


def left_in_segments(
    table: CuttingTables, best: Ints, wanted: Sequence[int], budgets: Ints
) -> dict[tuple[int, int], int]:
    """For each (row, board width) that may be ripped: the most that may be lost inside, where
    boards of each supply, worth ``best`` at the most, lose at most its budget.
    """
    left = dict[tuple[int, int], int]()

    def allow(row: int, board: int, budget: int) -> None:
        if budget >= left.get((row, board), 0):
            left[row, board] = budget

    boards, rooms = table.board_of_supply[wanted], table.room_of_supply[wanted]
    for s, board in zip(wanted, boards.tolist(), strict=True):
        row = int(table.row_of_supply[s])
        if row >= 0:
            whole = int(table.segment_best[row, board])
            allow(row, board, int(budgets[s] - (best[s] - whole)))
    if not table.crosscut_into_segments:
        return left
    found = table.board_table.with_an_item(boards, rooms)
    lost = table.board_table.deficits(boards, rooms) + (best[wanted] - found)[:, None]
    for item, row in enumerate(table.row_of_length):
        if row >= 0:
            ripped = table.segment_best[row, boards] - table.crosscut_pay
            beside = table.board_table.values[boards, item] - ripped
            within = budgets[wanted] - lost[:, item] - beside
            for board, budget in zip(boards.tolist(), within.tolist(), strict=True):
                allow(row, board, budget)
    return left


def left_in_strips(
    table: CuttingTables, segments: dict[tuple[int, int], int]
) -> dict[int, dict[int, int]]:
    """For each strip width, for each row: the most that may be lost inside, where segments lose at
    most so much.
    """
    left = defaultdict[int, dict[int, int]](dict)
    sides = [
        (row, room, budget - beside)
        for (row, board), budget in segments.items()
        for room, beside in table.rooms.sides(table.segment_table, row, board)
    ]
    if not sides:
        return left
    rows, rooms, within = np.array(sides).T
    inside = within[:, None] - table.segment_table.deficits(rows, rooms)
    for side, strip in np.argwhere(inside >= 0).tolist():
        row = sides[side][0]
        left[strip][row] = max(left[strip].get(row, 0), int(inside[side, strip]))
    return left
