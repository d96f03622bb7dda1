"""Whatever fails, and whenever the machine stops, the book is the old one or the new one."""

from __future__ import annotations

import errno
import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from optimizer.plan.happened import Happened
from optimizer.plan.plan import Plan
from optimizer.plan.settle import settle
from stock import book_file
from stock.errors import RackfirstError
from tests.settled_shop import NOW, books, planned, stock_in

MOMENTS = 100  # of a kill inside the writing
CALLS = ("open", "write", "fsync", "replace", "chmod")

needs_fork = pytest.mark.skipif(sys.platform == "win32", reason="Windows cannot fork")


class Watched:
    """The module ``os``; ``strike`` is called with each call that touches the disk, by number."""

    def __init__(self, strike: Callable[[int, str], None]) -> None:
        self._strike, self.calls = strike, 0

    def __getattr__(self, name: str) -> Any:
        real = getattr(os, name)
        if name not in CALLS:
            return real

        def watched(*words: Any, **named: Any) -> Any:
            self.calls += 1
            self._strike(self.calls, name)
            return real(*words, **named)

        return watched


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Plan, Path, bytes, bytes]:
    """A plan, its stock book, and the bytes of the book before and after it is settled."""
    (tmp_path / "once").mkdir()
    plan, book = planned_in(tmp_path / "once")
    before = book.read_bytes()
    settle(plan, book, Happened(), NOW)
    after = book.read_bytes()
    assert before != after
    plan, book = planned_in(tmp_path)
    book.write_bytes(before)
    return plan, book, before, after


def planned_in(folder: Path) -> tuple[Plan, Path]:
    book = books(folder)
    return planned(folder), book


def test_each_call_that_fails_leaves_the_old_book(
    shop: tuple[Plan, Path, bytes, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    plan, book, before, after = shop
    monkeypatch.setattr(book_file, "CHUNK", 1000)
    failed = []
    for number in range(1, 1000):

        def full(call: int, name: str, number: int = number) -> None:
            if call == number:
                failed.append(name)
                raise OSError(errno.ENOSPC, "No space left on device")

        monkeypatch.setattr(book_file, "os", Watched(full))
        said = complaint(plan, book)
        if said:
            assert "is left as it was: No space left on device" in said
            assert book.read_bytes() == before
        else:  # only the flushing of a folder may fail unsaid: not every system can
            assert book.read_bytes() == after
            book.write_bytes(before)
        assert not list(book.parent.glob(".*unfinished"))
        if len(failed) < number:
            break
    assert set(failed) == set(CALLS)
    assert len(failed) > 20


def complaint(plan: Plan, book: Path) -> str:
    """What a settle says that fails; nothing if it does not."""
    try:
        settle(plan, book, Happened(), NOW)
    except RackfirstError as error:
        return str(error)
    return ""


@needs_fork
def test_killed_at_any_moment_the_book_is_the_old_or_the_new_one(
    shop: tuple[Plan, Path, bytes, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    plan, book, before, after = shop
    monkeypatch.setattr(book_file, "CHUNK", len(after) // 60)
    ended, killed = set(), 0
    for moment in moments():
        if not killed_at(moment, plan, book):
            break
        killed += 1
        now = book.read_bytes()
        assert now in (before, after)
        ended.add(now)
        assert stock_in(book).rack  # it opens
        book.write_bytes(before)
    assert killed >= MOMENTS
    assert ended == {before, after}
    settle(plan, book, Happened(), NOW)  # whatever the dead left behind is in nobody's way
    assert book.read_bytes() == after


def moments() -> Iterator[int]:
    return iter(range(1, 10_000))


def killed_at(moment: int, plan: Plan, book: Path) -> bool:
    """Settles in a process that is killed just before its call number ``moment``; False where it
    came to its end before that.
    """

    def kill(call: int, _: str) -> None:
        if call == moment:
            os.kill(os.getpid(), signal.SIGKILL)

    child = os.fork()
    if child == 0:
        try:
            book_file.os = Watched(kill)  # type: ignore[assignment]
            settle(plan, book, Happened(), NOW)
        finally:
            os._exit(0)
    _, status = os.waitpid(child, 0)
    return os.WIFSIGNALED(status)
