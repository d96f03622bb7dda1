"""The job book: the sheet of parts, of a workbook or a CSV file, as ``Part``."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from optimizer.job.job_form import HARDWARE, OWN, PARTS
from optimizer.job.parts import Faces, Hardware, Job, Make, Part, Treatment
from optimizer.job.spares import with_spares
from optimizer.job.together import together
from stock.columns import Findings, Row, in_order, read_rows
from stock.errors import BookFaultsError, Fault, Place
from stock.home_boards import with_boards_at_home
from stock.lengths import Length, Unit, format_length, is_bare
from stock.measures import Measures, read_measures
from stock.price_rows import grade_of
from stock.prices import to_cent
from stock.sizes import Dried, find_size
from stock.spreadsheet import Book
from stock.stock_book import StockBook, read_stock_book
from stock.template import write_template
from stock.wood import known_wood, same_wood

# Who types these finished widths beside a thickness of 2 mostly means the name of a size.
NOMINAL_THICKNESS = Length(2)
YES_OR_NO = ("Knots ok", "Carries load", "Butt joints", "Same board", "Pairs")
NOMINAL_WIDTHS = tuple(map(Length, (4, 6, 8, 10, 12)))


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
    _check_names(rows)
    parts = tuple(with_spares(list(_parts(rows, stock)), stock.shop.rejected))
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


def _check_names(rows: Sequence[Row]) -> None:
    seen: dict[str, int | None] = {}
    for row in rows:
        name = (row["Part"] or "").casefold()
        if name in seen:
            remedy = "give each part a name of its own, or one row with the whole count"
            row.refuse("Part", f"the part stands in row {seen[name]} too", remedy)
        elif name:
            seen[name] = row.number


def _parts(rows: Sequence[Row], stock: StockBook) -> Iterator[Part]:
    for row in rows:
        _check_wood(row, stock)
        _check_wishes(row)
        grade = grade_of(row, stock.shop)
        measures = read_measures(row, Dried.DRY)
        if measures:
            _check_nominal(row, stock.shop.unit)
            _check_least(row, measures)
        if measures and row.sound():
            yield Part(
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
                own=tuple((name, own) for name in OWN if (own := row[_header(name)]) is not None),
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


def _check_wishes(row: Row) -> None:
    """Wishes that speak against each other."""
    if row["Butt joints"] == row["Carries load"] == "yes":
        row.refuse(
            "Butt joints", "it carries load", "plies that carry load are not joined: type no"
        )
    if row["Same board"] == row["Pairs"] == "yes":
        row.refuse("Pairs", "Same board says more already", "type no for one of the two")


def _check_wood(row: Row, stock: StockBook) -> None:
    wood = row["Wood"]
    if not wood or known_wood(wood) or any(same_wood(wood, known) for known in stock.woods):
        return
    names = f"the stock book has {', '.join(stock.woods)}; " if stock.woods else ""
    row.refuse("Wood", "this wood is not known", f"{names}leave it empty for any wood")


def _check_nominal(row: Row, unit: Unit) -> None:
    """Asks about a part typed 2 thick and 4 wide: it may be a 2x4, which measures less."""
    thickness, width = row["Thickness"], row["Width"]
    typed_bare = unit is Unit.IN and thickness and is_bare(row.cell("Thickness").text)
    if not typed_bare or thickness != NOMINAL_THICKNESS or width not in NOMINAL_WIDTHS:
        return
    size = find_size(f"{thickness}x{width}")
    face = " x ".join(format_length(each, unit) for each in size.actual(Dried.DRY) if each)
    row.refuse(
        "Thickness",
        f"did you mean the size {size.name}, which is {face}?",
        f"type {size.name} under Size; if it is really {thickness} in thick, type {thickness} in",
    )


def _check_least(row: Row, measures: Measures) -> None:
    least = row["Thickness at least"]
    if least and least > measures.thickness:
        row.refuse("Thickness at least", "it is more than the thickness", "type less, or nothing")


def write_job_template(path: Path, unit: Unit) -> None:
    """A job book ready to be filled; a bare number in it will be in ``unit``.

    Raises:
        RackfirstError: if ``path`` cannot be written.
    """
    write_template(path, (PARTS, HARDWARE), unit, {})
