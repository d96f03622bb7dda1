"""From two books to the files of a plan: reads, solves, writes; nothing is written before all is
well.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.job.job_book import read_books
from optimizer.output.shopping_book import write_shopping_book
from optimizer.plan.plan import Plan
from optimizer.plan.plan_file import write_plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.book_file import check_free
from stock.errors import BookFaultsError, RackfirstError

PLAN_NAME = "plan.json"
SHOPPING_NAME = "shopping.xlsx"


def deliver(job_path: Path, stock_path: Path, folder: Path, watch: Watch) -> Plan:
    """The plan of a job, written to ``folder`` as plan.json and shopping.xlsx.

    Raises:
        BookFaultsError: with every fault of both books, or all that is not planned with yet.
        NoPlanError: where no plan is possible, with the reasons.
        RackfirstError: where the folder or a file in it cannot be written.
    """
    books = read_books(job_path, stock_path)
    if books.unplanned:
        raise BookFaultsError(books.unplanned)
    _prepare(folder)
    plan = solve(books.stock, books.job, watch)
    write_plan(plan, folder / PLAN_NAME)
    write_shopping_book(plan, folder / SHOPPING_NAME)
    return plan


def _prepare(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise RackfirstError(
            f"{folder} is no folder and cannot become one; name another with --out"
        ) from error
    for name in (PLAN_NAME, SHOPPING_NAME):
        check_free(folder / name)
