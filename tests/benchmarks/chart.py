"""A chart of best cost and bound over time, for one job, as SVG."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil, floor, log10
from pathlib import Path

from tests.benchmarks.measure import Moment, Run

WIDE, HIGH = 640, 320
LEFT, RIGHT, TOP, BOTTOM = 64, 16, 34, 44
EARLIEST = 0.1
"""Seconds at the left edge: time runs in powers of ten."""

INK, GRID, COST, BOUND = "#222222", "#dddddd", "#8a3b12", "#1f5f8b"


def write_chart(run: Run, path: Path) -> None:
    """Write the chart of a run that found a plan."""
    path.write_text(chart(run.trail, run.seconds, f"job {run.job}"), encoding="utf-8")


def chart(trail: Sequence[Moment], seconds: float, title: str) -> str:
    """The SVG text: steps of the best cost and of the bound, over seconds."""
    best = [(m.seconds, float(m.best)) for m in trail if m.best is not None]
    bound = [(m.seconds, float(m.bound)) for m in trail if m.bound is not None]
    if not best or not bound:
        raise ValueError("a chart needs a plan and a bound")
    scale = _Scale(seconds, [value for _, value in [*best, *bound]])
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" role="img"'
        f' font-family="sans-serif" font-size="12" fill="{INK}">',
        f"<title>Best cost and bound over time, {title}</title>",
        f'<rect width="{WIDE}" height="{HIGH}" fill="#ffffff"/>',
        *scale.grid(),
        _steps(scale, best, seconds, COST),
        _steps(scale, bound, seconds, BOUND),
        _text(LEFT, 20, f"net cost of the best plan, {title}", COST),
        _text(WIDE - RIGHT, 20, "bound: no plan is below", BOUND, "end"),
        _text((LEFT + WIDE - RIGHT) / 2, HIGH - 8, "seconds", INK, "middle"),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


class _Scale:
    """Where a moment and an amount lie in the picture."""

    def __init__(self, seconds: float, values: Sequence[float]) -> None:
        self.last = max(seconds, 10 * EARLIEST)
        spread = max(values) - min(values) or 1
        self.step = _round_step(spread / 4)
        self.low = floor(min(values) / self.step) * self.step
        self.high = max(ceil(max(values) / self.step) * self.step, self.low + self.step)

    def x(self, seconds: float) -> float:
        share = log10(max(seconds, EARLIEST) / EARLIEST) / log10(self.last / EARLIEST)
        return LEFT + share * (WIDE - LEFT - RIGHT)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return HIGH - BOTTOM - share * (HIGH - TOP - BOTTOM)

    def grid(self) -> Iterable[str]:
        """Lines and labels of round amounts and of powers of ten."""
        for n in range(round((self.high - self.low) / self.step) + 1):
            value = self.low + n * self.step
            y = self.y(value)
            yield _line(LEFT, y, WIDE - RIGHT, y)
            yield _text(LEFT - 6, y + 4, f"{value:g}", INK, "end")
        for power in range(round(log10(EARLIEST)), floor(log10(self.last)) + 1):
            x = self.x(10.0**power)
            yield _line(x, TOP, x, HIGH - BOTTOM)
            yield _text(x, HIGH - BOTTOM + 16, f"{10.0**power:g}", INK, "middle")


def _round_step(about: float) -> float:
    """1, 2 or 5 times a power of ten, at least ``about``."""
    power = 10.0 ** floor(log10(about))
    return next(times * power for times in (1, 2, 5, 10) if times * power >= about)


def _steps(
    scale: _Scale, points: Sequence[tuple[float, float]], seconds: float, colour: str
) -> str:
    """A line that stays until the next point, to the end."""
    path, height = f"M{scale.x(points[0][0]):.1f} {scale.y(points[0][1]):.1f}", points[0][1]
    for moment, value in points[1:]:
        if value != height:
            path, height = f"{path}H{scale.x(moment):.1f}V{scale.y(value):.1f}", value
    path += f"H{scale.x(seconds):.1f}"
    return f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="2"/>'


def _line(x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<path d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}" stroke="{GRID}"/>'


def _text(x: float, y: float, words: str, colour: str, anchor: str = "start") -> str:
    at = f'x="{x:.1f}" y="{y:.1f}" fill="{colour}" text-anchor="{anchor}"'
    return f"<text {at}>{words}</text>"
