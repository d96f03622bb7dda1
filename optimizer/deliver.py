"""From two books to the files of a plan: reads, solves, writes; nothing is written before all is
well.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from optimizer.job.job_book import Books, read_books
from optimizer.output.bars import bars_svg
from optimizer.output.shopping_book import write_shopping_book
from optimizer.plan.audit import audit
from optimizer.plan.comparison import Advice
from optimizer.plan.plan import Plan
from optimizer.plan.plan_file import write_plan
from optimizer.search.watch import Watch
from optimizer.solve import solve
from stock.book_file import check_free, whole_file
from stock.errors import BookFaultsError, RackfirstError

PLAN_NAME = "plan.json"
SHOPPING_NAME = "shopping.xlsx"
PICTURE_NAME = "compare.svg"
WAYS_NAME = "ways"


def read_planned(job_path: Path, stock_path: Path) -> Books:
    """Both books.

    Raises:
        BookFaultsError: with every fault of both books, or all that is not planned with yet.
    """
    books = read_books(job_path, stock_path)
    if books.unplanned:
        raise BookFaultsError(books.unplanned)
    return books


def deliver(
    books: Books, folder: Path, watch: Watch, ask: Callable[[Plan], Advice] | None = None
) -> tuple[Plan, Advice]:
    """The plan of a job, written to ``folder`` as plan.json and shopping.xlsx.

    With ``ask``, what it learns beside the plan stands in the workbook too; ways to compare are
    drawn in compare.svg, and each is a plan of its own in the folder ``ways``.

    Raises:
        NoPlanError: where no plan is possible, with the reasons.
        RackfirstError: where the folder or a file in it cannot be written.
    """
    _check_folder(folder, books.paths)  # before the search, which may take a while
    plan = solve(books.stock, books.job, watch)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _no_folder(folder) from error
    write_plan(plan, folder / PLAN_NAME)
    advice = ask(plan) if ask else Advice()
    if advice.alternatives and (best := advice.alternatives[0].plan) and best is not plan:
        plan = best  # found on the way
        audit(plan, books.stock, books.job)
        write_plan(plan, folder / PLAN_NAME)
    write_shopping_book(plan, folder / SHOPPING_NAME, advice)
    if advice.alternatives:
        _write_ways(folder, advice)
    return plan, advice


def _write_ways(folder: Path, advice: Advice) -> None:
    with whole_file(folder / PICTURE_NAME) as unfinished:
        unfinished.write_text(bars_svg(advice.alternatives), encoding="utf-8", newline="\n")
    (folder / WAYS_NAME).mkdir(exist_ok=True)
    for way in advice.alternatives:
        if way.plan:
            write_plan(way.plan, folder / WAYS_NAME / f"{way.name}.json")


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
