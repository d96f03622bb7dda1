"""Species, and what may stand in for what.

woods.csv holds species with the families that the trade counts them to (``white pine; pine``), the
group of the grading rules they are sold in (``SPF``) and their class (``softwood``); each of these
names a set of species. Families and aliases are common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from stock.tables import read_table


@cache
def wood_key(name: str) -> str:
    """One spelling of a wood's name, for comparing.

    Case, blanks and hyphens do not count, ``Spruce, black`` is ``black spruce``, and an alias of
    the table is the name it stands for. A name that the table lacks is its own.
    """
    plain = _plain(name)
    return _woods().names.get(plain, plain)


def same_wood(a: str, b: str) -> bool:
    """Whether two names mean one wood."""
    return wood_key(a) == wood_key(b)


def known_wood(name: str) -> bool:
    """Whether ``name`` is a species, family, group, class or alias of the table."""
    return _plain(name) in _woods().names


def stands_for(offered: str, wanted: str) -> bool:
    """Whether a board of wood ``offered`` may serve a part that wants ``wanted``.

    An empty ``wanted`` takes any wood. A set takes its species and every set that lies within it:
    ``pine`` takes ``lodgepole pine`` and ``Southern Pine``. A set never serves a species, and wood
    of no name serves only a part that names none.
    """
    if not wanted.strip():
        return True
    have, want = wood_key(offered), wood_key(wanted)
    takes = _woods().takes
    return have == want or (want in takes and takes.get(have, {have}) <= takes[want])


def members(wood: str) -> frozenset[str]:
    """The keys of the species that a family, group or class takes; none where it is no such set."""
    return frozenset(_woods().takes.get(wood_key(wood), ()))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Woods:
    """``names``: plain spelling → key. ``takes``: key of a set → the keys of its species."""

    names: dict[str, str]
    takes: dict[str, set[str]]


@cache
def _woods() -> _Woods:
    """The table; a group whose species it does not list takes only itself."""
    names: dict[str, str] = {}
    takes: dict[str, set[str]] = {}
    for row in read_table("woods"):
        key = _plain(row["name"])
        for name in (row["name"], *row["aliases"].split(";")):
            if name.strip():
                names[_plain(name)] = key
        for wider in (*row["family"].split(";"), row["group"], row["class"]):
            if wider:
                names.setdefault(_plain(wider), _plain(wider))
                takes.setdefault(_plain(wider), set()).add(key)
    return _Woods(names=names, takes=takes)


def _plain(name: str) -> str:
    """``Spruce, black`` → ``blackspruce``."""
    family, _, species = name.casefold().partition(",")
    return re.sub(r"[\s\-‐‑–—]", "", species + family)
