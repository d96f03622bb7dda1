"""Measures the search on made-up shop jobs: ``python -m tests.benchmarks.run --help``.

Run by hand; no test runs it. Figures of one run compare with each other, not with those of another
machine.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean, median
from typing import Annotated

import typer

from optimizer.plan.plan import Plan, Status
from optimizer.search.watch import Watch
from optimizer.solve import solve
from tests.benchmarks.shop_jobs import FAMILY_A, FAMILY_B, Family, shop_job

FAMILIES = {family.name: family for family in (FAMILY_A, FAMILY_B)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One job solved: its plan, when the first plan stood, and how long it took (seconds)."""

    plan: Plan
    first: float
    seconds: float


def run(family: Family, seed: int, lines: int, boards: int, seconds: float) -> Run:
    """Solve one job."""
    stock, job = shop_job(family, seed, lines=lines, boards=boards)
    begun, first = time.monotonic(), [float("inf")]

    def tell(best: Decimal | None, _bound: Decimal | None) -> None:
        if best is not None:
            first[0] = min(first[0], time.monotonic() - begun)

    plan = solve(stock, job, Watch(seconds=seconds, tell=tell))
    return Run(plan=plan, first=first[0], seconds=time.monotonic() - begun)


def main(
    family: Annotated[str, typer.Option(help="A: parts 8–90 in long; B: 6–40 in, many.")] = "A",
    lines: Annotated[int, typer.Option(help="Part lines of a job.")] = 15,
    boards: Annotated[int, typer.Option(help="Kinds of boards, rack and stores.")] = 70,
    seeds: Annotated[int, typer.Option(help="How many jobs.")] = 10,
    seconds: Annotated[float, typer.Option(help="The longest to search each.")] = 10.0,
) -> None:
    """Print a line for each job, and the share proven, times and gaps of all."""
    runs = []
    print("job   status         net      bound    gap %  first s    all s")
    for seed in range(seeds):
        done = run(FAMILIES[family], seed, lines, boards, seconds)
        runs.append(done)
        plan = done.plan
        print(
            f"{plan.job:<5} {plan.status:<11} {plan.cost.net:>8} {plan.bound:>10} "
            f"{100 * plan.gap:8.2f} {done.first:8.2f} {done.seconds:8.2f}"
        )
    proven = sum(each.plan.status is Status.PROVEN for each in runs)
    gaps = [100 * each.plan.gap for each in runs]
    print(
        f"proven {proven} of {len(runs)}, median {median(each.seconds for each in runs):.2f} s, "
        f"gap mean {mean(gaps):.2f} %, worst {max(gaps):.2f} %"
    )


if __name__ == "__main__":
    typer.run(main)
