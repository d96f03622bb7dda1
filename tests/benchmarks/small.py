"""Small random jobs beside the second opinion: audit, bound, least cost, choices of lay-ups."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction

from tests.benchmarks.drawn_plan import posed_job
from tests.benchmarks.measure import solved
from tests.drawn_jobs import drawn_job
from tests.independent import least_net, rounding_slack
from tests.small_jobs import small_job


def print_small(seeds: Iterable[int], seconds: float) -> None:
    """A line for each job that is not as it should be, then how many are."""
    count: Counter[str] = Counter()
    for seed in seeds:
        said = judged(seed, seconds)
        count.update(said)
        count["jobs"] += 1
        wrong = {UNJUDGED} & said or {f"not {words}" for words in EXPECTED - said}
        if wrong:
            print(f"job {seed}: {', '.join(sorted(wrong))}", flush=True)
    for words in ("jobs", *sorted(EXPECTED), LEAST, EQUAL, PROVEN, CHOOSING, UNJUDGED):
        print(f"{count[words]:>5}  {words}")


A_WHILE = 60

AUDITED = "audit passes"
BELOW = "bound not above the best plan"
TRUE = "bound and plan on either side of the least cost by CP-SAT"
EQUAL = "plan at the least cost by CP-SAT, which is proven"
LEAST = "CP-SAT ends optimal"
PROVEN = "this program ends proven"
CHOOSING = "choose between lay-ups"
UNJUDGED = f"without a second opinion in {A_WHILE} s: too many patterns to list naively"
EXPECTED = {AUDITED, BELOW, TRUE}


def judged(seed: int, seconds: float) -> set[str]:
    """What is true of one small job."""
    stock, job = drawn_job(seed)
    said = {CHOOSING} if any(len(ways) > 1 for ways in posed_job(stock, job).ways) else set()
    run = solved(stock, job, seconds)  # AuditError would end everything: a plan is audited
    assert run.plan is not None
    said.add(AUDITED)
    net, bound = Fraction(run.plan.cost.net), Fraction(run.plan.bound)
    if bound <= net:
        said.add(BELOW)
    if run.proven:
        said.add(PROVEN)
    try:
        least, optimal = least_net(small_job(seed)[1], stock, A_WHILE)
    except TimeoutError:
        return said | {UNJUDGED}
    slack = rounding_slack(stock)
    if bound - slack <= least and (not optimal or least <= net + slack):
        said.add(TRUE)
    if optimal:
        said.add(LEAST)
        if abs(net - least) <= slack:
            said.add(EQUAL)
    return said
