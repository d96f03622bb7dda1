"""README.md and DEVELOPERS.md say what is so: commands, output, columns, files, words."""

from __future__ import annotations

import html
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer

from optimizer.cli import app
from optimizer.job.job_form import HARDWARE, PARTS
from optimizer.output.cutting_page import cutting_page
from optimizer.output.summary import summary
from optimizer.plan.happened_sheet import BOARDS, LEFTOVERS
from optimizer.plan.plan import CutKind, Plan, Status
from optimizer.plan.plan_file import plan_to_json
from optimizer.work.work import work_of
from stock.lengths import Unit, parse_length
from stock.rack_forms import JOURNAL, KEEP
from stock.shop import settings
from stock.stock_forms import LISTS, PRICES, RACK, SHOP, STORES
from stock.stocktake import COUNT
from tests.read_back import labelled, sheets, written
from tests.sample_advice import sample_advice
from tests.sound_plans import boat_rack
from tests.typed_books import workbook

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FORMS = (PRICES, RACK, STORES, LISTS, SHOP, PARTS, HARDWARE)
ALL_FORMS = (*FORMS, JOURNAL, KEEP, COUNT, BOARDS, LEFTOVERS)


# --- reading markdown ----------------------------------------------------------------------------


def section(text: str, title: str) -> str:
    """What stands under a heading, up to the next one."""
    return text.split(f"\n## {title}\n")[1].split("\n## ")[0]


def blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)


def table(text: str, *headers: str) -> list[list[str]]:
    """The rows of the table with these headers."""
    head = "| " + " | ".join(headers) + " |\n"
    rows = text.split(head)[1].split("\n\n")[0].splitlines()[1:]
    return [[cell.strip() for cell in row.strip("|").split("|")] for row in rows]


def marked(text: str) -> set[str]:
    """Everything in backticks."""
    prose = re.sub(r"^```.*?^```$", "", text, flags=re.DOTALL | re.MULTILINE)
    return set(re.findall(r"`([^`\n]+)`", prose))


# --- README: what is shown is what happens -------------------------------------------------------


def command_line(program: str) -> str:
    """The README's only line for a fresh machine that ends with this program."""
    lines: list[str] = re.findall(rf"^python3 -m venv .*bin/{program}.*$", README, re.MULTILINE)
    (line,) = lines
    return line


