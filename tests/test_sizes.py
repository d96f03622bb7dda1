"""Nominal and actual sizes, board measure."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stock.lengths import Length, Unit, parse_length
from stock.sizes import Dried, Size, SizeError, board_feet, find_size
from stock.tables import read_table


def inches(text: str) -> Length:
    return parse_length(text, Unit.IN)


def millimetres(number: int) -> Length:
    return Fraction(number * 10, 254)


# --- against the standards -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "thickness", "width"),
    [
        # AWC NDS Supplement 2018, Table 1A; the boards PS 20-20, Table 3.
        ("2x4", "1 1/2", "3 1/2"),
        ("2x6", "1 1/2", "5 1/2"),
        ("2x8", "1 1/2", "7 1/4"),
        ("2x12", "1 1/2", "11 1/4"),
        ("2 1/2x4", "2", "3 1/2"),
        ("4x4", "3 1/2", "3 1/2"),
        ("4x6", "3 1/2", "5 1/2"),
        ("1x4", "3/4", "3 1/2"),
        ("1x12", "3/4", "11 1/4"),
        # Ochshorn, Structural Elements for Architects and Builders, 3rd ed., 3.02.
        ("4x10", "3 1/2", "9 1/4"),
        ("6x6", "5 1/2", "5 1/2"),
        ("12x20", "11 1/4", "19"),
        # PS 20-20, Table 3, from memory.
        ("5/4x6", "1", "5 1/2"),
        ("1x7", "3/4", "6 1/2"),
    ],
)
def test_dry_sizes(name: str, thickness: str, width: str) -> None:
    assert find_size(name).actual(Dried.DRY) == (inches(thickness), inches(width))


@pytest.mark.parametrize(
    ("name", "thickness", "width"),
    [
        # AWC NDS Supplement 2018, Table 1A.
        ("2x4", "1 9/16", "3 9/16"),
        ("2x6", "1 9/16", "5 5/8"),
        ("2x8", "1 9/16", "7 1/2"),
        ("2x12", "1 9/16", "11 1/2"),
        # Timber rule of the NDS Supplement as in Ochshorn, 3.02.
        ("6x6", "5 1/2", "5 1/2"),
        ("8x8", "7 1/2", "7 1/2"),
        # PS 20-20, Table 3, from memory.
        ("1x4", "25/32", "3 9/16"),
    ],
)
def test_green_sizes(name: str, thickness: str, width: str) -> None:
    assert find_size(name).actual(Dried.GREEN) == (inches(thickness), inches(width))


@pytest.mark.parametrize("name", ["2x4", "2x8", "2x12", "4x4", "4x6"])
def test_section_properties_agree_with_the_printed_ones(name: str) -> None:
    # Moments of inertia as printed in structural lumber property tables, three figures.
    printed = {"2x4": "5.36", "2x8": "47.6", "2x12": "178", "4x4": "12.5", "4x6": "48.5"}[name]
    b, d = find_size(name).actual(Dried.DRY)
    assert d is not None
    moment = b * d**3 / 12
    assert f"{float(moment):.3g}" == printed


def test_a_2x8_bends_as_the_beam_formulas_have_it() -> None:
    # Simple beam, even load (beam formulas of the AISC and AWC manuals, from memory): 12 ft,
    # 50 lb/ft, E 1.6e6 psi give 0.306 in, 900 ft·lb and 821.9 psi. A check of the size, no rating.
    b, d = find_size("2x8").actual(Dried.DRY)
    assert d is not None
    span, load, stiffness = Fraction(144), Fraction(50, 12), Fraction(1_600_000)
    moment = load * span**2 / 8
    assert moment / 12 == 900
    assert round(moment / (b * d**2 / 6), 1) == Fraction("821.9")
    assert round(5 * load * span**4 / (384 * stiffness * b * d**3 / 12), 3) == Fraction("0.306")


@pytest.mark.parametrize(
    ("name", "thickness", "width"),
    [
        ("38x89", 38, 89),  # CSA O141; CMHC Table 8
        ("19x286", 19, 286),
        ("140x140", 140, 140),
        ("38x63", 38, 63),  # CLS: UK National Annex to EN 336, from memory
        ("75x225", 75, 225),  # BS EN 336, sawn target sizes
        ("47x97", 47, 97),  # BS EN 336, planed target sizes
        ("25x150", 25, 150),  # trade article on the BS EN 1313 range
    ],
)
@pytest.mark.parametrize("dried", Dried)
def test_metric_names_say_their_millimetres(
    name: str, thickness: int, width: int, dried: Dried
) -> None:
    assert find_size(name).actual(dried) == (millimetres(thickness), millimetres(width))


@pytest.mark.parametrize(
    ("name", "thickness"),
    [
        # NHLA Rules: rough thickness, and the standard thickness surfaced two sides (memory).
        ("4/4", "1"),
        ("8/4", "2"),
        ("4/4 S2S", "13/16"),
        ("8/4 s2s", "1 3/4"),
    ],
)
def test_a_hardwood_quarter_has_a_thickness_and_no_width(name: str, thickness: str) -> None:
    assert find_size(name).actual(Dried.DRY) == (inches(thickness), None)


# --- names ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("2 X 4", "2x4"),
        (" 2×4 ", "2x4"),
        ("4x2", "2x4"),
        ("1-1/4 x 6", "5/4x6"),
        ("1.25x6", "5/4x6"),
        ("6x5/4", "5/4x6"),
        ("5/4\u00a0x 6", "5/4x6"),
        ("6/4x8", "6/4x8"),
        ("2.5x4", "2 1/2x4"),
        ("89 x 38", "38x89"),
        ("8 / 4", "8/4"),
        ("12/4 s2s", "12/4 S2S"),
    ],
)
def test_a_size_may_be_typed_in_many_ways(typed: str, name: str) -> None:
    assert find_size(typed).name == name


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("2x7", "2x6, 2x8"),
        ("39x89", "38x89"),
        ("1x1", "1x2"),
        ("0x0", "3/4x2"),
        ("4/4x6", "rough hardwood"),
        ("8/4 x 6", "rough hardwood"),
        ("10/4x6", "rough hardwood"),
        ("7/4", "not the name"),
        ('2"x4"', "without unit marks"),
        ("38x89 mm", "without unit marks"),
        ("2x4x8", "Thickness and Width"),
        ("", "2x4"),
        ("x", "2x4"),
        ("board", "2x4"),
        ("-2x4", "2x4"),
        ("1/0x4", "over zero"),
    ],
)
def test_a_refusal_names_what_would_do(typed: str, words: str) -> None:
    with pytest.raises(SizeError, match=words) as refused:
        find_size(typed)
    assert refused.value.remedy


@given(typed=st.text(alphabet="0123456789 x×X/.-s\"'m", max_size=20))
def test_any_text_is_a_size_or_refused(typed: str) -> None:
    try:
        size = find_size(typed)
    except SizeError:
        return
    assert find_size(size.name) == size


# --- the data files ------------------------------------------------------------------------------


def test_every_row_of_the_softwood_table_is_found_under_its_name() -> None:
    rows = read_table("softwood_sizes")
    for row in rows:
        partner = next(r for r in reversed(rows) if _can_meet(row, r))
        size = find_size(f"{row['nominal_in']}x{partner['nominal_in']}")
        face = 0 if row["face"] == "thickness" else 1
        assert size.actual(Dried.DRY)[face] == inches(row["dry_in"])
        assert size.actual(Dried.GREEN)[face] == inches(row["green_in"])


def _can_meet(row: dict[str, str], other: dict[str, str]) -> bool:
    """Whether two rows are the two faces of one size, the lesser being the thickness."""
    thick, wide = sorted([row, other], key=lambda r: r["face"])
    return (
        row["class"] == other["class"]
        and row["face"] != other["face"]
        and inches(thick["nominal_in"]) <= inches(wide["nominal_in"])
    )


def test_timbers_are_five_inches_and_up_and_boards_under_two() -> None:
    # PS 20-20 definitions: board under 2 in nominal, dimension 2 to under 5, timber 5 and up.
    within: dict[str, Callable[[Fraction], bool]] = {
        "board": lambda t: t < 2,
        "dimension": lambda t: 2 <= t < 5,
        "timber": lambda t: t >= 5,
    }
    rows = [row for row in read_table("softwood_sizes") if row["face"] == "thickness"]
    assert {row["class"] for row in rows} == set(within)
    assert all(within[row["class"]](inches(row["nominal_in"])) for row in rows)


@pytest.mark.parametrize("table", ["softwood_sizes", "hardwood_sizes", "metric_sizes"])
def test_every_number_has_a_source_and_a_standing(table: str) -> None:
    for row in read_table(table):
        assert row["source"]
        standings = [said for column, said in row.items() if column.endswith("standing")]
        assert standings
        assert set(standings) <= {"seen", "memory"}


# --- board measure -------------------------------------------------------------------------------


def measured(size: Size, length: str) -> Fraction:
    thickness, width = size.actual(Dried.DRY)
    assert width is not None
    return board_feet(size=size, thickness=thickness, width=width, length=inches(length))


@pytest.mark.parametrize(
    ("name", "length", "feet"),
    [
        ("2x6", "10'", Fraction(10)),  # formwork estimating text: 2x6, 10 ft, 10 bf
        ("2x4", "14'", Fraction(28, 3)),  # board measure of PS 20-20: 9 1/3 bf
        ("1x12", "1'", Fraction(1)),  # the board foot itself
        ("5/4x6", "8'", Fraction(5)),
        ("3/4x6", "8'", Fraction(4)),  # PS 20-20: under 1 in counts as 1 in
        ("6x6", "8'", Fraction(24)),
        ("38x89", "14'", Fraction(28, 3)),  # a 2x4 under its metric name
    ],
)
def test_board_feet_count_the_nominal_size(name: str, length: str, feet: Fraction) -> None:
    assert measured(find_size(name), length) == feet


def test_green_boards_count_as_many_board_feet_as_dry_ones() -> None:
    size = find_size("2x4")
    thickness, width = size.actual(Dried.GREEN)
    assert width is not None
    green = board_feet(size=size, thickness=thickness, width=width, length=inches("14'"))
    assert green == measured(size, "14'")


def test_hardwood_counts_rough_thickness_and_measured_width() -> None:
    # NHLA rules, from memory: surfaced boards are tallied by the rough thickness they came from.
    for name in ("8/4", "8/4 S2S"):
        thickness, _ = find_size(name).actual(Dried.DRY)
        feet = board_feet(
            size=find_size(name), thickness=thickness, width=inches("7 1/2"), length=inches("8'")
        )
        assert feet == 10


def test_a_board_of_no_named_size_is_measured() -> None:
    feet = board_feet(size=None, thickness=inches("1 1/2"), width=inches("8"), length=inches("6'"))
    assert feet == 6
    thin = board_feet(size=None, thickness=inches("1/2"), width=inches("8"), length=inches("6'"))
    assert thin == 4


def test_a_thousand_board_feet_price_of_a_2x6() -> None:
    # Formwork estimating text: a 10 ft 2x6 at 400 per thousand board feet costs 4.00.
    assert measured(find_size("2x6"), "10'") * 400 / 1000 == 4
