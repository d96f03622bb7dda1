"""Saws a board by what a sheet says, cut after cut, with a tape, a stop and a fence.

Shares no code with what wrote the sheet: it reads the words, measures the piece that lies there,
and complains where the sheet does not fit it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from optimizer.plan.plan import Board, Plan
from stock.lengths import Length, parse_length

Rectangle = tuple[Length, Length, Length, Length]  # x, y, length, width


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One line of a sheet of cuts, as it reads."""

    what: str
    piece: str
    setting: str
    tape: str
    comes_off: str
    remains: str


@dataclass(slots=True)
class Bench:
    """What lies around: pieces to cut by mark, finished ones by mark, kept ones by tag, scrap."""

    work: dict[str, Rectangle]
    blanks: dict[str, Rectangle] = field(default_factory=dict)
    kept: dict[str, Rectangle] = field(default_factory=dict)
    scrap: list[Rectangle] = field(default_factory=list)
    dust: Length = Fraction(0)


def sawn_by_plan(plan: Plan, board: Board) -> Bench:
    """The bench after the cuts of plan.json, in their order; pieces go by their names there."""
    zero = Fraction(0)
    pieces = {board.id: (zero, zero, board.length, board.width)}
    bench = Bench(work={})
    for cut in board.cuts:
        x, y, length, width = pieces.pop(cut.piece)
        if cut.kind in ("rip", "joint", "straighten"):
            far = max(width - cut.at - plan.rip_kerf, zero) if cut.kind == "rip" else zero
            sides = [(x, y, length, cut.at), (x, y + width - far, length, far)]
        else:
            far = max(length - cut.at - plan.crosscut_kerf, zero)
            sides = [(x, y, cut.at, width), (x + length - far, y, far, width)]
        bench.dust += length * width - sum(each[2] * each[3] for each in sides)
        for name, side in zip(cut.gives, sides, strict=True):
            if name:
                pieces[name] = side
            elif min(side[2:]) > 0:
                bench.scrap.append(side)
    tags = {left.tag for left in board.leftovers}
    bench.kept = {name: side for name, side in pieces.items() if name in tags}
    bench.blanks = {name: side for name, side in pieces.items() if name not in tags}
    return bench


def sawn(plan: Plan, board: Board, mark: str, lines: Iterable[Told]) -> Bench:
    """The bench after the last cut of ``board``, which carries ``mark``."""
    whole = (Fraction(0), Fraction(0), board.length, board.width)
    bench = Bench(work={mark: whole})
    for line in lines:
        _cut(plan, bench, line)
    if not board.cuts:
        bench.blanks[mark] = bench.work.pop(mark)
    return bench


def _cut(plan: Plan, bench: Bench, line: Told) -> None:
    assert line.piece in bench.work, f"there is no {line.piece} to cut: {line}"
    x, y, length, width = bench.work.pop(line.piece)
    jointed = line.what in ("Joint", "Straighten")
    along = line.what == "Rip" or jointed
    begin, size = (y, width) if along else (x, length)
    kerf = plan.rip_kerf if along else plan.crosscut_kerf

    def measured(text: str) -> Length:
        return parse_length(text, plan.unit)

    near = measured(line.tape) - begin  # by the tape
    kerf = size - near if jointed else kerf  # a jointer leaves nothing
    match line.setting.split(" ", 1):
        case ["at", "the store"]:
            assert line.what == "Yard cut"
        case ["at", reading]:
            assert line.what.startswith("Trim")
            assert measured(reading.removesuffix(" from its left end")) == near
        case ["on", "the jointer"]:
            assert jointed
        case ["stop", reading]:
            assert line.what == "Crosscut"
            assert measured(reading) == near
        case ["fence", reading] if "," in reading:  # the strip falls outside
            assert along
            assert near < measured("3/4 in")
            assert size - kerf - measured(reading.split(",")[0]) == near
        case ["fence", reading]:
            assert along
            assert measured(reading) == near
        case _:
            raise AssertionError(f"how is this set? {line}")
    assert 0 <= near < size, line
    far = max(size - near - kerf, Fraction(0))
    bench.dust += (size - near - far) * (length if along else width)
    sides = [
        (x, y, length, near) if along else (x, y, near, width),
        (x, y + near + kerf, length, far) if along else (x + near + kerf, y, far, width),
    ]
    named = [line.comes_off, line.remains]
    if line.what in ("Trim right end", "Trim before bad stretch"):
        named.reverse()
    for text, side in zip(named, sides, strict=True):
        _put(plan, bench, text, side)


def _put(plan: Plan, bench: Bench, text: str, side: Rectangle) -> None:
    if text == "–":
        assert min(side[2:]) == 0, f"{side} comes off unsaid"
        return
    told = text.removesuffix(", to the rack")
    mark, _, size = told.rpartition(", ")
    assert [parse_length(each, plan.unit) for each in size.split(" × ")] == list(side[2:]), text
    if told != text:
        bench.kept[mark] = side
    elif mark in ("scrap", "bad stretch", "pith"):
        bench.scrap.append(side)
    else:
        assert mark not in bench.work
        bench.work[mark] = side


def settle(bench: Bench) -> Bench:
    """What is not cut further is finished."""
    bench.blanks |= bench.work
    bench.work = {}
    return bench


def as_planned(plan: Plan, board: Board, bench: Bench) -> None:
    """The bench holds exactly the board's blanks and leftovers; all other wood is scrap or dust."""
    settle(bench)
    blanks = sorted((each.x, each.y, each.length, each.width) for each in board.blanks)
    assert sorted(bench.blanks.values()) == blanks, board.id
    kept = {each.tag: (each.x, each.y, each.length, each.width) for each in board.leftovers}
    assert bench.kept == kept, board.id
    pieces = [*bench.blanks.values(), *bench.kept.values(), *bench.scrap]
    area = sum((length * width for _, _, length, width in pieces), bench.dust)
    assert area == board.length * board.width, board.id
