"""Every number of a rough size can be read."""

from __future__ import annotations

from optimizer.job.parts import Faces, Make, Part
from optimizer.job.telling import told_ways
from optimizer.job.ways import lay_ups
from stock.lengths import Length, Unit
from tests.shop_floor import part, shop
from tests.test_layups import boards


def told(what: Part, *sizes: str) -> list[str]:
    ways, _ = lay_ups(what, [boards("1 1/2", *sizes)], shop())
    return told_ways([(what, ways)], Unit.IN).splitlines()


def test_a_tenoned_leg_of_two_plies() -> None:
    leg = part("2 3/4 x 2 3/4 x 28", name="Leg", count=4, tenons=["1", "1"])
    assert told(leg, "3 1/2 x 96") == [
        "Leg: 4 of 28 × 2 3/4 × 2 3/4, tenons 1 + 1",
        "  2 plies, planed: 2 blanks 31 × 3 out of 1 1/2 pine",
        "    length    28 finished + 1 tenon + 1 tenon + 1 extra length = 31",
        "    width     2 3/4 finished + 1/8 jointing + 1/8 slip = 3",
        "    thickness 3 of 2 plies − 1/8 skim − 1/16 last pass = 2 13/16",
    ]


def test_what_is_rounded_up_to_the_tape_is_said() -> None:
    rail = part("1 3/8 x 3 x 30 1/3", make=Make.SOLID)
    (length,) = (line for line in told(rail, "5 1/2 x 96") if "length" in line and "extra" in line)
    assert length.endswith("+ 1 extra length = 31 11/32, on the tape 31 3/8")


def test_short_parts_out_of_one_length() -> None:
    peg = part("1 1/2 x 3 1/2 x 3", name="Peg", count=2, faces=Faces.AS_BOUGHT, make=Make.SOLID)
    lines = told(peg, "3 1/2 x 96")
    # Two pegs, two kerfs, 1 extra, and 4 that stay in the hand.
    assert (
        "    length    6 finished × 2 + 1/4 kerf × 2 + 1 extra length "
        "+ 4 left in the hand at the last crosscut = 11 1/4"
    ) in lines
    assert "    2 copies in one length, crosscut last" in lines


def test_an_allowance_of_its_own_is_reckoned_with() -> None:
    rail = part("1 3/8 x 3 x 30", make=Make.SOLID, own=(("extra_length", Length(3)),))
    assert any("+ 3 extra length = 33" in line for line in told(rail, "5 1/2 x 96"))
