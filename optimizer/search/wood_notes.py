"""What the maker should know beside the cuts: what the load weighs, and how the wood will dry.

Boards come with ``bought moisture``, green ones saturated, offcuts as the meter showed or, where it
was not asked, as dry as the room. Where ``room humidity`` is 0 nothing is said about drying.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from optimizer.job.parts import Part
from optimizer.plan.beside import Load
from optimizer.plan.plan import Board, MadePart
from stock.drying import dried, percent, room_moisture, weight_of
from stock.lengths import Length, Unit, format_length
from stock.moisture import SATURATED, Grain
from stock.shop import Shop
from stock.stock_book import StockBook

POINTS_BETWEEN_PLIES = 5
"""Of moisture, at the most (Wood Handbook ch. 10, from memory)."""
POINTS_TO_REST = 2
"""Of moisture: boards so much wetter than the room should rest in it (common practice)."""
SIXTEENTH = Length(1, 16)


def load_of(boards: Iterable[Board], stock: StockBook) -> Load:
    """What the bought boards weigh at the moisture that they come with."""
    total, unknown = Fraction(0), 0
    for board in boards:
        if board.from_rack:
            continue
        # Fresh from the pressure cylinder treated wood is wet (common practice, no source).
        moisture = SATURATED if board.treated else moisture_of(board, stock)
        volume = board.thickness * board.width * board.length
        weight = weight_of(board.wood, volume, moisture, stock.shop)
        total, unknown = total + (weight or 0), unknown + (weight is None)
    return Load(weight=round(total), limit=int(stock.shop.heaviest_load or 0), unknown=unknown)


def moisture_of(board: Board, stock: StockBook) -> Fraction:
    """Percent, as it comes from the store or lies on the rack."""
    shop = stock.shop
    if board.from_rack:
        piece = next(piece for piece in stock.rack if piece.tag == board.tag)
        return _of_the_room(shop) if piece.moisture is None else Fraction(piece.moisture)
    named = (offer for offer in stock.offers if offer.store == board.store)
    green = any(offer.name == board.offer and offer.green for offer in named)
    return SATURATED if green else Fraction(shop.bought_moisture)


def _of_the_room(shop: Shop) -> Fraction:
    if not shop.room_humidity:
        return Fraction(shop.bought_moisture)
    return room_moisture(shop.room_temperature, shop.room_humidity, shop.unit)


def drying_remarks(boards: Iterable[Board], stock: StockBook) -> Iterator[str]:
    """Of the whole plan: how long boards rest, and that plies be alike."""
    shop = stock.shop
    if not shop.room_humidity:
        return
    room = _of_the_room(shop)
    wettest = max((moisture_of(board, stock) for board in boards), default=room)
    if wettest > room + POINTS_TO_REST:
        yield (
            f"Boards come at up to {percent(wettest)} moisture, the room takes them to "
            f"{percent(room)}: stack them in it on stickers until a meter shows that; weeks, not "
            f"days. Glue only plies within {POINTS_BETWEEN_PLIES} points of each other."
        )


def with_drying(
    made: Iterable[MadePart], boards: Iterable[Board], parts: Iterable[Part], stock: StockBook
) -> Iterator[MadePart]:
    """The parts; where one no longer comes out of boards as dry as the room, it says so."""
    drawn = {part.name: part for part in parts}
    board_of = {blank.id: board for board in boards for blank in board.blanks}
    for copy in made:
        remark = ""
        if stock.shop.room_humidity and copy.planed:
            remark = _too_thin_once_dry(copy, drawn[copy.part], board_of, stock)
        yield replace(copy, remarks=(*copy.remarks, remark)) if remark else copy


def _too_thin_once_dry(
    made: MadePart, part: Part, board_of: dict[str, Board], stock: StockBook
) -> str:
    shop, room = stock.shop, _of_the_room(stock.shop)
    own = dict(part.own)
    skim = own.get("skim_per_face", shop.skim_per_face)
    last = own.get("last_pass_per_face", shop.last_pass_per_face)
    left, stacked = Length(0), len(made.layup) > 1
    for ply in made.layup:
        board = board_of[ply[0][0]]
        before = moisture_of(board, stock)
        drying = dried(board.thickness, board.width, board.wood, before, room, Grain.FLAT)
        left += drying.dried_thickness - 2 * skim
        left -= 2 * last if stacked and len(ply) > 1 else 0
    left -= 2 * last
    if left >= made.thickness:
        return ""
    step = SIXTEENTH if shop.unit is Unit.IN else Unit.MM.inches
    nearest = format_length(left // step * step, shop.unit)
    thickness = format_length(made.thickness, shop.unit)
    return f"once its boards are as dry as the room it planes to {nearest}, not {thickness}"
