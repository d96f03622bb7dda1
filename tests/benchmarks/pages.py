"""Measures the pages: ``python -m tests.benchmarks.pages --help``. Run by hand, in no test run.

How often stop and fence are set in the order of work, beside sawing board by board, on made-up
jobs; and how large the page of many boards is, and how long it takes.
"""

from __future__ import annotations

import time
from statistics import mean
from typing import Annotated

import typer

from optimizer.output.cutting_page import cutting_page
from optimizer.search.watch import Watch
from optimizer.solve import solve
from optimizer.work.work import Work, work_of
from tests.benchmarks.shop_jobs import FAMILY_A, FAMILY_B, shop_job
from tests.demo_plan import demo_plan
from tests.many_boards import many_boards

app = typer.Typer(add_completion=False)


def line(name: str, work: Work) -> float:
    """Print how the settings of a job stand; the share of those of sawing board by board."""
    cuts = sum(len(each.cuts) for each in work.boards)
    share = work.settings / work.settings_by_board
    print(
        f"{name:<6} {len(work.boards):>4} boards {cuts:>5} cuts {work.settings:>4} settings, "
        f"board by board {work.settings_by_board:>4}: {share:.0%}"
    )
    return share


@app.command()
def settings(
    seeds: Annotated[int, typer.Option(help="How many jobs of each family.")] = 5,
    seconds: Annotated[float, typer.Option(help="The longest to search each.")] = 5.0,
) -> None:
    """How often stop and fence are set."""
    line("demo", work_of(demo_plan()))
    shares = []
    for family in (FAMILY_A, FAMILY_B):
        for seed in range(seeds):
            stock, job = shop_job(family, seed)
            plan = solve(stock, job, Watch(seconds=seconds))
            shares.append(line(plan.job, work_of(plan)))
    print(f"mean {mean(shares):.0%}, worst {max(shares):.0%}")


@app.command()
def size(boards: Annotated[int, typer.Option(help="How many boards at least.")] = 300) -> None:
    """How large the page is, and how long it takes to make."""
    plan = many_boards(boards)
    begun = time.monotonic()
    page = cutting_page(work_of(plan))
    taken = time.monotonic() - begun
    print(f"{len(plan.boards)} boards: {len(page.encode()) / 1e6:.2f} MB in {taken:.2f} s")


if __name__ == "__main__":
    app()
