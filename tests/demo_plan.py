"""The demo's plan, solved once for all tests that look at what is made of it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from optimizer.job.job_book import read_books
from optimizer.plan.plan import Plan
from optimizer.search.watch import Watch
from optimizer.solve import solve

SAMPLES = Path(__file__).parents[1] / "sample_data"


@cache
def demo_plan() -> Plan:
    """Within 5 % of the least possible: enough to saw by."""
    books = read_books(SAMPLES / "boat-rack.xlsx", SAMPLES / "stock.xlsx")
    return solve(books.stock, books.job, Watch(seconds=60, gap_percent=5))
