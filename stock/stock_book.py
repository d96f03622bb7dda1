"""The stock book: rack, prices, stores and shop of a workbook as the types of this package."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from stock.columns import Findings, Row, in_order, read_rows
from stock.errors import BookFaultsError, Fault, Place
from stock.journal_sheet import past_tags
from stock.lengths import Length, Unit, format_length
from stock.measures import Measures, read_measures
from stock.pieces import Lumber, RackPiece, free_tags
from stock.prices import Offer, Store, to_cent
from stock.shop import Shop, settings
from stock.shop_sheet import read_shop
from stock.sizes import Dried, board_feet
from stock.spreadsheet import Book, key
from stock.stock_forms import PRICES, RACK, SHOP, STORES
from stock.store_rows import read_stores, store_of
from stock.template import FilledRow, write_template

METRE = 1000 * Unit.MM.inches
FOOT = Length(12)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockBook:
    """All that a stock book says. ``name`` is that of the file.

    ``woods`` are the names of woods as typed, without repeats. ``unplanned`` names what is filled
    but not planned with yet. ``past_tags`` are those of the journal.
    """

    name: str
    shop: Shop
    rack: tuple[RackPiece, ...]
    offers: tuple[Offer, ...]
    stores: tuple[Store, ...]
    unplanned: tuple[Fault, ...] = ()
    woods: tuple[str, ...] = ()
    past_tags: frozenset[str] = frozenset()


def read_stock_book(path: Path) -> tuple[StockBook, tuple[Fault, ...]]:
    """The stock book of the rows that are sound, and all faults of the others.

    Raises:
        BookFaultsError: if the file cannot be read at all.
    """
    return stock_of(Book(path))


def stock_of(book: Book) -> tuple[StockBook, tuple[Fault, ...]]:
    """As ``read_stock_book``, of a book that is opened already."""
    findings = Findings()
    if not book.sheet_names:
        problem, remedy = "a stock book has several sheets, a CSV file one", "save it as .xlsx"
        raise BookFaultsError([Fault(place=Place(file=book.name), problem=problem, remedy=remedy)])
    shop = read_shop(book, findings)
    price_rows = read_rows(book, PRICES, shop.unit, findings)
    rack_rows = read_rows(book, RACK, shop.unit, findings)
    if not price_rows and not rack_rows and not findings.faults:
        findings.faults.append(_nothing(book))
    tags = past_tags(book)
    stores = read_stores(read_rows(book, STORES, shop.unit, findings), price_rows)
    stock = StockBook(
        name=book.name,
        shop=shop,
        rack=tuple(_rack(rack_rows, tags)),
        offers=tuple(offer for row in price_rows for offer in _offers(row, stores, shop.unit)),
        stores=tuple(stores.values()),
        unplanned=in_order(findings.unplanned),
        woods=tuple(dict.fromkeys(row["Wood"] for row in [*rack_rows, *price_rows] if row["Wood"])),
        past_tags=tags,
    )
    return stock, in_order(findings.faults)


def _nothing(book: Book) -> Fault:
    sheets = {key(name) for name in book.sheet_names}
    if sheets.isdisjoint({key(RACK.sheet), key(PRICES.sheet)}):
        problem = f"there is no sheet {RACK.sheet} and no sheet {PRICES.sheet}"
    else:
        problem = f"nothing stands on {RACK.sheet} nor under {PRICES.sheet}"
    remedy = "fill one of the two; `rackfirst start` writes a book with both"
    return Fault(place=Place(file=book.name), problem=problem, remedy=remedy)


# --- the rack ------------------------------------------------------------------------------------


def _rack(rows: Sequence[Row], past: Iterable[str]) -> Iterator[RackPiece]:
    seen: dict[str, str] = {}
    tags = free_tags([*(row["Tag"] for row in rows if row["Tag"]), *past])
    for row in rows:
        tag = row["Tag"] or next(tags)
        if tag.casefold() in seen:
            remedy = "give each row a tag of its own, or leave it empty"
            row.refuse("Tag", f"the tag stands in {seen[tag.casefold()]} too", remedy)
        seen.setdefault(tag.casefold(), f"row {row.number}")
        measures = read_measures(row, Dried.DRY)
        if measures and row.sound():
            yield RackPiece(
                tag=tag,
                lumber=_lumber(row, measures),
                width=measures.width,
                length=row["Length"],
                size=measures.size_name,
                count=row["Count"],
                bay=row["Bay"] or "",
                held_for=row["Held for"] or "",
                measured_on=row["Measured on"],
                note=row["Note"] or "",
                row=row.number or 0,
            )


def _lumber(row: Row, measures: Measures) -> Lumber:
    return Lumber(
        wood=row["Wood"] or "",
        treated=row["Treated"] == "yes",
        thickness=measures.thickness,
    )


# --- prices --------------------------------------------------------------------------------------


def _offers(row: Row, stores: Mapping[str, Store], unit: Unit) -> Iterator[Offer]:
    """One offer for each length in the row."""
    store = store_of(row, stores)
    measures = read_measures(row, Dried(row["Dried"] or Dried.DRY))
    lengths = row["Length"] or ()
    if len(lengths) > 1 and row["Priced by"] == "piece":
        remedy = "give each length a row, or say under Priced by what the price is for"
        row.refuse("Length", "several lengths at one price per piece", remedy)
    if not (measures and row.sound()):
        return
    for length in lengths:
        yield Offer(
            store=store,
            lumber=_lumber(row, measures),
            width=measures.width,
            length=length,
            name=offer_name(measures, length, unit),
            price=to_cent(
                Fraction(row["Price"]) * _priced_units(row["Priced by"], measures, length)
            ),
            size=measures.size_name,
            in_stock=row["In stock"],
            note=row["Note"] or "",
        )


def _priced_units(priced_by: str, measures: Measures, length: Length) -> Fraction:
    """How many of what the price is for are in one board of ``length`` inches."""
    match priced_by:
        case "foot":
            return length / FOOT
        case "metre":
            return length / METRE
        case "board foot":
            return board_feet(
                size=measures.size,
                thickness=measures.thickness,
                width=measures.width,
                length=length,
            )
        case _:
            return Fraction(1)


def offer_name(measures: Measures, length: Length, unit: Unit) -> str:
    """``2x12 x 12'``, ``2x4 x 92 5/8"``, ``8/4 x 6 x 8'``, ``1 1/2 x 3 x 8'``, ``38x89 x 2440``."""

    def tape(inches: Length) -> str:
        return format_length(inches, unit)

    if unit is Unit.MM:
        long = tape(length)
    elif length % FOOT:
        long = f'{tape(length)}"'
    else:
        long = f"{length / FOOT}'"
    named = [measures.size_name or tape(measures.thickness)]
    if not measures.named_width:
        named.append(tape(measures.width))
    return " x ".join([*named, long])


# --- the template --------------------------------------------------------------------------------


def write_stock_template(path: Path, unit: Unit, typed: Mapping[str, str] | None = None) -> None:
    """A stock book ready to be filled, with all settings at their defaults or as ``typed``.

    Raises:
        RackfirstError: if ``path`` cannot be written.
    """
    values = {"unit": unit.value, **(typed or {})}
    rows = [
        FilledRow(
            texts={
                "Setting": setting.name,
                "Value": values.get(setting.name, setting.default(unit)),
                "Note": setting.explanation
                if setting.planned
                else "Not planned with yet: leave it as it is.",
            },
            choices=setting.choices,
            planned=setting.planned,
        )
        for setting in settings()
    ]
    write_template(path, (PRICES, RACK, STORES, SHOP), unit, {SHOP.sheet: rows})
