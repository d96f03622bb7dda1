"""The stock book: rack, prices, stores and shop of a workbook as the types of this package."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from stock.columns import Findings, Row, in_order, read_rows
from stock.errors import BookFaultsError, Fault, Place
from stock.journal_sheet import past_tags
from stock.lengths import Length, Unit
from stock.measures import Measures, read_measures
from stock.pieces import RackPiece, free_tags
from stock.price_lists import read_price_lists
from stock.price_rows import grade_of, lumber_of, read_offers
from stock.prices import Offer, Store
from stock.shop import Shop, settings
from stock.shop_sheet import read_shop
from stock.sizes import Dried
from stock.spreadsheet import Book, key
from stock.stock_forms import LISTS, PRICES, RACK, SHOP, STORES
from stock.store_rows import read_stores
from stock.template import FilledRow, write_template


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
    lists = read_rows(book, LISTS, shop.unit, findings)
    price_rows = [
        *read_rows(book, PRICES, shop.unit, findings),
        *read_price_lists(lists, book.folder, shop.unit, findings),
    ]
    rack_rows = read_rows(book, RACK, shop.unit, findings)
    if not price_rows and not rack_rows and not findings.faults:
        findings.faults.append(_nothing(book))
    tags = past_tags(book)
    stores = read_stores(read_rows(book, STORES, shop.unit, findings), price_rows)
    stock = StockBook(
        name=book.name,
        shop=shop,
        rack=tuple(rack_of(rack_rows, shop, past=tags)),
        offers=tuple(offer for row in price_rows for offer in read_offers(row, stores, shop)),
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


def rack_of(
    rows: Sequence[Row], shop: Shop, taken: Iterable[str] = (), past: Iterable[str] = ()
) -> Iterator[RackPiece]:
    """The pieces of the sound rows, each with a tag that is not among those ``taken`` elsewhere;
    tags of the ``past`` are not given again.
    """
    seen = dict.fromkeys(taken, "the rack")
    tags = free_tags([*seen, *(row["Tag"] for row in rows if row["Tag"]), *past])
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
                lumber=lumber_of(row, measures, grade),
                width=measures.width,
                length=row["Length"],
                size=measures.size_name,
                count=row["Count"],
                bay=row["Bay"] or "",
                held_for=row["Held for"] or "",
                measured_on=row["Measured on"],
                note=row["Note"] or "",
                row=row.number or 0,
                moisture=row["Moisture"],
                crook=row["Crook"] or Length(0),
                bad=row["Bad stretches"] or (),
            )


def _check_faults(row: Row, measures: Measures) -> None:
    """Crook and bad stretches must leave something of the piece."""
    length, crook, bad = row["Length"], row["Crook"], row["Bad stretches"]
    if crook and crook >= measures.width:
        row.refuse("Crook", "it is as much as the piece is wide", "measure it again")
    if bad and length and bad[-1][0] >= length:
        row.refuse("Bad stretches", "one begins beyond the end", "measure from the tagged end")
    elif bad and length and bad[0][0] == 0 and bad[0][1] >= length:
        row.refuse("Bad stretches", "nothing sound is left", "delete the row, or set Count to 0")


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
    write_template(path, (PRICES, RACK, STORES, LISTS, SHOP), unit, {SHOP.sheet: rows})
