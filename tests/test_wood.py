"""Names of woods, and what may stand in for what."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.tables import read_table
from stock.wood import known_wood, same_wood, stands_for

NAMES = st.sampled_from(
    sorted(
        {
            name
            for row in read_table("woods")
            for name in (row["name"], *row["family"].split(";"), row["group"])
        }
        | {"softwood", "hardwood", "our own plum", ""}
    )
)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        ("SPF", "spf"),
        ("SPF", "S-P-F"),
        ("SPF", "Spruce-Pine-Fir"),
        ("Douglas-fir", "douglas fir"),
        ("Douglas fir", "Douglas–fir "),
        ("black spruce", "Spruce, black"),
        ("western red cedar", "western redcedar"),
        ("northern red oak", "red oak"),
        ("cherry", "Cherry, black"),
        ("DF-L", "Douglas Fir-Larch"),
        ("yellow pine", "SYP"),
        ("doug fir", "Douglas-fir"),
        ("yellow poplar", "poplar"),
        ("our own plum", "Our  Own-Plum"),
        ("", " "),
    ],
)
def test_one_wood_under_two_spellings(a: str, b: str) -> None:
    assert same_wood(a, b)
    assert stands_for(a, b)
    assert stands_for(b, a)


@pytest.mark.parametrize(
    ("offered", "wanted"),
    [
        ("black spruce", "SPF"),
        ("Spruce, black", "SPF"),
        ("lodgepole pine", "Spruce-Pine-Fir"),
        ("ponderosa pine", "pine"),
        ("lodgepole pine", "pine"),
        ("Southern Pine", "pine"),
        ("white pine", "pine"),
        ("white pine", "softwood"),
        ("eastern white pine", "white pine"),
        ("western white pine", "white pine"),
        ("western white pine", "Western Woods"),
        ("soft maple", "maple"),
        ("white cedar", "cedar"),
        ("coast Douglas-fir", "Douglas-fir"),
        ("Douglas-fir, interior north", "Douglas fir"),
        ("interior west Douglas-fir", "DF-L"),
        ("Douglas-fir", "Douglas Fir-Larch"),
        ("western larch", "DF-L"),
        ("white fir", "Hem-Fir"),
        ("SPF", "softwood"),
        ("oak", "hardwood"),
        ("our own plum", ""),
        ("SPF", ""),
        ("", ""),
    ],
)
def test_a_set_takes_its_species_and_no_name_takes_any(offered: str, wanted: str) -> None:
    assert stands_for(offered, wanted)


@pytest.mark.parametrize(
    ("offered", "wanted"),
    [
        ("SPF", "black spruce"),
        ("pine", "ponderosa pine"),
        ("white pine", "eastern white pine"),
        ("white pine", "Western Woods"),
        ("sugar pine", "white pine"),
        ("hard maple", "soft maple"),
        ("Northern Pine", "red pine"),
        ("ash", "white ash"),
        ("SPF", "pine"),
        ("Hem-Fir", "fir"),
        ("coast Douglas-fir", "fir"),
        ("western larch", "Douglas-fir"),
        ("DF-L", "Douglas-fir"),
        ("SPF-South", "SPF"),
        ("red oak", "white oak"),
        ("softwood", "SPF"),
        ("our own plum", "hardwood"),
        ("", "SPF"),
        ("", "our own plum"),
    ],
)
def test_what_may_not_stand_in(offered: str, wanted: str) -> None:
    assert not stands_for(offered, wanted)


# What a maker may ask a yard for; common practice, no source.
PLAIN_NAMES = """
    SPF, fir, Douglas fir, Doug fir, spruce, Sitka spruce, hemlock, larch, pine, white pine,
    yellow pine, SYP, ponderosa pine, sugar pine, cedar, WRC, western red cedar, white cedar,
    redwood, cypress, oak, red oak, white oak, maple, hard maple, soft maple, ash, white ash,
    cherry, walnut, birch, poplar, yellow poplar, softwood, hardwood
"""


@pytest.mark.parametrize("name", [*PLAIN_NAMES.split(","), "Oak, white"])
def test_known_woods(name: str) -> None:
    assert known_wood(name)


@pytest.mark.parametrize("name", ["", " ", "our own plum", "whitewood", "sprouce", "2x4"])
def test_unknown_woods(name: str) -> None:
    assert not known_wood(name)


@given(a=NAMES, b=NAMES, c=NAMES)
def test_standing_in_is_an_order(a: str, b: str, c: str) -> None:
    assert stands_for(a, a)
    if stands_for(a, b) and stands_for(b, c):
        assert stands_for(a, c)
    if stands_for(a, b) and stands_for(b, a) and a and b:
        assert same_wood(a, b)


def test_an_alias_means_one_wood_only() -> None:
    rows = read_table("woods")
    owners = [
        (name.strip().casefold(), row["name"])
        for row in rows
        for name in (row["name"], *row["aliases"].split(";"))
        if name.strip()
    ]
    assert len(dict(owners)) == len(owners)


def test_every_name_of_the_table_says_where_it_comes_from() -> None:
    # Names of species: Wood Handbook FPL-GTR-282, Table 5-3b; of groups: NDS 2018, Table 12.3.3A.
    rows = {row["name"]: row for row in read_table("woods")}
    groups = {row["group"] for row in rows.values() if row["group"]}
    assert groups <= set(rows)
    assert all(row["name_source"] for row in rows.values())
    assert all(row["group_standing"] for row in rows.values() if row["group"])
    trade = [row for row in rows.values() if row["family"] or row["aliases"]]
    assert {row["trade_standing"] for row in trade} == {"common practice"}
