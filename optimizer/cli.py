"""The commands: parse, call, print.

What they need is imported inside them, so that ``rackfirst --help`` comes at once.
"""

from __future__ import annotations

import shlex
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from decimal import Decimal
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Annotated

import typer

from optimizer.after_cli import app as after_app
from stock.cli import app as stock_app
from stock.cli import faults_told, tell_note
from stock.lengths import Unit

if TYPE_CHECKING:
    from optimizer.advice.asking import Asking
    from optimizer.job.job_book import Books
    from optimizer.plan.comparison import Advice
    from optimizer.plan.plan import Plan
    from optimizer.search.watch import Watch
    from stock.shop import Setting
    from stock.stock_book import StockBook

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
OutPath = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Where to write; JOB-plan beside the job."),
]
Seconds = Annotated[float, typer.Option("--seconds", min=0, help="The longest to search.")]
AsCsv = Annotated[
    bool, typer.Option("--csv", help="Write every list as a CSV file too, into the folder csv.")
]


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
        tell_note(f"{note}; until then, `plan` stops at it")
    with faults_told():
        ways_of(books.stock, books.job)
    _tell_of_prices(books.stock)
    typer.echo("No fault in either book, and every part can be made.")


@app.command()
def parts(job: JobPath, stock: StockPath = None) -> None:
    """Show each way of making each part, and how its rough sizes come about."""
    from optimizer.job.grain import searched_as
    from optimizer.job.job_book import read_books
    from optimizer.job.telling import told_ways
    from optimizer.solve import ways_of

    with faults_told():
        books = read_books(job, stock_beside(job, stock))
        _, lay_ups = ways_of(books.stock, books.job)
    ways = zip(searched_as(books.job.parts), lay_ups, strict=True)
    typer.echo(told_ways(ways, books.stock.shop.unit))


@app.command()
def plan(
    jobs: Annotated[
        list[Path],
        typer.Argument(metavar="JOB...", help="The job book; several are planned together."),
    ],
    stock: StockPath = None,
    out: OutPath = None,
    boards: Annotated[
        Path | None,
        typer.Option(
            "--boards", metavar="SHEET", help="Boards bought and measured, .xlsx or .csv."
        ),
    ] = None,
    seconds: Seconds = 20.0,
    gap: Annotated[
        float, typer.Option("--gap", min=0, max=100, help="Enough when so near the least, in %.")
    ] = 0.0,
    near: Annotated[
        float,
        typer.Option("--near", metavar="AMOUNT", min=0, help="List what so much more net buys."),
    ] = 0.0,
    as_csv: AsCsv = False,
) -> None:
    """Find the cheapest plan: what to pull, buy, rip, crosscut and glue."""
    from optimizer.deliver import FILES, NEAR_NAME, deliver, own_name, read_planned
    from optimizer.output.near_text import near_text
    from optimizer.output.progress import Progress
    from optimizer.output.summary import summary
    from optimizer.search.watch import Watch
    from optimizer.solve import SEARCH_SHARE, More

    folder = out or jobs[0].parent / f"{'+'.join(job.stem for job in jobs)}-plan"
    with faults_told():
        books = read_planned(jobs, stock_beside(jobs[0], stock), boards)
        _tell_of_prices(books.stock)
    with faults_told(), closing(Progress()) as progress:
        until = seconds * SEARCH_SHARE if near else seconds
        watch = Watch(seconds=until, gap_percent=Decimal(str(gap)), tell=progress)
        more = More(amount=Decimal(str(near)), watch=Watch(seconds=seconds)) if near else None
        with _stopped_by_ctrl_c(watch, *([more.watch] if more else [])):
            made, learnt = deliver(books, folder, watch, as_csv=as_csv, more=more)
    typer.echo(summary(made))
    if more:
        typer.echo(f"\n{near_text(learnt.near, more.amount, NEAR_NAME)}")
    own = [own_name(job.stem) for job in jobs] if len(jobs) > 1 else []
    written = [*FILES, *own, *(["csv"] if as_csv else [])]
    typer.echo(f"\nWritten to {folder}: {', '.join(written)}")


