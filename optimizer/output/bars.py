"""A picture of ways side by side: a bar for each, made of the parts of its cost, as SVG.

What is paid stands right of the line, leftovers, which are taken off, left of it; a tick marks the
net. Colours are told apart by their lightness too, for print and for eyes that see fewer.
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
    """A part of the cost: its name, its colour, and the amount (less than nothing: taken off)."""

    title: str
    colour: str
    amount: Callable[[Cost], Decimal]


COST_PARTS = (
    CostPart("Boards", "#33523f", lambda cost: cost.boards),
    CostPart("Tax", "#6f8f6a", lambda cost: cost.tax),
    CostPart("Trips, cuts", "#a7bd8f", lambda cost: cost.trips + cost.yard_cuts),
    CostPart("Glue", "#d8c27a", lambda cost: cost.glue),
    CostPart("Time", "#b0713d", lambda cost: cost.time),
    CostPart("Rack used", "#7c5a45", lambda cost: cost.rack_used),
    CostPart("Leftovers", "#c9c4ba", lambda cost: -cost.leftovers),
)

_WIDTH, _NAMES, _ROW, _BAR, _TOP = 720, 170, 34, 20, 52
_RIGHT = 70  # room for the net beside the longest bar


def bars_svg(ways: Iterable[Alternative]) -> str:
    """The picture, 720 wide and as high as it takes; ways that do not go are left out."""
    drawn = [(way.name, way.plan.cost) for way in ways if way.plan]
    paid = [sum(_amounts(cost, +1), Decimal(0)) for _, cost in drawn]
    off = [sum(_amounts(cost, -1), Decimal(0)) for _, cost in drawn]
    least, most = min(off, default=Decimal(0)), max([*paid, Decimal(1)])
    scale = float(_WIDTH - _NAMES - _RIGHT) / float(most - least)
    zero = _NAMES - float(least) * scale
    height = _TOP + _ROW * len(drawn) + 30
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {height}" role="img" '
        f'font-family="Arial, sans-serif" font-size="12">',
        "<title>Cost of each way, by part</title>",
        *_legend(),
        *_axis(zero, scale, float(most), height),
    ]
    for n, (name, cost) in enumerate(drawn):
        lines += _bar(name, cost, _TOP + n * _ROW, zero, scale)
    return "\n".join([*lines, "</svg>"]) + "\n"


def _amounts(cost: Cost, sign: int) -> list[Decimal]:
    return [part.amount(cost) for part in COST_PARTS if part.amount(cost) * sign > 0]


def _legend() -> list[str]:
    lines, x = [], 8
    for part in COST_PARTS:
        lines.append(f'<rect x="{x}" y="10" width="12" height="12" fill="{part.colour}"/>')
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


def _bar(name: str, cost: Cost, y: int, zero: float, scale: float) -> list[str]:
    middle = y + _BAR / 2 + 4
    lines = [f'<text x="{_NAMES - 10}" y="{middle}" text-anchor="end">{escape(shown(name))}</text>']
    right = left = zero
    for part in COST_PARTS:
        width = abs(float(part.amount(cost))) * scale
        if part.amount(cost) < 0:
            left -= width
        x = left if part.amount(cost) < 0 else right
        if part.amount(cost) > 0:
            right += width
        if width:
            lines.append(
                f'<rect x="{x:.1f}" y="{y}" width="{width:.1f}" height="{_BAR}" '
                f'fill="{part.colour}"><title>{part.title} {money(part.amount(cost))}</title>'
                "</rect>"
            )
    net = zero + float(cost.net) * scale
    lines.append(f'<path d="M{net:.1f} {y - 4}v{_BAR + 8}" stroke="#111" stroke-width="2"/>')
    lines.append(f'<text x="{max(right, net) + 6:.1f}" y="{middle}">{money(cost.net)}</text>')
    return lines
