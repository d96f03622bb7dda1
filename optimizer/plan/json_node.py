"""A value in a JSON text and the keys that lead to it, so that every fault names its key."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any, TypeVar

from stock.errors import RackfirstError
from stock.lengths import Length, Unit, from_exact_text

Word = TypeVar("Word", bound=StrEnum)


class PlanFileError(RackfirstError):
    """A plan file that cannot be read or written; its text names file and key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """``value`` stands under ``key`` ("boards[0].cuts[2].at").

    Each way of reading it raises PlanFileError where something else stands there.
    """

    value: Any
    key: str = ""

    @classmethod
    def parse(cls, text: str) -> Node:
        try:
            return cls(value=json.loads(text))
        except json.JSONDecodeError as error:
            raise PlanFileError(
                f"not JSON: line {error.lineno}, column {error.colno}: {error.msg}"
            ) from error
        except (ValueError, RecursionError) as error:
            # Legal JSON, but a number of 5,000 digits or a thousand brackets deep.
            raise PlanFileError(f"not a plan: {error}") from error

    def wrong(self, wanted: str) -> PlanFileError:
        """The fault that ``wanted`` does not stand here."""
        found = json.dumps(self.value, ensure_ascii=False)
        if len(found) > 60:
            found = found[:60] + " …"
        return PlanFileError(f"{self.key or 'the file'}: it says {found}, and must be {wanted}")

    def __getitem__(self, name: str) -> Node:
        if not isinstance(self.value, dict):
            raise self.wrong("an object")
        key = f"{self.key}.{name}" if self.key else name
        if name not in self.value:
            raise PlanFileError(f"{key}: this key is missing")
        return Node(value=self.value[name], key=key)

    def may_have(self, name: str, otherwise: Any) -> Node:
        """What stands under a key that may be left out, and that older files lack."""
        known = not isinstance(self.value, dict) or name in self.value
        return self[name] if known else Node(value=otherwise, key=f"{self.key}.{name}")

    def __contains__(self, name: object) -> bool:
        """Whether an object has the key ``name``."""
        if not isinstance(self.value, dict):
            raise self.wrong("an object")
        return name in self.value

    def __iter__(self) -> Iterator[Node]:
        if not isinstance(self.value, list):
            raise self.wrong("a list")
        return iter([Node(value=v, key=f"{self.key}[{n}]") for n, v in enumerate(self.value)])

    def text(self) -> str:
        if not isinstance(self.value, str):
            raise self.wrong("a text")
        return self.value

    def word(self, words: type[Word]) -> Word:
        """One word of a closed list."""
        if self.value not in list(words):
            raise self.wrong(" or ".join(repr(str(word)) for word in words))
        return words(self.value)

    def truth(self) -> bool:
        if not isinstance(self.value, bool):
            raise self.wrong("true or false")
        return self.value

    def whole(self) -> int:
        if not isinstance(self.value, int) or isinstance(self.value, bool):
            raise self.wrong("a whole number")
        return self.value

    def length(self, unit: Unit) -> Length:
        try:
            return from_exact_text(self.text(), unit)
        except ValueError as error:
            raise self.wrong('an exact length like "144" or "45/4"') from error

    def money(self) -> Decimal:
        return self._decimal(r"-?\d{1,15}\.\d\d", 'money with two places like "27.00"')

    def percent(self) -> Decimal:
        return self._decimal(r"\d{1,3}(\.\d{1,15})?", 'a percentage like "8.25"')

    def amount(self) -> Decimal:
        return self._decimal(r"\d{1,15}(\.\d{1,15})?", 'a number like "12.5"')

    def _decimal(self, form: str, wanted: str) -> Decimal:
        if not re.fullmatch(form, self.text(), re.ASCII):
            raise self.wrong(wanted)
        return Decimal(self.text())
