"""From two books to the files of a plan: reads, solves, writes; nothing is written before all is
well.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from itertools import count
from pathlib import Path

from optimizer.job.job_book import Books, read_all_books
from optimizer.job.parts import Job
from optimizer.output.bars import bars_svg
from optimizer.output.cutting_page import write_cutting_page
from optimizer.output.data import write_csv
from optimizer.output.labels import write_labels
from optimizer.output.lists import LISTS
from optimizer.output.own_sheets import write_own_sheets
from optimizer.output.shopping_book import write_shopping_book
from optimizer.plan.audit import audit
from optimizer.plan.comparison import Advice, Alternative, Gain
from optimizer.plan.happened import blanks_named
from optimizer.plan.plan import Plan
from optimizer.plan.plan_file import read_plan, write_plan
from optimizer.plan.under_way import (
    check_not_replaced,
    check_not_settled,
    check_replaceable,
    mark_replaced,
    note_of,
)
from optimizer.replan import replan
from optimizer.search.watch import Watch
from optimizer.solve import More, solve, solve_near
from optimizer.work.work import work_of
from stock.book_file import check_free, whole_file
from stock.errors import BookFaultsError, RackfirstError

PLAN_NAME = "plan.json"
SHOPPING_NAME = "shopping.xlsx"
PAGE_NAME = "cutting.html"
LABELS_NAME = "labels.html"
PICTURE_NAME = "compare.svg"
WAYS_NAME = "ways"
NEAR_NAME = "near"
CSV_FOLDER = "csv"
FILES = (PLAN_NAME, SHOPPING_NAME, PAGE_NAME, LABELS_NAME)


def read_planned(
    job_paths: Sequence[Path], stock_path: Path, boards_path: Path | None = None
) -> Books:
    """The stock book and the job books that are planned together; boards at home, if
    ``boards_path`` names them, lie on the rack.

    Raises:
        BookFaultsError: with every fault of both books, or all that is not planned with yet.
    """
    books = read_all_books(job_paths, stock_path, boards_path)
    if books.unplanned:
        raise BookFaultsError(books.unplanned)
    return books


def deliver(
    books: Books,
    folder: Path,
    watch: Watch,
    ask: Callable[[Plan], Advice] | None = None,
    *,
    as_csv: bool = False,
    more: More | None = None,
) -> tuple[Plan, Advice]:
    """The plan of a job, written to ``folder`` with its workbook and pages, and as CSV if wished.

    Several jobs are planned together, and each gets a workbook of its own sheets beside these. With
    ``ask``, what it learns beside the plan stands in the workbook too; ways to compare are drawn in
    compare.svg, and each is a plan of its own in the folder ``ways``. With ``more``, what a little
    more money buys is looked for; each is a plan of its own in the folder ``near``.

    Raises:
        NoPlanError: where no plan is possible, with the reasons.
        RackfirstError: where the folder or a file in it cannot be written.
    """
    # Before the search, which may take a while.
    _check_folder(folder, books)
    advice = Advice()
    if more:
        plan, gains = solve_near(books.stock, books.job, watch, more)
        advice = Advice(near=gains)
    else:
        plan = solve(books.stock, books.job, watch)
    _write(plan, books.job, folder, advice)
    if ask:
        advice = ask(plan)
        if advice.alternatives and (best := advice.alternatives[0].plan) and best is not plan:
            plan = best  # found on the way
            audit(plan, books.stock, books.job)
        _write(plan, books.job, folder, advice)
        _write_ways(advice.alternatives, folder)
    _write_near(advice.near, folder)
    if as_csv:
        write_lists(plan, folder)
    return plan, advice


def deliver_rest(
    plan_path: Path,
    stock_path: Path,
    job_paths: Sequence[Path],
    out: Path | None,
    done: str,
    spoiled: str,
    watch: Watch,
) -> tuple[Plan, Plan, Path, tuple[str, ...]]:
    """A plan and how it goes on, written to a folder of its own; both plans, that folder, and the
    files in it.

    ``done`` and ``spoiled`` name blanks, or boards all of which is sawn. Raises as ``deliver``, and
    RackfirstError where the plan is settled, or another goes on from it already.
    """
    old = read_plan(plan_path)
    check_not_replaced(plan_path)
    books = read_planned(list(job_paths) or _jobs_beside(old, stock_path), stock_path)
    check_not_settled(old, books.stock, stock_path)
    folder = out or _next_folder(plan_path.parent)
    _check_folder(folder, books)
    new = replan(
        old, books.stock, books.job, blanks_named(old, done), blanks_named(old, spoiled), watch
    )
    _write(new, books.job, folder, Advice())
    if folder.resolve() != plan_path.parent.resolve():
        mark_replaced(plan_path, folder / PLAN_NAME)
    return old, new, folder, file_names(books.job)


def _jobs_beside(plan: Plan, stock_path: Path) -> list[Path]:
    """The job books that a plan names, in the folder of the stock book."""
    for names in ([plan.job], plan.job.split(" + ")):
        found = [_job_called(name, stock_path.parent) for name in names]
        if all(found):
            return [path for path in found if path]
    missing = stock_path.parent / f"{plan.job}.xlsx"
    raise RackfirstError(f"{missing} is not there; name the job book with --job")


def _job_called(name: str, folder: Path) -> Path | None:
    paths = (folder / f"{name}{ending}" for ending in (".xlsx", ".xlsm", ".csv"))
    return next((path for path in paths if path.exists()), None)


def _next_folder(folder: Path) -> Path:
    """``job-plan-2`` beside ``job-plan``, or the first number that is free."""
    folder = folder if folder.name else folder.absolute()
    base = re.sub(r"-\d+$", "", folder.name)
    numbered = (folder.with_name(f"{base}-{n}") for n in count(2))
    return next(path for path in numbered if not path.exists())


def _write(plan: Plan, job: Job, folder: Path, advice: Advice) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _no_folder(folder) from error
    work = work_of(plan)
    write_plan(plan, folder / PLAN_NAME)
    write_shopping_book(work, folder / SHOPPING_NAME, advice)
    write_cutting_page(work, folder / PAGE_NAME, advice.alternatives)
    write_labels(work, folder / LABELS_NAME)
    for name in job.jobs:
        write_own_sheets(plan, name, job.jobs, folder / own_name(name))
    _clear(folder)


def _clear(folder: Path) -> None:
    """What stood beside an earlier plan in ``folder`` goes: it says nothing of this one."""
    others = _other_plans(folder)
    stale = [folder / PICTURE_NAME, note_of(folder / PLAN_NAME), *others, *map(note_of, others)]
    stale += (folder / CSV_FOLDER / f"{name}.csv" for name in LISTS)
    for path in stale:
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            raise RackfirstError(f"{path} is of an earlier plan; delete it by hand") from error
    for name in (WAYS_NAME, NEAR_NAME, CSV_FOLDER):
        with suppress(OSError):  # not there, or something else lies in it
            (folder / name).rmdir()


def _other_plans(folder: Path) -> list[Path]:
    """The plans that lie beside the one in ``folder``: ways, and what a little more money buys."""
    near = [path for path in (folder / NEAR_NAME).glob("*.json") if path.stem.isdigit()]
    return sorted([*(folder / WAYS_NAME).glob("*.json"), *near])


def _write_ways(ways: Sequence[Alternative], folder: Path) -> None:
    with whole_file(folder / PICTURE_NAME) as unfinished:
        unfinished.write_text(bars_svg(ways), encoding="utf-8", newline="\n")
    (folder / WAYS_NAME).mkdir(exist_ok=True)
    for way in ways:
        if way.plan:
            write_plan(way.plan, folder / WAYS_NAME / f"{way.name}.json")


def _write_near(gains: Sequence[Gain], folder: Path) -> None:
    """Each as a plan of its own."""
    if gains:
        (folder / NEAR_NAME).mkdir(exist_ok=True)
    for number, gain in enumerate(gains, 1):
        write_plan(gain.plan, folder / NEAR_NAME / f"{number}.json")


def file_names(job: Job) -> tuple[str, ...]:
    """The files of a plan for ``job``."""
    return (*FILES, *map(own_name, job.jobs))


def own_name(job: str) -> str:
    """The file with the own sheets of one job among several."""
    return f"{job} parts.xlsx"


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


def _check_folder(folder: Path, books: Books) -> None:
    """Raises RackfirstError where files of a plan cannot lie in ``folder``, or would replace one of
    the ``books`` or a plan under way.
    """
    nearest = next((path for path in (folder, *folder.parents) if path.exists()), folder)
    if not nearest.is_dir():
        raise _no_folder(folder)
    for path in (folder / name for name in file_names(books.job)):
        check_free(path)
        if path.exists() and any(path.samefile(book) for book in books.paths):
            raise RackfirstError(f"{path} is a book of yours; name another folder with --out")
    check_replaceable([folder / PLAN_NAME, *_other_plans(folder)], books.stock, books.paths[-1])


def _no_folder(folder: Path) -> RackfirstError:
    return RackfirstError(f"{folder} is no folder and cannot become one; name another with --out")
