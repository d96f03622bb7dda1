"""Each way of making a part, and how its rough sizes come about, in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from optimizer.job.blanks import BlankKind
from optimizer.job.grain import lines_of
from optimizer.job.layups import LayUp
from optimizer.job.parts import Part
from optimizer.job.reckoning import Reckoning
from stock.lengths import Length, Unit, format_length


def told_ways(ways: Iterable[tuple[Part, Sequence[LayUp]]], unit: Unit) -> str:
    """For each part its finished size, and each of its lay-ups line by line."""
    return "\n".join(line for part, lay_ups in ways for line in _part(part, lay_ups, unit))


def _part(part: Part, lay_ups: Sequence[LayUp], unit: Unit) -> Iterator[str]:
    for line in lines_of(part):
        size = " × ".join(format_length(m, unit) for m in (line.length, line.width, line.thickness))
        tenons = " + ".join(format_length(tenon, unit) for tenon in line.tenons)
        told = f"{line.name}: {line.copies} of {size}{f', tenons {tenons}' if tenons else ''}"
        yield f"{told}, out of board '{line.of_board}'" if line.of_board else told
    for lay_up in lay_ups:
        yield f"  {_built(lay_up)}: {_blanks(lay_up.blanks, unit)}"
        for reckoning in lay_up.reckonings:
            yield f"    {reckoning.measure:<9} {told_reckoning(reckoning, unit)}"
        if lay_up.planed and lay_up.thickness < part.thickness:
            yield f"    brought to {format_length(lay_up.thickness, unit)}"
        if lay_up.copies > 1:
            yield f"    {in_one_blank(lay_up)}"
        yield from (f"    {remark}" for remark in lay_up.remarks)


def in_one_blank(lay_up: LayUp) -> str:
    """How several copies are made at once."""
    copies, abreast = lay_up.copies, lay_up.abreast
    part = lay_up.part
    several = f"{copies} parts of board '{part.of_board}'" if part.members else f"{copies} copies"
    if abreast == 1:
        return f"{several} in one length, crosscut last"
    if abreast == copies:
        return f"{several} side by side in one blank, ripped apart last"
    return f"{several} in one blank, {abreast} side by side, ripped and then crosscut last"


def told_reckoning(reckoning: Reckoning, unit: Unit) -> str:
    """``28 finished + 1 tenon + 1 extra length = 30``; what is rounded up is said."""
    first, *others = reckoning.steps
    words = [f"{format_length(first.amount, unit)} {first.reason}"]
    for step in others:
        sign = "−" if step.amount < 0 else "+"
        words.append(f"{sign} {format_length(abs(step.amount), unit)} {step.reason}")
    told = f"{' '.join(words)} = {format_length(reckoning.total, unit)}"
    if reckoning.result == reckoning.total:
        return told
    return f"{told}, on the tape {format_length(reckoning.result, unit)}"


def _built(lay_up: LayUp) -> str:
    plies, strips = len(lay_up.plies), max(map(len, lay_up.plies))
    built = "one board"
    if plies > 1:
        built = f"{plies} plies" + (f" of up to {strips} strips" if strips > 1 else "")
    elif strips > 1:
        built = f"{strips} strips"
    return f"{built}, {'planed' if lay_up.planed else 'as bought'}"


def _blanks(blanks: Iterable[BlankKind], unit: Unit) -> str:
    def said(kind: BlankKind, count: int) -> str:
        size = " × ".join(format_length(m, unit) for m in (kind.length, kind.width))
        edges = ", edges as they are" if kind.own_edges else ""
        wood = f" {kind.lumber.wood}" if kind.lumber.wood else ""
        thick = format_length(Length(kind.lumber.thickness), unit)
        return f"{count} {'blank' if count == 1 else 'blanks'} {size}{edges} out of {thick}{wood}"

    return " and ".join(said(kind, count) for kind, count in Counter(blanks).items())
