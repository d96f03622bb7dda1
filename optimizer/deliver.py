"""From two books to the files of a plan: reads, solves, writes; nothing is written before all is
well.
"""

from __future__ import annotations

from pathlib import Path

from optimizer.job.job_book import read_books
from optimizer.output.cutting_page import write_cutting_page
from optimizer.output.data import write_csv
from optimizer.output.labels import write_labels
from optimizer.output.shopping_book import write_shopping_book
from optimizer.plan.plan import Plan
from optimizer.plan.plan_file import read_plan, write_plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from optimizer.work.work import work_of
from stock.book_file import check_free
from stock.errors import BookFaultsError, RackfirstError

PLAN_NAME = "plan.json"
SHOPPING_NAME = "shopping.xlsx"
PAGE_NAME = "cutting.html"
LABELS_NAME = "labels.html"
CSV_FOLDER = "csv"
FILES = (PLAN_NAME, SHOPPING_NAME, PAGE_NAME, LABELS_NAME)


def deliver(
    job_path: Path, stock_path: Path, folder: Path, watch: Watch, *, as_csv: bool = False
) -> Plan:
    """The plan of a job, written to ``folder`` with its workbook and pages, and as CSV if wished.

    Raises:
        BookFaultsError: with every fault of both books, or all that is not planned with yet.
        NoPlanError: where no plan is possible, with the reasons.
        RackfirstError: where the folder or a file in it cannot be written.
    """
    books = read_books(job_path, stock_path)
    if books.unplanned:
        raise BookFaultsError(books.unplanned)
    _check_folder(folder, (job_path, stock_path))  # before the search, which may take a while
    plan = solve(books.stock, books.job, watch)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _no_folder(folder) from error
    write_plan(plan, folder / PLAN_NAME)
    work = work_of(plan)
    write_shopping_book(work, folder / SHOPPING_NAME)
    write_cutting_page(work, folder / PAGE_NAME)
    write_labels(work, folder / LABELS_NAME)
    if as_csv:
        write_lists(plan, folder)
    return plan


def open_plan(path: Path) -> tuple[Path, Plan]:
    """The plan at ``path``, or in the folder ``path``, and where it lies.

    Raises:
        PlanFileError: naming file and key where it cannot be read.
    """
    path = path / PLAN_NAME if path.is_dir() else path
    return path, read_plan(path)


def write_lists(plan: Plan, folder: Path) -> Path:
    """Every list of ``plan`` as CSV in a folder within ``folder``, which is returned.

    Raises:
        RackfirstError: where it cannot be written.
    """
    write_csv(plan, folder / CSV_FOLDER)
    return folder / CSV_FOLDER


def _check_folder(folder: Path, books: tuple[Path, ...]) -> None:
    """Raises RackfirstError where files of a plan cannot lie in ``folder``, or would replace one of
    the ``books``.
    """
    nearest = next((path for path in (folder, *folder.parents) if path.exists()), folder)
    if not nearest.is_dir():
        raise _no_folder(folder)
    for path in (folder / name for name in FILES):
        check_free(path)
        if path.exists() and any(path.samefile(book) for book in books):
            raise RackfirstError(f"{path} is a book of yours; name another folder with --out")


def _no_folder(folder: Path) -> RackfirstError:
    return RackfirstError(f"{folder} is no folder and cannot become one; name another with --out")
