"""Each table of the benchmarks in small: plans hold, bounds are bounds, what is printed is so."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from xml.etree import ElementTree

import pytest

from optimizer.plan.plan import Plan, Status
from optimizer.solve import ways_of
from stock.lengths import Unit
from stock.shop import Sawing, default_shop
from tests.benchmarks.chart import chart
from tests.benchmarks.cutting_stock import Known
from tests.benchmarks.growth import Size, measured
from tests.benchmarks.instead import Other
from tests.benchmarks.jobs import HEADERS, OVERVIEW, Done, Series, came_to
from tests.benchmarks.literature import Case, Collection, cases
from tests.benchmarks.measure import Moment, Run, solved
from tests.benchmarks.printed import Table
from tests.benchmarks.published import FURNITURE, ONE_DIMENSION, VALUED_PLATES
from tests.benchmarks.real_wood import GRADE, in_real_wood
from tests.benchmarks.shop_jobs import FAMILIES, Family, shop_job
from tests.benchmarks.small import AUDITED, BELOW, CHOOSING, EQUAL, LEAST, PROVEN, TRUE, judged
from tests.sound_plans import boat_rack

SMALL = Collection(
    lengths=ONE_DIMENSION[4:6],
    furniture=FURNITURE[:1],
    valued=(VALUED_PLATES[0], VALUED_PLATES[-1]),
)


def moment(seconds: float, best: str | None, bound: str | None) -> Moment:
    def amount(typed: str | None) -> Decimal | None:
        return None if typed is None else Decimal(typed)

    return Moment(seconds=seconds, best=amount(best), bound=amount(bound))


def ended(plan: Plan | None, *trail: Moment, seconds: float = 8.0) -> Run:
    return Run(job="A7", plan=plan, seconds=seconds, trail=trail)


def at(net: str, bound: str) -> Plan:
    """A plan of which only the net, the bound and the status mean anything."""
    plan = boat_rack().plan
    status = Status.PROVEN if net == bound else Status.OUT_OF_TIME
    other = plan.cost.net - plan.cost.time - plan.cost.boards - plan.cost.tax
    cost = replace(plan.cost, boards=Decimal(0), tax=Decimal(0), time=Decimal(net) - other)
    return replace(plan, buy=(), taxes=(), cost=cost, bound=Decimal(bound), status=status)


# --- what is measured ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "case", list(cases(SMALL, 0)), ids=lambda case: f"{case.group}: {case.name}"
)
def test_instances_end_at_their_known_optima(case: Case) -> None:
    run = solved(case.stock, case.job, 60, case.lay_ups)
    assert run.plan is not None
    assert run.plan.bound <= run.plan.cost.net
    assert case.verdict(run) == "proven"


@pytest.mark.parametrize("family", FAMILIES.values(), ids=FAMILIES)
def test_a_made_up_job_has_ever_cheaper_plans_and_a_bound_below_them(family: Family) -> None:
    stock, job = shop_job(family, 0, lines=3, boards=60)
    run = solved(stock, job, 60)
    assert run.plan is not None
    assert run.plan.bound <= run.plan.cost.net
    costs = [each.best for each in run.trail if each.best is not None]
    assert costs == sorted(costs, reverse=True)
    assert costs[-1] == run.plan.cost.net


@pytest.mark.parametrize("seed", [1, 3])
def test_a_small_job_is_as_it_should_be(seed: int) -> None:
    assert judged(seed, 60) == {AUDITED, BELOW, TRUE, EQUAL, LEAST, PROVEN, CHOOSING}


@pytest.mark.parametrize(("pieces", "rack"), [(10, 10), (300, 30), (1000, 2000)])
def test_a_size_has_so_many_pieces_and_rack_pieces(pieces: int, rack: int) -> None:
    stock, job = Size(pieces=pieces, rack=rack).books()
    assert sum(part.count for part in job.parts) == pieces
    assert len(stock.rack) == rack
    assert len(job.parts) <= 60


def test_memory_is_measured() -> None:
    run, memory = measured(Size(pieces=10, rack=10), 60)
    assert run.plan is not None
    assert 20 < memory < 4096


def test_a_third_of_the_lines_choose_between_a_few_lay_ups() -> None:
    for family in FAMILIES.values():
        stock, job = shop_job(family, 3)
        _, lay_ups = ways_of(stock, job)
        choosing = [len(ways) for ways in lay_ups if len(ways) > 1]
        assert len(choosing) >= len(job.parts) // 3 - 1
        assert stock.shop.sawing is Sawing.FREE


def test_with_all_rules_on_every_rule_meets_boards_and_parts() -> None:
    stock, job = in_real_wood(*shop_job(FAMILIES["A"], 0))
    usual = default_shop(Unit.IN)
    assert stock.shop.shortest_to_rip == usual.shortest_to_rip
    assert stock.shop.shortest_to_plane == usual.shortest_to_plane
    supplies, _ = ways_of(stock, job)
    assert any(supply.pith for supply in supplies)
    assert any(supply.crook for supply in supplies)
    assert any(supply.stretch for supply in supplies)
    assert {piece.lumber.grade for piece in stock.rack} == {GRADE, ""}
    of_jobs = [in_real_wood(*shop_job(FAMILIES["A"], seed))[1] for seed in range(10)]
    parts = [part for each in of_jobs for part in each.parts]
    assert all(any(part.grade == GRADE and part.spare for part in each.parts) for each in of_jobs)
    for wish in ("knots_ok", "tenons", "pairs", "same_board", "butt_joints", "thickness_at_least"):
        assert any(getattr(part, wish) for part in parts), wish
        assert not all(getattr(part, wish) for part in parts), wish


def test_a_job_with_all_rules_on_is_always_the_same_and_is_solved() -> None:
    books = in_real_wood(*shop_job(FAMILIES["A"], 0, lines=3, boards=60))
    assert books == in_real_wood(*shop_job(FAMILIES["A"], 0, lines=3, boards=60))
    series = Series(family=FAMILIES["A"], lines=3, boards=60, seeds=[0], all_rules=True)
    (done,) = series.solved(60, Table(HEADERS, markdown=False))
    assert done.run.proven
    assert done.run.plan is not None
    assert done.run.plan.cost.net < done.by_hand.cost.net


# --- what is said of it --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("known", "net", "bound", "said"),
    [
        (Known.just(14), "14", "14", "proven"),
        (Known.just(14), "15", "14", "open, +1"),
        (Known(least=12, most=14), "13", "13", "proven, −1"),
        (Known(least=12, most=14), "11", "11", "CONTRADICTS"),  # below the least possible
        (Known(least=12, most=14), "15", "15", "CONTRADICTS"),  # a bound above a known plan
        (Known(least=12), "20", "12", "open"),
    ],
)
def test_verdicts(known: Known, net: str, bound: str, said: str) -> None:
    case = replace(next(cases(SMALL, 0)), known=known)
    assert case.verdict(ended(at(net, bound))) == said
    assert case.verdict(ended(None)) == "no plan"


@pytest.mark.parametrize(
    ("net", "bound", "said"),
    [("0.10", "0.10", "proven"), ("0.12", "0.09", "open, +2"), ("0.09", "0.08", "CONTRADICTS")],
)
def test_verdicts_where_a_value_is_sought(net: str, bound: str, said: str) -> None:
    # Of 100 in all 90 are known to be the best: 10 are lacking, a cent each.
    case = next(each for each in cases(SMALL, 0) if each.group == "values along")
    case = replace(case, known=Known.just(90), total=100)
    assert case.verdict(ended(at(net, bound))) == said


def test_other_ways_are_held_against_what_stood_at_their_time() -> None:
    trail = (moment(1, "130.00", None), moment(2, "120.00", "90.00"), moment(6, "100.00", "90.00"))
    run = ended(at("100.00", "90.00"), *trail)
    other = Other(cost=Decimal("126.00"), seconds=4.0)
    assert other.cost_ratio(run) == pytest.approx(126 / 120)
    assert other.time_ratio(run) == pytest.approx(4 / 2)
    evening = Other(cost=Decimal("126.00"), seconds=None)
    assert evening.cost_ratio(run) == pytest.approx(1.26)
    assert evening.time_ratio(run) is None
    nothing = Other(cost=None, seconds=4.0)
    assert (nothing.cost_ratio(run), nothing.time_ratio(run)) == (None, None)


def test_what_many_jobs_come_to() -> None:
    stock, _ = shop_job(FAMILIES["A"], 0)
    runs = (
        ended(
            at("100.00", "100.00"),
            moment(1, "100.00", None),
            moment(9.5, "100.00", "100.00"),
            seconds=10.5,
        ),
        ended(
            at("100.00", "100.00"),
            moment(3, "100.00", None),
            moment(19, "100.00", "100.00"),
            seconds=20.0,
        ),
        ended(at("100.00", "91.00"), moment(5, "100.00", None), seconds=60.0),
    )
    by_hand = ("125.00", "110.00", "100.00")  # saved 20 %, 1/11, nothing
    done = [
        Done(stock=stock, run=run, by_hand=at(cost, "0.00"))
        for run, cost in zip(runs, by_hand, strict=True)
    ]
    cells = dict(zip(OVERVIEW[3:], came_to(done), strict=True))
    assert cells == {
        "jobs": 3,
        "proven in 10 s": 1,
        "proven in 60 s": 2,
        "first plan, median s": "3.00",
        "proven, median s": "19.00",
        "end, median s": "20.00",
        "mean gap %": "3.000",
        "worst gap %": "9.000",
        "within a board or 2 %": 2,
        "saved against by hand, mean %": "9.7",
        "least %": "0.0",
    }


def test_savings_and_closeness() -> None:
    stock, _ = shop_job(FAMILIES["A"], 0)
    cheapest = min(offer.price for offer in stock.offers)
    near = at("100.00", str(100 - cheapest))
    done = Done(stock=stock, run=ended(near), by_hand=at("125.00", "0.00"))
    assert done.saved == pytest.approx(20)
    assert done.close
    assert not replace(done, run=ended(at("100.00", str(99 - cheapest)))).close
    assert replace(done, run=ended(at("1000.00", "980.00"))).close


def test_tables_in_both_kinds() -> None:
    for markdown, expected in (
        (False, ["way     cost", "CBC    12.50"]),
        (True, ["| way | cost |", "|---|---:|", "| CBC | 12.50 |"]),
    ):
        lines: list[str] = []
        table = Table(("way: ", " cost"), markdown, lines.append)
        table.head()
        table.row("CBC", Decimal("12.50"))
        assert lines == expected


def test_the_chart_steps_from_moment_to_moment() -> None:
    trail = (moment(0.1, "110", None), moment(1, "110", "90"), moment(10, "100", "90"))
    svg = ElementTree.fromstring(chart(trail, 100.0, "job A7"))
    best, bound = [each.get("d") for each in svg if each.get("stroke-width") == "2"]
    # From 64 to 624 in three powers of ten; amounts from 90 to 110, from 276 up to 34.
    assert best == "M64.0 34.0H437.3V155.0H624.0"
    assert bound == "M250.7 276.0H624.0"
    words = [each.text for each in svg if each.tag.endswith("text")]
    assert re.search("90 95 100 105 110", " ".join(map(str, words)))
