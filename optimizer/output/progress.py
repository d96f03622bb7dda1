"""How a search goes: a line that renews itself on a terminal, plain lines elsewhere; on stderr."""

from __future__ import annotations

import sys
import time
from decimal import Decimal

from optimizer.output.words import counted, money

_ERASE_LINE = "\r\x1b[K"


class Progress:
    """Told of every better plan and bound; ``close`` clears the line for what is said next."""

    def __init__(self) -> None:
        self._begun = time.monotonic()
        self._terminal = sys.stderr.isatty()

    def __call__(self, best: Decimal | None, bound: Decimal | None) -> None:
        seconds = time.monotonic() - self._begun
        line = f"{seconds:5.1f} s  {_how_far(best, bound)}"
        if self._terminal:
            sys.stderr.write(f"{_ERASE_LINE}{line}  (Ctrl-C keeps the best plan)")
        else:
            sys.stderr.write(f"{line}\n")
        sys.stderr.flush()

    def asked(self, done: int, of: int) -> None:
        """Told of every answer: so many of the questions asked so far."""
        seconds = time.monotonic() - self._begun
        line = f"{seconds:5.1f} s  {done} of {counted(of, 'question')} answered"
        if self._terminal:
            sys.stderr.write(f"{_ERASE_LINE}{line}  (Ctrl-C leaves out the rest)")
        else:
            sys.stderr.write(f"{line}\n")
        sys.stderr.flush()

    def close(self) -> None:
        if self._terminal:
            sys.stderr.write(_ERASE_LINE)
            sys.stderr.flush()


def _how_far(best: Decimal | None, bound: Decimal | None) -> str:
    if best is None:
        return f"no plan yet, none can be below {money(bound)}" if bound else "no plan yet"
    if not bound:
        return f"best plan {money(best)}"
    gap = (best - bound) / best * 100 if best else Decimal(0)
    return f"best plan {money(best)}, none can be below {money(bound)}, gap {gap:.2f} %"
