"""A plan as text, for a terminal: boards as one-line sticks, cuts, and every list."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby, pairwise

from optimizer.output.bench_words import (
    clamps_text,
    glue_text,
    lacking,
    members_text,
    planing_text,
    run_in_text,
    step_text,
)
from optimizer.output.saw_words import (
    TAPE_TOLD,
    cut_row,
    mixed_up,
    piece_text,
    setting_text,
    settings_told,
    station_rules,
)
from optimizer.output.summary import bill
from optimizer.output.words import (
    board_name,
    finished_size,
    made_how,
    marked,
    read,
    read_size,
    shown,
    thick,
    treated_mark,
)
from optimizer.plan.tables import bought_as, leftovers, parts_made, rack_list, shopping_list
from optimizer.work.saw_cuts import Fate, SawnPiece
from optimizer.work.work import SawnBoard, Work
from stock.lengths import Length

_TERMINAL, _NARROWEST = 80, 20  # columns: of a terminal, of the longest board at the least


def told(work: Work, lists: Sequence[str]) -> str:
    """The lists by their names in :data:`LISTS`, each under its heading."""
    parts = []
    for name in lists:
        heading, lines = LISTS[name]
        parts.append("\n".join([heading, *map(shown, lines(work))]))
    return "\n\n".join(parts)


def _pull(work: Work) -> Iterator[str]:
    plan = work.plan
    rows = [
        [
            piece.bay,
            piece.tag,
            f"{piece.count} ×" if piece.count > 1 else "",
            piece.size or thick(piece.thickness, plan.unit),
            read_size(plan, piece.length, piece.width),
            piece.wood,
            treated_mark(piece.treated),
        ]
        for piece in rack_list(plan)
    ]
    for store, lines in shopping_list(plan).items():
        rows += [
            [
                store,
                marked(bought_as(line, plan)),
                f"{line.count} ×",
                board_name(line.size, line.thickness, line.width, plan.unit),
                read_size(plan, line.length, line.width),
                line.wood,
                treated_mark(line.treated),
            ]
            for line in lines
        ]
    return _table(rows)


# --- boards as sticks ----------------------------------------------------------------------------


def _boards(work: Work) -> Iterator[str]:
    longest = max((each.board.length for each in work.boards), default=Length(1))
    names = []
    for each in work.boards:
        board = each.board
        size = board_name(board.size, board.thickness, board.width, work.plan.unit)
        names.append((each.mark, f"{size} × {read(board.length, work.plan)}"))
    before = sum(max(map(len, column)) + 2 for column in zip(*names, strict=True))
    for columns in range(_TERMINAL - before, _NARROWEST, -1):
        lines = [_line(each, columns / longest) for each in work.boards]
        if max(map(len, lines), default=0) <= _TERMINAL - before:
            break
    yield from _table([*name, line] for name, line in zip(names, lines, strict=True))
    yield "| crosscut through, / ripped beside, + behind one another in a strip, : scrap"


def _line(each: SawnBoard, scale: Length) -> str:
    """``|A1a+F1/K1   |A1b/K2   |::|``, ``scale`` columns to the inch where its marks leave room."""
    segments = _segments(each)
    drawn = []
    for begin, end, pieces in segments:
        room = int((end - begin) * scale)
        text = _segment(pieces)
        drawn.append((text or ":" * max(1, room)).ljust(room))
    return f"|{'|'.join(drawn)}|"


def _segments(each: SawnBoard) -> list[tuple[Length, Length, list[SawnPiece]]]:
    """Where the board is crosscut through its whole width, and what lies between."""
    width, ends = each.board.width, [(Length(0), Length(0))]
    for cut in each.cuts:
        if not cut.kind.along and cut.piece.width == width:
            x, _, kerf, _ = cut.kerf_place
            ends.append((x, x + kerf))
    ends.append((each.board.length, each.board.length))
    ends.sort()
    return [
        (begin, end, [piece for piece in each.pieces if begin <= piece.x < end])
        for (_, begin), (end, _) in pairwise(ends)
        if end > begin
    ]


def _segment(pieces: Iterable[SawnPiece]) -> str:
    """Strips from the lower edge up, the pieces of each from left to right."""
    kept = sorted(
        (piece for piece in pieces if piece.fate is not Fate.SCRAP),
        key=lambda piece: (piece.y, piece.x),
    )
    strips = groupby(kept, key=lambda piece: piece.y)
    return "/".join("+".join(piece.mark for piece in strip) for _, strip in strips)


# --- saw and bench -------------------------------------------------------------------------------


def _cuts(work: Work) -> Iterator[str]:
    for each in work.boards:
        yield each.mark
        rows = []
        for cut in each.cuts:
            row = cut_row(work.plan, cut)
            rows.append(
                [
                    f"{row.n:>4}",
                    row.what,
                    row.piece,
                    row.setting,
                    f"tape {row.tape}",
                    f"→ {row.comes_off}",
                    f"| {row.remains}",
                ]
            )
        yield from _table(rows)
    yield TAPE_TOLD


def _order(work: Work) -> Iterator[str]:
    yield f"In all {settings_told(work)}."
    for number, each in enumerate(work.passes, 1):
        yield f"{number}. At the {each.station}"
        yield f"  {station_rules(work.plan, each)}"
        for setting in each.settings:
            yield f"  {setting_text(work.plan, each, setting)}"
            for cut in setting.cuts:
                row = cut_row(work.plan, cut)
                trim = f"{row.what} at {row.at}; " if setting.at is None else ""
                yield f"    [ ] {row.piece} cut {cut.n}: {trim}{row.comes_off}; rest {row.remains}"


def _glue(work: Work) -> Iterator[str]:
    plan = work.plan
    for batch in work.batches:
        lack = lacking(batch, plan)
        glue = glue_text(plan, batch.glue_area)
        yield f"Batch {batch.number}: {batch.clamps} clamps, {glue} of glue. {lack}".rstrip()
        for stack in batch.stacks:
            marks = ", ".join(member.mark for member in stack.members)
            made = stack.made
            yield f"  [ ] {stack.mark} {made.part}: {marks}; {members_text(plan, stack)}"
            yield f"      {planing_text(stack)}; {clamps_text(stack)}"
            yield from (f"      note: {remark}" for remark in made.remarks)
            glued = read_size(plan, stack.length, stack.width, stack.thickness)
            final = read_size(plan, made.length, made.width, made.thickness)
            yield f"      glued {glued}, final {final}"
    if not work.batches:
        yield "Nothing is glued."
    yield from (f"Against snipe, {run_in_text(plan, run_in)}" for run_in in work.run_ins)


def _days(work: Work) -> Iterator[str]:
    for day, steps in groupby(work.days, lambda step: step.day):
        yield f"Day {day}"
        yield from (f"  {step_text(step, work.batches)}" for step in steps)


def _parts(work: Work) -> Iterator[str]:
    yield from (mixed_up(work, pair) for pair in work.near_alike)
    for way in parts_made(work.plan):
        marks = marked([work.marks.parts[place] for place in way.places])
        yield f"{marks} {way.part}: {finished_size(way, work.plan)}; {made_how(way)}"
        for blanks in way.blanks:
            size = read_size(work.plan, blanks.length, blanks.width, blanks.thickness)
            names = marked([work.marks.blanks[each] for each in blanks.ids])
            yield f"  {blanks.count} of {size}: {names}, out of {marked(blanks.boards)}"
        yield from (f"  {remark}" for remark in way.remarks)


def _back(work: Work) -> Iterator[str]:
    kept = {piece.mark: piece for each in work.boards for piece in each.pieces}
    return _table(
        [f"[ ] {piece_text(work.plan, kept[left.tag])}", left.wood, f"left of {left.board}"]
        for left in leftovers(work.plan)
        if left.tag in kept
    )


def _bill(work: Work) -> Iterator[str]:
    yield from bill(work.plan)


LISTS: dict[str, tuple[str, Callable[[Work], Iterator[str]]]] = {
    "pull": ("Pull from the rack and buy", _pull),
    "boards": ("Boards", _boards),
    "order": ("Order of work", _order),
    "cuts": ("Each board's cuts", _cuts),
    "glue": ("Glue-ups", _glue),
    "days": ("Days", _days),
    "parts": ("Parts", _parts),
    "back": ("Back on the rack", _back),
    "bill": ("The bill", _bill),
}


def _table(rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Rows with their columns below one another; columns without a word are left out."""
    cells = [list(map(shown, row)) for row in rows]  # before they are measured
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    for row in cells:
        line = "  ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True) if wide)
        yield line.rstrip()
