"""The job book: the sheet of parts, of a workbook or a CSV file, as ``Part``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from optimizer.job.job_form import HARDWARE, OWN, PARTS
from optimizer.job.parts import Faces, Hardware, Job, Make, Part, Treatment
from optimizer.job.row_checks import (
    check_boards,
    check_least,
    check_names,
    check_nominal,
    check_wishes,
    check_wood,
    of_board,
    same_board,
)
from optimizer.job.spares import with_spares
from optimizer.job.together import together
from stock.columns import Findings, Row, in_order, read_rows
from stock.errors import BookFaultsError, Fault, Place
from stock.home_boards import with_boards_at_home
from stock.lengths import Unit
from stock.measures import read_measures
from stock.price_rows import grade_of
from stock.prices import to_cent
from stock.sizes import Dried
from stock.spreadsheet import Book
from stock.stock_book import StockBook, read_stock_book
from stock.template import write_template

YES_OR_NO = ("Knots ok", "Carries load", "Butt joints", "Pairs")


@dataclass(frozen=True, slots=True, kw_only=True)
class Books:
    """The two books of a job, without fault, and what in them is not planned with yet.

    ``paths`` are those of the files.
    """

    stock: StockBook
    job: Job
    unplanned: tuple[Fault, ...]
    paths: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JobReading:
    """What reading a job book gave: the job of its sound rows (None if there is none), all faults,
    and what is filled but not planned with yet."""

    job: Job | None
    faults: tuple[Fault, ...]
    unplanned: tuple[Fault, ...]


def read_books(job_path: Path, stock_path: Path, boards_path: Path | None = None) -> Books:
    """Both books; the boards of ``boards_path``, bought and measured, lie on the rack.

    Raises:
        BookFaultsError: with all faults of all.
    """
    return read_all_books([job_path], stock_path, boards_path)


def read_all_books(
    job_paths: Sequence[Path], stock_path: Path, boards_path: Path | None = None
) -> Books:
    """The stock book and one or several job books, whose parts are planned together.

    Raises:
        BookFaultsError: with all faults of all of them.
    """
    faults: list[Fault] = []
    stock, readings = None, []
    try:
        stock, found = read_stock_book(stock_path)
        faults += found
        if boards_path:
            stock = with_boards_at_home(stock, boards_path)
    except BookFaultsError as error:
        faults += error.faults
    for path in job_paths:
        try:
            if stock:
                readings.append(read_job(path, stock))
            else:
                Book(path)  # its unit and woods are unknown; still say what is wrong with the file
        except BookFaultsError as error:
            faults += error.faults
    faults += [fault for reading in readings for fault in reading.faults]
    faults += _alike(job_paths)
    jobs = [reading.job for reading in readings if reading.job]
    if faults or not stock or len(jobs) < len(job_paths):
        raise BookFaultsError(faults)
    unplanned = [fault for reading in readings for fault in reading.unplanned]
    return Books(
        stock=stock,
        job=together(jobs),
        unplanned=(*stock.unplanned, *unplanned),
        paths=(*job_paths, stock_path),
    )


def _alike(paths: Sequence[Path]) -> Iterator[Fault]:
    """Jobs are told apart by the names of their books."""
    names = [path.stem.casefold() for path in paths]
    for path in paths:
        if names.count(path.stem.casefold()) > 1:
            problem, remedy = "two jobs have this name", "rename one of the files"
            yield Fault(place=Place(file=str(path)), problem=problem, remedy=remedy)


def read_job(path: Path, stock: StockBook) -> JobReading:
    """The job in ``path``, named after the file; a bare number is in the unit of ``stock``.

    Raises:
        BookFaultsError: if the file cannot be read at all.
    """
    book, findings = Book(path), Findings()
    rows = read_rows(book, PARTS, stock.shop.unit, findings)
    if not rows and not findings.faults:
        findings.faults.append(_nothing(book))
    check_names(rows)
    lines = list(_parts(rows, stock))
    check_boards(lines)
    parts = tuple(with_spares([part for _, part in lines], stock.shop.rejected))
    hardware = tuple(_hardware(book, stock.shop.unit, findings))
    return JobReading(
        job=Job(name=" ".join(path.stem.split()), parts=parts, hardware=hardware)
        if parts
        else None,
        faults=in_order(findings.faults),
        unplanned=in_order(findings.unplanned),
    )


def _nothing(book: Book) -> Fault:
    if book.sheet(PARTS.sheet) is None:
        problem, sheet = f"there is no sheet {PARTS.sheet}", ""
    else:
        problem, sheet = "there is no part in it", PARTS.sheet
    return Fault(
        place=Place(file=book.name, sheet=sheet),
        problem=problem,
        remedy=f"fill {PARTS.sheet}; `rackfirst start` writes a book with that sheet",
    )


def _parts(rows: Sequence[Row], stock: StockBook) -> Iterator[tuple[Row, Part]]:
    for row in rows:
        check_wood(row, stock)
        check_wishes(row)
        grade = grade_of(row, stock.shop)
        measures = read_measures(row, Dried.DRY)
        if measures:
            check_nominal(row, stock.shop.unit)
            check_least(row, measures)
        if measures and row.sound():
            yield (
                row,
                Part(
                    name=row["Part"],
                    count=row["Count"],
                    length=row["Length"],
                    width=measures.width,
                    thickness=measures.thickness,
                    wood=row["Wood"] or "",
                    treated=Treatment(row["Treated"]),
                    make=Make(row["Make"]),
                    faces=Faces(row["Faces"]),
                    tenons=row["Tenons"] or (),
                    thickness_at_least=row["Thickness at least"],
                    spare=row["Spare"],
                    note=row["Note"] or "",
                    grade=grade,
                    **{word.lower().replace(" ", "_"): row[word] == "yes" for word in YES_OR_NO},
                    same_board=same_board(row) == "yes",
                    of_board=of_board(row),
                    own=tuple(
                        (name, own) for name in OWN if (own := row[_header(name)]) is not None
                    ),
                ),
            )


def _hardware(book: Book, unit: Unit, findings: Findings) -> Iterator[Hardware]:
    rows = read_rows(book, HARDWARE, unit, findings) if book.sheet_names else []
    for row in rows:
        if row.sound():
            yield Hardware(
                item=row["Item"],
                count=row["Count"],
                price=to_cent(row["Price"] or Decimal(0)),
                note=row["Note"] or "",
            )


def _header(allowance: str) -> str:
    return allowance.replace("_", " ").capitalize()


def write_job_template(path: Path, unit: Unit) -> None:
    """A job book ready to be filled; a bare number in it will be in ``unit``.

    Raises:
        RackfirstError: if ``path`` cannot be written.
    """
    write_template(path, (PARTS, HARDWARE), unit, {})
