"""What a little more money would buy, in words: 80 columns wide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from math import ceil
from textwrap import wrap

from optimizer.output.words import counted, money, read
from optimizer.plan.comparison import Gain
from stock.errors import WIDTH


def near_text(gains: Sequence[Gain], most: Decimal, folder: str) -> str:
    """Each gain on a line of its own, the cheapest first; ``folder`` is where their plans lie."""
    if not gains:
        return f"Near: for up to {money(most)} more in net, nothing better was found."
    lines = [line for n, gain in enumerate(gains, 1) for line in _line(n, gain)]
    ends = "Found among the patterns looked at; there may be better. "
    ends += f"Each is a plan of its own: {folder}/1.json and so on."
    return "\n".join([f"Near: for up to {money(most)} more in net", *lines, *wrap(ends, WIDTH)])


def _line(number: int, gain: Gain) -> list[str]:
    said = f"{number:>4}  {gain_said(gain)}"
    return wrap(said, WIDTH, subsequent_indent=" " * 6)


def gain_said(gain: Gain) -> str:
    """``0.38 more in net, cash 12.40: 1 board fewer to buy; but 2 cuts more``."""
    apart = f"{money(gain.more)} more" if gain.more >= 0 else f"{money(-gain.more)} less"
    cost = f"{apart} in net, cash {money(gain.plan.cost.cash)}"
    better, worse = list(_told(gain, 1)), list(_told(gain, -1))
    but = f"; but {', '.join(worse)}" if worse else ""
    return f"{cost}: {', '.join(better)}{but}"


def _told(gain: Gain, sign: int) -> Iterator[str]:
    """What gets better (1) or worse (-1)."""
    less = "fewer" if sign > 0 else "more"
    if sign * gain.boards > 0:
        yield f"{counted(abs(gain.boards), 'board')} {less} to buy"
    if sign * gain.glue_lines > 0:
        yield f"{counted(abs(gain.glue_lines), 'glue line')} {less}"
    if sign * gain.cuts > 0:
        yield f"{counted(abs(gain.cuts), 'cut')} {less}"
    if sign * gain.minutes > 0:
        yield f"{counted(ceil(abs(gain.minutes)), 'minute')} {less}"
    if gain.left > 0 and sign > 0:
        longest = read(gain.longest, gain.plan)
        yield f"a rack worth {money(gain.left)} more (longest leftover {longest})"
    if gain.left < 0 and sign < 0:
        yield f"a rack worth {money(-gain.left)} less"
