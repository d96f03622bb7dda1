"""What may be learnt beside the sample plan; every figure of it is invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.plan.comparison import Advice, Alternative, BreakEven, Hinge, PlanB, Saving
from optimizer.plan.figures import figures
from optimizer.plan.plan import Plan
from stock.lengths import Unit
from stock.shop import default_shop
from tests.sample_plan import buying, sample_plan


def sample_advice() -> Advice:
    plan, dearer = sample_plan(), buying(*[replace(line, count=9) for line in sample_plan().buy])
    return Advice(
        alternatives=(
            way("best mix", plan),
            way("everything bought new", dearer),
            Alternative(name="one store only", why="Post: no board is on the rack or for sale"),
        ),
        break_evens=(
            BreakEven(
                part="Post",
                section="4x4 spruce",
                factor=Fraction(3, 4),
                prices=(("Weir Street Lumber", "4x4 x 8'", Decimal("20.00"), Decimal("15.00")),),
            ),
            BreakEven(part="Leg", section="6x6 oak", factor=None, why="not found in time"),
        ),
        wishes=(
            Saving(
                what="Post: solid, not glued",
                at_least=Decimal("3.10"),
                at_most=Decimal("3.60"),
                minutes=Fraction(-45),
                glue_lines=-2,
            ),
        ),
        near_misses=(
            Saving(
                what="Rail is 1/8 in too long for R2: shortening it",
                at_least=Decimal("11.40"),
                at_most=Decimal("11.40"),
            ),
        ),
        plans_b=(
            PlanB(
                store="Weir Street Lumber",
                offer="2x12 x 12'",
                culls=2,
                more=Decimal("6.20"),
                instead=((2, "Weir Street Lumber", "2x10 x 12'"), (1, "Old Lock Yard", "1x4 x 8'")),
                not_needed=((1, "Weir Street Lumber", "2x4 x 8'"),),
            ),
            PlanB(store="Old Lock Yard", offer="4x4 x 8'", culls=None, more=None),
        ),
        hinges=(
            Hinge(
                tag="R2",
                bay="north wall",
                spare_length=Fraction(1, 8),
                spare_width=Fraction(0),
                more=Decimal("4.75"),
            ),
            Hinge(tag="R10", bay="", spare_length=Fraction(0), spare_width=Fraction(1), more=None),
        ),
        unanswered=3,
    )


def way(name: str, plan: Plan) -> Alternative:
    return Alternative(name=name, plan=plan, figures=figures(plan, default_shop(Unit.IN)))
