"""What the screen says about the rack: what lies there, what it is worth, what had better go."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from optimizer.output.words import board_name, counted, measures, money, treated_mark
from optimizer.plan.would_use import LastYear, never_used
from stock.keeping import CUBIC_INCHES, Shelved
from stock.lengths import Unit
from stock.prices import to_cent
from stock.stock_book import StockBook

_BAR = 30  # the longest bar, in characters
_BURN = "Burn, or give away:"
_NEVER_BURN = "Never burn (treated): give away, or take to where your local rules send it:"


def rack_report(
    stock: StockBook,
    rack: Sequence[Shelved],
    burn: Mapping[str, Sequence[str]],
    year: LastYear,
    ages: Mapping[str, tuple[int, int]],
) -> str:
    """The whole report, a screen or two."""
    blocks = [
        _sums(stock, rack),
        _burn(stock, rack, burn),
        _never_used(stock, rack, year),
        _chart(ages),
    ]
    return "\n\n".join("\n".join(block) for block in map(list, blocks) if block)


def _sums(stock: StockBook, rack: Sequence[Shelved]) -> Iterator[str]:
    unit = stock.shop.unit
    sections: defaultdict[str, list[Shelved]] = defaultdict(list)
    for each in sorted(rack, key=lambda e: (e.piece.lumber.thickness, e.piece.width)):
        sections[_section(each, unit)].append(each)
    pieces = sum(each.piece.count for each in rack)
    worth = sum((each.worth for each in rack), to_cent(Fraction(0)))
    space = stock.shop.rack_space
    room = f" of {space}" if space else ""
    wood = f"{_volume(rack, unit)}{room}, worth {money(worth)}"
    yield f"On the rack: {counted(pieces, 'piece')}, {wood}"
    for section, those in sections.items():
        count = sum(each.piece.count for each in those)
        worth = sum((each.worth for each in those), to_cent(Fraction(0)))
        yield f"{count:>5}  {section:<40}{_volume(those, unit):>16}{money(worth):>11}"


def _section(each: Shelved, unit: Unit) -> str:
    piece = each.piece
    name = board_name(piece.size, piece.lumber.thickness, piece.width, unit)
    wood = " ".join(filter(None, (treated_mark(piece.lumber.treated), piece.lumber.wood)))
    return "  ".join(filter(None, (name, wood)))[:40]


def _volume(rack: Sequence[Shelved], unit: Unit) -> str:
    volume = sum((each.volume for each in rack), Fraction(0)) / CUBIC_INCHES[unit]
    return f"{float(volume):.1f} {'board feet' if unit is Unit.IN else 'litres'}"


def _burn(
    stock: StockBook, rack: Sequence[Shelved], burn: Mapping[str, Sequence[str]]
) -> Iterator[str]:
    """Treated wood apart: its smoke and ash are poisonous (US EPA, Burn Wise: never burn it)."""
    for title, treated in ((_BURN, False), (_NEVER_BURN, True)):
        those = [each for each in rack if each.piece.lumber.treated is treated]
        going = [each for each in those if each.piece.tag in burn]
        if going:
            yield title
        for each in going:
            yield f"  {_told(each, stock.shop.unit)}: {'; '.join(burn[each.piece.tag])}"


def _never_used(stock: StockBook, rack: Sequence[Shelved], year: LastYear) -> Iterator[str]:
    if year.plans:
        idle = {piece.tag for piece in never_used((each.piece for each in rack), year)}
        jobs = ", ".join(dict.fromkeys(plan.job for plan in year.plans))
        yield f"Would have served none of the jobs of the last year ({jobs}): {len(idle)}"
        for each in rack:
            if each.piece.tag in idle:
                yield f"  {_told(each, stock.shop.unit)}"
    if year.lost:
        yield f"(No plan.json was found of {', '.join(year.lost)}.)"


def _told(each: Shelved, unit: Unit) -> str:
    piece = each.piece
    size = board_name(piece.size, piece.lumber.thickness, piece.width, unit)
    bay = f", bay {piece.bay}" if piece.bay else ""
    age = "" if each.months is None else f", {counted(int(each.months), 'month')}"
    treated = f" {treated_mark(piece.lumber.treated)}".rstrip()
    return f"{piece.tag}  {size} × {measures(unit, piece.length)}{treated}{bay}{age}"


def _chart(ages: Mapping[str, tuple[int, int]]) -> Iterator[str]:
    """Bars: leftovers that were used, and those that still lie, by how long."""
    most = max((max(counts) for counts in ages.values()), default=0)
    if not most:
        return
    yield "How long leftovers lie before they are used:"
    yield from _bars({age: used for age, (used, _) in ages.items()}, most)
    yield "How long those lie that are not used yet:"
    yield from _bars({age: lying for age, (_, lying) in ages.items()}, most)


def _bars(counts: Mapping[str, int], most: int) -> Iterator[str]:
    for age, count in counts.items():
        yield f"  {age:<14} {'█' * -(-count * _BAR // most)}{' ' if count else ''}{count}"
