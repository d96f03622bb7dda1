"""Commands for after a plan: parse, call, print. What they need is imported inside them."""

from __future__ import annotations

from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from stock.cli import faults_told, tell_backup, tell_note

if TYPE_CHECKING:
    from optimizer.plan.carried_out import Settled

app = typer.Typer()

PlanPath = Annotated[
    Path, typer.Argument(metavar="PLAN", help="The folder of a plan, or its plan.json.")
]
StockPath = Annotated[
    Path | None,
    typer.Option("--stock", metavar="BOOK", help="The stock book; stock.xlsx beside the plan."),
]


def plan_file(plan: Path) -> Path:
    """plan.json in a folder, or the file that was named."""
    return plan / "plan.json" if plan.is_dir() else plan


def stock_beside_plan(plan: Path, stock: Path | None) -> Path:
    """The stock book that was named, or stock.xlsx in the folder that holds the plan's folder."""
    return stock or plan_file(plan).absolute().parent.parent / "stock.xlsx"


@app.command()
def settle(
    plan: PlanPath,
    stock: StockPath = None,
    sheet: Annotated[
        Path | None,
        typer.Option(
            "--sheet",
            metavar="FILE",
            help="What really happened: written from the plan where there is no such file, "
            "read where there is.",
        ),
    ] = None,
    not_sawn: Annotated[
        str, typer.Option("--not-sawn", metavar="B5,R012", help="Boards that were not sawn.")
    ] = "",
    not_bought: Annotated[
        str, typer.Option("--not-bought", metavar="B6", help="Boards that were not bought.")
    ] = "",
    spoiled: Annotated[
        str, typer.Option("--spoiled", metavar="C2a,E5", help="Blanks that were spoiled.")
    ] = "",
    not_kept: Annotated[
        str, typer.Option("--not-kept", metavar="R031", help="Leftovers that were not kept.")
    ] = "",
    kept: Annotated[
        list[str] | None,
        typer.Option("--kept", metavar="'B5: 30 x 3 1/2'", help="A leftover beyond the plan."),
    ] = None,
    bay: Annotated[str, typer.Option("--bay", help="Where the leftovers lie now.")] = "",
    undo: Annotated[bool, typer.Option("--undo", help="Take it back.")] = False,
) -> None:
    """Write into the stock book that a plan was carried out."""
    from optimizer.plan.happened import happened_from
    from optimizer.plan.happened_sheet import read_happened_sheet, write_happened_sheet
    from optimizer.plan.plan_file import read_plan
    from optimizer.plan.settle import settle as settle_plan
    from optimizer.plan.settle import undo as undo_plan
    from optimizer.plan.under_way import check_not_replaced

    book = stock_beside_plan(plan, stock)
    with faults_told():
        made = read_plan(plan_file(plan))
        if undo:
            _tell(book, undo_plan(made, book, datetime.now()))
            return
        check_not_replaced(plan_file(plan))
        if sheet and not sheet.exists():
            write_happened_sheet(made, sheet)
            typer.echo(f"Wrote {sheet}: change what went otherwise than planned.")
            typer.echo("Then the same command again.")
            return
        happened = happened_from(
            made,
            read_happened_sheet(made, sheet) if sheet else None,
            not_sawn=not_sawn,
            not_bought=not_bought,
            spoiled=spoiled,
            not_kept=not_kept,
            kept=kept or [],
            bay=bay,
        )
        _tell(book, settle_plan(made, book, happened, datetime.now()))


@app.command()
def hold(
    plan: PlanPath,
    stock: StockPath = None,
    release: Annotated[bool, typer.Option("--release", help="Hold them no longer.")] = False,
) -> None:
    """Hold a plan's rack pieces, so that no other job's plan takes them."""
    from optimizer.plan.holding import hold as hold_pieces
    from optimizer.plan.plan_file import read_plan
    from optimizer.plan.under_way import check_not_replaced

    book = stock_beside_plan(plan, stock)
    with faults_told():
        made = read_plan(plan_file(plan))
        if not release:
            check_not_replaced(plan_file(plan))
        _tell(book, hold_pieces(made, book, datetime.now(), release=release))


@app.command()
def replan(
    plan: PlanPath,
    done: Annotated[
        str, typer.Option("--done", metavar="E1-E9,B3", help="Blanks cut, or boards sawn whole.")
    ] = "",
    spoiled: Annotated[
        str, typer.Option("--spoiled", metavar="C2a", help="Blanks that were spoiled.")
    ] = "",
    stock: StockPath = None,
    job: Annotated[
        list[Path] | None,
        typer.Option("--job", metavar="JOB", help="The job book; by its name beside the stock."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Where to write; PLAN-2 beside the plan."),
    ] = None,
    seconds: Annotated[
        float, typer.Option("--seconds", min=0, help="The longest to search.")
    ] = 20.0,
) -> None:
    """Plan only the rest anew, when something went wrong at the saw."""
    from optimizer.deliver import deliver_rest
    from optimizer.output.difference import difference
    from optimizer.output.progress import Progress
    from optimizer.search.watch import Watch

    book = stock_beside_plan(plan, stock)
    with faults_told(), closing(Progress()) as progress:
        watch = Watch(seconds=seconds, tell=progress)
        old, new, folder, files = deliver_rest(
            plan_file(plan), book, job or [], out, done, spoiled, watch
        )
    typer.echo(difference(old, new))
    typer.echo(f"\nWritten to {folder}: {', '.join(files)}")


@app.command()
def rack(
    book: Annotated[
        Path, typer.Argument(metavar="BOOK", help="The stock book; stock.xlsx in this folder.")
    ] = Path("stock.xlsx"),
) -> None:
    """What lies on the rack, what it is worth, and what had better go."""
    from optimizer.output.rack_report import rack_report
    from optimizer.plan.would_use import plans_of_last_year
    from stock.keeping import ages_of_leftovers, read_keep_rules, shelved, to_burn
    from stock.rack_change import read_shelf
    from stock.spreadsheet import Book

    now = datetime.now()
    with faults_told():
        opened = Book(book)
        shelf = read_shelf(opened, now)
        rules = read_keep_rules(opened, shelf.stock.shop.unit)
    lying = shelved(shelf.stock, shelf.journal, now.date())
    burn = to_burn(lying, rules, shelf.stock)
    year = plans_of_last_year(shelf.journal, book.absolute().parent, now.date())
    ages = ages_of_leftovers(shelf.journal, now.date())
    typer.echo(rack_report(shelf.stock, lying, burn, year, ages))


def _tell(book: Path, settled: Settled) -> None:
    """What was written, by kind, and what the maker should do about it."""
    counts: dict[str, int] = {}
    for line in settled.written.lines:
        counts[str(line.what)] = counts.get(str(line.what), 0) + (abs(line.count) or 1)
    if counts:
        said = ", ".join(f"{count} {what}" for what, count in counts.items())
        typer.echo(f"Pieces: {said}.")
    for remark in settled.remarks:
        tell_note(remark)
    tell_backup(book, settled.written)
