"""Rows of prices as offers: each price is turned into that of one board, in whole cents."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from stock.columns import Row
from stock.lengths import Length, Unit, format_length
from stock.measures import Measures, read_measures
from stock.pieces import Lumber
from stock.prices import Offer, Store, to_cent
from stock.shop import Shop
from stock.sizes import Dried, board_feet
from stock.spreadsheet import key
from stock.store_rows import store_of

METRE = 1000 * Unit.MM.inches
FOOT = Length(12)
THOUSAND = 1000


def read_offers(row: Row, stores: Mapping[str, Store], shop: Shop) -> Iterator[Offer]:
    """One offer for each length in a row of prices; none where the row has a fault."""
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
            lumber=lumber_of(row, measures, grade),
            width=measures.width,
            length=length,
            name=offer_name(measures, length, shop.unit),
            price=to_cent(
                Fraction(row["Price"]) * priced_units(row["Priced by"], measures, length)
            ),
            size=measures.size_name,
            in_stock=row["In stock"],
            note=row["Note"] or "",
            pack=row["Pack"],
            priced_on=row["Priced on"],
            green=row["Dried"] == Dried.GREEN,
        )


def lumber_of(row: Row, measures: Measures, grade: str) -> Lumber:
    """The lumber of a row of the rack or of prices."""
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


def priced_units(priced_by: str, measures: Measures, length: Length) -> Fraction:
    """How many of what the price is for are in one board of ``length`` inches, exact."""
    match priced_by:
        case "foot":
            return length / FOOT
        case "metre":
            return length / METRE
        case "board foot":
            return _board_feet(measures, length)
        case "thousand board feet":
            return _board_feet(measures, length) / THOUSAND
        case _:
            return Fraction(1)


def _board_feet(measures: Measures, length: Length) -> Fraction:
    return board_feet(
        size=measures.size, thickness=measures.thickness, width=measures.width, length=length
    )


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
