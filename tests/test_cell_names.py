"""Names of cells and areas, as ECMA-376 part 1 writes them (18.18.62, ST_Ref)."""

from hypothesis import given
from hypothesis import strategies as st

from stock.cell_names import corners, place, reference


def test_columns_go_on_from_z_to_aa() -> None:
    assert place("Z9") == (9, 26)
    assert place("AA1") == (1, 27)
    assert place("XFD1048576") == (1_048_576, 16_384)  # the last cell of a sheet
    assert place("") == (0, 0)


def test_an_area_has_two_corners() -> None:
    assert corners("A1:P26") == ((1, 1), (26, 16))
    assert corners("$B$2") == ((2, 2), (2, 2))


@given(st.integers(1, 1_048_576), st.integers(1, 16_384))
def test_each_cell_is_named_and_found_again(row: int, column: int) -> None:
    assert place(reference((row, column))) == (row, column)
