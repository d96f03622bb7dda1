"""Instances with known optima, through the same code as a shop job: what is found, how fast."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from pathlib import Path
from statistics import median

from optimizer.job.layups import LayUp
from optimizer.job.parts import Job
from stock.prices import CENT
from stock.shop import Sawing
from stock.stock_book import StockBook
from tests.benchmarks import instance_files, published
from tests.benchmarks.cutting_stock import CuttingStock, Known, ValuedPlate
from tests.benchmarks.falkenauer import TRIPLETS, UNIFORM, triplets, uniform
from tests.benchmarks.measure import Run, solved
from tests.benchmarks.printed import Table

HEADERS = (
    "class:                ",
    "instance:             ",
    "   found",
    "   bound",
    "   known",
    "seconds",
    "end:       ",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One instance as a job, and what its money means: ``unit`` of it is 1 of ``known``.

    Where ``total`` is given, the cost is what a value lacks to the total: the value is sought.
    """

    group: str
    name: str
    stock: StockBook
    job: Job
    known: Known
    unit: Decimal = Decimal(1)
    total: int | None = None
    lay_ups: Sequence[Sequence[LayUp]] | None = None

    def told(self, money: Decimal) -> str:
        """An amount as the literature counts it."""
        amount = money / self.unit
        return whole(amount if self.total is None else self.total - amount)

    def verdict(self, run: Run) -> str:
        """How the run ended; a contradiction between it and what is known is said aloud."""
        if run.plan is None:
            return "no plan"
        cost, bound = run.plan.cost.net / self.unit, run.plan.bound / self.unit
        least, most = self._costs()
        if cost < least or (most is not None and bound > most):
            return "CONTRADICTS"
        over = cost - least if most is None else cost - most
        words = "proven" if run.proven else "open"
        if most is not None and over:
            words += f", {'+' if over > 0 else '−'}{whole(abs(over))}"
        return words

    def _costs(self) -> tuple[int, int | None]:
        """The known optimum as a cost."""
        least, most = self.known.least, self.known.most
        if self.total is None:
            return least, most
        assert most is not None
        return self.total - most, self.total - least


def whole(amount: Decimal) -> str:
    """Without decimals where it has none."""
    return str(int(amount) if amount == int(amount) else amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class Collection:
    """Instances of the literature by sort."""

    lengths: Sequence[CuttingStock] = published.ONE_DIMENSION
    furniture: Sequence[CuttingStock] = published.FURNITURE
    valued: Sequence[ValuedPlate] = published.VALUED_PLATES
    shop_jobs: Sequence[tuple[StockBook, Job, Known]] = ()

    @classmethod
    def in_folder(cls, folder: Path) -> Collection:
        """Those in files; see ``instance_files.py``."""
        return cls(
            lengths=tuple(instance_files.worked_examples(folder)),
            furniture=tuple(instance_files.furniture(folder)),
            valued=tuple(instance_files.valued_plates(folder)),
            shop_jobs=tuple(instance_files.json_shop_jobs(folder)),
        )


def cases(collection: Collection, seeds: int) -> Iterator[Case]:
    """All instances of the collection, and ``seeds`` of each class that is made by number."""
    for example in collection.lengths:
        yield _case("worked examples", example, Sawing.FREE)
    for sawing in (Sawing.RIP_FIRST, Sawing.FREE):
        for plate in collection.furniture:
            yield _case(f"furniture, {sawing}", plate, sawing)
    for valued in collection.valued:
        yield _valued("values along", valued)
    for valued in collection.valued:
        yield _valued("values across", valued.turned())
    for make, counts in ((uniform, UNIFORM), (triplets, TRIPLETS)):
        for count in counts:
            for seed in range(seeds):
                yield _case(f"{make.__name__} {count}", make(count, seed), Sawing.FREE)
    for stock, job, known in collection.shop_jobs:
        yield Case(
            group="shop jobs",
            name=job.name,
            stock=stock,
            job=job,
            known=Known(least=0, most=known.most),  # the free style crosscuts once more
            unit=CENT,
        )


def _case(group: str, example: CuttingStock, sawing: Sawing) -> Case:
    stock, job = example.books(sawing)
    return Case(group=group, name=example.name, stock=stock, job=job, known=example.optima[sawing])


def _valued(group: str, plate: ValuedPlate) -> Case:
    stock, job = plate.books()
    return Case(
        group=group,
        name=plate.name,
        stock=stock,
        job=job,
        known=Known.just(plate.along),
        unit=CENT,
        total=plate.total,
        lay_ups=plate.lay_ups(job),
    )


def print_literature(
    collection: Collection, only: str, seeds: int, seconds: float, markdown: bool
) -> None:
    """A row for each instance whose class begins with ``only``, then one for each class."""
    table = Table(HEADERS, markdown)
    table.head()
    done: dict[str, list[tuple[Case, Run]]] = {}
    for case in cases(collection, seeds):
        if not case.group.startswith(only):
            continue
        run = solved(case.stock, case.job, seconds, case.lay_ups)
        done.setdefault(case.group, []).append((case, run))
        found, bound = "", ""
        if run.plan is not None:
            found, bound = case.told(run.plan.cost.net), case.told(run.plan.bound)
        known = f"{case.known.most or ''}"
        table.row(
            case.group, case.name, found, bound, known, f"{run.seconds:.2f}", case.verdict(run)
        )
    table.end()
    _print_classes(done, markdown)


def _print_classes(done: dict[str, list[tuple[Case, Run]]], markdown: bool) -> None:
    table = Table(
        (
            "class:                ",
            "instances",
            "proven",
            "as known or better",
            "boards over bound",
            "median s",
            "longest s",
        ),
        markdown,
    )
    table.head()
    for group, runs in done.items():
        seconds = [run.seconds for _, run in runs]
        known = [(case, run) for case, run in runs if case.known.most is not None]
        reached = sum("+" not in case.verdict(run) and run.plan is not None for case, run in known)
        table.row(
            group,
            len(runs),
            sum(run.proven for _, run in runs),
            f"{reached} of {len(known)}" if known else "not known",
            max(map(_over_bound, runs)) if runs[0][0].unit == 1 else "",
            f"{median(seconds):.2f}",
            f"{max(seconds):.2f}",
        )


def _over_bound(run: tuple[Case, Run]) -> float:
    """How many boards the plan has over its bound in whole boards."""
    plan = run[1].plan
    return float("inf") if plan is None else int(plan.cost.net) - ceil(plan.bound)
