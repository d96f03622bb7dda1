"""Names of sheets, as any workbook accepts them."""

from hypothesis import given
from hypothesis import strategies as st

from optimizer.output.printed_book import reference, sheet_names


def test_names_that_differ_only_after_cutting_or_in_case_are_told_apart():
    long = "The Very Long Name of a Lumber Yard"
    names = sheet_names([long, long + " Two", "rack", "RACK", "'", "a/b", "history"])

    assert names == [
        "The Very Long Name of a Lumber",
        "The Very Long Name of a Lumbe 2",
        "rack",
        "RACK 2",
        "Store",
        "a b",
        "history 2",
    ]


@given(st.lists(st.text(), max_size=6))
def test_any_names_become_names_that_a_workbook_accepts(wanted):
    names = sheet_names(wanted)

    assert len({name.casefold() for name in names}) == len(wanted)
    for name in names:
        # The rules as Microsoft publishes them under "Rename a worksheet".
        assert 1 <= len(name.encode("utf-16-le")) // 2 <= 31
        assert not set(name) & set("[]:*?/\\")
        assert name[0] != "'" != name[-1]
        assert name.casefold() != "history"


def test_a_quote_in_a_name_is_doubled_where_a_formula_refers_to_it():
    assert reference("O'Lock", "H9") == "'O''Lock'!H9"
