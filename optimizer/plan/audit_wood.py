"""The audit at the pile: where each board is sound, how straight it is, and what it promises.

Stated from the rules and not from the code that plans: the saw cuts beside a bad stretch, a kerf
away from it; a crooked board loses c·(ℓ/L)² of its width over a segment ℓ long (the geometry of a
shallow arc), rounded up to the tape, and nothing up to 1/32 in; a wide board loses a band along its
pith, if the shop says so. Lengths are inches.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from optimizer.job.parts import Job, Part
from optimizer.plan.audit_yard import as_handed_over
from optimizer.plan.plan import Board, Plan
from stock.drying import percent, room_moisture
from stock.lengths import Length, Unit
from stock.moisture import density, gravity_of, movement_of
from stock.pieces import RackPiece
from stock.shop import Shop
from stock.stock_book import StockBook

TAPE_STEP = {Unit.IN: Fraction(1, 16), Unit.MM: Unit.MM.inches}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """A board: where it is sound, how crooked it is over its length, and its grade."""

    length: Length
    width: Length
    sound: tuple[tuple[Length, Length], ...]
    crook: Length
    step: Length
    grade: str
    pith: tuple[Length, Length] | None
    """From where to where across it the pith is ripped out, from its lower edge."""

    def straight(self, length: Length) -> Length:
        """Width of a piece of it so long, its edges straight."""
        lost = self.crook * length * length / (self.length * self.length)
        if lost <= Fraction(1, 32):
            return self.width
        return max(self.width - ceil(lost / self.step) * self.step, Fraction(0))


def wood_of(board: Board, stock: StockBook) -> Wood:
    """What the stock book says of a board; sound from end to end where it says nothing. Of one
    that is cut whole only bad ends count: it serves none but parts that do not mind.
    """
    shop = stock.shop
    piece = next((each for each in stock.rack if board.from_rack and each.tag == board.tag), None)
    named = (o for o in stock.offers if (o.store, o.name) == (board.store, board.offer))
    grades = [offer.lumber.grade for offer in named if offer.price == board.cost]
    sound = [usable for _, usable in as_handed_over(board, shop)]
    if piece is not None and piece.bad:
        sound = list(_between(piece, shop.crosscut_kerf))
        sound = [(sound[0][0], sound[-1][1])] if board.whole and sound else sound
    return Wood(
        length=board.length,
        width=board.width,
        sound=tuple(sound),
        crook=piece.crook if piece else Fraction(0),
        step=TAPE_STEP[shop.unit],
        grade=piece.lumber.grade if piece else next(iter(grades), ""),
        pith=_pith(board, shop),
    )


def _pith(board: Board, shop: Shop) -> tuple[Length, Length] | None:
    """Wide boards lose a band along the middle, but for what the shop does not rip."""
    rippable = not board.treated and board.thickness / 2 <= shop.deepest_rip
    if shop.pith_width == 0 or board.width < shop.pith_from or not rippable:
        return None
    step = TAPE_STEP[shop.unit]
    half = Fraction(shop.pith_at) / 100 * board.width - shop.pith_width / 2
    lower = floor(half / step) * step
    return lower, lower + shop.pith_width


def _between(piece: RackPiece, kerf: Length) -> Iterator[tuple[Length, Length]]:
    """From the end of a bad stretch to the beginning of the next, less a kerf beside each."""
    left = Fraction(0)
    for start, end in (*piece.bad, (piece.length + kerf, piece.length + kerf)):
        right = min(start - kerf, piece.length)
        if right > left:
            yield left, right
        left = end + kerf


def wood_findings(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    """Sentences on parts out of boards that are not sound or good enough for them."""
    parts = {part.name: part for part in job.parts}
    for board in plan.boards:
        if board.whole and not (board.from_rack and len(sound_lengths(board, stock)) > 1):
            yield f"board {board.id} is to keep its bad stretches, and has none"
    board_of = {blank.id: board for board in plan.boards for blank in board.blanks}
    for made in plan.parts:
        part = parts.get(made.part)
        for name in made.blanks if part else ():
            if part and name in board_of:
                board = board_of[name]
                for finding in _unfit(part, board, stock):
                    yield f"{made.part}, copy {made.copy}: {finding}"


def drying_findings(plan: Plan, stock: StockBook, job: Job) -> Iterator[str]:
    """Sentences on planed parts that dry boards no longer give, where the maker is not told.

    Thickness by the coefficient of the species, or by 1 % for 4 points (PS 20).
    """
    shop, parts = stock.shop, {part.name: part for part in job.parts}
    if not shop.room_humidity:
        if plan.remarks:
            yield "the maker is told how boards dry, and the shop does not ask for it"
        return
    room = room_moisture(shop.room_temperature, shop.room_humidity, shop.unit)
    wettest = max((_moisture(board, stock, room) for board in plan.boards), default=room)
    told = any("stickers" in each and percent(wettest) in each for each in plan.remarks)
    if wettest > room + 2 and not told:
        yield f"boards come at {percent(wettest)} moisture, and the maker is not told to rest them"
    if wettest <= room + 2 and plan.remarks:
        yield "the maker is told to rest boards that are as dry as the room"
    board_of = {blank.id: board for board in plan.boards for blank in board.blanks}
    for made in plan.parts:
        if not made.planed or made.part not in parts or set(made.blanks) - set(board_of):
            continue
        own = dict(parts[made.part].own)
        skims = 2 * own.get("skim_per_face", shop.skim_per_face)
        passes = 2 * own.get("last_pass_per_face", shop.last_pass_per_face)
        left = -passes
        for ply in made.layup:
            board = board_of[ply[0][0]]
            points = min(_moisture(board, stock, room), Fraction(30)) - min(room, Fraction(30))
            left += board.thickness * (1 - movement_of(board.wood).radial * points) - skims
            left -= passes if len(made.layup) > 1 and len(ply) > 1 else 0
        if left < made.thickness and not any("dry as the room" in each for each in made.remarks):
            yield f"{made.part}, copy {made.copy}: is too thin once dry, and the maker is not told"


def _moisture(board: Board, stock: StockBook, room: Fraction) -> Fraction:
    if board.from_rack:
        measured = [piece.moisture for piece in stock.rack if piece.tag == board.tag]
        return room if measured[0] is None else Fraction(measured[0])
    sold = [o for o in stock.offers if (o.store, o.name) == (board.store, board.offer)]
    wet = any(offer.green for offer in sold)
    return Fraction(30) if wet else Fraction(stock.shop.bought_moisture)


def load_findings(plan: Plan, stock: StockBook) -> Iterator[str]:
    """Sentences on a load that weighs something else; to the pound, as it is said."""
    total, unknown = Fraction(0), 0
    for board in plan.boards:
        if board.from_rack:
            continue
        gravity = gravity_of(board.wood)
        if gravity is None:
            unknown += 1
            continue
        moisture = Fraction(30) if board.treated else _moisture(board, stock, Fraction(0))
        pounds = density(gravity, moisture) * board.thickness * board.width * board.length / 1728
        total += pounds if stock.shop.unit is Unit.IN else pounds * Fraction("0.45359237")
    told, limit = plan.load, int(stock.shop.heaviest_load or 0)
    if (told.weight, told.limit, told.unknown) != (round(total), limit, unknown):
        yield f"the load weighs {round(total)}, and the plan says {told.weight}"


def _unfit(part: Part, board: Board, stock: StockBook) -> Iterator[str]:
    if board.whole and not part.knots_ok:
        yield f"board {board.id} is cut with its bad stretches in it, which the part minds"
    grades = [grade.casefold() for grade in stock.shop.grades]
    if part.grade:
        own = wood_of(board, stock).grade
        rank = grades.index(own.casefold()) if own.casefold() in grades else len(grades)
        if part.grade.casefold() not in grades or rank > grades.index(part.grade.casefold()):
            promised = f"promises {own}" if own else "promises no grade"
            yield f"board {board.id} {promised}, and {part.grade} is asked for"


def sound_lengths(board: Board, stock: StockBook) -> list[Length]:
    """Lengths of the sound stretches of an offcut, whether it is cut up into them or not."""
    piece = next((each for each in stock.rack if each.tag == board.tag), None)
    if piece is None or not piece.bad:
        return [board.length]
    return [end - start for start, end in _between(piece, stock.shop.crosscut_kerf)]
