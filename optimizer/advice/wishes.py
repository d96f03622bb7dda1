"""What a wish costs: each wish that the books state is given up, and the job solved again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimizer.advice.asking import Answer, Asking, Question
from optimizer.job.parts import Faces, Job, Make, Part, Treatment
from optimizer.plan.comparison import Saving, saved_by
from optimizer.plan.figures import figures
from optimizer.plan.plan import Plan
from stock.lengths import format_length
from stock.shop import Sawing
from stock.stock_book import StockBook
from stock.wood import same_wood

GAP = Decimal("0.5")  # percent


def wishes(stock: StockBook, job: Job, plan: Plan, asking: Asking) -> tuple[Saving, ...]:
    """What giving up each wish would save, the dearest wish first; those that cost nothing last."""
    asked = {
        what: Question(stock=book, job=parts, ceiling=plan.cost.net, gap=GAP)
        for what, book, parts in stated(stock, job)
    }
    return savings(plan, asking.ask(asked), stock)


def stated(stock: StockBook, job: Job) -> Iterator[tuple[str, StockBook, Job]]:
    """Each wish in the books, and the books without it."""
    shop = stock.shop
    spared = replace(stock, shop=replace(shop, rejected=()))  # the parts have their spares already
    for part in job.parts:
        for what, easier in _of_part(part, stock):
            parts = tuple(easier if each is part else each for each in job.parts)
            yield f"{part.name}: {what}", spared, replace(job, parts=parts)
    if shop.most_stores is not None:
        stores = "1 store" if shop.most_stores == 1 else f"{shop.most_stores} stores"
        yield f"at most {stores}", replace(stock, shop=replace(shop, most_stores=None)), job
    if shop.longest_carried is not None:
        longest = format_length(shop.longest_carried, shop.unit)
        carried = replace(stock, shop=replace(shop, longest_carried=None))
        yield f"nothing longer than {longest} in the car", carried, job
    if shop.sawing is not Sawing.FREE:
        freely = replace(stock, shop=replace(shop, sawing=Sawing.FREE))
        yield f"sawing {shop.sawing}", freely, job
    own = {"", *(name.casefold() for name in (job.name, *job.jobs))}
    held = sorted({p.held_for for p in stock.rack if p.held_for.casefold() not in own})
    for name in held:
        free = tuple(replace(p, held_for="") if p.held_for == name else p for p in stock.rack)
        yield f"rack pieces held for {name}", replace(stock, rack=free), job


def _of_part(part: Part, stock: StockBook) -> Iterator[tuple[str, Part]]:
    if part.make is Make.SOLID:
        yield "solid, not glued", replace(part, make=Make.ANY)
    if part.make is Make.GLUED:
        yield "glued, not solid", replace(part, make=Make.ANY)
    if part.faces is not Faces.ANY:
        yield f"faces {part.faces}", replace(part, faces=Faces.ANY)
    if part.wood and not all(same_wood(part.wood, wood) for wood in stock.woods):
        yield f"in {part.wood}", replace(part, wood="")
    if part.treated is Treatment.YES:
        yield "treated", replace(part, treated=Treatment.EITHER)
    if part.grade:
        yield _without_grade(part, stock)
    if part.same_board or part.of_board:
        yield "all out of one board", replace(part, same_board=False, of_board="")
    if part.pairs:
        yield "cut in pairs", replace(part, pairs=False)
    if part.spare:
        spares = "1 spare" if part.spare == 1 else f"{part.spare} spares"
        yield spares, replace(part, spare=0)


def _without_grade(part: Part, stock: StockBook) -> tuple[str, Part]:
    """Where spares are made because so many of the grade fail, these are given up with it."""
    if part.spare and any(grade == part.grade for grade, _ in stock.shop.rejected):
        return f"grade {part.grade}, and its spares", replace(part, grade="", spare=0)
    return f"grade {part.grade}", replace(part, grade="")


def savings(plan: Plan, answers: dict[str, Answer], stock: StockBook) -> tuple[Saving, ...]:
    """What each answer saves against ``plan``, the most first."""
    now = figures(plan, stock.shop)
    found = []
    for what, other in answers.items():
        if isinstance(other, Plan):
            at_least, at_most = saved_by(plan, other)
            then = figures(other, stock.shop) if at_least else now
            found.append(
                Saving(
                    what=what,
                    at_least=at_least,
                    at_most=at_most,
                    minutes=Fraction(now.minutes - then.minutes),
                    glue_lines=now.glue_lines - then.glue_lines,
                )
            )
    return tuple(sorted(found, key=lambda saving: (-saving.at_least, -(saving.at_most or 0))))
