"""Tables on screen or in Markdown, row after row as they become known."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

flushed = partial(print, flush=True)


@dataclass(frozen=True, slots=True)
class Table:
    """Prints row after row, as plain columns or in Markdown; a column is as wide as its header.

    Headers with a colon stand at the left.
    """

    headers: Sequence[str]
    markdown: bool = False
    show: Callable[[str], None] = flushed

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

    def end(self) -> None:
        """An empty line, without which Markdown reads on."""
        self.show("")
