"""The stores: those of the sheet ``Stores``, and those that only ``Prices`` names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from difflib import get_close_matches

from stock.columns import Row
from stock.prices import Store, to_cent

ONLY_STORE = "Store"  # the name of the one store in a book that names none
NEAR_NAME = 0.75  # of difflib's likeness: Weir Yard is The Weir Yard; tried, no source
LEAST_TAX = Decimal("0.3")  # percent: less is a share of one, 0.0825 for 8.25 % (from memory)
_PERCENT = "8.25 percent is typed as 8.25, or as a cell formatted in percent"


def read_stores(rows: Sequence[Row], price_rows: Sequence[Row]) -> dict[str, Store]:
    """The stores by name in lower case; those that stand only under Prices take no tax."""
    _check_spelling(rows, price_rows)
    stores: dict[str, Store] = {}
    for row in rows:
        name = row["Store"]
        if name and name.casefold() in stores:
            row.refuse("Store", "the store stands twice", "delete one of the two rows")
        elif name:
            stores[name.casefold()] = Store(
                name=name,
                tax_percent=_tax_percent(row),
                note=row["Note"] or "",
                trip_cost=to_cent(row["Trip cost"] or Decimal(0)),
                fee_per_cut=_fee(row),
                free_cuts=row["Free cuts"] or 0,
            )
    for row in price_rows:
        if name := row["Store"]:
            stores.setdefault(name.casefold(), Store(name=name))
    if price_rows and not stores:
        stores[ONLY_STORE.casefold()] = Store(name=ONLY_STORE)
    return stores


def store_of(row: Row, stores: Mapping[str, Store]) -> str:
    """The store of a row of Prices, spelt as at its first place."""
    if typed := row["Store"]:
        return stores[typed.casefold()].name
    if len(stores) > 1 and row.sound("Store"):
        row.refuse("Store", "it is empty, and the book has several stores", "name the store")
    return next(iter(stores.values())).name


def _fee(row: Row) -> Decimal | None:
    """None where neither a fee nor free cuts are told: there the store does not cut."""
    if row["Fee per cut"] is None and row["Free cuts"] is None:
        return None
    return to_cent(row["Fee per cut"] or Decimal(0))


def _tax_percent(row: Row) -> Decimal:
    percent = row["Tax %"] or Decimal(0)
    if 0 < percent < LEAST_TAX and "%" not in row.cell("Tax %").text:
        row.refuse("Tax %", f"{percent} percent is hardly a tax", _PERCENT)
    return percent


def _check_spelling(rows: Sequence[Row], price_rows: Sequence[Row]) -> None:
    """A store without a price, beside a price of a store without a row and of nearly that name."""
    selling = {row["Store"].casefold(): row["Store"] for row in price_rows if row["Store"]}
    named = {row["Store"].casefold(): row for row in rows if row["Store"]}
    others = [name for name in selling if name not in named]
    for name, row in named.items():
        if name not in selling and (near := get_close_matches(name, others, 1, NEAR_NAME)):
            other = selling[near[0]]
            remedy = f"spell both alike, or give {other} a row of its own"
            row.refuse("Store", f"no price names it; Prices has {other!r}", remedy)
