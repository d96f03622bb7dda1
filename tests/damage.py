"""Change one thing in a plan, its books or its file, and see what the audit says."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from optimizer.plan.audit import AuditError, audit
from tests.making_plans import Case


def holds(case: Case) -> None:
    """The audit has nothing to say."""
    audit(case.plan, case.stock, case.job)


def refused(case: Case, finding: str) -> None:
    """The audit refuses ``case``, and one of its findings holds the words ``finding``."""
    with pytest.raises(AuditError) as refusal:
        holds(case)
    assert any(finding in said for said in refusal.value.findings), refusal.value


def changed(thing: Any, path: str, value: Any) -> Any:
    """``thing`` with ``value`` at ``path``, such as ``boards.1.blanks.0.x``.

    A function as ``value`` makes the new value of the old.
    """
    first, _, rest = path.partition(".")
    old = thing[int(first)] if isinstance(thing, tuple) else getattr(thing, first)
    new = changed(old, rest, value) if rest else value(old) if callable(value) else value
    if isinstance(thing, tuple):
        return (*thing[: int(first)], new, *thing[int(first) + 1 :])
    return replace(thing, **{first: new})


def leaves(thing: Any, path: str = "") -> dict[str, Any]:
    """Every single value in ``thing`` by its path."""
    if isinstance(thing, tuple):
        inside = {str(n): value for n, value in enumerate(thing)}
    elif is_dataclass(thing):
        inside = {field.name: getattr(thing, field.name) for field in fields(thing)}
    else:
        return {path: thing}
    return {
        key: leaf
        for name, value in inside.items()
        for key, leaf in leaves(value, f"{path}.{name}" if path else name).items()
    }


def at(document: Any, place: str) -> Any:
    """What stands at ``boards.1.blanks`` in a JSON document."""
    for key in filter(None, place.split(".")):
        document = document[int(key)] if isinstance(document, list) else document[key]
    return document
