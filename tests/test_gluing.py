"""Glue, clamps and batches, against what makers' guides and the Wood Handbook say."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimizer.plan.marks import piece_marks
from optimizer.plan.plan import Plan
from optimizer.plan.practice import usual_practice
from optimizer.work.gluing import (
    FIRST_CLAMP,
    MILLILITRES_PER_GALLON,
    Stack,
    batches,
    clamps_by_force,
    clamps_by_spacing,
    gallons,
    stacks,
)
from stock.lengths import Unit
from tests.demo_plan import demo_plan
from tests.sound_plans import boat_rack, metric_post

USUAL = usual_practice(Unit.IN)


def stacks_of(plan: Plan) -> dict[str, Stack]:
    return {stack.mark: stack for stack in stacks(plan, piece_marks(plan))}


# --- what a stack is -----------------------------------------------------------------------------


def test_a_post_of_two_plies() -> None:
    """Two plies 31 × 3 of 1 1/2: one glue line of 93 in², 2 × (1 1/2 − 1/16) thick when planed."""
    post = stacks_of(boat_rack().plan)["C1"]
    assert [[member.mark for member in ply] for ply in post.plies] == [["C1a"], ["C1b"]]
    assert (post.glue_lines, post.glue_area) == (1, 93)
    assert (post.length, post.width, post.thickness) == (31, 3, Fraction(23, 8))
    assert (post.faces_to_plane, post.edges_to_joint) == (4, 0)
    assert (post.made.length, post.made.thickness) == (30, Fraction(11, 4))


def test_a_shelf_of_two_strips() -> None:
    """Two strips 31 × 4 3/16 of 1 1/2: one edge of 46 1/2 in², 2 × (4 3/16 − 1/8) wide."""
    shelf = stacks_of(boat_rack().plan)["D1"]
    assert (shelf.glue_lines, shelf.glue_area) == (1, Fraction(93, 2))
    assert (shelf.width, shelf.thickness) == (Fraction(65, 8), Fraction(23, 16))
    assert (shelf.faces_to_plane, shelf.edges_to_joint) == (4, 4)


def test_a_stack_of_faces_as_bought_is_not_planed_before_the_glue() -> None:
    plan = boat_rack().plan
    parts = tuple(replace(made, planed=False) for made in plan.parts)
    post = stacks_of(replace(plan, parts=parts))["C1"]
    assert (post.faces_to_plane, post.thickness) == (0, 3)


def test_what_is_solid_is_not_glued() -> None:
    assert set(stacks_of(boat_rack().plan)) == {"C1", "D1"}


# --- glue ----------------------------------------------------------------------------------------


def test_a_gallon_six_thousandths_thick_covers_what_arithmetic_says() -> None:
    """231 in³ over 0.006 in are 267.4 ft²; in use some 250 (from memory), the default."""
    thin = replace(USUAL, glue_spread=Decimal("267.4"))
    covered = Fraction(231) / Fraction("0.006")  # square inches
    assert round(covered / 144, 1) == Fraction("267.4")
    assert abs(gallons(covered, thin) - 1) < Fraction(1, 1000)
    assert gallons(Fraction(250 * 144), USUAL) == 1


def test_a_gallon_in_millilitres() -> None:
    """NIST Handbook 44, appendix C: 3 785.411 784 ml."""
    assert Fraction("3785.411784") == MILLILITRES_PER_GALLON


# --- clamps --------------------------------------------------------------------------------------


@pytest.mark.parametrize("length", [6, 12, 24, 31, 36, 48, 79, 96])
@pytest.mark.parametrize("spacing", [8, 10, 12])
def test_no_gap_between_clamps_is_wider_than_the_guides_allow(length: int, spacing: int) -> None:
    """Makers' guides: 8–12 in apart, the first within 2 in of the end."""
    clamps = clamps_by_spacing(Fraction(length), Fraction(spacing))
    reach = Fraction(length) - 2 * FIRST_CLAMP
    assert reach / (clamps - 1) <= spacing
    assert clamps == 2 or reach / (clamps - 2) > spacing  # one fewer would leave a gap


def test_pressure_times_area_over_the_force_of_a_clamp() -> None:
    """Wood Handbook, chapter 10: 100 psi for woods of low density. 93 in² need 9,300 pounds."""
    assert clamps_by_force(Fraction(93), USUAL) == 10
    assert clamps_by_force(Fraction(93), replace(USUAL, clamp_pressure=Decimal(150))) == 14
    assert clamps_by_force(Fraction(90), USUAL) == 9


def test_the_larger_of_the_two_counts() -> None:
    post, shelf = (stacks_of(boat_rack().plan)[mark] for mark in ("C1", "D1"))
    assert (post.clamps_by_spacing, post.clamps_by_force, post.clamps) == (4, 10, 10)
    strong = replace(boat_rack().plan.practice, clamp_force=Decimal(6000))
    weak = stacks_of(replace(boat_rack().plan, practice=strong))["D1"]
    assert (weak.clamps_by_spacing, weak.clamps_by_force, weak.clamps) == (4, 1, 4)
    assert shelf.clamps == 5


def test_all_lines_of_a_stack_are_pressed_by_the_same_clamps() -> None:
    """Three plies: two lines of 93 in², one row of clamps."""
    plan = boat_rack().plan
    post = next(made for made in plan.parts if made.part == "Post")
    three = replace(post, layup=((("b2",),), (("b3",),), (("b2",),)))
    stack = stacks_of(replace(plan, parts=(three,)))["A1"]
    assert (stack.glue_lines, stack.glue_area, stack.clamps_by_force) == (2, 186, 10)


def test_a_metric_post() -> None:
    """725 × 76 mm: 55,100 mm², 85.4 in², 8,541 pounds at 100 psi."""
    stack = stacks_of(metric_post().plan)["A1"]
    assert stack.clamps_by_force == 9
    assert stack.clamps_by_spacing == 4  # 725 − 2 × 50.8 = 623.4 in gaps of 250 at most


# --- batches -------------------------------------------------------------------------------------


def test_a_batch_holds_what_the_clamps_do() -> None:
    plan = demo_plan()
    glued = stacks(plan, piece_marks(plan))
    for owned in (4, 16, 30, 200):
        filled = batches(glued, owned)
        assert sorted(s.mark for b in filled for s in b.stacks) == sorted(s.mark for s in glued)
        assert all(batch.clamps <= owned or len(batch.stacks) == 1 for batch in filled)
        assert [batch.number for batch in filled] == list(range(1, len(filled) + 1))


def test_more_clamps_never_make_more_batches() -> None:
    plan = demo_plan()
    glued = stacks(plan, piece_marks(plan))
    counts = [len(batches(glued, owned)) for owned in (24, 48, 96, 1000)]
    assert counts == sorted(counts, reverse=True)
    assert counts[-1] == 1
