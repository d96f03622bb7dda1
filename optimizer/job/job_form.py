"""The sheet ``Parts`` of a job book, column by column, in the order of the template."""

from __future__ import annotations

from dataclasses import replace

from optimizer.job.parts import Faces, Make, Treatment
from stock.cells import Kind
from stock.columns import ALSO_COUNT, NOTE, SIZE, THICKNESS, WIDTH, Column, Form, yes_no
from stock.shop import settings

# Allowances of the shop that a part may have of its own, by their names in Shop.
OWN = (
    *("edge_trim", "skim_per_face", "last_pass_per_face", "jointing_per_edge"),
    *("slip", "extra_length"),
)

PARTS = Form(
    sheet="Parts",
    explanation="The finished parts. The least you fill is Part, Count, Length, and Size or "
    "Thickness and Width.",
    sized=True,
    columns=(
        Column(
            header="Part",
            kind=Kind.NAME,
            explanation="Its name on the drawing.",
            example="Rail",
            required=True,
            also=("Name", "Piece"),
        ),
        Column(
            header="Count",
            kind=Kind.COUNT,
            explanation="How many the job needs.",
            example="4",
            required=True,
            also=ALSO_COUNT,
        ),
        Column(
            header="Length",
            kind=Kind.LENGTH,
            explanation="Finished length, from shoulder to shoulder where there are tenons.",
            example="31 1/4",
            example_mm="794",
            required=True,
        ),
        replace(
            SIZE,
            explanation="For a part as thick and wide as a size of lumber; a 2x4 is "
            "1 1/2 by 3 1/2. Or fill Thickness and Width instead.",
        ),
        replace(
            THICKNESS,
            explanation="Finished thickness.",
            example="2 3/4",
            example_mm="70",
        ),
        replace(WIDTH, explanation="Finished width.", example="2 3/4", example_mm="70"),
        Column(
            header="Wood",
            kind=Kind.NAME,
            explanation="A wood of the stock book, or a group such as pine. Empty is any.",
            example="pine",
            also=("Species",),
        ),
        Column(
            header="Treated",
            kind=Kind.CHOICE,
            explanation="Whether it must be pressure-treated. Empty is no.",
            choices=tuple(Treatment),
            default=Treatment.NO,
        ),
        Column(
            header="Make",
            kind=Kind.CHOICE,
            explanation="Out of one piece, glued up, or whatever is cheaper. Empty is any.",
            choices=tuple(Make),
            default=Make.ANY,
        ),
        Column(
            header="Faces",
            kind=Kind.CHOICE,
            explanation="Left as bought, planed, or whatever is cheaper. Empty is any.",
            choices=tuple(Faces),
            default=Faces.ANY,
        ),
        Column(
            header="Tenons",
            kind=Kind.TENONS,
            explanation="Length of the tenon at each end; added to Length.",
            example="1 1/2 + 1 1/2",
            example_mm="38 + 38",
        ),
        Column(
            header="Thickness at least",
            kind=Kind.LENGTH,
            explanation="It may come out this thin.",
            example="1 1/2",
            example_mm="38",
        ),
        Column(
            header="Spare",
            kind=Kind.NUMBER,
            explanation="Made beyond Count, in case one fails. Empty is 0.",
            example="1",
            default=0,
        ),
        NOTE,
        Column(
            header="Grade",
            kind=Kind.NAME,
            explanation="One of the grades on Shop; no board of a lower grade, or of none, serves.",
            example="No. 2",
        ),
        yes_no(
            "Knots ok", "Whether bad stretches may be in it; the bad ends of an offcut come off."
        ),
        yes_no("Carries load", "Whether it carries load: its plies then run through, unjoined."),
        yes_no("Butt joints", "Whether inner plies may be joined end to end."),
        Column(
            header="Same board",
            kind=Kind.NAME,
            explanation="yes: all copies out of one blank, end to end or side by side, for "
            "matching grain. A name, such as front: all lines with that name out of one blank.",
            example="front",
        ),
        yes_no("Pairs", "Two and two copies out of one length; an odd one may leave a spare."),
        *(
            Column(
                header=setting.name.capitalize(),
                kind=Kind.ALLOWANCE,
                explanation=f"In place of {setting.name} on Shop, for this part.",
                example=setting.inch,
                example_mm=setting.mm,
            )
            for setting in settings()
            if setting.field in OWN
        ),
    ),
)

HARDWARE = Form(
    sheet="Hardware",
    explanation="What else the job takes: dowels, screws, hinges. May stay empty.",
    columns=(
        Column(
            header="Item",
            kind=Kind.NAME,
            explanation="What it is.",
            example="Dowel 3/8 x 2",
            example_mm="Dowel 10 x 50",
            required=True,
        ),
        Column(
            header="Count",
            kind=Kind.COUNT,
            explanation="How many the job takes.",
            example="24",
            required=True,
            also=ALSO_COUNT,
        ),
        Column(
            header="Price",
            kind=Kind.AMOUNT,
            explanation="Of one, tax included. Empty is 0: you have it.",
            example="0.12",
        ),
        NOTE,
    ),
)
