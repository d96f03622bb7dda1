"""Imports run one way: ``stock ← job ← plan ← search``, and ``output`` on ``work`` on ``plan``."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import pytest
import typer

from optimizer.cli import app

ROOT = Path(__file__).parents[1]
FILES = sorted([*ROOT.glob("stock/**/*.py"), *ROOT.glob("optimizer/**/*.py")])

# What the modules of a folder, or one module, may import of our own.
MAY_IMPORT = {
    "stock": {"stock"},
    "optimizer.job": {"stock", "optimizer.job"},
    "optimizer.plan": {"stock", "optimizer.job.parts", "optimizer.plan"},
    "optimizer.search": {"stock", "optimizer.job", "optimizer.plan", "optimizer.search"},
    "optimizer.work": {"stock", "optimizer.plan", "optimizer.work"},
    "optimizer.advice": {
        "stock",
        "optimizer.job",
        "optimizer.plan",
        "optimizer.search",
        "optimizer.solve",
        "optimizer.advice",
    },
    "optimizer.output": {"stock", "optimizer.plan", "optimizer.work", "optimizer.output"},
}

# Where each library is at home; everybody else asks these modules.
AT_HOME = {
    "highspy": {
        "optimizer.search.programme",
        "optimizer.search.relaxation",
        "optimizer.search.whole_programme",
        "optimizer.search.solver",
    },
    "pulp": {
        "optimizer.search.lot_rows",
        "optimizer.search.model",
        "optimizer.search.solver",
    },
    "numpy": {"optimizer.search"},
    "pandas": {"optimizer.output.data"},
    "jinja2": {"optimizer.output.page"},
    "markupsafe": {"optimizer.output.page", "optimizer.output.labels"},
    "segno": {"optimizer.output.labels"},
    "python_calamine": {"stock.spreadsheet"},
    "defusedxml": {"stock.cell_marks", "stock.book_parts"},
    "xlsxwriter": {"stock.template", "optimizer.output.printed_book"},
    "typer": {"optimizer.cli", "optimizer.after_cli", "stock.cli"},
}
MOST_LINES = 300


def module_name(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


OURS = {module_name(path): path for path in FILES}


@cache
def imports(module: str) -> frozenset[str]:
    """Every module that ``module`` imports anywhere in its code."""
    tree = ast.parse(OURS[module].read_text(encoding="utf-8"))
    return frozenset(name for node in ast.walk(tree) for name in named(node))


def named(node: ast.AST) -> Iterator[str]:
    match node:
        case ast.Import():
            yield from (alias.name for alias in node.names)
        case ast.ImportFrom(module=str(module), level=0):
            inner = {f"{module}.{alias.name}" for alias in node.names} & set(OURS)
            yield from inner or {module}


def within(module: str, folder: str) -> bool:
    return module == folder or module.startswith(f"{folder}.")


def ours(modules: frozenset[str]) -> set[str]:
    return {module for module in modules if module.split(".")[0] in ("stock", "optimizer")}


# --- which way -----------------------------------------------------------------------------------


@pytest.mark.parametrize("folder", MAY_IMPORT)
def test_a_folder_imports_only_what_lies_before_it(folder: str) -> None:
    inside = [module for module in OURS if within(module, folder)]
    assert len(inside) > 1
    wrong = {
        (module, name)
        for module in inside
        for name in ours(imports(module))
        if not any(within(name, allowed) for allowed in MAY_IMPORT[folder])
    }
    assert not wrong


def test_nobody_imports_in_a_circle() -> None:
    order = TopologicalSorter({module: ours(imports(module)) - {module} for module in OURS})
    assert set(order.static_order()) >= set(OURS)


def test_relative_imports_are_not_used() -> None:
    trees = (ast.parse(path.read_text(encoding="utf-8")) for path in FILES)
    nodes = (node for tree in trees for node in ast.walk(tree))
    assert not [node for node in nodes if isinstance(node, ast.ImportFrom) and node.level]


@pytest.mark.parametrize("library", AT_HOME)
def test_a_library_is_known_only_where_it_is_at_home(library: str) -> None:
    users = {module for module in OURS if any(within(name, library) for name in imports(module))}
    homes = AT_HOME[library]
    assert {user for user in users if not any(within(user, home) for home in homes)} == set()
    assert users, f"nobody uses {library}: take it out of pyproject.toml"


def test_books_are_read_and_written_without_the_library_that_loses_what_it_does_not_know() -> None:
    assert not [module for module in OURS if any(within(n, "openpyxl") for n in imports(module))]


# --- size and words ------------------------------------------------------------------------------


def test_no_file_is_longer_than_one_concept() -> None:
    lines = {module_name(path): len(path.read_text("utf-8").splitlines()) for path in FILES}
    assert {module: n for module, n in lines.items() if n > MOST_LINES} == {}


def test_every_public_function_and_class_says_what_it_is() -> None:
    kinds = (ast.FunctionDef, ast.ClassDef)
    silent = []
    for path in FILES:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        public = [n for n in tree.body if isinstance(n, kinds) and not n.name.startswith("_")]
        silent += [f"{module_name(path)}.{n.name}" for n in public if not ast.get_docstring(n)]
        silent += [module_name(path)] if not ast.get_docstring(tree) else []
    assert silent == []


def test_every_command_argument_and_option_has_help() -> None:
    commands = typer.main.get_group(app).commands
    assert commands
    for name, command in commands.items():
        assert command.help, name
        assert all(getattr(each, "help", "") for each in command.params), name
