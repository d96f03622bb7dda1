"""The commands: parse, call, print.

What they need is imported inside them, so that ``rackfirst --help`` comes at once.
"""

from __future__ import annotations

import shlex
import signal
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from decimal import Decimal
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Annotated

import typer

from stock.errors import RackfirstError
from stock.lengths import Unit

if TYPE_CHECKING:
    from optimizer.search.watch import Watch
    from stock.shop import Setting

app = typer.Typer(
    name="rackfirst",
    help="Plans what to pull from the rack, buy, rip, crosscut and glue for a job.",
    no_args_is_help=True,
    add_completion=False,
)

JobPath = Annotated[Path, typer.Argument(metavar="JOB", help="The job book, .xlsx or .csv.")]
StockPath = Annotated[
    Path | None,
    typer.Option("--stock", metavar="BOOK", help="The stock book; stock.xlsx beside the job."),
]


@contextmanager
def faults_told() -> Iterator[None]:
    """Whatever the user can mend goes to stderr, and the command ends with 1."""
    try:
        yield
    except RackfirstError as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(1) from error


def stock_beside(job: Path, stock: Path | None) -> Path:
    """The stock book that was named, or stock.xlsx in the job's folder."""
    return stock or job.parent / "stock.xlsx"


@app.command()
def start(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Where the two books shall lie.")],
    unit: Annotated[Unit, typer.Option(help="What a number without a unit means.")] = Unit.IN,
) -> None:
    """Write a stock book and a job book, ready to be filled."""
    from optimizer.start import asked_settings, check_free_folder, write_books

    with faults_told():
        check_free_folder(folder)  # before anything is asked
        asked = asked_settings() if sys.stdin.isatty() else []
        typed = {setting.name: _ask(setting, unit) for setting in asked}
        stock, job = write_books(folder, unit, typed)
    typer.echo(f"Wrote {stock}: fill its sheet Prices or Rack.")
    typer.echo(f"Wrote {job}: fill its sheet Parts.")
    typer.echo(
        "Columns with a dark header are the least to fill; the sheet Help explains the rest."
    )
    typer.echo(f"Then: rackfirst check {shlex.quote(str(job))}")


def _ask(setting: Setting, unit: Unit) -> str:
    """Asks for a setting until what is typed will do; Enter keeps the default."""
    from optimizer.start import check_setting
    from stock.cells import CellError
    from stock.shop import SettingError

    def checked(text: str) -> str:
        try:
            check_setting(setting, text, unit)
        except (CellError, SettingError) as error:
            raise typer.BadParameter(str(error)) from error
        return text

    question = f"{setting.explanation}\n{setting.name}"
    answer: str = typer.prompt(question, default=setting.default(unit), value_proc=checked)
    return answer


@app.command()
def check(job: JobPath, stock: StockPath = None) -> None:
    """Read both books; report every fault and each part that cannot be made."""
    from optimizer.job.job_book import read_books
    from optimizer.solve import ways_of

    with faults_told():
        books = read_books(job, stock_beside(job, stock))
    parts, shelf = books.job.parts, books.stock
    pieces = sum(piece.count for piece in shelf.rack)
    typer.echo(f"{job.name}: {_many(len(parts), 'part')}, {sum(p.copies for p in parts)} to make.")
    typer.echo(
        f"{shelf.name}: {_many(pieces, 'piece')} on the rack, "
        f"{_many(len(shelf.offers), 'offer')} of {_many(len(shelf.stores), 'store')}."
    )
    for note in books.unplanned:
        typer.echo(f"Note: {note}; until then, `plan` stops at it.")
    with faults_told():
        ways_of(books.stock, books.job)
    typer.echo("No fault in either book, and every part can be made.")


@app.command()
def parts(job: JobPath, stock: StockPath = None) -> None:
    """Show each way of making each part, and how its rough sizes come about."""
    from optimizer.job.job_book import read_books
    from optimizer.job.telling import told_ways
    from optimizer.solve import ways_of

    with faults_told():
        books = read_books(job, stock_beside(job, stock))
        _, lay_ups = ways_of(books.stock, books.job)
    ways = zip(books.job.parts, lay_ups, strict=True)
    typer.echo(told_ways(ways, books.stock.shop.unit))


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


@app.command()
def plan(
    job: JobPath,
    stock: StockPath = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Where to write; JOB-plan beside the job."),
    ] = None,
    boards: Annotated[
        Path | None,
        typer.Option(
            "--boards", metavar="SHEET", help="Boards bought and measured, .xlsx or .csv."
        ),
    ] = None,
    seconds: Annotated[
        float, typer.Option("--seconds", min=0, help="The longest to search.")
    ] = 20.0,
    gap: Annotated[
        float, typer.Option("--gap", min=0, max=100, help="Enough when so near the least, in %.")
    ] = 0.0,
) -> None:
    """Find the cheapest plan: what to pull, buy, rip, crosscut and glue."""
    from optimizer.deliver import deliver
    from optimizer.output.progress import Progress
    from optimizer.output.summary import summary
    from optimizer.search.watch import Watch

    folder = out or job.parent / f"{job.stem}-plan"
    with faults_told(), closing(Progress()) as progress:
        watch = Watch(seconds=seconds, gap_percent=Decimal(str(gap)), tell=progress)
        with _stopped_by_ctrl_c(watch):
            made = deliver(job, stock_beside(job, stock), folder, watch, boards)
    typer.echo(summary(made))
    typer.echo(f"\nWritten to {folder}: plan.json, shopping.xlsx")


@contextmanager
def _stopped_by_ctrl_c(watch: Watch) -> Iterator[None]:
    """The first Ctrl-C ends the search and keeps the best plan, the second ends all."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        watch.stop()
        signal.signal(signal.SIGINT, before)

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"
