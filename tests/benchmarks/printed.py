"""Tables on screen or in Markdown, row after row as they become known, and what runs come to."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from statistics import mean, median

from tests.benchmarks.measure import Run


@dataclass(frozen=True, slots=True)
class Table:
    """Prints row after row, as plain columns or in Markdown; a column is as wide as its header.

    Headers with a colon stand at the left.
    """

    headers: Sequence[str]
    markdown: bool = False
    show: Callable[[str], None] = print

    def head(self) -> None:
        self.row(*(header.replace(":", "").strip() for header in self.headers))
        if self.markdown:
            self.show("|" + "|".join("---" if ":" in h else "---:" for h in self.headers) + "|")

    def row(self, *cells: object) -> None:
        if self.markdown:
            self.show("| " + " | ".join(map(str, cells)) + " |")
            return
        padded = (
            str(cell).ljust(len(h)) if ":" in h else str(cell).rjust(len(h))
            for cell, h in zip(cells, self.headers, strict=True)
        )
        self.show("  ".join(padded).rstrip())


def summary(runs: Sequence[Run], marks: Iterable[float]) -> str:
    """What many runs come to; ``marks`` are the seconds within which proofs are counted."""
    within = (
        f"{sum(run.proven and run.seconds <= mark for run in runs)} in {mark:g} s" for mark in marks
    )
    gaps = [run.gap for run in runs]
    return (
        f"{len(runs)} jobs, proven {', '.join(within)}\n"
        f"median {median(run.seconds for run in runs):.2f} s; first plan "
        f"median {median(run.first for run in runs):.2f} s, "
        f"latest {max(run.first for run in runs):.2f} s\n"
        f"gap mean {mean(gaps):.3f} %, worst {max(gaps):.3f} %"
    )
