"""Plans made by hand that hold, with their books: what the tests of plans start from.

The rowing club's shop and its prices are invented. Every number was worked out on paper, by the
rules of the trade as the settings of the shop have them; the working stands beside it.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.job.parts import Job, Part
from optimizer.plan.beside import Load
from optimizer.plan.plan import Blank, Cost, Cut, Leftover, StoreTax
from stock.lengths import Unit
from stock.pieces import Lumber, RackPiece
from stock.prices import Offer, Store
from stock.shop import default_shop
from stock.stock_book import StockBook
from tests.making_plans import (
    FREE,
    Case,
    blank,
    bought,
    cuts,
    inches,
    leftover,
    made,
    offer,
    part_of,
    plan_of,
    pulled,
    purchase,
)

INCH_SHOP = replace(
    default_shop(Unit.IN), pay=Decimal(20), glue_price=Decimal(30), offcut_value=Decimal(30)
)
THIN = Lumber(wood="SPF", treated=False, thickness=Fraction(3, 4))
THICK = Lumber(wood="SPF", treated=False, thickness=Fraction(3, 2))


def boat_rack() -> Case:
    """A post of two plies, a shelf of two strips, a planed rail off the rack, slats as bought."""
    stud = offer("Landing", "2x4 x 8'", THICK, "3 1/2", "96", "4.20")
    plank = offer("Slip", "2x6 x 8'", THICK, "5 1/2", "96", "7.92")
    lath = offer("Slip", "1x4 x 6'", THIN, "3 1/2", "72", "3.78")
    offcut = RackPiece(
        tag="R001", lumber=THICK, width=inches("3 1/2"), length=inches("44"), size="2x4", bay="A2"
    )
    held = replace(offcut, tag="R002", held_for="oar stand")
    stock = StockBook(
        name="stock.xlsx",
        shop=INCH_SHOP,
        rack=(offcut, held),
        offers=(stud, replace(plank, in_stock=1), lath),
        stores=(
            Store(name="Landing", tax_percent=Decimal("8.25")),
            Store(name="Slip", tax_percent=Decimal(6)),
        ),
    )
    drawn = {
        "Rail": part_of("Rail", "40", "2 1/2", "1 1/4"),
        "Post": replace(part_of("Post", "28", "2 3/4", "2 3/4"), tenons=(Fraction(1), Fraction(1))),
        "Shelf": part_of("Shelf", "30", "8", "1 1/8"),
        "Slat": replace(part_of("Slat", "20", "3 1/2", "3/4"), count=2, spare=1),
    }
    job = Job(name="boat rack", parts=tuple(drawn.values()))
    boards = (
        # A rail keeps 1 1/2 - 4/32 = 1 3/8 of thickness; 2 1/2 + 2/16 wide, 40 + 1 long.
        # Worth of the offcut: 30 % of 3/4 of 231 in³ at 4.20 for 504 in³ = 0.4331.
        pulled(
            "B1",
            offcut,
            "0.43",
            blanks=(blank("b1", "0", "0", "41", "2 5/8"),),
            cuts=cuts("crosscut B1 at 41 gives B1.1 -", "rip B1.1 at 2 5/8 gives b1 -"),
        ),
        # Two plies keep 2(1 1/2 - 2/32) - 2/32 = 2 13/16; 2 3/4 + 2/16 + 1/8 wide, 28 + 2 + 1 long.
        bought(
            "B2",
            stud,
            blanks=(blank("b2", "1/2", "0", "31", "3"), blank("b3", "31 5/8", "0", "31", "3")),
            leftovers=(leftover("R003", "62 3/4", "0", "32 3/4", "3 1/2", "0.32"),),
            cuts=_two_segments("B2", "b2", "b3", "3", "R003"),
        ),
        # Two strips keep 2(4 5/16 - 2/8) = 8 1/8 before the last jointing of 2/16.
        bought(
            "B3",
            plank,
            blanks=(
                blank("b4", "1/2", "0", "31", "4 5/16"),
                blank("b5", "31 5/8", "0", "31", "4 5/16"),
            ),
            leftovers=(leftover("R004", "62 3/4", "0", "32 3/4", "5 1/2", "0.51"),),
            cuts=_two_segments("B3", "b4", "b5", "4 5/16", "R004"),
        ),
        bought(
            "B4",
            lath,
            blanks=(
                blank("b6", "1/2", "0", "20", "3 1/2"),
                blank("b7", "20 5/8", "0", "20", "3 1/2"),
                blank("b8", "40 3/4", "0", "20", "3 1/2"),
            ),
            cuts=cuts(
                "trim B4 at 3/8 gives - B4.1",
                "trim B4.1 at 71 gives B4.2 -",
                "crosscut B4.2 at 20 gives b6 B4.3",
                "crosscut B4.3 at 20 gives b7 B4.4",
                "crosscut B4.4 at 20 gives b8 -",
            ),
        ),
    )
    parts = (
        made(drawn["Rail"], [["b1"]], planed=True),
        made(drawn["Post"], [["b2"], ["b3"]], planed=True),
        made(drawn["Shelf"], [["b4", "b5"]], planed=True),
        *(made(drawn["Slat"], [[f"b{n + 5}"]], n, planed=False) for n in (1, 2, 3)),
    )
    plan = plan_of(
        stock.shop,
        job,
        boards,
        parts,
        bound=Decimal("51.50"),
        cost=Cost(
            boards=Decimal("15.90"),
            tax=Decimal("1.05"),
            glue=Decimal("0.12"),  # 93 + 46 1/2 in² = 0.96875 ft², 250 to the gallon, at 30
            time=Decimal("35.33"),  # 14 crosscuts, 5 rips, 14 faces, 2 glue lines: 106 min at 20
            rack_used=Decimal("0.43"),
            leftovers=Decimal("0.83"),
        ),
        buy=tuple(purchase(source, 1) for source in (stud, plank, lath)),
        taxes=(
            StoreTax(store="Landing", percent=Decimal("8.25"), tax=Decimal("0.35")),
            StoreTax(store="Slip", percent=Decimal(6), tax=Decimal("0.70")),
        ),
        # 504 + 792 + 189 = 1485 in³ bought; SPF of gravity 0.42 at 19 % (NDS) weighs 62.4 × 0.42 /
        # (1 + 0.009 × 0.42 × 19) × 1.19 = 29.1 lb/ft³: 25.0 lb.
        load=Load(weight=25),
    )
    return Case(plan=plan, stock=stock, job=job)


def _two_segments(board: str, first: str, second: str, width: str, rest: str) -> tuple[Cut, ...]:
    """An 8 ft board trimmed, then two segments of 31, each ripped to one blank."""
    return cuts(
        f"trim {board} at 3/8 gives - {board}.1",
        f"trim {board}.1 at 95 gives {board}.2 -",
        f"crosscut {board}.2 at 31 gives {board}.3 {board}.4",
        f"rip {board}.3 at {width} gives {first} -",
        f"crosscut {board}.4 at 31 gives {board}.5 {rest}",
        f"rip {board}.5 at {width} gives {second} -",
    )


def metric_post() -> Case:
    """A post of two plies out of 38 × 89; mm throughout."""
    mm = Unit.MM.inches
    lumber = Lumber(wood="spruce", treated=False, thickness=38 * mm)
    stud = Offer(
        store="Landing",
        lumber=lumber,
        width=89 * mm,
        length=2400 * mm,
        name="38x89 x 2400",
        price=Decimal("5.00"),
        size="38x89",
    )
    stock = StockBook(
        name="stock.xlsx", shop=default_shop(Unit.MM), rack=(), offers=(stud,), stores=()
    )
    post = Part(name="Post", count=1, length=700 * mm, width=70 * mm, thickness=70 * mm)
    job = Job(name="post", parts=(post,))
    # 2(38 - 2 × 0.8) - 2 × 0.8 = 71.2 thick; 70 + 2 × 1.5 + 3 = 76 wide; 700 + 25 = 725 long.
    plies = tuple(
        Blank(id=name, x=x * mm, y=Fraction(0), length=725 * mm, width=76 * mm)
        for name, x in (("b1", 12), ("b2", 740))
    )
    # 30 % of 3/4 (920 mm are 36 in) of 920/2400 of 5.00 = 0.43125
    rest = Leftover(
        tag="R001",
        x=1468 * mm,
        y=Fraction(0),
        length=920 * mm,
        width=89 * mm,
        worth=Decimal("0.43"),
    )
    sawn = cuts(
        "trim B1 at 9 gives - B1.1",
        "trim B1.1 at 2376 gives B1.2 -",
        "crosscut B1.2 at 725 gives B1.3 B1.4",
        "rip B1.3 at 76 gives b1 -",
        "crosscut B1.4 at 725 gives B1.5 R001",
        "rip B1.5 at 76 gives b2 -",
    )
    board = bought(
        "B1",
        stud,
        blanks=plies,
        leftovers=(rest,),
        cuts=tuple(replace(cut, at=cut.at * mm) for cut in sawn),
    )
    plan = plan_of(
        stock.shop,
        job,
        (board,),
        (made(post, [["b1"], ["b2"]], planed=True),),
        cost=replace(FREE, boards=Decimal("5.00"), leftovers=Decimal("0.43")),
        buy=(purchase(stud, 1),),
        # 38 × 89 × 2400 mm of spruce, counted as the heaviest, black spruce: 0.42 at 12 %, 0.44 dry
        # (Wood Handbook Table 5-3b): 62.4 × 0.44 / (1 + 0.009 × 0.44 × 19) × 1.19 = 30.4 lb/ft³.
        load=Load(weight=4),
    )
    return Case(plan=plan, stock=stock, job=job)
