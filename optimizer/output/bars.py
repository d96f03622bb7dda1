"""A picture of ways side by side: a bar for each, made of the parts of its cost, as SVG.

What is paid stands right of the line, leftovers, which are taken off, left of it; a tick marks the
net. The colours differ in lightness, for paper in black and white; on the page hatchings stand for
them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from html import escape
from math import floor, log10

from optimizer.output.words import money, shown
from optimizer.plan.comparison import Alternative
from optimizer.plan.plan import Cost


@dataclass(frozen=True, slots=True)
class CostPart:
    """A part of the cost: its title, its colour in the picture, the name of its hatching on the
    page, and the amount (less than nothing: taken off).
    """

    title: str
    colour: str
    hatching: str
    amount: Callable[[Cost], Decimal]


COST_PARTS = (
    CostPart("Boards", "#24382c", "ink", lambda cost: cost.boards),
    CostPart("Tax", "#a9c29c", "bars", lambda cost: cost.tax),
    CostPart("Trips, cuts", "#5f8560", "squares", lambda cost: cost.trips + cost.yard_cuts),
    CostPart("Glue", "#efdc9a", "white", lambda cost: cost.glue),
    CostPart("Time", "#7d4526", "hatch", lambda cost: cost.time),
    CostPart("Rack used", "#b0956f", "grey", lambda cost: cost.rack_used),
    CostPart("Leftovers", "#f5f3ee", "dots", lambda cost: -cost.leftovers),
)


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the cost in a bar: where it begins and how long it is, as shares of the picture."""

    part: CostPart
    amount: Decimal
    left: float
    wide: float

    @property
    def said(self) -> str:
        """``Boards 104.23``, ``less Leftovers 1.01``."""
        less = "less " if self.amount < 0 else ""
        return f"{less}{self.part.title} {money(abs(self.amount))}"


@dataclass(frozen=True, slots=True)
class Bar:
    """A way as a bar; ``net`` and ``zero`` as shares of the picture, which is as long for all."""

    way: Alternative
    cost: Cost
    pieces: tuple[Piece, ...]
    zero: float
    net: float


_WIDTH, _NAMES, _ROW, _BAR, _TOP = 720, 170, 34, 20, 52
_RIGHT = 70  # room for the net beside the longest bar


def bars(ways: Iterable[Alternative]) -> list[Bar]:
    """A bar for each way that goes, all to one scale."""
    drawn = [(way, way.plan.cost) for way in ways if way.plan]
    paid = [sum(_amounts(cost, +1), Decimal(0)) for _, cost in drawn]
    off = [sum(_amounts(cost, -1), Decimal(0)) for _, cost in drawn]
    least, most = min(off, default=Decimal(0)), max([*paid, Decimal(1)])
    return [_bar(way, cost, float(least), float(most - least)) for way, cost in drawn]


def _bar(way: Alternative, cost: Cost, least: float, whole: float) -> Bar:
    zero = -least / whole
    left = right = zero
    pieces = []
    for part in COST_PARTS:
        amount = part.amount(cost)
        wide = abs(float(amount)) / whole
        if amount < 0:
            left -= wide
        if wide:
            pieces.append(Piece(part, amount, left if amount < 0 else right, wide))
        if amount > 0:
            right += wide
    return Bar(way, cost, tuple(pieces), zero, zero + float(cost.net) / whole)


def bars_svg(ways: Iterable[Alternative]) -> str:
    """The picture, 720 wide and as high as it takes; ways that do not go are left out."""
    drawn = bars(ways)
    room = _WIDTH - _NAMES - _RIGHT
    height = _TOP + _ROW * len(drawn) + 30
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {height}" role="img" '
        f'font-family="Arial, sans-serif" font-size="12">',
        "<title>Cost of each way, by part</title>",
        *_legend(),
    ]
    if drawn:
        most = max([*(float(sum(_amounts(bar.cost, +1), Decimal(0))) for bar in drawn), 1.0])
        lines += _axis(
            _NAMES + drawn[0].zero * room, (1 - drawn[0].zero) * room / most, most, height
        )
    for n, bar in enumerate(drawn):
        lines += _drawn(bar, _TOP + n * _ROW, room)
    return "\n".join([*lines, "</svg>"]) + "\n"


def _amounts(cost: Cost, sign: int) -> list[Decimal]:
    return [part.amount(cost) for part in COST_PARTS if part.amount(cost) * sign > 0]


def _legend() -> list[str]:
    lines, x = [], 8
    for part in COST_PARTS:
        lines.append(
            f'<rect x="{x}" y="10" width="12" height="12" fill="{part.colour}" stroke="#555"/>'
        )
        lines.append(f'<text x="{x + 17}" y="20">{part.title}</text>')
        x += 32 + round(6.2 * len(part.title))
    return lines


def _axis(zero: float, scale: float, most: float, height: int) -> list[str]:
    """Lines at round amounts, some four of them."""
    step = 10 ** floor(log10(max(most, 1)))
    step = next((step * part for part in (1, 0.5, 0.25, 0.2) if most / (step * part) >= 3.5), step)
    lines = []
    for n in range(int(most / step) + 1):
        x, bottom = zero + n * step * scale, height - 24
        grey = "#555" if n == 0 else "#ddd"
        lines.append(f'<path d="M{x:.1f} {_TOP - 8}V{bottom}" stroke="{grey}"/>')
        lines.append(
            f'<text x="{x:.1f}" y="{bottom + 16}" text-anchor="middle" fill="#555">'
            f"{n * step:g}</text>"
        )
    return lines


def _drawn(bar: Bar, y: int, room: float) -> list[str]:
    middle = y + _BAR / 2 + 4
    name = escape(shown(bar.way.name))
    lines = [f'<text x="{_NAMES - 10}" y="{middle}" text-anchor="end">{name}</text>']
    for piece in bar.pieces:
        lines.append(
            f'<rect x="{_NAMES + piece.left * room:.1f}" y="{y}" width="{piece.wide * room:.1f}" '
            f'height="{_BAR}" fill="{piece.part.colour}" stroke="#555">'
            f"<title>{piece.part.title} {money(piece.amount)}</title></rect>"
        )
    net = _NAMES + bar.net * room
    end = max([net, *(_NAMES + (piece.left + piece.wide) * room for piece in bar.pieces)])
    lines.append(f'<path d="M{net:.1f} {y - 4}v{_BAR + 8}" stroke="#111" stroke-width="2"/>')
    lines.append(f'<text x="{end + 6:.1f}" y="{middle}">{money(bar.cost.net)}</text>')
    return lines
