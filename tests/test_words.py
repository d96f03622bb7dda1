"""What is said alike on screen and on paper."""

import pytest

from optimizer.output.words import isolated, marked


@pytest.mark.parametrize(
    ("marks", "told"),
    [
        ([], ""),
        (["B6"], "B6"),
        (["B2", "B3"], "B2, B3"),
        (["B2", "B5", "B6", "B7", "B9"], "B2, B5–B7, B9"),
        (["B9", "B10", "B11"], "B9–B11"),
        (["R008", "R009", "R010", "R012"], "R008–R010, R012"),
        (["R10 (1)", "R10 (2)", "R10 (3)"], "R10 (1), R10 (2), R10 (3)"),
        (["B1", "R2", "B3"], "B1, R2, B3"),
        (["A-1", "A-2", "A-3"], "A-1, A-2, A-3"),
    ],
)
def test_marks_that_count_on_are_told_by_the_first_and_the_last(marks, told):
    assert marked(marks) == told


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("R001", "R001"),
        ("🛶 Üb-er", "🛶 Üb-er"),
        ("خشب", "\u2068خشب\u2069"),
        ("עץ 2", "\u2068עץ 2\u2069"),
    ],
)
def test_writing_from_right_to_left_is_set_apart_from_figures(text: str, told: str) -> None:
    assert isolated(text) == told