@app.command()
def show(
    plan: Annotated[
        Path, typer.Argument(metavar="PLAN", help="plan.json, or the folder that it lies in.")
    ],
    what: Annotated[
        list[str] | None,
        typer.Argument(help="pull, boards, order, cuts, glue, days, parts, back, bill; or all."),
    ] = None,
    as_csv: AsCsv = False,
) -> None:
    """Print a plan as text: boards as one-line sticks, cuts, and every list."""
    from optimizer.deliver import open_plan, write_lists
    from optimizer.output.plain_text import LISTS, told
    from optimizer.work.work import work_of

    unknown = [name for name in what or [] if name not in LISTS]
    if unknown:
        raise typer.BadParameter(f"{unknown[0]} is none of {', '.join(LISTS)}")
    with faults_told():
        path, read = open_plan(plan)
        typer.echo(told(work_of(read), what or list(LISTS)))
        if as_csv:
            typer.echo(f"\nWritten to {write_lists(read, path.parent)}")


@app.command()
def compare(
    job: JobPath, stock: StockPath = None, out: OutPath = None, seconds: Seconds = 28.0
) -> None:
    """Do the job in several ways and lay the plans side by side."""
    from optimizer.advice.advise import compare as ask

    _plan_and_ask(job, stock, out, seconds, ask)


@app.command()
def advise(
    job: JobPath, stock: StockPath = None, out: OutPath = None, seconds: Seconds = 180.0
) -> None:
    """Compare, and find what helps in the aisle, what to measure first, what a wish costs."""
    from optimizer.advice.advise import advise as ask

    _plan_and_ask(job, stock, out, seconds, ask)


def _plan_and_ask(
    job: Path,
    stock: Path | None,
    out: Path | None,
    seconds: float,
    ask: Callable[[Books, Plan, Asking], Advice],
) -> None:
    """Find the plan, ask on, write both, and say what was learnt."""
    from optimizer.advice.asking import Asking
    from optimizer.deliver import FILES, deliver, read_planned
    from optimizer.output.advice_text import advice_text
    from optimizer.output.progress import Progress
    from optimizer.search.watch import Watch

    folder = out or job.parent / f"{job.stem}-plan"
    with faults_told():
        books = read_planned([job], stock_beside(job, stock))
        _tell_of_prices(books.stock)
    with faults_told(), closing(Progress()) as progress:
        asking = Asking(seconds=seconds, tell=progress.asked)
        watch = Watch(seconds=min(20.0, seconds * 0.4), tell=progress)

        def ask_on(plan: Plan) -> Advice:
            asking.allow(1.5 * watch.elapsed())  # what is changed is about as hard to plan
            return ask(books, plan, asking)

        with _stopped_by_ctrl_c(watch, asking):
            made, advice = deliver(books, folder, watch, ask_on)
    typer.echo(f"{made.job}: ways to do it, side by side\n")
    typer.echo(advice_text(advice, made.unit))
    typer.echo(f"\nWritten to {folder}: {', '.join(FILES)}, compare.svg, and each way in ways")


@contextmanager
def _stopped_by_ctrl_c(*searches: Watch | Asking) -> Iterator[None]:
    """The first Ctrl-C ends the search and keeps what was found, the second ends all."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        for search in searches:
            search.stop()
        signal.signal(signal.SIGINT, before)

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _tell_of_prices(stock: StockBook) -> None:
    """On stderr, since it changes from day to day and the plan does not."""
    from datetime import date

    from stock.prices import price_notes

    for sentence in price_notes(stock.offers, date.today(), stock.shop.prices_good_for):
        tell_note(sentence, err=True)


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


app.add_typer(after_app)
app.add_typer(stock_app)
