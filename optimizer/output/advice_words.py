"""What was learnt beside a plan, in the same words on screen and on paper."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from optimizer.output.words import counted, money
from optimizer.plan.comparison import BreakEven, Hinge, Saving
from optimizer.plan.figures import Figures
from stock.lengths import Unit


def hours(minutes: Fraction) -> str:
    """``20.5``."""
    return f"{_rounded(minutes / 60, '0.1')}"


def waste_percent(waste: Fraction) -> str:
    """``23``."""
    return f"{_rounded(100 * waste, '1')}"


def weighed(weight: int, unit: Unit) -> str:
    """``191 lb``, ``87 kg``."""
    return f"{weight} {'kg' if unit is Unit.MM else 'lb'}"


def figures_said(figures: Figures, unit: Unit) -> str:
    """``11 boards bought, 26 off the rack, 28 glue lines, 20.6 h, 23 % waste, 168 lb``.

    No line breaks within one of them.
    """
    said = (
        f"{counted(figures.boards, 'board')} bought",
        f"{figures.rack_pieces} off the rack",
        counted(figures.glue_lines, "glue line"),
        f"{hours(figures.minutes)} h",
        f"{waste_percent(figures.waste)} % waste",
        weighed(figures.weight, unit),
    )
    return ", ".join(each.replace(" ", "\u00a0") for each in said)


def break_even_said(each: BreakEven) -> str:
    """The price below which a beam wins."""
    name = f"{each.part}: {each.section}"
    if each.factor is None:
        return f"{name}: {each.why}."
    prices = "; ".join(
        f"{offer} at {money(then)} (now {money(now)})" for _, offer, now, then in each.prices
    )
    about = "" if each.proven else "about "
    percent = _rounded(100 * each.factor, "0.1")
    return f"{name}: break-even at {about}{percent} % of today's price: {prices}. Below, the beam."


def saving_said(saving: Saving) -> str:
    """What giving it up, or doing it, would save."""
    if saving.at_most == saving.at_least:
        return f"{saving.what} would save {money(saving.at_least)}"
    if saving.at_most is None:
        return f"{saving.what} would save {money(saving.at_least)} or more"
    if not saving.at_least:
        return f"{saving.what} would save at most {money(saving.at_most)}"
    return f"{saving.what} would save {money(saving.at_least)} to {money(saving.at_most)}"


def wish_said(saving: Saving) -> str:
    """… of a wish, which it is that is given up."""
    return saving_said(replace(saving, what=f"{saving.what}; giving that up"))


def hinge_said(hinge: Hinge) -> str:
    """What the job costs without the piece."""
    if hinge.more is None:
        return "without it the job cannot be made"
    return f"without it the job costs {money(hinge.more)} more"


def _rounded(amount: Fraction, step: str) -> Decimal:
    exact = Decimal(amount.numerator) / Decimal(amount.denominator)
    return exact.quantize(Decimal(step), ROUND_HALF_UP) + 0  # no minus before a zero
