"""Sheets for saw and glue: the order of work, each board's cuts, the glue-ups and labels."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from optimizer.output.bench_words import (
    area_text,
    clamping_told,
    clamps_text,
    glue_text,
    lacking,
    members_text,
    planing_text,
    run_in_text,
    step_text,
)
from optimizer.output.labels import labels
from optimizer.output.printed_book import Column, Kind, PrintedBook, PrintedSheet
from optimizer.output.saw_words import (
    TAPE_TOLD,
    CutRow,
    cut_row,
    mixed_up,
    setting_text,
    settings_told,
    station_rules,
)
from optimizer.output.words import read_size
from optimizer.work.work import Work

_GLUE_COLUMNS = (
    Column(title="Done", width=7, kind=Kind.TICK),
    Column(title="Batch", width=8, kind=Kind.FIGURE),
    Column(title="Stack", width=9),
    Column(title="Part", width=18),
    Column(title="Pieces", width=24),
    Column(title="First", width=20),
    Column(title="Glue", width=16),
    Column(title="Clamps", width=18),
    Column(title="Glued", width=18),
    Column(title="Final", width=18),
)


def order_sheet(book: PrintedBook, name: str, work: Work) -> None:
    """A sheet of all cuts in the order of work, each setting named where it is set."""
    columns = [
        Column(title="Done", width=7, kind=Kind.TICK),
        Column(title="Set", width=31),
        Column(title="Piece", width=12),
        Column(title="Cut", width=6, kind=Kind.FIGURE),
        Column(title="Comes off", width=30),
        Column(title="Remains", width=34),
    ]
    sheet = book.sheet(name, title="Order of work", columns=columns, landscape=True)
    for number, each in enumerate(work.passes, 1):
        sheet.note(f"{number}. At the {each.station}. {station_rules(work.plan, each)}", bold=True)
        for setting in each.settings:
            told = setting_text(work.plan, each, setting)
            for cut in setting.cuts:
                row = cut_row(work.plan, cut)
                text = told if setting.at is not None else f"{row.what} at {row.at}"
                sheet.add(None, text, row.piece, row.n, row.comes_off, row.remains)
                told = "" if setting.at is not None else told
    sheet.skip()
    sheet.note(f"In all {settings_told(work)}. Write the marks on both sides before you cut.")


def cuts_sheet(book: PrintedBook, name: str, work: Work) -> None:
    """A sheet of each board's cuts: where on the tape, how it is set, what comes off."""
    columns = [
        Column(title="Done", width=7, kind=Kind.TICK),
        Column(title="Board", width=12),
        Column(title="Cut", width=6, kind=Kind.FIGURE),
        Column(title="How", width=19),
        Column(title="Piece", width=13),
        Column(title=f"Tape, {work.plan.unit}", width=11, kind=Kind.FIGURE),
        Column(title="Set", width=28),
        Column(title="Comes off", width=28),
        Column(title="Remains", width=32),
    ]
    sheet = book.sheet(name, title="Each board's cuts", columns=columns, landscape=True)
    for board, row in _rows(work):
        sheet.add(
            None,
            board,
            row.n,
            row.what,
            row.piece,
            row.tape,
            row.setting,
            row.comes_off,
            row.remains,
        )
    sheet.skip()
    sheet.note(TAPE_TOLD)


def _rows(work: Work) -> Iterator[tuple[str, CutRow]]:
    for each in work.boards:
        for cut in each.cuts:
            yield each.mark, cut_row(work.plan, cut)


def glue_sheet(book: PrintedBook, name: str, work: Work) -> None:
    """A sheet of glue-ups in batches, with the days and what to keep against snipe below."""
    if work.batches:
        sheet = book.sheet(name, title="Glue-ups", columns=_GLUE_COLUMNS, landscape=True)
        _add_batches(sheet, work)
    else:
        columns = [Column(title="Nothing is glued", width=78)]
        sheet = book.sheet(name, title="Planing and days", columns=columns)
    for run_in in work.run_ins:
        sheet.note(f"Against snipe, {run_in_text(work.plan, run_in)}")
    for pair in work.near_alike:
        sheet.note(mixed_up(work, pair), bold=True)
    for day, steps in groupby(work.days, lambda step: step.day):
        sheet.note(f"Day {day}", bold=True)
        for step in steps:
            sheet.note(step_text(step, work.batches))


def _add_batches(sheet: PrintedSheet, work: Work) -> None:
    plan = work.plan
    for batch in work.batches:
        for stack in batch.stacks:
            marks = ", ".join(member.mark for member in stack.members)
            made = stack.made
            sheet.add(
                None,
                batch.number,
                stack.mark,
                made.part,
                f"{marks}: {members_text(plan, stack)}",
                planing_text(stack),
                f"{glue_text(plan, stack.glue_area)}, {area_text(plan, stack.glue_area)}",
                clamps_text(stack),
                read_size(plan, stack.length, stack.width, stack.thickness),
                read_size(plan, made.length, made.width, made.thickness),
            )
            for remark in made.remarks:
                sheet.note(f"{stack.mark}: {remark}.", italic=True)
        if lacking(batch, plan):
            sheet.note(f"Batch {batch.number}: {lacking(batch, plan)}", italic=True)
    sheet.skip()
    sheet.note(clamping_told(work))


def labels_sheet(book: PrintedBook, name: str, work: Work) -> None:
    """A sheet of what labels say; labels.html has them ready to cut, with codes."""
    columns = [
        Column(title="Mark", width=12),
        Column(title="Name", width=26),
        Column(title="Size", width=26),
        Column(title="Where", width=32),
    ]
    sheet = book.sheet(name, title="Labels", columns=columns)
    for label in labels(work):
        sheet.add(label.tag, label.name, label.size, label.where)
