"""Any plan that adds up, drawn by hypothesis; its wood makes no sense."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import strategies as st

from optimizer.plan.plan import (
    Blank,
    Board,
    Cost,
    Cut,
    CutKind,
    Leftover,
    MadePart,
    Plan,
    Purchase,
    Status,
    StoreTax,
)
from optimizer.plan.practice import usual_practice
from stock.lengths import Unit

words = st.text(max_size=6)
names = st.text(min_size=1, max_size=6)
places = st.fractions(min_value=0, max_value=400, max_denominator=1016)
lengths = st.fractions(min_value=Fraction(1, 1016), max_value=400, max_denominator=1016)
money = st.decimals(min_value=0, max_value=9999, places=2)


def tuples(of: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    return st.lists(of, max_size=2).map(tuple)


rectangle = {"x": places, "y": places, "length": lengths, "width": lengths}
lumber = {
    "size": words,
    "wood": words,
    "treated": st.booleans(),
    "thickness": lengths,
    "width": lengths,
    "length": lengths,
}
blanks = st.builds(Blank, id=names, **rectangle, holds=st.integers(1, 9))
leftovers = st.builds(Leftover, tag=names, **rectangle, worth=money)
all_cuts = st.builds(
    Cut,
    n=st.integers(0, 99),
    kind=st.sampled_from(CutKind),
    piece=names,
    at=places,
    gives=st.tuples(words, words),
)
sawn = {"blanks": tuples(blanks), "leftovers": tuples(leftovers), "cuts": tuples(all_cuts)}
boards = st.one_of(
    st.builds(Board, id=names, cost=money, store=words, offer=names, **lumber, **sawn),
    st.builds(Board, id=names, cost=money, tag=names, bay=words, **lumber, **sawn),
)
parts = st.builds(
    MadePart,
    part=names,
    copy=st.integers(1, 99),
    spare=st.booleans(),
    glued=st.booleans(),
    planed=st.booleans(),
    layup=tuples(tuples(tuples(names))),
    length=lengths,
    width=lengths,
    thickness=lengths,
    tenons=tuples(lengths),
    remarks=tuples(words),
)
purchases = st.builds(
    Purchase, store=words, offer=names, count=st.integers(1, 99), each=money, **lumber
)
percents = st.decimals(min_value=0, max_value=99, places=3)
taxes = st.builds(StoreTax, store=words, percent=percents, tax=money)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    unit = draw(st.sampled_from(Unit))
    buy, tax = draw(tuples(purchases)), draw(tuples(taxes))
    amounts = ("glue", "time", "rack_used", "leftovers", "trips", "yard_cuts")
    cost = Cost(
        boards=sum((line.sum for line in buy), Decimal("0.00")),
        tax=sum((line.tax for line in tax), Decimal("0.00")),
        **{amount: draw(money) for amount in amounts},
    )
    return Plan(
        job=draw(words),
        unit=unit,
        rip_kerf=draw(places),
        crosscut_kerf=draw(places),
        sawing=draw(words),
        status=draw(st.sampled_from(Status)),
        cost=cost,
        bound=cost.net - draw(money),
        boards=draw(tuples(boards)),
        parts=draw(tuples(parts)),
        buy=buy,
        taxes=tax,
        practice=usual_practice(unit),
    )
