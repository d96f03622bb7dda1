"""Which chosen patterns lie on one board: pieces that the yard cuts, stretches that are sound."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator
from itertools import zip_longest

from optimizer.search.answers import Whole
from optimizer.search.patterns import Pattern
from optimizer.search.problem import Problem


def by_board(
    problem: Problem, whole: Whole, patterns: Iterable[Pattern]
) -> list[tuple[Pattern, ...]]:
    """The patterns of each board, bought ones first: several where the yard cuts it into pieces,
    or where it is sound in several stretches.

    A board of a pack that is not sawn has a pattern of nothing; a lot of which nothing is sawn is
    not bought.
    """
    of_lots: dict[int, deque[Pattern]] = defaultdict(deque)
    alone: list[Pattern] = []
    for pattern in patterns:
        if problem.supplies[pattern.supply].in_lots:
            of_lots[pattern.supply].append(pattern)
        else:
            alone.append(pattern)
    boards = list(_on_one_board(problem, alone))
    bought = [lot for lot, n in zip(problem.lots, whole.lots, strict=False) for _ in range(n)]
    for lot in bought:
        pack = [
            tuple(of_lots[s].popleft() if of_lots[s] else Pattern(s, ()) for s in lot.gives)
            for _ in range(lot.boards)
        ]
        if any(pattern.segments for pieces in pack for pattern in pieces):
            boards += pack
    assert not any(of_lots.values()), "boards of a lot are sawn that was not bought"
    supplies = problem.supplies
    # Where the first supply from each source stands: in the order of the book.
    place = {id(supply.sources[0]): s for s, supply in reversed([*enumerate(supplies)])}

    def order(pieces: tuple[Pattern, ...]) -> tuple[bool, int]:
        supply = supplies[pieces[0].supply]
        return not supply.bought, place[id(supply.sources[0])]

    return sorted(boards, key=order)


def _on_one_board(problem: Problem, patterns: Iterable[Pattern]) -> Iterator[tuple[Pattern, ...]]:
    """Patterns for the stretches of one piece of the rack go together, one of each; others go
    alone.
    """
    pieces: dict[object, dict[int, list[Pattern]]] = defaultdict(lambda: defaultdict(list))
    for number, pattern in enumerate(patterns):
        supply = problem.supplies[pattern.supply]
        several = len(supply.sound) > 1
        piece = id(supply.sources[0]) if several else number
        pieces[piece, several][supply.stretch].append(pattern)
    for stretches in pieces.values():
        for together in zip_longest(*stretches.values()):
            yield tuple(pattern for pattern in together if pattern)
