"""The stock book: rack, prices, stores and shop of a workbook as the types of this package."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from stock.columns import Findings, Row, in_order, read_rows
from stock.errors import BookFaultsError, Fault, Place
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
    but not planned with yet.
    """

    name: str
    shop: Shop
    rack: tuple[RackPiece, ...]
    offers: tuple[Offer, ...]
    stores: tuple[Store, ...]
    unplanned: tuple[Fault, ...] = ()
    woods: tuple[str, ...] = ()


def read_stock_book(path: Path) -> tuple[StockBook, tuple[Fault, ...]]:
    """The stock book of the rows that are sound, and all faults of the others.

    Raises:
        BookFaultsError: if the file cannot be read at all.
    """
    book, findings = Book(path), Findings()
    if not book.sheet_names:
        problem, remedy = "a stock book has several sheets, a CSV file one", "save it as .xlsx"
        raise BookFaultsError([Fault(place=Place(file=book.name), problem=problem, remedy=remedy)])
    shop = read_shop(book, findings)
    price_rows = read_rows(book, PRICES, shop.unit, findings)
    rack_rows = read_rows(book, RACK, shop.unit, findings)
    if not price_rows and not rack_rows and not findings.faults:
        findings.faults.append(_nothing(book))
    stores = read_stores(read_rows(book, STORES, shop.unit, findings), price_rows)
    stock = StockBook(
        name=book.name,
        shop=shop,
        rack=tuple(rack_of(rack_rows, shop)),
        offers=tuple(offer for row in price_rows for offer in _offers(row, stores, shop)),
        stores=tuple(stores.values()),
        unplanned=in_order(findings.unplanned),
        woods=tuple(dict.fromkeys(row["Wood"] for row in [*rack_rows, *price_rows] if row["Wood"])),
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


def rack_of(rows: Sequence[Row], shop: Shop, taken: Iterable[str] = ()) -> Iterator[RackPiece]:
    """The pieces of the sound rows, each with a tag that is not among those ``taken`` elsewhere."""
    seen = dict.fromkeys(taken, "the rack")
    tags = free_tags([*seen, *(row["Tag"] for row in rows if row["Tag"])])
    for row in rows:
        tag = row["Tag"] or next(tags)
        if tag.casefold() in seen:
            remedy = "give each row a tag of its own, or leave it empty"
            row.refuse("Tag", f"the tag stands in {seen[tag.casefold()]} too", remedy)
        seen.setdefault(tag.casefold(), f"row {row.number}")
        measures = read_measures(row, Dried.DRY)
        grade = grade_of(row, shop)
        if measures:
            _check_faults(row, measures)
        if measures and row.sound():
            yield RackPiece(
                tag=tag,
                lumber=_lumber(row, measures, grade),
                width=measures.width,
                length=row["Length"],
                size=measures.size_name,
                count=row["Count"],
                bay=row["Bay"] or "",
                held_for=row["Held for"] or "",
                measured_on=row["Measured on"],
                note=row["Note"] or "",
                moisture=row["Moisture"],
                crook=row["Crook"] or Length(0),
                bad=row["Bad stretches"] or (),
            )


def _lumber(row: Row, measures: Measures, grade: str) -> Lumber:
    return Lumber(
        wood=row["Wood"] or "",
        treated=row["Treated"] == "yes",
        thickness=measures.thickness,
        grade=grade,
    )


def grade_of(row: Row, shop: Shop) -> str:
    """The grade in a row as the setting ``grades`` spells it; empty where there is none, and a
    fault where it is not one of them.
    """
    typed = row["Grade"] or ""
    for known in shop.grades:
        if key(known) == key(typed):
            return known
    if typed:
        grades = "; ".join(shop.grades)
        row.refuse("Grade", "this grade is not known", f"the setting grades has {grades}")
    return ""


def _check_faults(row: Row, measures: Measures) -> None:
    """Crook and bad stretches must leave something of the piece."""
    length, crook, bad = row["Length"], row["Crook"], row["Bad stretches"]
    if crook and crook >= measures.width:
        row.refuse("Crook", "it is as much as the piece is wide", "measure it again")
    if bad and length and bad[-1][0] >= length:
        row.refuse("Bad stretches", "one begins beyond the end", "measure from the tagged end")
    elif bad and length and bad[0][0] == 0 and bad[0][1] >= length:
        row.refuse("Bad stretches", "nothing sound is left", "delete the row, or set Count to 0")


# --- prices --------------------------------------------------------------------------------------


def _offers(row: Row, stores: Mapping[str, Store], shop: Shop) -> Iterator[Offer]:
    """One offer for each length in the row."""
    store = store_of(row, stores)
    measures = read_measures(row, Dried(row["Dried"] or Dried.DRY))
    lengths = row["Length"] or ()
    if len(lengths) > 1 and row["Priced by"] == "piece":
        remedy = "give each length a row, or say under Priced by what the price is for"
        row.refuse("Length", "several lengths at one price per piece", remedy)
    grade = grade_of(row, shop)
    if not (measures and row.sound()):
        return
    for length in lengths:
        yield Offer(
            store=store,
            lumber=_lumber(row, measures, grade),
            width=measures.width,
            length=length,
            name=offer_name(measures, length, shop.unit),
            price=to_cent(
                Fraction(row["Price"]) * _priced_units(row["Priced by"], measures, length)
            ),
            size=measures.size_name,
            in_stock=row["In stock"],
            note=row["Note"] or "",
            green=row["Dried"] == Dried.GREEN,
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
