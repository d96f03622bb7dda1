"""Is this file a book at all? Every bad file is named for what it is before anybody parses it."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from stock.errors import BookFaultsError, Fault, Place

MOST_BYTES = 100_000_000  # a book of 10,000 rows unpacks to about 5 MB
MOST_ENTRIES = 5_000

_SAVE_AS = "open it in a spreadsheet program and save it as .xlsx"
_SAVE_AGAIN = "open it in a spreadsheet program, save it again as .xlsx, or take a backup"
_OLD_FILE = b"\xd0\xcf\x11\xe0"  # the container of .xls files and of encrypted workbooks
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
_ZIP = b"PK"
_CUT_SHORT = "it is damaged or cut short"


def checked_bytes(path: Path, data: bytes | None = None) -> bytes:
    """The bytes of an .xlsx or .csv file that may be parsed; ``data`` where they are read already.

    Raises BookFaultsError for anything else: missing, empty, a folder, damaged, encrypted, of
    another kind, or a file that would unpack to more than ``MOST_BYTES``.
    """
    data = _bytes(path) if data is None else data
    if path.suffix.lower() == ".csv":
        if data.startswith((_ZIP, _OLD_FILE)) or (b"\0" in data and data[0] < 0xFE):
            raise _refused(path.name, "it is no CSV file, whatever its name says", _SAVE_AS)
        return data
    if data.startswith(_OLD_FILE):
        if _ENCRYPTED in data:
            raise _refused(path.name, "it is encrypted", "save it without a password")
        raise _refused(path.name, "it is a workbook of the old kind (.xls)", _SAVE_AS)
    if path.suffix.lower() not in (".xlsx", ".xlsm"):
        raise _refused(path.name, f"a {path.suffix or 'nameless'} file is no book", _SAVE_AS)
    if not data.startswith(_ZIP):
        raise _refused(path.name, "it is no .xlsx workbook, whatever its name says", _SAVE_AS)
    with unreadable(path.name), zipfile.ZipFile(io.BytesIO(data)) as archive:
        _check_archive(path.name, archive)
    return data


@contextmanager
def unreadable(name: str) -> Iterator[None]:
    """Whatever a parser raises in here means that the file called ``name`` is damaged.

    The parsers raise a dozen unrelated kinds of error on damaged files (BadZipFile, KeyError,
    zlib.error, ParseError, CalamineError, …), so all of them are taken.
    """
    try:
        yield
    except BookFaultsError:
        raise
    except Exception as error:
        raise _refused(name, _CUT_SHORT, _SAVE_AGAIN) from error


def _bytes(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise _refused(path.name or str(path), "it is a folder", "name a file in it")
        if path.stat().st_size > MOST_BYTES:
            raise _too_large(path.name, path.stat().st_size)
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise _refused(str(path), "there is no such file", "look at its name and folder") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _refused(str(path), f"it cannot be read: {reason}", "look at its rights") from error
    if not data:
        raise _refused(path.name, "the file is empty", _SAVE_AGAIN)
    return data


def _check_archive(name: str, archive: zipfile.ZipFile) -> None:
    entries = archive.infolist()
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > MOST_BYTES or len(entries) > MOST_ENTRIES:
        raise _too_large(name, unpacked)
    names = set(archive.namelist())
    if "mimetype" in names and b"opendocument" in archive.read("mimetype"):
        raise _refused(name, "it is an OpenDocument file (.ods), whatever its name says", _SAVE_AS)
    if "xl/workbook.bin" in names:
        raise _refused(name, "it is a binary workbook (.xlsb)", _SAVE_AS)
    if "xl/workbook.xml" not in names:
        raise _refused(name, "there is no workbook in it", _SAVE_AS)
    if archive.testzip() is not None:  # also: no entry unpacks to more than it says
        raise _refused(name, _CUT_SHORT, _SAVE_AGAIN)


def _too_large(name: str, size: int) -> BookFaultsError:
    problem = f"it holds {size // 1_000_000} MB, far more than a book of lumber"
    return _refused(name, problem, "copy the filled rows into a new workbook")


def _refused(name: str, problem: str, remedy: str) -> BookFaultsError:
    return BookFaultsError([Fault(place=Place(file=name), problem=problem, remedy=remedy)])
