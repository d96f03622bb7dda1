"""A file is written whole or not at all, and never under an open spreadsheet program."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from stock.errors import RackfirstError


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
        os.replace(unfinished, path)
    except OSError as error:
        raise RackfirstError(f"{path} cannot be written: {error.strerror}") from error
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
