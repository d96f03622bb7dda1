"""What is said about a plan in the same words on screen and on paper."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from itertools import chain

from optimizer.plan.plan import Board, CutKind, Plan, Purchase, Status
from optimizer.plan.tables import MadeAlike
from stock.lengths import Length, Unit, format_length
from stock.pith import pith_band
from stock.shop import ReadTo

# Common practice in school shops, no source; the machine's manual rules.
THIN_STRIP = Length(3, 4)
SHORT_PIECE = Length(12)

# Control characters and halves of characters, which neither a terminal nor a workbook can show.
_UNSHOWABLE = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")


def shown(text: str) -> str:
    """``text`` from a book on one line, as it can be shown."""
    return _UNSHOWABLE.sub(" ", text)


def isolated(text: str) -> str:
    """``text`` from a book as it stands among figures: writing that runs from right to left would
    turn them around, and is set between the marks that keep it apart (Unicode, annex 9).
    """
    turns = any(unicodedata.bidirectional(letter) in ("R", "AL", "RLE", "RLO") for letter in text)
    return f"\u2068{text}\u2069" if turns else text


def counted(count: int, noun: str) -> str:
    """``1 ply``, ``2 plies``, ``3 cuts``."""
    if count == 1:
        return f"1 {noun}"
    return f"{count} {noun.removesuffix('y') + 'ies' if noun.endswith('ly') else noun + 's'}"


def money(amount: Decimal) -> str:
    """``amount`` to the cent."""
    return f"{amount:.2f}"


def measures(unit: Unit, *lengths: Length) -> str:
    """``31 1/4 × 2 3/4``: lengths in ``unit`` as on a tape."""
    return " × ".join(format_length(length, unit) for length in lengths)


def read(length: Length, plan: Plan) -> str:
    """``length`` as it is read off the tape of this shop, rounded to its finest step."""
    return _read_off(length, plan.practice.read_to, plan.unit)


@lru_cache(maxsize=4096)  # the same few readings stand in many places
def _read_off(length: Length, read_to: ReadTo, unit: Unit) -> str:
    step = read_to.step
    if unit is Unit.IN:
        return format_length(length, unit, finest=int(1 / step))
    return format_length(math.floor(length / step + Fraction(1, 2)) * step, unit)


def read_size(plan: Plan, *lengths: Length) -> str:
    """``31 1/4 × 2 3/4``, read so."""
    return " × ".join(read(length, plan) for length in lengths)


def thick(thickness: Length, unit: Unit) -> str:
    """What a board without a size name goes by: ``1 1/2 thick``."""
    return f"{format_length(thickness, unit)} thick"


def board_name(size: str, thickness: Length, width: Length, unit: Unit) -> str:
    """A size by its name, or where it has none by its measures."""
    return size or measures(unit, thickness, width)


def sold_length(line: Purchase | Board, unit: Unit) -> str:
    """A length as the store's price list names it: ``12'``, or on a tape where it has no feet."""
    if "'" in line.offer and line.length % 12 == 0:
        return f"{line.length // 12}'"
    return format_length(line.length, unit)


def marked(marks: Sequence[str]) -> str:
    """``B2, B5–B7``: three marks and more that count on are told by the first and the last."""
    runs: list[list[str]] = []
    for mark in marks:
        if runs and mark == _next(runs[-1][-1]):
            runs[-1].append(mark)
        else:
            runs.append([mark])
    told = [[f"{run[0]}–{run[-1]}"] if len(run) > 2 else run for run in runs]
    return ", ".join(chain.from_iterable(told))


def _next(mark: str) -> str:
    """The mark after this one: ``R010`` after ``R009``; none after one of another form."""
    counted = re.fullmatch(r"([A-Za-z]+)(\d{1,9})", mark, re.ASCII)
    return f"{counted[1]}{int(counted[2]) + 1:0{len(counted[2])}}" if counted else ""


def treated_mark(treated: bool) -> str:
    """``treated``, or nothing."""
    return "treated" if treated else ""


def promise(plan: Plan) -> str:
    """How far from the least possible cost the plan can be."""
    if plan.status is Status.PROVEN:
        return "proven: no cheaper plan exists"
    ended = "; stopped by time or Ctrl-C" if plan.status is Status.OUT_OF_TIME else ""
    return f"at most {money(plan.above_least)} above the least possible{ended}"


def finished_size(way: MadeAlike, plan: Plan) -> str:
    """``34 × 3 1/2 × 1 1/2``, and how much of the length is tenons."""
    size = read_size(plan, way.length, way.width, way.thickness)
    if not way.tenons:
        return size
    return f"{size}, tenons {' + '.join(read(tenon, plan) for tenon in way.tenons)} included"


def made_how(way: MadeAlike) -> str:
    """How a part is built up, and how its faces are left."""
    match way.plies > 1, way.strips > 1:
        case False, False:
            built = "solid"
        case True, False:
            built = f"{way.plies} plies, glued face to face"
        case False, True:
            built = f"{way.strips} strips, glued edge to edge"
        case _:
            built = f"{way.plies} plies of up to {way.strips} strips, glued"
    return f"{built}, {'planed' if way.planed else 'as bought'}"


def cautions(plan: Plan) -> dict[str, str]:
    """A sentence for each dangerous act that the plan calls for, by the name of the act.

    The machine's manual and local codes rule. What is said of treated wood follows the EPA's
    consumer information sheet on it; of laminates, the scope of ANSI A190.1 (from memory).
    """
    told = {}
    narrowest = min(_ripped_widths(plan), default=None)
    if narrowest is not None:
        told["ripping"] = "Use guard, riving knife and push stick, as the saw's manual says."
        if narrowest < THIN_STRIP:
            told["ripping"] += (
                f" Strips of {thin_strip(plan)} and wider go against one fence setting with a push "
                "block; thinner ones come off the outer edge, the fence moved for each."
            )
        if any(_ripped_beside_pith(plan, board) for board in plan.boards):
            told["ripping"] += (
                " Beside the pith a board may spring apart or close on the blade: stop the saw "
                "before you free it, and joint the new edge before it runs along the fence."
            )
    if _cuts_short_pieces(plan):
        told["short parts"] = (
            "Crosscut them last, off a longer one, with a stop that the piece leaves before the "
            "blade; hands as far from it as the saw's manual says, small ones clamped."
        )
    if any(made.planed for made in plan.parts):
        told["planing"] = f"Nothing shorter than the machine's manual allows. {_shortest(plan)}"
    if any(made.glued for made in plan.parts):
        told["gluing"] = (
            "Clamp as long as the glue's label says. A shop-made laminate is never a rated beam: "
            "what carries people or a roof belongs to local codes or an engineer."
        )
    if whole := list(dict.fromkeys(board.tag for board in plan.boards if board.whole)):
        told["bad stretches"] = (
            f"{', '.join(whole)}: cut with them in it, as its parts do not mind. Look for nails "
            "and loose knots before it meets a blade or knives."
        )
    if any(board.treated for board in plan.boards):
        told["treated wood"] = (
            "Wear mask and gloves, never burn the scrap, brush preservative on cut ends; local "
            "codes say where it may be used."
        )
    if "ripping" in told or "planing" in told:
        told["dust"] = "Collect it and wear a mask: fine wood dust harms (NIOSH: 1 mg/m³)."
    return told


def thin_strip(plan: Plan) -> str:
    """From which width on a strip runs between fence and blade."""
    return "3/4 in (19 mm)" if plan.unit is Unit.IN else "19 mm"


def _ripped_widths(plan: Plan) -> Iterator[Length]:
    """Widths of blanks off the rip saw, and of parts that are ripped out of one blank last."""
    widths = {blank.id: blank.width for board in plan.boards for blank in board.blanks}
    for made in plan.parts:
        if len(made.blanks) == 1 and widths.get(made.blanks[0], 0) >= 2 * made.width:
            yield made.width
    for board in plan.boards:
        if any(cut.kind in (CutKind.RIP, CutKind.JOINT) for cut in board.cuts):
            yield from (blank.width for blank in board.blanks if blank.width < board.width)


def _ripped_beside_pith(plan: Plan, board: Board) -> bool:
    ripped = any(cut.kind is CutKind.RIP for cut in board.cuts)
    return ripped and pith_band(board.width, plan.practice, plan.unit) is not None


def _cuts_short_pieces(plan: Plan) -> bool:
    crosscut = any(c.kind is CutKind.CROSSCUT for board in plan.boards for c in board.cuts)
    used = {blank for made in plan.parts for blank in made.blanks}
    blanks = [blank for board in plan.boards for blank in board.blanks if blank.id in used]
    return any(b.holds > 1 or (crosscut and b.length < SHORT_PIECE) for b in blanks)


def load(plan: Plan) -> str:
    """What the boards to bring home weigh, and whether the car may carry that; or nothing."""
    carried, unit = plan.load, "lb" if plan.unit is Unit.IN else "kg"
    if not carried.weight:
        unknown = f"not known, for the woods of {counted(carried.unknown, 'board')} are in no table"
        told = f"{unknown}; the car may carry {carried.limit} {unit}"
        return told if carried.unknown and carried.limit else ""
    told = f"some {carried.weight} {unit}"
    if carried.unknown:
        told += f", and {carried.unknown} of a wood whose weight is not known"
    if carried.too_heavy:
        trips = -(-carried.weight // carried.limit)
        told += f"; the car may carry {carried.limit}: {trips} trips, or have them delivered"
    return told


def _shortest(plan: Plan) -> str:
    lengths = {blank.id: blank.length for board in plan.boards for blank in board.blanks}
    planed = [lengths[blank] for made in plan.parts if made.planed for blank in made.blanks]
    return f"The shortest blank planed here: {format_length(min(planed), plan.unit)} {plan.unit}."
