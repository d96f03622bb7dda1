"""Chosen patterns -> placed blanks and cuts in order -> plan.

The solver's answer is only counts. Here every board is sawn again in exact lengths, every blank
gets its part, and every sum is added up anew.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from itertools import count, islice

from optimizer.job.grain import lines_of
from optimizer.job.parts import Part
from optimizer.job.telling import in_one_blank
from optimizer.plan.plan import (
    Blank,
    Board,
    Cost,
    Cut,
    Leftover,
    MadePart,
    Plan,
    Purchase,
    Status,
    StoreTax,
)
from optimizer.plan.practice import practice_of
from optimizer.search.answers import Whole
from optimizer.search.bill import bill, shopping_list, store_taxes
from optimizer.search.one_board import by_board
from optimizer.search.problem import Problem, Way
from optimizer.search.sawing import Piece, Sawyer, take_wanted
from optimizer.search.supply import Supply
from optimizer.search.watch import Watch
from optimizer.search.wood_notes import with_drying
from stock.pieces import RackPiece, free_marks, free_tags
from stock.prices import Offer
from stock.stock_book import StockBook

SAWN = 1_000
"""Boards that are kept in mind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A plan before its bound is known: what is made, from which boards, at what cost."""

    boards: tuple[Board, ...]
    parts: tuple[MadePart, ...]
    buy: tuple[Purchase, ...]
    taxes: tuple[StoreTax, ...]
    cost: Cost


def lay_out(problem: Problem, stock: StockBook, parts: Sequence[Part], whole: Whole) -> Answer:
    """The plan that ``whole`` counts: ``parts`` as searched, in the order of ``problem.ways``."""
    chosen = list(_chosen_ways(problem, whole))
    wanted: Counter[int] = Counter()
    for way in (way for ways in chosen for way in ways):
        wanted.update(dict(way.blanks))
    boards, ids = _saw_all(problem, stock, whole, wanted)
    made = tuple(_make_parts(problem, parts, chosen, ids))
    drawn = [line for part in parts for line in lines_of(part)]
    boards = tuple(_with_copies(boards, made))
    made = tuple(with_drying(made, boards, drawn, stock))
    buy = tuple(shopping_list(stock, boards))
    taxes = tuple(store_taxes(stock, buy, boards))
    lay_ups = [way.lay_up for ways in chosen for way in ways]
    cost = bill(problem.shop, boards, lay_ups, buy, taxes)
    return Answer(boards=boards, parts=made, buy=buy, taxes=taxes, cost=cost)


def finish(answer: Answer, stock: StockBook, job: str, watch: Watch) -> Plan:
    """The answer with what is known about it."""
    shop, net = stock.shop, answer.cost.net
    bound = min(net, Decimal("0.00")) if watch.bound is None else watch.bound
    status = Status.OUT_OF_TIME
    if bound == net:
        status = Status.PROVEN
    elif watch.near_enough():
        status = Status.WITHIN_GAP
    return Plan(
        job=job,
        unit=shop.unit,
        rip_kerf=shop.rip_kerf,
        crosscut_kerf=shop.crosscut_kerf,
        sawing=shop.sawing,
        status=status,
        cost=answer.cost,
        bound=bound,
        boards=answer.boards,
        parts=answer.parts,
        buy=answer.buy,
        taxes=answer.taxes,
        practice=practice_of(shop),
    )


def _chosen_ways(problem: Problem, whole: Whole) -> Iterator[list[Way]]:
    """For each part the ways of its copies, those that make many first; none that only makes
    copies beyond those asked for.
    """
    for p, ways in enumerate(problem.ways):
        made = [way for r, way in enumerate(ways) for _ in range(whole.made.get((p, r), 0))]
        made.sort(key=lambda way: -way.copies)
        while sum(way.copies for way in made[:-1]) >= problem.copies[p]:
            made.pop()
        yield made


def _with_copies(boards: Iterable[Board], made: Iterable[MadePart]) -> Iterator[Board]:
    """The boards, each blank with the number of copies that lie in it."""
    holds = Counter(blank for copy in made for blank in copy.blanks)
    for board in boards:
        if any(holds[blank.id] != blank.holds for blank in board.blanks):
            blanks = (replace(blank, holds=holds[blank.id]) for blank in board.blanks)
            board = replace(board, blanks=tuple(blanks))
        yield board


# boards ------------------------------------------------------------------------------------------


def _saw_all(
    problem: Problem, stock: StockBook, whole: Whole, wanted: Counter[int]
) -> tuple[tuple[Board, ...], dict[int, deque[str]]]:
    """The boards, bought ones first, and the ids of their blanks by kind.

    Rack pieces give their blanks first: what is not wanted stays in bought boards, or unbought.
    """
    on_rack = [piece.tag for piece in stock.rack]
    tags = free_tags([*on_rack, *stock.past_tags])
    names = free_marks(on_rack)
    blank_ids = (f"b{n}" for n in count(1))
    waiting = {s: deque(_sources(supply)) for s, supply in enumerate(problem.supplies)}
    ids: dict[int, deque[str]] = defaultdict(deque)
    boards: list[Board] = []
    patterns = [column.pattern for column, times in whole.boards for _ in range(times)]
    patterns.sort(key=lambda pattern: (problem.supplies[pattern.supply].bought, pattern.supply))
    patterns = [take_wanted(pattern, wanted) for pattern in patterns]
    for pieces in by_board(problem, whole, [p for p in patterns if p.segments]):
        source = waiting[pieces[0].supply][0]
        if isinstance(source, RackPiece):
            waiting[pieces[0].supply].popleft()
        booking = _Booking(problem, _sawn(problem, *pieces), next(names), ids, blank_ids, tags)
        boards.append(booking.board(source))
    return tuple(boards), ids


_sawn = lru_cache(maxsize=SAWN)(Sawyer)
"""Boards alike are sawn once, in a plan and in the next."""


def _sources(supply: Supply) -> list[RackPiece | Offer]:
    """Each piece of a counted rack row is a board of its own."""
    return [
        source
        for source in supply.sources
        for _ in range(source.count if isinstance(source, RackPiece) else 1)
    ]


class _Booking:
    """Names the pieces of one sawn board: blanks by id, leftovers by tag, others by their cut."""

    def __init__(
        self,
        problem: Problem,
        sawyer: Sawyer,
        board_id: str,
        ids: dict[int, deque[str]],
        blank_ids: Iterator[str],
        tags: Iterator[str],
    ) -> None:
        self.problem, self.sawyer, self.id = problem, sawyer, board_id
        self.names: dict[int, str] = {id(sawyer.board): board_id}
        self.further = (f"{board_id}.{n}" for n in count(1))
        self.blanks: list[Blank] = []
        self.leftovers: list[Leftover] = []
        for piece in sawyer.finished():
            if piece.kind is not None:
                self._name_blank(piece, next(blank_ids), ids)
            elif sawyer.kept(piece):
                self._name_leftover(piece, next(tags))
            else:
                self.names[id(piece)] = ""

    def _name_blank(self, piece: Piece, name: str, ids: dict[int, deque[str]]) -> None:
        assert piece.kind is not None
        ids[piece.kind].append(name)
        self.names[id(piece)] = name
        self.blanks.append(
            Blank(id=name, x=piece.x, y=piece.y, length=piece.length, width=piece.width)
        )

    def _name_leftover(self, piece: Piece, tag: str) -> None:
        lumber = self.sawyer.supply.lumber
        self.names[id(piece)] = tag
        piece = self.sawyer.usable(piece)
        worth = self.problem.worth.of(lumber, piece.length, piece.width)
        self.leftovers.append(
            Leftover(
                tag=tag, x=piece.x, y=piece.y, length=piece.length, width=piece.width, worth=worth
            )
        )

    def _name(self, piece: Piece | None) -> str:
        if piece is None:
            return ""
        if id(piece) not in self.names:
            self.names[id(piece)] = next(self.further)
        return self.names[id(piece)]

    def _cuts(self) -> Iterator[Cut]:
        for n, cut in enumerate(self.sawyer.cuts, 1):
            piece = self._name(cut.piece)
            gives = (self._name(cut.near), self._name(cut.far))
            yield Cut(n=n, kind=cut.kind, piece=piece, at=cut.at, gives=gives)

    def board(self, source: RackPiece | Offer) -> Board:
        supply = self.sawyer.supply
        return Board(
            id=self.id,
            wood=source.lumber.wood,
            treated=supply.lumber.treated,
            thickness=supply.lumber.thickness,
            width=supply.width,
            length=self.sawyer.board.length,
            cost=source.price if isinstance(source, Offer) else supply.worth,
            blanks=tuple(self.blanks),
            leftovers=tuple(self.leftovers),
            cuts=tuple(self._cuts()),
            size=source.size,
            store=source.store if isinstance(source, Offer) else "",
            offer=source.name if isinstance(source, Offer) else "",
            tag="" if isinstance(source, Offer) else source.tag,
            bay="" if isinstance(source, Offer) else source.bay,
            whole=supply.lumber.faulty,
        )


# parts -------------------------------------------------------------------------------------------


def _make_parts(
    problem: Problem,
    parts: Iterable[Part],
    chosen: Iterable[list[Way]],
    ids: dict[int, deque[str]],
) -> Iterator[MadePart]:
    index = {kind: i for i, kind in enumerate(problem.kinds)}
    for part, ways in zip(parts, chosen, strict=True):
        copies = ((line, n) for line in lines_of(part) for n in range(1, line.copies + 1))
        for way in ways:
            lay_up = way.lay_up
            names = tuple(
                tuple(tuple(ids[index[blank]].popleft() for blank in strip) for strip in ply)
                for ply in lay_up.plies
            )
            together = list(islice(copies, way.copies))
            remarks = lay_up.remarks
            if len(together) > 1:
                remarks += (in_one_blank(replace(lay_up, copies=len(together))),)
            for line, copy in together:
                yield MadePart(
                    part=line.name,
                    copy=copy,
                    spare=copy > line.count,
                    glued=lay_up.glued,
                    planed=lay_up.planed,
                    layup=names,
                    length=line.length_with_tenons,
                    width=line.width,
                    thickness=lay_up.thickness,
                    tenons=line.tenons,
                    remarks=remarks,
                )
