"""The sheets that go with the rack, column by column: its journal, and what is worth keeping."""

from __future__ import annotations

from dataclasses import replace

from stock.cells import Kind
from stock.columns import LENGTH, NOTE, SIZE, THICKNESS, WIDTH, Column, Form
from stock.journal import What
from stock.stock_forms import TREATED, WOOD

JOURNAL = Form(
    sheet="Journal",
    explanation="What came to the rack and what went. The tool writes it; only read it.",
    columns=(
        Column(
            header="Date",
            kind=Kind.DATE,
            explanation="The day.",
            example="2026-03-31",
            required=True,
        ),
        Column(
            header="What",
            kind=Kind.CHOICE,
            explanation="What happened.",
            choices=tuple(What),
            required=True,
        ),
        Column(
            header="Tag",
            kind=Kind.NAME,
            explanation="What is written on the piece; on a bought board its mark in the plan.",
            example="R017",
            required=True,
        ),
        Column(header="In", kind=Kind.NUMBER, explanation="How many came.", example="1", default=0),
        Column(
            header="Out", kind=Kind.NUMBER, explanation="How many went.", example="1", default=0
        ),
        replace(SIZE, explanation="The size by its name, if it has one."),
        replace(THICKNESS, explanation="Its thickness.", required=True),
        replace(WIDTH, explanation="Its width.", required=True),
        LENGTH,
        WOOD,
        TREATED,
        Column(header="Bay", kind=Kind.NAME, explanation="Where it lay.", example="B3"),
        Column(
            header="Plan",
            kind=Kind.NAME,
            explanation="Because of which plan: its job, and a number made from all that it says.",
            example="boat-rack 5f3a91c2",
        ),
        NOTE,
        Column(
            header="Also",
            kind=Kind.NOTE,
            explanation="What else stood in its row of the rack, so that it can be put back.",
        ),
    ),
)

KEEP = Form(
    sheet="Keep",
    explanation="What is worth its place on the rack. A piece goes by the first row that fits it.",
    columns=(
        replace(SIZE, explanation="Pieces of this thickness and width. Empty is any."),
        replace(THICKNESS, explanation="Or pieces so thick. Empty is any."),
        replace(WIDTH, explanation="Or pieces so wide, or wider. Empty is any."),
        replace(WOOD, explanation="Pieces of this wood. Empty is any."),
        Column(
            header="Shortest",
            kind=Kind.LENGTH,
            explanation="Shorter ones go.",
            example="24",
            example_mm="600",
        ),
        Column(
            header="Most",
            kind=Kind.NUMBER,
            explanation="So many are kept, the longest.",
            example="6",
        ),
        Column(
            header="Months",
            kind=Kind.NUMBER,
            explanation="What lies longer goes.",
            example="18",
        ),
        NOTE,
    ),
)
