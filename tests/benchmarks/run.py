"""One command prints the tables: ``python -m tests.benchmarks.run --help``.

Run by hand; no test measures time. Figures of one run compare with each other, not with those of
another machine. Modules are imported by the commands, for CP-SAT runs in a process of its own that
reads this file too and must not load another solver.
"""

from __future__ import annotations

import os
import platform
from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(no_args_is_help=True, add_completion=False)

FamilyName = Annotated[
    str, typer.Option("--family", help="A: parts 8–90 in long; B: 6–40 in; AP, BP: panels too.")
]
Lines = Annotated[int, typer.Option(help="Part lines of a job.")]
Boards = Annotated[int, typer.Option(help="Kinds of boards, rack and stores.")]
Seeds = Annotated[int, typer.Option(help="How many jobs, or instances of a made class.")]
First = Annotated[int, typer.Option(help="The number of the first job.")]
Seconds = Annotated[float, typer.Option(help="The longest to search each.")]
Markdown = Annotated[bool, typer.Option("--markdown", help="Print tables in Markdown.")]
Instances = Annotated[
    Path | None, typer.Option(help="A folder of open instances; else the project's own.")
]


@app.command()
def jobs(
    family: FamilyName = "A",
    lines: Lines = 15,
    boards: Boards = 70,
    seeds: Seeds = 100,
    first: First = 0,
    seconds: Seconds = 60.0,
    all_rules: Annotated[
        bool, typer.Option("--all-rules", help="With the limits of real wood and machines.")
    ] = False,
    markdown: Markdown = False,
) -> None:
    """Made-up shop jobs: share proven, seconds, gaps, and what is saved against by hand."""
    from tests.benchmarks.jobs import Series, print_jobs
    from tests.benchmarks.shop_jobs import FAMILIES

    numbers = range(first, first + seeds)
    series = Series(
        family=FAMILIES[family], lines=lines, boards=boards, seeds=numbers, all_rules=all_rules
    )
    print_jobs([series], seconds, markdown)


@app.command()
def instead(
    family: FamilyName = "A",
    lines: Lines = 15,
    boards: Boards = 70,
    seeds: Seeds = 10,
    first: First = 0,
    seconds: Seconds = 20.0,
    markdown: Markdown = False,
) -> None:
    """Longest first by hand, and the direct model in CBC and in CP-SAT, on the same jobs."""
    from tests.benchmarks.instead import print_instead
    from tests.benchmarks.shop_jobs import FAMILIES

    numbers = range(first, first + seeds)
    print_instead(FAMILIES[family], lines, boards, numbers, seconds, markdown)


@app.command()
def literature(
    instances: Instances = None,
    only: Annotated[str, typer.Option(help="Only classes that begin so.")] = "",
    seeds: Seeds = 10,
    seconds: Seconds = 20.0,
    markdown: Markdown = False,
) -> None:
    """Published and made instances with known optima."""
    from tests.benchmarks.literature import Collection, print_literature

    collection = Collection.in_folder(instances) if instances else Collection()
    print_literature(collection, only, seeds, seconds, markdown)


@app.command()
def growth(
    most: Annotated[int, typer.Option(help="The most pieces and rack pieces.")] = 2000,
    seconds: Seconds = 60.0,
    markdown: Markdown = False,
) -> None:
    """Seconds and memory from 10 to 1,000 pieces and from 10 to 2,000 rack pieces."""
    from tests.benchmarks.growth import print_growth

    print_growth(seconds, most, markdown)


@app.command()
def small(seeds: Seeds = 300, first: First = 0, seconds: Seconds = 60.0) -> None:
    """Small random jobs beside an independent exact formulation in CP-SAT."""
    from tests.benchmarks.small import print_small

    print_small(range(first, first + seeds), seconds)


@app.command()
def chart(
    out: Annotated[Path, typer.Argument(help="The SVG file to write.")],
    family: FamilyName = "A",
    lines: Lines = 15,
    boards: Boards = 70,
    seed: Annotated[int, typer.Option(help="The number of the job.")] = 0,
    seconds: Seconds = 60.0,
) -> None:
    """Best cost and bound over time for one job, as a picture."""
    from tests.benchmarks.chart import write_chart
    from tests.benchmarks.measure import solved
    from tests.benchmarks.shop_jobs import FAMILIES, shop_job

    stock, job = shop_job(FAMILIES[family], seed, lines=lines, boards=boards)
    write_chart(solved(stock, job, seconds), out)


@app.command(name="all")
def all_tables(
    instances: Instances = None,
    seeds: Seeds = 100,
    markdown: Markdown = False,
) -> None:
    """Every table, as the README shows them. Takes hours."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    from tests.benchmarks.jobs import Series, print_jobs
    from tests.benchmarks.shop_jobs import FAMILIES

    every = [
        Series(family=family, lines=lines, boards=boards, seeds=range(seeds))
        for lines, boards in ((15, 70), (40, 230))
        for family in FAMILIES.values()
    ]
    print("\n# Shop jobs\n")
    print_jobs(every, 60.0, markdown)
    for family in ("A", "B"):
        print(f"\n# Instead, family {family}\n")
        instead(family, seeds=min(seeds, 10), markdown=markdown)
    print("\n# Literature\n")
    literature(instances, markdown=markdown)
    print("\n# Growth\n")
    growth(markdown=markdown)
    print("\n# Small jobs\n")
    small()


if __name__ == "__main__":
    app()
