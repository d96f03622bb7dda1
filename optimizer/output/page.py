"""Pages out of templates: escaped, with words and measures at hand, one file without network.

Everything that comes out of the books is escaped by the template engine; a policy in the page
itself lets no script run but the page's own.
"""

from __future__ import annotations

import hashlib
import re
from base64 import b64encode
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from optimizer.output import bench_words, saw_words, words
from optimizer.plan.plan import Plan
from stock.lengths import Unit

_IN_A_SIZE = re.compile(r"(?<=\d) (?=\d+/\d|× ?\d)|(?<=\d ×) (?=\d)")


def rendered(template: str, plan: Plan, **values: Any) -> str:
    """A template of this folder, with words and measures for ``plan`` at hand."""
    script = _asset("page.js")
    digest = b64encode(hashlib.sha256(script.encode()).digest()).decode()
    return (
        _environment()
        .get_template(template)
        .render(
            plan=plan,
            paper="a4" if plan.unit is Unit.MM else "letter",
            read=lambda length: words.read(length, plan),
            size=lambda *lengths: words.read_size(plan, *lengths),
            words=words,
            saw=saw_words,
            bench=bench_words,
            style=Markup(_asset("page.css")),
            script=Markup(script),
            script_digest=digest,
            **values,
        )
    )


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("optimizer.output"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_showable,
    )


def _showable(value: Any) -> Any:
    """Text without the characters that no page may hold, its sizes unbroken.

    A line that ends in ``79 × 1`` and goes on with ``7/8`` would be sawn wrong.
    """
    return _IN_A_SIZE.sub("\u00a0", words.shown(value)) if type(value) is str else value


@cache
def _asset(name: str) -> str:
    folder = Path(__file__).parent / "templates"
    return (folder / name).read_text(encoding="utf-8")
