"""Patterns taken apart and put together: nothing is lost, and the sum of the costs is the same."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from optimizer.search.apart import Apart, Piece, put_together
from optimizer.search.cutting import CuttingTables
from optimizer.search.grid import Rounding
from optimizer.search.growing import grow, spare_patterns
from optimizer.search.patterns import Column, Pattern
from optimizer.search.problem import Problem
from optimizer.search.programme import Programme
from optimizer.search.watch import Watch
from stock.shop import Sawing
from tests.drawn_jobs import drawn_job
from tests.shop_floor import posed as posed_of

SEEDS = (0, 2, 3, 5, 7)


def posed(seed: int, pith: int, sawing: Sawing) -> tuple[Problem, list[Apart], list[Column]]:
    """A small job whose time is paid, so that every cut counts; of boards from 5 in on so much
    ``pith`` is ripped out. Its patterns, by which it can be taken apart.
    """
    stock, job = drawn_job(seed)
    shop = replace(stock.shop, pith_width=Fraction(pith), pith_from=Fraction(5))
    problem = posed_of(replace(stock, shop=replace(shop, sawing=sawing)), *job.parts)
    problem = replace(problem, shop=replace(problem.shop, pay=Decimal(30)))
    tables = [CuttingTables(problem, of, Rounding.FOR_PLANS) for of in problem.by_lumber]
    programme, watch = Programme(problem), Watch(seconds=600)
    worths = grow(problem, tables, programme, watch).blanks
    columns = [*programme.columns, *spare_patterns(tables, worths, watch)]
    return problem, [Apart(n, table) for n, table in enumerate(tables)], columns


def taken_apart(apart: list[Apart], pattern: Pattern) -> list[Piece]:
    (of_lumber,) = (each for each in apart if pattern.supply in each.table.supplies)
    return list(of_lumber.pieces(pattern))


def blanks(patterns: Counter[Pattern]) -> Counter[int]:
    found: Counter[int] = Counter()
    for pattern, count in patterns.items():
        for kind, n in pattern.counts():
            found[kind] += n * count
    return found


@pytest.mark.parametrize("sawing", Sawing)
@pytest.mark.parametrize("pith", [0, 1])
@pytest.mark.parametrize("seed", SEEDS)
def test_a_pattern_costs_what_its_pieces_cost_and_comes_together_again(
    seed: int, pith: int, sawing: Sawing
) -> None:
    _, apart, columns = posed(seed, pith, sawing)
    assert columns
    for column in columns:
        pieces = taken_apart(apart, column.pattern)
        assert sum(piece.cost for piece in pieces) == column.cost
        (again,) = put_together((piece, 1) for piece in pieces)
        assert again.counts() == column.counts


@pytest.mark.parametrize("pith", [0, 1])
@pytest.mark.parametrize("seed", SEEDS)
def test_pieces_of_many_patterns_come_to_as_many_blanks_at_the_same_cost(
    seed: int, pith: int
) -> None:
    _, apart, columns = posed(seed, pith, Sawing.FREE)
    pieces = [piece for column in columns for piece in taken_apart(apart, column.pattern)]
    boards = put_together((piece, 1) for piece in pieces)
    assert boards.total() == len(columns)
    assert blanks(boards) == blanks(Counter(column.pattern for column in columns))
    cost = sum(n * sum(p.cost for p in taken_apart(apart, b)) for b, n in boards.items())
    assert cost == sum(column.cost for column in columns)


@pytest.mark.parametrize("seed", SEEDS)
def test_where_pieces_lack_a_place_is_not_cut_out(seed: int) -> None:
    _, apart, columns = posed(seed, 0, Sawing.FREE)
    for column in columns:
        pieces = taken_apart(apart, column.pattern)
        for lacking in pieces:
            boards = put_together((piece, 1) for piece in pieces if piece is not lacking)
            left = blanks(boards)
            assert left <= Counter(dict(column.counts))
            if not isinstance(lacking.like, Pattern):
                assert left.total() < sum(n for _, n in column.counts)


@pytest.mark.parametrize("seed", SEEDS)
def test_strips_near_the_best_fit_and_bring_so_much_less(seed: int) -> None:
    problem, apart, columns = posed(seed, 0, Sawing.FREE)
    worths = np.arange(1, len(problem.kinds) + 1) * 2**30
    for of_lumber in apart:
        here = [c.pattern for c in columns if c.pattern.supply in of_lumber.table.supplies]
        places = {p.place: p for each in here for p in of_lumber.pieces(each)}
        strips = {at: piece for at, piece in places.items() if at[0] == "strip"}
        brought = {at: [] for at in strips}  # type: dict[object, list[int]]
        for less, piece in of_lumber.strips_beside(strips, worths):
            length = sum(problem.kinds[kind].length for _, _, kind, _ in piece.places)
            kerfs = (len(piece.places) - 1) * problem.shop.crosscut_kerf
            assert length + kerfs <= piece.place[3]
            worth = sum(int(worths[kind]) for _, _, kind, _ in piece.places) - piece.cost
            brought[piece.place].append(worth + less)
        assert all(len(set(each)) == 1 for each in brought.values())
