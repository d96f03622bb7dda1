"""The data files in ``stock/data``, as rows."""

from __future__ import annotations

import csv
from importlib.resources import files


def read_table(name: str) -> list[dict[str, str]]:
    """The rows of ``stock/data/<name>.csv``, each by its column names."""
    text = (files("stock") / "data" / f"{name}.csv").read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))
