"""A file is written whole or not at all."""

from pathlib import Path

import pytest

from stock.book_file import whole_file
from stock.errors import RackfirstError


def write(path: Path, text: str) -> None:
    with whole_file(path) as unfinished:
        unfinished.write_text(text)


def write_half(path: Path) -> None:
    with whole_file(path) as unfinished:
        unfinished.write_text("half")
        raise KeyboardInterrupt


def test_an_old_file_is_replaced_and_nothing_else_is_left_behind(tmp_path):
    book = tmp_path / "book.xlsx"
    book.write_text("old")

    write(book, "new")

    assert [file.name for file in tmp_path.iterdir()] == ["book.xlsx"]
    assert book.read_text() == "new"


def test_an_old_file_stays_whole_where_writing_is_broken_off(tmp_path):
    book = tmp_path / "book.xlsx"
    book.write_text("old")

    with pytest.raises(KeyboardInterrupt):
        write_half(book)

    assert [file.name for file in tmp_path.iterdir()] == ["book.xlsx"]
    assert book.read_text() == "old"


def test_a_folder_in_its_place_is_named(tmp_path):
    (tmp_path / "book.xlsx").mkdir()

    with pytest.raises(RackfirstError, match="xlsx is a folder"):
        write(tmp_path / "book.xlsx", "new")


def test_a_folder_that_is_missing_is_named(tmp_path):
    with pytest.raises(RackfirstError, match="cannot be written: No such file or directory"):
        write(tmp_path / "nowhere" / "book.xlsx", "new")


@pytest.mark.parametrize("lock", [".~lock.book.xlsx#", "~$book.xlsx"])
def test_a_book_that_is_open_is_left_alone(tmp_path, lock):
    book = tmp_path / "book.xlsx"
    book.write_text("old")
    (tmp_path / lock).touch()

    with pytest.raises(RackfirstError, match="is open in a spreadsheet program; close it"):
        write(book, "new")

    assert book.read_text() == "old"
