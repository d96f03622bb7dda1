"""What journeys through the command line share: two small books, and a plan that is refused."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner, Result

from optimizer.cli import app
from tests.typed_books import Rows, workbook

PRICES = "Size | Length | Price\n2x4 | 8' | 4.25\n2x4 | 12' | 6.10"
PARTS = "Part | Count | Length | Size\nRail | 4 | 31 1/4 | 2x4\nStile | 2 | 60 | 2x4"


def run(*words: object) -> Result:
    return CliRunner().invoke(app, [str(word) for word in words])


def good_books(folder: Path, *, parts: Rows = PARTS, **more: Rows) -> Path:
    """The path of a job book; ``stock.xlsx`` lies beside it, with ``more`` sheets."""
    workbook(folder / "stock.xlsx", **{"Prices": PRICES, **more})
    return workbook(folder / "job.xlsx", Parts=parts)


def contents(folder: Path) -> dict[Path, bytes | None]:
    """Everything in ``folder``, at any depth; None for a folder."""
    return {p: None if p.is_dir() else p.read_bytes() for p in folder.rglob("*")}


def refused(folder: Path, *words: object) -> str:
    """What ``plan`` says when it must end with 1 and leave ``folder`` as it was."""
    before = contents(folder)
    result = run("plan", *words)
    assert result.exit_code == 1, result.output
    assert result.stdout == ""
    assert contents(folder) == before
    return result.stderr
