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


def deliver(
    job_path: Path, stock_path: Path, folder: Path, watch: Watch, boards_path: Path | None = None
) -> Plan:
    """The plan of a job, written to ``folder`` as plan.json and shopping.xlsx; from boards at home
    first, if ``boards_path`` names them.

    Raises:
        BookFaultsError: with every fault of both books, or all that is not planned with yet.
        NoPlanError: where no plan is possible, with the reasons.
        RackfirstError: where the folder or a file in it cannot be written.
    """
    books = read_books(job_path, stock_path, boards_path)
    if books.unplanned:
        raise BookFaultsError(books.unplanned)
    _check_folder(folder, (job_path, stock_path))  # before the search, which may take a while
    plan = solve(books.stock, books.job, watch)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _no_folder(folder) from error
    write_plan(plan, folder / PLAN_NAME)
    write_shopping_book(plan, folder / SHOPPING_NAME)
    return plan


def _check_folder(folder: Path, books: tuple[Path, ...]) -> None:
    """Raises RackfirstError where files of a plan cannot lie in ``folder``, or would replace one of
    the ``books``.
    """
    nearest = next((path for path in (folder, *folder.parents) if path.exists()), folder)
    if not nearest.is_dir():
        raise _no_folder(folder)
    for path in (folder / PLAN_NAME, folder / SHOPPING_NAME):
        check_free(path)
        if path.exists() and any(path.samefile(book) for book in books):
            raise RackfirstError(f"{path} is a book of yours; name another folder with --out")


def _no_folder(folder: Path) -> RackfirstError:
    return RackfirstError(f"{folder} is no folder and cannot become one; name another with --out")