def run(words: list[str], folder: Path) -> str:
    """What the command prints, run in ``folder`` as its user would."""
    command = [sys.executable, "-c", "from optimizer.cli import app; app()", *words]
    ran = subprocess.run(
        command,
        capture_output=True,
        text=True,
        check=True,
        cwd=folder,
        encoding="utf-8",
        env={"PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
    )
    return ran.stdout


def test_the_first_line_prints_what_the_readme_shows(tmp_path: Path) -> None:
    (tmp_path / "sample_data").symlink_to(ROOT / "sample_data")
    words = command_line("rackfirst").split(" && ")[-1].split()[1:]
    assert run(words, tmp_path) == blocks(README, "text")[0]


def test_the_windows_line_says_the_same() -> None:
    (line,) = blocks(README, "bat")
    unix = command_line("rackfirst").replace("python3", "py").replace("/bin/", "/Scripts/")
    assert line.strip() == unix.replace("/", "\\")


def test_the_second_line_sets_up_the_tests() -> None:
    assert command_line("pytest").endswith("pip install -q '.[test]' && .venv/bin/pytest")


def test_a_first_job_goes_as_the_readme_tells(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = section(README, "Your own job in ten minutes")
    prices = table(own, "Size", "Length", "Price")
    parts = table(own, "Part", "Count", "Length", "Size", "Thickness", "Width")
    run(["start", "shop"], tmp_path)
    headers = ["Part", "Count", "Length", "Size", "Thickness", "Width"]
    workbook(tmp_path / "shop/stock.xlsx", Prices=[["Size", "Length", "Price"], *prices])
    workbook(tmp_path / "shop/job.xlsx", Parts=[headers, *parts])
    assert "No fault in either book" in run(["check", "shop/job.xlsx"], tmp_path)
    assert run(["plan", "shop/job.xlsx"], tmp_path) == blocks(own, "text")[0]
    assert run(["show", "shop/job-plan", "boards", "cuts"], tmp_path).startswith("Boards\n")
    notebook: dict[str, Any] = {}
    monkeypatch.chdir(tmp_path)
    exec(blocks(own, "python")[0], notebook)  # a cell of a notebook
    assert len(notebook["plan"].tables()["pieces"]) == 4 + 4 * 2 + 3


@pytest.mark.parametrize(("typed", "inches"), table(README, "typed", "inches"))
def test_every_spelling_of_a_length_is_read_as_told(typed: str, inches: str) -> None:
    assert parse_length(typed.strip("`"), Unit.IN) == parse_length(inches, Unit.IN)


def test_every_setting_has_the_default_that_is_told() -> None:
    told = {row[0].strip("`"): row[1:3] for row in table(README, "setting", "inch", "mm", "means")}
    assert told == {each.name: [each.inch, each.mm] for each in settings() if each.planned}


def test_what_is_not_planned_with_yet_is_told() -> None:
    told = section(README, "Not planned with yet")
    for form in FORMS:
        columns = " ".join(re.findall(rf"On\s+`{form.sheet}`: ([^.]*)\.", told))
        unplanned = {each.header for each in form.columns if not each.planned}
        if form is SHOP:
            unplanned = {each.name for each in settings() if not each.planned}
        assert marked(columns) == unplanned


# --- DEVELOPERS: the tree and the tests it names -------------------------------------------------


def files_of_tree(tree: str) -> Iterator[str]:
    """The paths of a tree that is drawn by indents of two; folders end with a slash."""
    folders: list[str] = []
    for line in tree.splitlines():
        name, _, meaning = line.strip().partition("  ")
        depth = (len(line) - len(line.lstrip())) // 2
        assert meaning, f"{name} has no meaning"
        folders = folders[:depth]
        if name.endswith("/"):
            folders.append(name)
        else:
            yield "".join([*folders, name])


def test_the_tree_is_that_of_the_files() -> None:
    (tree,) = (block for block in blocks(DEVELOPERS, "text") if block.startswith("stock/"))
    code = [*ROOT.glob("stock/**/*.py"), *ROOT.glob("optimizer/**/*.py")]
    others = [*ROOT.glob("stock/data/*.csv"), *ROOT.glob("sample_data/*")]
    others += ROOT.glob("optimizer/output/templates/*")
    of_modules = {f"test_{path.stem}.py" for path in code}
    tests = [path for path in ROOT.glob("tests/**/*.py") if path.name not in of_modules]
    files = {path.relative_to(ROOT).as_posix() for path in [*code, *others, *tests]}
    told = list(files_of_tree(tree))
    assert {file for file in files if not file.endswith("__init__.py")} == set(told)
    assert len(told) == len(set(told))


def test_every_test_that_is_named_is_there() -> None:
    named = {word for word in marked(DEVELOPERS) if word.startswith("tests/") and "<" not in word}
    assert named
    for word in named:
        path, _, test = word.partition("::")
        assert list(ROOT.glob(path)), word
        assert not test or f"def {test}(" in (ROOT / path).read_text(encoding="utf-8"), word


# --- the words -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def plan() -> Plan:
    return boat_rack().plan


def unexplained(labels: set[str]) -> set[str]:
    assert labels
    return labels - marked(README) - marked(DEVELOPERS)


def test_every_sheet_and_column_and_choice_of_the_books_is_explained() -> None:
    columns = [column for form in ALL_FORMS for column in form.columns]
    labels = {form.sheet for form in ALL_FORMS} | {column.header for column in columns}
    labels.update(*(column.choices for column in columns), *(each.choices for each in settings()))
    assert unexplained(labels) == set()


def test_every_setting_is_explained() -> None:
    assert unexplained({setting.name for setting in settings()}) == set()


def test_every_option_of_every_command_is_explained() -> None:
    commands = typer.main.get_group(app).commands
    options = {
        word
        for command in commands.values()
        for each in command.params
        for word in each.opts
        if word.startswith("--")
    }
    assert unexplained(options) == set()
    assert all(f"rackfirst {name}" in README for name in commands)


def test_every_key_and_word_of_a_plan_file_is_explained(plan: Plan) -> None:
    words = {*map(str, Status), *map(str, CutKind), "store", "rack"}
    assert unexplained(set(keys(json.loads(plan_to_json(plan)))) | words) == set()


def keys(node: Any) -> Iterator[str]:
    match node:
        case dict():
            yield from node
            yield from (key for value in node.values() for key in keys(value))
        case list():
            yield from (key for value in node for key in keys(value))


def test_every_label_of_the_shopping_workbook_is_explained(plan: Plan, tmp_path: Path) -> None:
    book = written(plan, tmp_path, sample_advice())
    stores = {line.store for line in plan.buy}
    names = {sheet.title for sheet in sheets(book)} - stores
    headers = {
        str(cell.value).removesuffix(f", {plan.unit}")
        for sheet in sheets(book)
        for cell in sheet[2]
        if cell.value is not None
    }
    ways = {way.name for way in sample_advice().alternatives}
    wishes = {wish.what for wish in sample_advice().wishes}
    totals = {
        re.sub(rf" (at|to) ({'|'.join(stores)})$", "", str(label))
        for sheet in sheets(book)
        for label in labelled(book, sheet.title)
    }
    of_the_plan = stores | {board.size for board in plan.boards}
    of_the_plan |= {name for each in plan.boards for name in (each.id, each.tag, each.bay)}
    of_the_plan |= {left.tag for board in plan.boards for left in board.leftovers}
    assert unexplained(names | headers | totals - of_the_plan - ways - wishes) == set()


def test_every_heading_and_column_of_the_page_is_explained(plan: Plan) -> None:
    page = cutting_page(work_of(plan))
    found = re.findall(r"<(h2|th|dt|button)[^>]*>([^<]+)<", page)
    headings = {html.unescape(label).strip() for _, label in found}
    assert {"Take", "Comes off", "Clamps"} <= headings
    assert unexplained(headings) == set()


def test_every_label_on_screen_is_explained(plan: Plan) -> None:
    lines = summary(plan).splitlines()[2:]
    labels = {found[1] for line in lines if (found := re.match(r"([A-Z][a-z ]+?)(?= {2}|:)", line))}
    said = {re.sub(r"(?<=^Buy at).*| \(see.*", "", label) for label in labels}
    assert {"Cash", "Net", "This plan"} <= said
    assert unexplained(said) == set()
