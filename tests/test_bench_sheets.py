"""The sheets for the bench: what to pull, what parts are made of, what goes back."""

from dataclasses import replace

from read_back import table, written
from sample_plan import inches, sample_plan


def test_pieces_to_pull_stand_by_bay_and_tag(tmp_path):
    rows = table(written(sample_plan(), tmp_path), "Rack")

    assert rows[2] == ["", "north wall", "R2", "1x6", "5 1/2", "40", "pine", "", 1, 1]
    assert rows[3] == ["", "north wall", "R10", "1x6", "5 1/2", "40", "pine", "", 2, 2.1]
    assert rows[-1][0] == "Number pieces of one tag: R10 (1), R10 (2). Parts names them so."


def test_parts_say_what_they_are_made_of(tmp_path):
    rows = table(written(sample_plan(), tmp_path), "Parts")
    glued = "2 plies, glued face to face, planed"

    assert rows[2][:4] == ["Arm", "2", "60 × 2 3/4 × 2 3/4", glued]
    assert rows[2][4:] == [4, "A1a, A1b, A2a, A2b", "61 × 3", "2x12 spruce", "B1–B3"]
    assert rows[3][0] == "Arm: at 2 13/16 two plies do: saves 11.20"
    assert rows[4][:5] == ["Slat", "2 + 1 spare", "38 × 5 1/2 × 3/4", "solid, as bought", 3]
    assert rows[4][5:] == ["C1–C3", "38 × 5 1/2", "1x6 pine", "R2, R10 (1), R10 (2)"]
    assert rows[5][4:8] == [1, "D1–3", "16 × 3 1/2, 3 parts in each", "2x4 spruce"]


def test_a_finished_length_says_how_much_of_it_is_tenons(tmp_path):
    plan = sample_plan()
    tenons = (inches("1 1/2"), inches("2"))
    parts = tuple(replace(part, tenons=tenons) for part in plan.parts if part.part == "Post")
    rows = table(written(replace(plan, parts=parts), tmp_path), "Parts")

    assert rows[2][2] == "90 × 3 1/2 × 3 1/2, tenons 1 1/2 + 2 included"


def test_cautions_stand_where_the_plan_calls_for_the_act(tmp_path):
    plan = sample_plan()
    posts = tuple(part for part in plan.parts if part.part == "Post")
    uncut = tuple(replace(board, cuts=()) for board in plan.boards)
    told = " ".join(str(row[0]) for row in table(written(plan, tmp_path), "Parts"))
    untold = written(replace(plan, parts=posts, boards=uncut), tmp_path)

    assert "Ripping:" in told
    assert "The shortest blank planed here: 61 in." in told
    assert "A shop-made laminate is never a rated beam" in told
    assert "Treated" not in told
    assert [row[0] for row in table(untold, "Parts")][2:] == ["Post"]


def test_leftovers_stand_under_their_new_tags(tmp_path):
    rows = table(written(sample_plan(), tmp_path), "Leftovers")

    assert rows[2] == ["", "R030", "2x4", "3 1/2", "14", "spruce", "", "B5", 0.4]
    assert rows[3] == ["", "R031", "1 1/2 thick", "5", "80", "spruce", "", "B2", 4]
