"""LibreOffice as a second opinion: it works out a workbook anew, and prints it."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

needs_office = pytest.mark.skipif(
    shutil.which("soffice") is None, reason="LibreOffice (soffice) is not installed"
)

# Without this setting LibreOffice believes the values stored in a workbook of another program.
_ALWAYS_RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load">
<prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop>
</item>
</oor:items>
"""


def recalculated(book: Path, folder: Path) -> Path:
    """A copy of ``book`` in the new ``folder`` with every formula worked out by LibreOffice."""
    return _converted(book, folder, "xlsx")


def printed(book: Path, folder: Path) -> Path:
    """``book`` as a PDF in the new ``folder``, as a printer would get it."""
    return _converted(book, folder, "pdf")


def _converted(book: Path, folder: Path, kind: str) -> Path:
    settings = folder / "profile" / "user" / "registrymodifications.xcu"
    settings.parent.mkdir(parents=True)
    settings.write_text(_ALWAYS_RECALCULATE, encoding="utf-8")
    profile = f"-env:UserInstallation={(folder / 'profile').resolve().as_uri()}"
    command = ["soffice", "--headless", profile, "--convert-to", kind, "--outdir", str(folder)]
    ran = subprocess.run([*command, str(book)], capture_output=True, text=True, timeout=120)
    made = folder / f"{book.stem}.{kind}"
    assert made.exists(), f"LibreOffice made no {kind}: {ran.stdout} {ran.stderr}"
    return made
