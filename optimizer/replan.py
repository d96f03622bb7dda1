"""At the saw, things go wrong: only the rest of a plan is planned anew.

What is cut stays cut, and what is bought stays bought. The rest is a small job of its own: the
copies of which nothing is cut yet, and each missing blank of those begun; out of the rests of
boards cut into, boards bought and not cut into, the rack and the stores. It is solved twice: with
the old plan carried on and only the missing blanks replaced, and with all that is not cut yet
planned anew. The cheaper plan counts, so that it never costs more than replacing what was spoiled.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.job.layups import LayUp
from optimizer.job.parts import Job, Part
from optimizer.job.ways import NoPlanError, all_ways
from optimizer.plan.audit import AuditError, audit
from optimizer.plan.midway import standing
from optimizer.plan.plan import Board, Cost, Plan, Status, StoreTax
from optimizer.search.bill import bill, shopping_list, store_taxes
from optimizer.search.layout import Answer, finish
from optimizer.search.missing import missing_blank, spelled
from optimizer.search.rejoining import (
    Names,
    Rejoining,
    holding,
    lay_ups_of,
    parts_again,
    renamed,
)
from optimizer.search.rest_stock import Origin, same_lumber, stock_now, unused_tags
from optimizer.search.supplies import board_sizes, supplies_of
from optimizer.search.supply import Supply
from optimizer.search.watch import Watch
from optimizer.solve import answer_of, with_beside
from optimizer.trips import cheapest_visits
from stock.pieces import RackPiece
from stock.prices import CENT, to_cent
from stock.stock_book import StockBook
from stock.worth import Worth

NOTHING = Decimal("0.00")
_NO_COST = Cost(
    boards=NOTHING, tax=NOTHING, glue=NOTHING, time=NOTHING, rack_used=NOTHING, leftovers=NOTHING
)
_NOTHING_LEFT = Answer(boards=(), parts=(), buy=(), taxes=(), cost=_NO_COST)


def replan(
    plan: Plan,
    stock: StockBook,
    job: Job,
    cut: Collection[str],
    spoiled: Collection[str],
    watch: Watch,
) -> Plan:
    """The whole plan as it goes on from here, audited; blanks are named by id.

    Raises:
        NoPlanError: where what is left cannot be made, with the reasons.
        RackfirstError: where the books no longer have what the plan bought or pulled.
    """
    everything = {blank.id for board in plan.boards for blank in board.blanks}
    made = {
        board.id: [each.n for each in standing(plan, board, cut, spoiled).cuts]
        for board in plan.boards
    }
    short = Watch(seconds=watch.seconds / 2)
    found, reasons = [], []
    for off, one in ((everything - {*spoiled}, short), (cut, watch)):
        try:
            found.append(_Rest(plan, stock, job, off, spoiled).planned(one, made))
        except NoPlanError as error:
            reasons.append(error)
    if not found:
        raise reasons[-1]
    # Only where all that is not cut is planned anew does the bound hold for every way to go on.
    least = found[-1].bound if not reasons else min(NOTHING, found[-1].bound)
    for each in sorted(found, key=lambda each: each.cost.net):
        bound = min(least, each.cost.net)
        status = Status.PROVEN if bound == each.cost.net else found[-1].status
        whole = with_beside(replace(each, bound=bound, status=status), stock, job)
        try:
            audit(whole, stock, job)
        except AuditError as error:
            failed = error  # the other one may hold: it leaves what stands as it is
        else:
            return whole
    raise failed


class _Rest:
    """The rest of a plan, once the blanks ``off`` and ``spoiled`` came off the saw."""

    def __init__(
        self,
        plan: Plan,
        stock: StockBook,
        job: Job,
        off: Collection[str],
        spoiled: Collection[str],
    ) -> None:
        self.plan, self.stock, self.job = plan, stock, job
        self.stands = [standing(plan, board, off, spoiled) for board in plan.boards]
        self.done = {blank.id for stands in self.stands for blank in stands.blanks}
        self.places = {b.id: (b, board) for board in plan.boards for b in board.blanks}
        self.open = [made for made in plan.parts if self.done.isdisjoint(made.blanks)]
        begun = [made for made in plan.parts if not self.done.isdisjoint(made.blanks)]
        lacking = {b: made for made in begun for b in made.blanks if b not in self.done}
        self.all_serve = True  # whether every rest may be sawn
        drawn = {part.name: part for part in job.parts}
        self.missing = [
            missing_blank(*self.places[b], made, drawn[made.part]) for b, made in lacking.items()
        ]

    def planned(self, watch: Watch, made: Mapping[str, Collection[int]]) -> Plan:
        """The whole plan again, with the bound of the rest; cuts ``made`` come first."""
        book, origins = stock_now(self.stock, self.plan, self.stands)
        answer, bound = _NOTHING_LEFT, NOTHING
        if self.open or self.missing:
            rest = self._solved(book, origins, watch)
            answer = Answer(
                boards=rest.boards, parts=rest.parts, buy=rest.buy, taxes=rest.taxes, cost=rest.cost
            )
            # Where not every rest may be sawn, nor each store visited, there may be cheaper ways.
            free_to_go = self.all_serve and self.stock.shop.most_stores is None
            bound = rest.bound if free_to_go else min(NOTHING, answer.cost.net)
        taken = {piece.tag.casefold() for piece in self.stock.rack}
        rejoining = Rejoining(
            shop=self.stock.shop,
            worth=Worth(self.stock.shop, self.stock.offers),
            made=made,
            taken=taken,
            names=Names.after(self.plan, unused_tags(book, answer), taken),
            anew={origins[board.tag].key: board for board in answer.boards if board.tag in origins},
        )
        boards = [board for each in self.stands if (board := rejoining.goes_on(each))]
        fresh = [board for board in answer.boards if board.tag not in origins]
        boards += [rejoining.new(board, name) for board, name in self._called(fresh, rejoining)]
        whole = self._whole(answer, bound, boards, rejoining, origins)
        ended = not (self.open or self.missing) or watch.near_enough()
        return replace(whole, status=Status.WITHIN_GAP if ended else Status.OUT_OF_TIME)

    # the small job -------------------------------------------------------------------------------

    def _open_parts(self) -> list[Part]:
        copies = Counter(made.part for made in self.open)
        parts = [part for part in self.job.parts if copies[part.name]]
        return [replace(part, count=copies[part.name], spare=0) for part in parts]

    def _solved(self, book: StockBook, origins: Mapping[str, Origin], watch: Watch) -> Plan:
        """The rest planned, and the drives to the stores for it."""
        parts = self._open_parts()
        job = Job(name=self.job.name, parts=(*parts, *(each.part for each in self.missing)))
        narrow = {tag for tag, origin in origins.items() if origin.narrow}
        full = [piece for piece in book.rack if piece.tag not in narrow]
        supplies = self._supplies(book, full, origins)
        plain, odd = board_sizes(supplies)
        lumbers = {supply.lumber for supply in supplies}
        fixed = [spelled(each.lay_up, lumbers, self.stock.shop) for each in self.missing]
        ways: list[tuple[LayUp, ...]] = []
        if parts:
            open_job = Job(name=self.job.name, parts=tuple(parts))
            ways += all_ways(open_job, plain, self.stock.shop, odd)
        ways += fixed
        # A blank that keeps a board's own edges does not come out of a ripped rest as wide as it.
        own = {
            (same_lumber(blank.lumber), blank.width)
            for each in ways
            for way in each
            for blank in way.blanks
            if blank.own_edges
        }
        ripped = [
            piece
            for piece in book.rack
            if piece.tag in narrow and (same_lumber(piece.lumber), piece.width) not in own
        ]
        rests = sum(len(each.rests) for each in self.stands if not each.untouched)
        served = {piece.tag for piece in (*full, *ripped)} & set(origins)
        self.all_serve = len([tag for tag in served if origins[tag].rest]) == rests
        rack = [*full, *ripped]

        def solve_at(stores: StockBook, look: Watch) -> Plan:
            answer = answer_of(stores, job, self._supplies(stores, rack, origins), ways, look)
            return finish(answer, stores, job.name, look)

        return cheapest_visits(book, solve_at, watch)

    def _supplies(
        self, book: StockBook, rack: Sequence[RackPiece], begun: Collection[str]
    ) -> tuple[Supply, ...]:
        """The boards for the rest; those ``begun`` are not cut whole if they were not so far."""
        job, now = self.job, replace(book, rack=tuple(rack))
        return supplies_of(now, job.parts, job.name, *job.jobs, never_whole=begun)

    # the whole again -----------------------------------------------------------------------------

    def _called(self, fresh: Sequence[Board], rejoining: Rejoining) -> Iterator[tuple[Board, str]]:
        """Boards bought or pulled only now, each with its id: its old one where it was pulled
        before and not cut into.
        """
        old: dict[str, list[str]] = defaultdict(list)
        for stands in self.stands:
            if stands.untouched and stands.board.from_rack:
                old[stands.board.tag].append(stands.board.id)
        for board in fresh:
            ids = old[board.tag] if board.from_rack else []
            yield board, ids.pop(0) if ids else next(rejoining.names.boards)

    def _whole(
        self,
        answer: Answer,
        bound: Decimal,
        boards: Sequence[Board],
        rejoining: Rejoining,
        origins: Mapping[str, Origin],
    ) -> Plan:
        stock, plan = self.stock, self.plan
        stand_ins = {each.part.name: each.blank for each in self.missing}
        holds = {
            rejoining.renamed[made.blanks[0]]: stand_ins[made.part]
            for made in answer.parts
            if made.part in stand_ins
        }
        boards = [holding(board, holds) for board in boards]
        instead = {old.id: new for new, old in holds.items()}
        anew = [
            replace(made, layup=renamed(made.layup, rejoining.renamed))
            for made in answer.parts
            if made.part not in stand_ins
        ]
        parts = parts_again(plan, self.done, anew, instead)
        buy = tuple(shopping_list(stock, boards))
        taxes = tuple(self._driven_again(answer, store_taxes(stock, buy, boards)))
        lay_ups = list(lay_ups_of(parts, boards, self.job))
        cost = bill(stock.shop, boards, lay_ups, buy, taxes)
        # What was rounded once may now be rounded together with what stood already; and the ends
        # of a board that was bought before are trimmed only now.
        shop = stock.shop
        taxed = sum(store.tax_percent > 0 for store in stock.stores)
        rounded = CENT * (taxed + (shop.glue_price > 0) + (shop.pay > 0))
        above = answer.cost.net - bound + rounded + self._pay_for_trims(answer, origins)
        return replace(
            plan,
            cost=cost,
            bound=cost.net - above,
            boards=tuple(boards),
            parts=parts,
            buy=buy,
            taxes=taxes,
        )

    def _driven_again(self, answer: Answer, taxes: Iterable[StoreTax]) -> Iterator[StoreTax]:
        """What the stores take: the trips of before are paid, and each one of now."""
        before = {line.store: line.trip for line in self.plan.taxes}
        now = {line.store for line in answer.buy}
        for line in taxes:
            paid = before.get(line.store, NOTHING)
            yield replace(line, trip=paid + (line.trip if line.store in now else NOTHING))

    def _pay_for_trims(self, answer: Answer, origins: Mapping[str, Origin]) -> Decimal:
        shop = self.stock.shop
        whole = [b for b in answer.boards if b.tag in origins and origins[b.tag].untrimmed]
        return to_cent(
            Fraction(shop.pay) / 60 * Fraction(shop.minutes_per_crosscut) * 2 * len(whole)
        )
