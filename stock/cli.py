"""Commands on the stock: parse, call, print. What they need is imported inside them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Annotated

import typer

from stock.errors import WIDTH, RackfirstError
from stock.lengths import Unit

if TYPE_CHECKING:
    from stock.rack_change import Written

app = typer.Typer()

BookPath = Annotated[Path, typer.Argument(metavar="BOOK", help="The stock book, .xlsx or .xlsm.")]


@contextmanager
def faults_told() -> Iterator[None]:
    """Whatever the user can mend goes to stderr, and the command ends with 1."""
    try:
        yield
    except RackfirstError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(1) from error


@app.command()
def stocktake(
    book: BookPath = Path("stock.xlsx"),
    sheet: Annotated[
        Path | None,
        typer.Option(
            "--sheet",
            metavar="FILE",
            help="A sheet to count on: written by bay where there is none, read where there is.",
        ),
    ] = None,
    boards: Annotated[
        Path | None,
        typer.Option("--boards", metavar="SHEET", help="Boards that came home: onto the rack."),
    ] = None,
) -> None:
    """Compare book and shelf; write the differences as lines of the journal."""
    from datetime import datetime

    from stock.home_boards import put_on_rack
    from stock.stocktake import start_counting, take_stock

    if sheet and boards:
        raise typer.BadParameter("name either --sheet or --boards")
    with faults_told():
        if sheet and not sheet.exists():
            pieces = start_counting(book, sheet)
            many = "1 piece" if pieces == 1 else f"{pieces} pieces"
            typer.echo(f"Wrote {sheet}: {many}, by bay. Fill Found where it differs.")
            typer.echo("Then the same command again.")
            return
        now = datetime.now()
        written = put_on_rack(book, boards, now) if boards else take_stock(book, sheet, now)
    if not written.lines:
        typer.echo(f"{book.name}: rack and journal agree, and nothing is written.")
        return
    for line in written.lines:
        way = "found" if line.count > 0 else "missing"
        typer.echo(f"  {line.piece.tag}: {abs(line.count)} {way}")
    tell_backup(book, written)


def tell_note(sentence: str, *, err: bool = False) -> None:
    """A remark, no wider than a narrow terminal; what follows its first line is indented."""
    lines = wrap(f"Note: {sentence}.", WIDTH, subsequent_indent="  ", break_on_hyphens=False)
    typer.echo("\n".join(lines), err=err)


def tell_backup(book: Path, written: Written) -> None:
    """Says what was written, and where the book as it was lies."""
    if written.backup:
        lines = len(written.lines)
        typer.echo(
            f"{book.name}: {lines} line{'' if lines == 1 else 's'} in the journal; the book as it "
            f"was is {written.backup.parent.name}/{written.backup.name}."
        )


@app.command()
def moisture(
    board: Annotated[str, typer.Argument(help="A size as 2x12, or 1 1/2 x 5 1/2.")],
    before: Annotated[float, typer.Option("--from", min=0, max=200, help="Moisture now, in %.")],
    after: Annotated[
        float | None, typer.Option("--to", min=0, max=200, help="Moisture later, in %.")
    ] = None,
    temperature: Annotated[
        float | None, typer.Option(help="Of the room; °F, with --unit mm °C.")
    ] = None,
    humidity: Annotated[
        float | None, typer.Option(min=1, max=95, help="Relative, of the room, in %.")
    ] = None,
    wood: Annotated[str, typer.Option(help="Its name; without one the rule of PS 20.")] = "",
    quarter_sawn: Annotated[
        bool, typer.Option("--quarter-sawn", help="Rings upright to the face; else flat-sawn.")
    ] = False,
    unit: Annotated[Unit, typer.Option(help="What a number without a unit means.")] = Unit.IN,
) -> None:
    """Tell how much a board moves from one moisture to another, or to that of a room."""
    from stock.drying import board_measures, dried, exact_percent, room_moisture, told_drying
    from stock.moisture import Grain

    if (after is None) == (humidity is None):
        raise typer.BadParameter("name either --to or the room's --humidity")
    with faults_told():
        measures = board_measures(board, unit)
    if humidity is not None:
        warmth = temperature if temperature is not None else (70 if unit is Unit.IN else 21)
        goal = room_moisture(exact_percent(warmth), exact_percent(humidity), unit)
    else:
        goal = exact_percent(after or 0)
    grain = Grain.QUARTERED if quarter_sawn else Grain.FLAT
    answer = dried(*measures, wood, exact_percent(before), goal, grain)
    typer.echo(told_drying(answer, wood, unit))
