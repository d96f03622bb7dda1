"""What the screen says of ways side by side and of wishes: 80 columns wide."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from optimizer.output.advice_words import (
    break_even_said,
    hinge_said,
    hours,
    saving_said,
    waste_percent,
    weighed,
    wish_said,
)
from optimizer.output.store_sheet import plan_b_said
from optimizer.output.words import counted, money, shown
from optimizer.plan.comparison import Advice, Alternative
from stock.errors import WIDTH
from stock.lengths import Unit, format_length

_HEADS = ("Net", "Cash", "Boards", "Rack", "Glued", "Hours", "Waste", "Weight")
_WIDTHS = (9, 9, 7, 5, 6, 6, 6, 8)


def advice_text(advice: Advice, unit: Unit) -> str:
    """Ways side by side; then what was asked beside them, each thing on a line of its own."""
    said = [*_table(advice, unit)]
    for each in advice.break_evens:
        said += _wrapped(break_even_said(each))
    sections = {
        "What a wish costs": [wish_said(saving) for saving in advice.wishes if saving.at_least],
        "Near misses": [saving_said(saving) for saving in advice.near_misses],
        "Where a board is out": [f"{each.store}: {plan_b_said(each)}" for each in advice.plans_b],
        "Measure before you drive": [
            f"{h.tag} ({format_length(h.spare_length, unit)} {unit} to spare): {hinge_said(h)}"
            for h in advice.hinges
        ],
    }
    for title, lines in sections.items():
        if lines:
            said += ["", title]
            said += [line for each in lines for line in _wrapped(each)]
    if advice.unanswered:
        were = "was" if advice.unanswered == 1 else "were"
        asked = counted(advice.unanswered, "question")
        said += ["", f"{asked} {were} not looked at; --seconds gives more time."]
    return "\n".join(said)


def _table(advice: Advice, unit: Unit) -> Iterator[str]:
    names = WIDTH - sum(_WIDTHS)
    heads = (f"{head:>{width}}" for head, width in zip(_HEADS, _WIDTHS, strict=True))
    yield f"{'Way':<{names}}" + "".join(heads)
    for way in advice.alternatives:
        name = f"{shown(way.name):<{names}}"[:names]
        if way.plan is None:
            yield from _wrapped(f"{way.name}: does not go. {way.why.splitlines()[0]}", first="")
            continue
        figures = zip(_figures(way, unit), _WIDTHS, strict=True)
        yield name + "".join(f"{figure:>{width}}" for figure, width in figures)


def _figures(way: Alternative, unit: Unit) -> tuple[str, ...]:
    assert way.plan is not None
    assert way.figures is not None
    known = way.figures
    return (
        money(way.plan.cost.net),
        money(way.plan.cost.cash),
        str(known.boards),
        str(known.rack_pieces),
        str(known.glue_lines),
        hours(known.minutes),
        f"{waste_percent(known.waste)} %",
        weighed(known.weight, unit),
    )


def _wrapped(text: str, first: str = "  ") -> list[str]:
    return wrap(shown(text), WIDTH, initial_indent=first, subsequent_indent="    ")
