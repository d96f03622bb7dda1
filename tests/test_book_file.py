"""A file is written whole or not at all."""

from datetime import datetime
from pathlib import Path

import pytest

from stock.book_file import change_book, whole_file
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


# --- a book of the user's ------------------------------------------------------------------------

NOW = datetime(2026, 5, 4, 17, 30)


def changed(path: Path, new: bytes = b"new") -> Path | None:
    return change_book(path, lambda old: new, NOW)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "stock.xlsx"
    path.write_bytes(b"old")
    return path


def test_a_backup_of_the_day_lies_beside_a_changed_book(book):
    backup = changed(book)

    assert book.read_bytes() == b"new"
    assert backup == book.parent / "backups" / "stock 2026-05-04 17.30.00.xlsx"
    assert backup.read_bytes() == b"old"
    second = changed(book, b"newer")
    assert second.name == "stock 2026-05-04 17.30.00 (2).xlsx"
    assert second.read_bytes() == b"new"


def test_a_change_that_changes_nothing_writes_nothing(book):
    assert changed(book, b"old") is None
    assert [path.name for path in book.parent.iterdir()] == ["stock.xlsx"]


def test_the_books_rights_stay(book):
    book.chmod(0o640)
    changed(book)
    assert book.stat().st_mode & 0o777 == 0o640


def test_a_link_stays_a_link(book):
    link = book.parent / "link.xlsx"
    link.symlink_to(book)
    changed(link)
    assert link.is_symlink()
    assert book.read_bytes() == b"new"


@pytest.mark.parametrize("lock", [".~lock.stock.xlsx#", "~$stock.xlsx"])
def test_an_open_book_is_not_changed(book, lock):
    (book.parent / lock).touch()
    with pytest.raises(RackfirstError, match="is open in a spreadsheet program; close it"):
        changed(book)
    assert book.read_bytes() == b"old"


def test_a_book_opened_while_we_work_is_not_changed(book):
    def meanwhile(_: bytes) -> bytes:
        (book.parent / ".~lock.stock.xlsx#").touch()
        return b"new"

    with pytest.raises(RackfirstError, match="is open in a spreadsheet program"):
        change_book(book, meanwhile, NOW)
    assert book.read_bytes() == b"old"


def test_a_book_saved_while_we_work_stays_as_it_was_saved(book):
    def meanwhile(_: bytes) -> bytes:
        book.write_bytes(b"saved by the maker")
        return b"new"

    with pytest.raises(RackfirstError, match="was changed meanwhile, and is left so"):
        change_book(book, meanwhile, NOW)
    assert book.read_bytes() == b"saved by the maker"


def test_a_read_only_book_is_left_alone(book):
    book.chmod(0o444)
    with pytest.raises(RackfirstError, match="is read-only, and is left as it was"):
        changed(book)
    assert book.read_bytes() == b"old"


def test_a_book_that_is_not_there_is_named(tmp_path):
    with pytest.raises(RackfirstError, match=r"there is no .*gone\.xlsx; look at its name"):
        changed(tmp_path / "gone.xlsx")


def test_what_the_change_raises_leaves_the_book(book):
    def refuses(_: bytes) -> bytes:
        raise RackfirstError("R001 is not on the rack")

    with pytest.raises(RackfirstError, match="R001 is not on the rack"):
        change_book(book, refuses, NOW)
    assert [path.name for path in book.parent.iterdir()] == ["stock.xlsx"]


def test_only_one_of_us_writes_at_a_time(book):
    def meanwhile(_: bytes) -> bytes:
        with pytest.raises(RackfirstError, match="is being written by another rackfirst"):
            changed(book, b"of the other")
        return b"new"

    change_book(book, meanwhile, NOW)
    assert book.read_bytes() == b"new"
