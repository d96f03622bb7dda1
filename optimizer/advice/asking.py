"""A job solved again and again with something changed, in as many processes as there are cores."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Hashable, Iterator, Mapping
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal
from multiprocessing import get_context
from typing import TypeAlias, TypeVar

from optimizer.job.parts import Job
from optimizer.job.ways import NoPlanError
from optimizer.plan.plan import Plan
from optimizer.search.watch import StoppedError, Watch
from optimizer.solve import solve, solve_visiting
from stock.stock_book import StockBook

K = TypeVar("K", bound=Hashable)

MOST_WORKERS = 4
LONGEST = 5.0  # seconds for one question, if the plan itself took no longer
NEAR_ENOUGH = Decimal("0.2")  # percent: an answer so near the least will do, where not asked for
LEAST = 0.2  # with less left on the clock a question is not begun


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Books with something changed. ``at_least`` so many stores are visited.

    Nothing is looked for above ``ceiling``: there it is enough to know that it is so. ``gap`` is in
    percent, as of any search.
    """

    stock: StockBook
    job: Job
    at_least: int = 0
    ceiling: Decimal | None = None
    gap: Decimal = NEAR_ENOUGH


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """There is no plan, and why."""

    why: str


Answer: TypeAlias = Plan | Refused


@dataclass(slots=True, kw_only=True)
class _UpTo(Watch):
    """A watch that ends too where nothing is to be found below a ceiling."""

    ceiling: Decimal

    def over(self) -> bool:
        # The parent's own method by name: a class with slots is made anew, and super() is lost.
        if Watch.over(self) or self.best is None or self.bound is None:
            return Watch.over(self)
        return self.bound >= self.ceiling


def answer(question: Question, seconds: float) -> Answer | None:
    """The plan for a question, or why there is none; None where the time was too short to know."""
    watch = Watch(seconds=seconds, gap_percent=question.gap)
    if question.ceiling is not None:
        watch = _UpTo(seconds=seconds, gap_percent=question.gap, ceiling=question.ceiling)
    try:
        if question.at_least:
            return solve_visiting(question.stock, question.job, watch, question.at_least)
        return solve(question.stock, question.job, watch)
    except StoppedError:
        return None
    except NoPlanError as error:
        return Refused(why=str(error))


class Asking:
    """Answers questions until its ``seconds`` are over; ``tell`` is called after each.

    ``workers`` are the processes at work; 0 does all in this one.
    """

    def __init__(
        self,
        *,
        seconds: float,
        workers: int | None = None,
        longest: float = LONGEST,
        tell: Callable[[int, int], None] = lambda done, of: None,
    ) -> None:
        self._end = time.monotonic() + seconds
        self._workers = min(os.cpu_count() or 1, MOST_WORKERS) if workers is None else workers
        self._tell, self._longest = tell, longest
        self._pool: ProcessPoolExecutor | None = None
        self._done = self._asked = 0
        self.unanswered = 0

    @contextmanager
    def open(self) -> Iterator[Asking]:
        """Its processes live so long."""
        if self._workers:
            self._pool = ProcessPoolExecutor(
                self._workers, mp_context=get_context("spawn"), initializer=_leave_ctrl_c_to_us
            )
        try:
            yield self
        finally:
            if self._pool:
                self._pool.shutdown(wait=False, cancel_futures=True)

    def stop(self) -> None:
        """No further question is begun."""
        self._end = time.monotonic()

    def allow(self, seconds: float) -> None:
        """So long for each question, if that is longer than now."""
        self._longest = max(self._longest, seconds)

    def ask(self, questions: Mapping[K, Question]) -> dict[K, Answer]:
        """The answers; questions for which there was no time are left out, and counted."""
        self._asked += len(questions)
        got = self._in_turn(questions) if self._pool is None else self._at_once(questions)
        found = {key: found for key, found in got if found is not None}
        self.unanswered += len(questions) - len(found)
        return {key: found[key] for key in questions if key in found}

    def _left(self) -> float:
        return min(self._end - time.monotonic(), self._longest)

    def _in_turn(self, questions: Mapping[K, Question]) -> Iterator[tuple[K, Answer | None]]:
        for key, question in questions.items():
            if self._left() >= LEAST:
                yield key, answer(question, self._left())
                self._told()

    def _at_once(self, questions: Mapping[K, Question]) -> Iterator[tuple[K, Answer | None]]:
        """As many at once as there are processes: each begins with the clock of its turn."""
        assert self._pool is not None
        waiting = list(questions.items())[::-1]
        at_work: dict[Future[Answer | None], K] = {}
        while at_work or (waiting and self._left() >= LEAST):
            while waiting and len(at_work) < self._workers and self._left() >= LEAST:
                key, question = waiting.pop()
                at_work[self._pool.submit(answer, question, self._left())] = key
            if not at_work:
                break
            first = next(as_completed(at_work))
            yield at_work.pop(first), first.result()
            self._told()

    def _told(self) -> None:
        self._done += 1
        self._tell(self._done, self._asked)


def _leave_ctrl_c_to_us() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
