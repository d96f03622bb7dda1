"""Two settles of one plan at the same time: one writes, the other says why it does not."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from optimizer.plan.happened import Happened
from optimizer.plan.plan import Plan
from optimizer.plan.settle import settle
from stock.errors import RackfirstError
from tests.settled_shop import NOW, books, journal_in, planned

# A short share in every run; by hand TWO_AT_ONCE=100 runs as many as were asked for.
TIMES = int(os.environ.get("TWO_AT_ONCE", "25"))

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Windows cannot fork")


def test_one_wins_and_the_other_says_so(tmp_path: Path) -> None:
    book = books(tmp_path)
    plan, before = planned(tmp_path), book.read_bytes()
    said: set[str] = set()
    for _ in range(TIMES):
        book.write_bytes(before)
        one, other = at_once(plan, book)
        assert sorted((one, other))[1] == "written", (one, other)
        said.add(min(one, other))
        assert len(journal_in(book)) == len(set(journal_in(book)))
    assert said <= {"busy", "settled"}


def at_once(plan: Plan, book: Path) -> tuple[str, ...]:
    """What became of two settles that start together."""
    start, go = os.pipe()
    children = [settling(plan, book, start) for _ in range(2)]
    os.write(go, b"xx")
    words = []
    for child, said in children:
        words.append(os.read(said, 20).decode())
        os.close(said)
        os.waitpid(child, 0)
    os.close(start)
    os.close(go)
    return tuple(words)


def settling(plan: Plan, book: Path, start: int) -> tuple[int, int]:
    """A process that waits for the start, settles, and says what came of it."""
    hear, say = os.pipe()
    child = os.fork()
    if child == 0:
        word = b"error"
        try:
            os.read(start, 1)
            done = settle(plan, book, Happened(), NOW)
            word = b"written" if done.written.backup else b"settled"
        except RackfirstError as error:
            word = b"busy" if "being written by another" in str(error) else str(error).encode()
        finally:
            os.write(say, word)
            os._exit(0)
    os.close(say)
    return child, hear
