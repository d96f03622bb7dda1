"""A plan of many boards, made of copies of a small one; the boards and prices are invented."""

from __future__ import annotations

from dataclasses import replace

from optimizer.plan.plan import Board, Cut, MadePart, Plan
from tests.demo_plan import demo_plan


def many_boards(least: int) -> Plan:
    """The demo again and again, until there are ``least`` boards; its bill stays that of one."""
    plan = demo_plan()
    times = -(-least // len(plan.boards))
    boards = tuple(_board(each, n) for n in range(times) for each in plan.boards)
    parts = tuple(_part(each, n) for n in range(times) for each in plan.parts)
    return replace(plan, boards=boards, parts=parts)


def _board(board: Board, n: int) -> Board:
    return replace(
        board,
        id=f"{board.id}00{n}",
        tag=board.tag and f"{board.tag}00{n}",
        blanks=tuple(replace(each, id=f"{each.id}x{n}") for each in board.blanks),
        leftovers=tuple(replace(each, tag=f"{each.tag}00{n}") for each in board.leftovers),
        cuts=tuple(_cut(board, each, n) for each in board.cuts),
    )


def _cut(board: Board, cut: Cut, n: int) -> Cut:
    tags = {left.tag for left in board.leftovers}
    blanks = {blank.id for blank in board.blanks}

    def named(name: str) -> str:
        if name in tags:
            return f"{name}00{n}"
        if name in blanks:
            return f"{name}x{n}"
        return name.replace(board.id, f"{board.id}00{n}")

    return replace(cut, piece=named(cut.piece), gives=(named(cut.gives[0]), named(cut.gives[1])))


def _part(made: MadePart, n: int) -> MadePart:
    layup = tuple(
        tuple(tuple(f"{blank}x{n}" for blank in strip) for strip in ply) for ply in made.layup
    )
    return replace(made, layup=layup)
