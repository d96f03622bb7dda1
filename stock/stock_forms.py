"""The sheets of the stock book, column by column, in the order of the template."""

from __future__ import annotations

from dataclasses import replace

from stock.cells import Kind
from stock.columns import ALSO_COUNT, LENGTH, NOTE, SIZE, THICKNESS, WIDTH, Column, Form, yes_no
from stock.sizes import Dried

WOOD = Column(
    header="Wood",
    kind=Kind.NAME,
    explanation="The wood by any name you use for it; use the same one everywhere.",
    example="Douglas-fir",
    also=("Species",),
)
TREATED = yes_no("Treated", "Whether it is pressure-treated. Empty is no.")

GRADE = Column(
    header="Grade",
    kind=Kind.NAME,
    explanation="What is stamped or promised: one of the grades on Shop.",
    example="No. 2",
)

PRICES = Form(
    sheet="Prices",
    explanation="What stores sell. The least you fill is Size, Length and Price.",
    sized=True,
    columns=(
        SIZE,
        Column(
            header="Length",
            kind=Kind.SOLD_LENGTHS,
            explanation="As sold, feet with their mark. At a price per foot, board foot or metre "
            "several may stand in one cell: 8', 10', 12'.",
            example="8'",
            example_mm="2440",
            required=True,
        ),
        Column(
            header="Price",
            kind=Kind.AMOUNT,
            explanation="Before tax: for one piece, unless Priced by says otherwise.",
            example="4.25",
            required=True,
            also=("Cost", "Price each"),
        ),
        Column(
            header="Priced by",
            kind=Kind.CHOICE,
            explanation="What the price is for. Empty is piece.",
            choices=("piece", "foot", "board foot", "thousand board feet", "metre"),
            default="piece",
        ),
        Column(
            header="Store",
            kind=Kind.NAME,
            explanation="Who sells it. May stay empty while there is one store only.",
            example="Weir Yard",
            also=("Supplier", "Yard"),
        ),
        WOOD,
        TREATED,
        replace(THICKNESS, explanation="Thickness as measured, for wood without a Size."),
        replace(WIDTH, explanation="Width as measured, for wood without a Size."),
        Column(
            header="Dried",
            kind=Kind.CHOICE,
            explanation="How it was dried before surfacing; green wood is a little larger. "
            "Empty is dry.",
            choices=tuple(Dried),
            default=Dried.DRY,
        ),
        Column(
            header="In stock",
            kind=Kind.NUMBER,
            explanation="How many of each length they have. Empty is plenty.",
            example="6",
        ),
        Column(
            header="Priced on",
            kind=Kind.DATE,
            explanation="The day of the price; an old one is told.",
            example="2026-03-31",
        ),
        NOTE,
        GRADE,
        Column(
            header="Pack",
            kind=Kind.COUNT,
            explanation="Sold only in packs of so many; Price is that of one board.",
            example="6",
            default=1,
        ),
    ),
)

RACK = Form(
    sheet="Rack",
    explanation="What already lies in the shop. May stay empty.",
    sized=True,
    columns=(
        SIZE,
        replace(LENGTH, explanation="Usable length: bad ends are left out."),
        Column(
            header="Count",
            kind=Kind.COUNT,
            explanation="How many pieces are just like this. Empty is 1.",
            example="2",
            default=1,
            also=ALSO_COUNT,
        ),
        Column(
            header="Tag",
            kind=Kind.NAME,
            explanation="What is written on the piece. Given if empty: R001, R002 …",
            example="R017",
        ),
        Column(header="Bay", kind=Kind.NAME, explanation="Where it lies.", example="B3"),
        WOOD,
        TREATED,
        THICKNESS,
        WIDTH,
        Column(
            header="Held for",
            kind=Kind.NAME,
            explanation="A job that this is kept for; no other job gets it.",
            example="boat rack",
        ),
        Column(
            header="Measured on",
            kind=Kind.DATE,
            explanation="The day of measuring, for your memory.",
            example="2026-03-31",
        ),
        NOTE,
        GRADE,
        Column(
            header="Moisture",
            kind=Kind.PERCENT,
            explanation="As a meter shows it; empty: it has come to the room's.",
            example="12",
        ),
        Column(
            header="Crook",
            kind=Kind.ALLOWANCE,
            explanation="How far an edge is out of straight, over the whole length.",
            example="1/4",
            example_mm="6",
        ),
        Column(
            header="Bad stretches",
            kind=Kind.STRETCHES,
            explanation="From where to where it is bad, from the tagged end.",
            example="40 to 46; 80 to 81",
            example_mm="1016 to 1168",
        ),
    ),
)

