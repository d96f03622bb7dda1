"""A file is written whole or not at all, and never under an open spreadsheet program.

A file of ours (a plan, a new book) is written beside its place and then takes it. A book of the
user's is changed under more care: one of us at a time, a dated backup first, and only while it is
still what was read. Whenever the machine stops, the book is the old one or the new one.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

from stock.errors import RackfirstError

BACKUPS = "backups"  # the folder beside a book
CHUNK = 1 << 16  # bytes written at once

_NOT_WRITABLE = 0o222  # no one may write to a file without one of these bits


def check_free(path: Path) -> None:
    """Raises RackfirstError if ``path`` is a folder, or is open in a spreadsheet program.

    Replacing an open book would go unnoticed there, and break what the user saves next.
    """
    if path.is_dir():
        raise RackfirstError(f"{path} is a folder; name a file in it")
    # The files by which LibreOffice and Excel show others that they have one open.
    for lock in (path.with_name(f".~lock.{path.name}#"), path.with_name(f"~${path.name}")):
        if lock.exists():
            raise RackfirstError(
                f"{path} is open in a spreadsheet program; close it there and try again "
                f"(if it is not open anywhere, delete {lock.name})"
            )


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """A path beside ``path`` to write to; the file there takes its place once all went well.

    Raises:
        RackfirstError: if ``path`` is not free, or cannot be written.
    """
    check_free(path)
    unfinished = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        yield unfinished
        _flush(unfinished)
        os.replace(unfinished, path)
    except OSError as error:
        raise RackfirstError(f"{path} cannot be written: {error.strerror}") from error
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)


def change_book(path: Path, change: Callable[[bytes], bytes], now: datetime) -> Path | None:
    """Replaces the user's book by what ``change`` makes of its bytes; the path of its backup.

    None, and nothing is written, where ``change`` gives the bytes back as they were. Whatever
    ``change`` raises leaves the book as it is.

    Raises:
        RackfirstError: if the book is open in a spreadsheet program, read-only, being written by
            another of us, changed since it was read, or cannot be written; it is then as it was.
    """
    book = path.resolve()  # a link stays a link
    check_free(book)
    if not book.exists():
        raise RackfirstError(f"there is no {path}; look at its name and folder")
    try:
        _check_writable(book)
        with _alone_at(book):
            before = book.read_bytes()
            after = change(before)
            if after == before:
                return None
            backup = _back_up(book, before, now)
            _replace(book, before, after)
            return backup
    except OSError as error:
        reason = error.strerror or str(error)
        raise RackfirstError(f"{path} is left as it was: {reason}") from error


def _check_writable(book: Path) -> None:
    if not (book.stat().st_mode & _NOT_WRITABLE and os.access(book, os.W_OK)):
        raise RackfirstError(f"{book} is read-only, and is left as it was; allow writing to it")


def _back_up(book: Path, content: bytes, now: datetime) -> Path:
    """A copy under the day and time of the change, beside those of earlier changes."""
    folder = book.parent / BACKUPS
    folder.mkdir(exist_ok=True)
    stem = f"{book.stem} {now:%Y-%m-%d %H.%M.%S}"
    backup, n = folder / f"{stem}{book.suffix}", 1
    while backup.exists():
        n += 1
        backup = folder / f"{stem} ({n}){book.suffix}"
    unfinished = folder / f".{book.name}.unfinished"
    _write(unfinished, content, book)
    os.replace(unfinished, backup)
    _flush_folder(folder)
    return backup


def _replace(book: Path, before: bytes, after: bytes) -> None:
    """Puts ``after`` in the place of ``book``, if that still is ``before``."""
    unfinished = book.with_name(f".{book.name}.unfinished")  # one left by a crash is overwritten
    try:
        _write(unfinished, after, book)
        check_free(book)
        if book.read_bytes() != before:
            raise RackfirstError(f"{book} was changed meanwhile, and is left so; try again")
        os.replace(unfinished, book)
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
    _flush_folder(book.parent)


def _write(path: Path, content: bytes, like: Path) -> None:
    """Writes ``content`` through to the disk, with the rights and the owner of ``like``."""
    opened = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0))
    try:
        rest = memoryview(content)
        while rest:
            rest = rest[os.write(opened, rest[:CHUNK]) :]
        os.fsync(opened)
    finally:
        os.close(opened)
    rights = like.stat()
    os.chmod(path, rights.st_mode & 0o7777)
    if sys.platform != "win32":
        with suppress(OSError):
            os.chown(path, rights.st_uid, rights.st_gid)


def _flush(path: Path) -> None:
    """Makes a file that others wrote last through a power cut."""
    opened = os.open(path, os.O_RDWR)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def _flush_folder(folder: Path) -> None:
    """Makes a renaming last through a power cut, where the system has a way to."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


if sys.platform == "win32":
    import msvcrt

    @contextmanager
    def _alone_at(book: Path) -> Iterator[None]:
        """Keeps others of us out by a lock on a file beside the book: an open book stays put."""
        opened = os.open(book.with_name(f".{book.name}.lock"), os.O_RDWR | os.O_CREAT)
        try:
            try:
                msvcrt.locking(opened, msvcrt.LK_NBLCK, 1)
            except OSError as error:
                raise _taken(book) from error
            yield
        finally:
            os.close(opened)
else:
    import fcntl

    @contextmanager
    def _alone_at(book: Path) -> Iterator[None]:
        """Keeps others of us out by a lock on the book, which ends with this process."""
        opened = os.open(book, os.O_RDONLY)
        try:
            try:
                fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError as error:
                raise _taken(book) from error
            if not os.path.samestat(os.fstat(opened), os.stat(book)):
                raise _taken(book)  # replaced between opening and locking
            yield
        finally:
            os.close(opened)


def _taken(book: Path) -> RackfirstError:
    return RackfirstError(f"{book} is being written by another rackfirst; try again")
