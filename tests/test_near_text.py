"""What a little more money would buy, in words."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from sample_plan import sample_plan

from optimizer.output.near_text import gain_said, near_text
from optimizer.plan.comparison import Gain
from stock.lengths import Length

NOTHING: dict[str, Any] = {
    "more": Decimal("0.38"),
    "boards": 0,
    "glue_lines": 0,
    "cuts": 0,
    "minutes": Fraction(0),
    "left": Decimal("0.00"),
    "longest": Length(49),
}


def gain(**gained: Any) -> Gain:
    return Gain(plan=sample_plan(), **(NOTHING | gained))


def test_what_is_gained_stands_before_what_is_lost() -> None:
    said = gain_said(gain(boards=1, cuts=-2, minutes=Fraction(-7, 2)))
    assert said == (
        "0.38 more in net, cash 116.78: 1 board fewer to buy; but 2 cuts more, 4 minutes more"
    )


def test_leftovers_are_told_by_the_rack_and_the_longest_piece() -> None:
    said = gain_said(gain(glue_lines=2, left=Decimal("2.10")))
    assert said == (
        "0.38 more in net, cash 116.78: 2 glue lines fewer, a rack worth 2.10 more "
        "(longest leftover 49)"
    )
    assert gain_said(gain(boards=3, left=Decimal("-1.00"))).endswith("; but a rack worth 1.00 less")


def test_a_cheaper_plan_that_is_found_by_the_way_is_said_to_be_so() -> None:
    assert gain_said(gain(more=Decimal("-0.40"), cuts=1)) == (
        "0.40 less in net, cash 116.78: 1 cut fewer"
    )


def test_the_list_fits_the_screen_and_claims_no_proof() -> None:
    text = near_text(
        [gain(boards=1, glue_lines=2, cuts=3, left=Decimal(3))] * 2, Decimal(5), "near"
    )
    lines = text.splitlines()
    assert lines[0] == "Near: for up to 5.00 more in net"
    assert lines[1].startswith("   1  0.38 more in net, cash 116.78: 1 board fewer")
    assert "there may be better" in text
    assert "near/1.json" in text
    assert max(map(len, lines)) <= 80


def test_nothing_found_is_not_said_to_be_nothing_there() -> None:
    said = "Near: for up to 5.00 more in net, nothing better was found."
    assert near_text([], Decimal(5), "near") == said
