"""How seconds and memory grow with pieces and with the rack; each job in a process of its own."""

from __future__ import annotations

import resource
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context

from optimizer.job.parts import Job
from stock.stock_book import StockBook
from tests.benchmarks.measure import Run, solved
from tests.benchmarks.printed import Table
from tests.benchmarks.shop_jobs import FAMILY_A, shop_job

MOST_LINES = 60
PIECES_OF_A_LINE = 5
PIECES = (10, 30, 100, 300, 1000)
USUAL = 100
RACK = (10, 30, 100, 300, 1000, 2000)
HEADERS = (
    "pieces",
    "lines",
    "rack pieces",
    "    net",
    " gap %",
    "first s",
    "  all s",
    "MiB at most",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A job of so many pieces, and a rack of so many."""

    pieces: int
    rack: int

    @property
    def lines(self) -> int:
        return min(MOST_LINES, max(2, self.pieces // PIECES_OF_A_LINE))

    def books(self) -> tuple[StockBook, Job]:
        """A job of family A whose counts are scaled to just so many pieces."""
        stock, job = shop_job(FAMILY_A, 1, lines=self.lines, boards=self.rack + 100)
        stock = replace(stock, rack=stock.rack[: self.rack])
        total = sum(part.count for part in job.parts)
        counts = [max(1, part.count * self.pieces // total) for part in job.parts]
        for n in range(self.pieces - sum(counts)):
            counts[n % len(counts)] += 1
        parts = (replace(p, count=n) for p, n in zip(job.parts, counts, strict=True))
        return stock, replace(job, parts=tuple(parts))


def sizes(most: int) -> Iterator[Size]:
    """From 10 to 1,000 pieces, from 10 to 2,000 rack pieces, and most of both; none above ``most``.

    While one grows the other stays at ``USUAL``.
    """
    usual = min(USUAL, most)
    for pieces in PIECES:
        yield Size(pieces=min(pieces, most), rack=usual)
    for rack in RACK:
        yield Size(pieces=usual, rack=min(rack, most))
    yield Size(pieces=min(PIECES[-1], most), rack=min(RACK[-1], most))


def print_growth(seconds: float, most: int, markdown: bool) -> None:
    """A row for each size of at most so many pieces and rack pieces."""
    table = Table(HEADERS, markdown)
    table.head()
    for size in dict.fromkeys(sizes(most)):
        stock, job = size.books()
        with ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn")) as process:
            run, memory = process.submit(measured, size, seconds).result()
        table.row(
            sum(part.count for part in job.parts),
            len(job.parts),
            len(stock.rack),
            run.plan.cost.net if run.plan else "no plan",
            f"{run.gap:.3f}",
            f"{run.first:.2f}",
            f"{run.seconds:.2f}",
            memory,
        )


def measured(size: Size, seconds: float) -> tuple[Run, int]:
    """The run, and the most memory this process ever took, in MiB."""
    run = solved(*size.books(), seconds)
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return run, used // (1024 * 1024 if sys.platform == "darwin" else 1024)
