"""How a search goes, on a terminal and elsewhere."""

from __future__ import annotations

import io
import re
import sys
from decimal import Decimal

import pytest

from optimizer.output.progress import Progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_elsewhere_each_news_is_a_plain_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", written := io.StringIO())
    progress = Progress()
    progress(None, Decimal("90.00"))
    progress(Decimal("100.00"), Decimal("90.00"))
    progress.close()
    assert [re.sub(r"^ *\d+\.\d s  ", "", line) for line in written.getvalue().splitlines()] == [
        "no plan yet, none can be below 90.00",
        "best plan 100.00, none can be below 90.00, gap 10.00 %",
    ]


def test_one_question_is_told_as_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stderr", written := io.StringIO())
    Progress().asked(1, 1)
    assert written.getvalue().endswith("  1 of 1 question answered\n")


def test_a_terminal_has_one_line_that_is_cleared_in_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "stderr", written := Terminal())
    progress = Progress()
    progress(Decimal("100.00"), None)
    assert "best plan 100.00  (Ctrl-C keeps the best plan)" in written.getvalue()
    progress.close()
    assert "\n" not in written.getvalue()
    assert written.getvalue().endswith("\r\x1b[K")