BOARDS = replace(
    RACK,
    sheet="Boards",
    explanation="Boards as they came home, measured before the first cut: Length from end to end.",
)

STORES = Form(
    sheet="Stores",
    explanation="Sales tax and trip of each store. One that does not stand here takes none.",
    columns=(
        Column(
            header="Store",
            kind=Kind.NAME,
            explanation="Its name, as under Prices.",
            example="Weir Yard",
            required=True,
        ),
        Column(
            header="Tax %",
            kind=Kind.PERCENT,
            explanation="Sales tax in percent on top of its prices. Empty is 0.",
            example="8.25",
            also=("Tax rate", "Sales tax", "Percent"),
        ),
        Column(
            header="Trip cost",
            kind=Kind.AMOUNT,
            explanation="What driving there costs, fuel and time; a plan weighs it. Empty is 0.",
            example="6.50",
        ),
        NOTE,
        Column(
            header="Fee per cut",
            kind=Kind.AMOUNT,
            explanation="What they take for a cut, 0 if nothing. Empty: they do not cut.",
            example="0.50",
        ),
        Column(
            header="Free cuts",
            kind=Kind.NUMBER,
            explanation="So many cuts of a visit are free, the others cost the fee.",
            example="2",
        ),
    ),
)

_IN_THE_FILE = {
    "Size": ("Item", True),
    "Length": ("Item", True),
    "Price": ("Your price", True),
    "Priced by": ('"piece"', False),
    "Wood": ('"SPF"', False),
    "Treated": ("Treated", False),
    "Thickness": ("Thick", False),
    "Width": ("Wide", False),
    "Dried": ('"dry"', False),
    "In stock": ("On hand", False),
    "Priced on": ("Date", False),
    "Pack": ("Bundle", False),
}

LISTS = Form(
    sheet="Lists",
    explanation="Lists of stores as CSV files beside this book. Each cell names the column of the "
    "file that holds it; what holds for every row of the file stands in quotes.",
    columns=(
        Column(
            header="File",
            kind=Kind.NAME,
            explanation="The CSV file, beside this book; a new list may replace it at any time.",
            example="weir-yard.csv",
            required=True,
        ),
        Column(
            header="Store",
            kind=Kind.NAME,
            explanation="Whose list it is.",
            example="Weir Yard",
        ),
        *(
            Column(
                header=header,
                kind=Kind.NAME,
                explanation=f"The file's column for {header}"
                + (", or one that says Size and Length at once." if "Item" in example else "."),
                example=example,
                required=required and header != "Size",
            )
            for header, (example, required) in _IN_THE_FILE.items()
        ),
    ),
)

SHOP = Form(
    sheet="Shop",
    explanation="How your shop works. Every setting may stay as it is.",
    columns=(
        Column(
            header="Setting",
            kind=Kind.NAME,
            explanation="The name of the setting; leave it as it is.",
            example="rip kerf",
            required=True,
        ),
        Column(
            header="Value",
            kind=Kind.NOTE,  # each setting has a kind of its own
            explanation="Empty is the default.",
            example="1/8",
            example_mm="3",
        ),
        replace(NOTE, explanation="What the setting means; it may be overwritten."),
    ),
)
