"""Commands on the stock: parse, call, print. What they need is imported inside them."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from stock.errors import RackfirstError

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
) -> None:
    """Compare book and shelf; write the differences as lines of the journal."""
    from datetime import datetime

    from stock.stocktake import start_counting, take_stock

    with faults_told():
        if sheet and not sheet.exists():
            pieces = start_counting(book, sheet)
            typer.echo(f"Wrote {sheet}: {pieces} pieces, by bay. Fill Found where it differs.")
            typer.echo("Then the same command again.")
            return
        written = take_stock(book, sheet, datetime.now())
    if not written.lines:
        typer.echo(f"{book.name}: rack and journal agree, and nothing is written.")
        return
    for line in written.lines:
        way = "found" if line.count > 0 else "missing"
        typer.echo(f"  {line.piece.tag}: {abs(line.count)} {way}")
    tell_backup(book, written)


def tell_backup(book: Path, written: Written) -> None:
    """Says what was written, and where the book as it was lies."""
    if written.backup:
        lines = len(written.lines)
        typer.echo(
            f"{book.name}: {lines} line{'' if lines == 1 else 's'} in the journal; the book as it "
            f"was is {written.backup.parent.name}/{written.backup.name}."
        )
