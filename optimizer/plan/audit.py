"""Proves a plan against the two books, in exact numbers.

The audit states the physics of the shop a second time on purpose: it shares no code with planning,
so that one mistake cannot stand in both. What it proves:

- the plan is one of these books, and each of its boards stands in the stock book at its price, is
  free for the job, and is there often enough (here);
- what is sold in packs is bought in packs, what the car does not carry is cut where the store does,
  and no more stores are visited than the shop wants (``audit_buying``);
- the cuts, done in order, turn each board into its blanks, leftovers and scrap, and the machines
  and the shop's way of sawing allow each of them (``audit_sawing``);
- in the middle of a job, the cuts said to be made led to blanks that came off (``audit_begun``);
- no part is out of wood that is bad, crooked or of too low a grade (``audit_wood``);
- each copy of each part comes out of its blanks at its finished size, in the right wood
  (``audit_making``, ``audit_milling``);
- each worth, tax and sum of the bill is right (``audit_bill``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import chain

from optimizer.job.parts import Job
from optimizer.plan.audit_begun import begun_findings
from optimizer.plan.audit_bill import bill_findings
from optimizer.plan.audit_buying import buying_findings
from optimizer.plan.audit_making import making_findings
from optimizer.plan.audit_sawing import sawing_findings
from optimizer.plan.audit_wood import drying_findings, load_findings, wood_findings
from optimizer.plan.consumables import consumables
from optimizer.plan.plan import Board, Plan
from optimizer.plan.practice import practice_settings
from stock.errors import RackfirstError
from stock.pieces import RackPiece
from stock.prices import Offer
from stock.stock_book import StockBook


class AuditError(RackfirstError):
    """A plan that does not hold; ``findings`` are sentences."""

    def __init__(self, findings: Iterable[str]) -> None:
        self.findings = tuple(findings)
        listed = "\n".join(f"  {finding}" for finding in self.findings)
        super().__init__(f"this plan does not hold and must not be used:\n{listed}")


def audit(plan: Plan, stock: StockBook, job: Job) -> None:
    """Return if ``plan`` holds in every respect; raise :class:`AuditError` with all findings."""
    findings = tuple(
        chain(
            _of_these_books(plan, stock, job),
            _each_name_means_one_piece(plan, stock),
            _bought_boards_are_sold(plan, stock),
            buying_findings(plan, stock),
            _pulled_pieces_are_there(plan, stock, job),
            sawing_findings(plan, stock),
            begun_findings(plan, stock),
            wood_findings(plan, stock, job),
            drying_findings(plan, stock, job),
            load_findings(plan, stock),
            making_findings(plan, stock, job),
            bill_findings(plan, stock),
            _beside_wood(plan, stock, job),
        )
    )
    if findings:
        raise AuditError(findings)


def _of_these_books(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    shop = stock.shop
    pairs = {
        "job": (plan.job, job.name),
        "unit": (plan.unit, shop.unit),
        "rip kerf": (plan.rip_kerf, shop.rip_kerf),
        "crosscut kerf": (plan.crosscut_kerf, shop.crosscut_kerf),
        "sawing": (plan.sawing, str(shop.sawing)),
        **{
            setting.name: (getattr(plan.practice, setting.field), getattr(shop, setting.field))
            for setting in practice_settings()
        },
    }
    for what, (planned, known) in pairs.items():
        if planned != known:
            yield f"the {what} is {planned} in the plan and {known} in the books"


def _beside_wood(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    """What stands beside the plan follows from it; a plan by hand may leave it out."""
    if plan.consumables and plan.consumables != tuple(consumables(plan, stock.shop, job.hardware)):
        yield "glue, finish and hardware are not those of this plan"


def _each_name_means_one_piece(plan: Plan, stock: StockBook) -> Iterator[str]:
    names = {
        "board": Counter(board.id for board in plan.boards),
        "blank": Counter(blank.id for board in plan.boards for blank in board.blanks),
        "leftover": Counter(left.tag.casefold() for b in plan.boards for left in b.leftovers),
    }
    for what, counted in names.items():
        for name, times in counted.items():
            if times > 1 or not name:
                yield f"the name {name!r} stands on {times} {what}s"
    for piece in stock.rack:
        if piece.tag.casefold() in names["leftover"]:
            yield f"a leftover has the tag {piece.tag}, which is on the rack already"


def _bought_boards_are_sold(plan: Plan, stock: StockBook) -> Iterator[str]:
    bought: Counter[tuple[Offer, ...]] = Counter()
    for board in plan.boards:
        if board.from_rack:
            continue
        named = [o for o in stock.offers if (o.store, o.name) == (board.store, board.offer)]
        alike = [o for o in named if o.price == board.cost and not _unlike(board, o)]
        if alike:
            bought[tuple(alike)] += 1
        elif named:
            other = " and ".join(_unlike(board, named[0]) or ["price"])
            yield f"board {board.id}: {board.store} sells {board.offer} with another {other}"
        else:
            yield f"board {board.id}: {board.store} sells no {board.offer}"
    for alike_offers, count in bought.items():
        offer, counts = alike_offers[0], [o.in_stock for o in alike_offers]
        in_stock = sum(n for n in counts if n is not None)
        if None not in counts and count > in_stock:
            yield f"{offer.store} has {in_stock} of {offer.name}, and the plan buys {count}"


def _pulled_pieces_are_there(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    rack = {piece.tag: piece for piece in stock.rack}
    for board in plan.boards:
        if not board.from_rack:
            continue
        piece = rack.get(board.tag)
        if piece is None:
            yield f"board {board.id}: no piece {board.tag} is on the rack"
        elif unlike := _unlike(board, piece):
            yield f"board {board.id}: rack piece {board.tag} has another {' and '.join(unlike)}"
        elif not _may_use(piece, job):
            yield f"board {board.id}: rack piece {board.tag} is held for {piece.held_for}"
    for tag, count in Counter(board.tag for board in plan.boards if board.from_rack).items():
        if tag in rack and count > rack[tag].count:
            yield f"the rack has {rack[tag].count} of {tag}, and the plan pulls {count}"


def _may_use(piece: RackPiece, job: Job) -> bool:
    """Held for nobody, for the job, or for one of the jobs that are planned together as it."""
    own = [name.casefold() for name in (job.name, *job.jobs)]
    return not piece.held_for or piece.held_for.casefold() in own


def _unlike(board: Board, source: Offer | RackPiece) -> list[str]:
    """In what ``board`` is unlike the line of the stock book that it comes from."""
    bay = source.bay if isinstance(source, RackPiece) else ""
    pairs = {
        "wood": (board.wood, source.lumber.wood),
        "treatment": (board.treated, source.lumber.treated),
        "thickness": (board.thickness, source.lumber.thickness),
        "width": (board.width, source.width),
        "length": (board.length, source.length),
        "size": (board.size, source.size),
        "bay": (board.bay, bay),
    }
    return [what for what, (planned, known) in pairs.items() if planned != known]
