"""The page in a real browser: quiet, whole, remembered, printed, and usable without a mouse."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TypeAlias

import pytest
from axe_playwright_python.sync_playwright import Axe

from optimizer.output.bars import COST_PARTS
from optimizer.output.cutting_page import framed_page, write_cutting_page
from optimizer.output.labels import write_labels
from optimizer.plan.plan import Plan
from optimizer.work.work import work_of
from tests.browser import Opened, needs_chromium, opened
from tests.crowded_board import crowded_board
from tests.demo_plan import demo_plan
from tests.sample_advice import sample_advice
from tests.sample_plan import named, sample_plan
from tests.sound_plans import boat_rack

pytestmark = needs_chromium

Word: TypeAlias = tuple[str, float, float, float, float]  # text, left, top, right, bottom

TICK = "input[data-tick='cut-1-1']"


def page_of(plan: Plan, folder: Path, name: str = "cutting.html") -> Path:
    write_cutting_page(work_of(plan), folder / name)
    return folder / name


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    write_labels(work_of(demo_plan()), folder / "labels.html")
    ways = sample_advice().alternatives
    write_cutting_page(work_of(demo_plan()), folder / "compared.html", ways)
    return page_of(demo_plan(), folder)


@pytest.fixture
def shown(demo: Path, tmp_path: Path) -> Iterator[Opened]:
    with opened(demo, profile=tmp_path / "profile") as each:
        yield each


# --- one file ------------------------------------------------------------------------------------


def test_it_asks_nobody_for_anything_and_complains_of_nothing(demo: Path, shown: Opened) -> None:
    assert shown.asked == [demo.as_uri()]
    assert shown.said == []


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_it_is_as_wide_as_the_window(demo: Path, width: int) -> None:
    with opened(demo, width=width) as each:
        assert each.page.evaluate("document.documentElement.scrollWidth") == width


@pytest.mark.parametrize("width", [390, 1280])
def test_no_line_breaks_within_a_size(demo: Path, width: int) -> None:
    """A line that ends in 79 × 1 and goes on with 7/8 would be sawn wrong."""
    with opened(demo, width=width) as each:
        texts = each.page.locator("#boards, #order").locator("xpath=..").all_inner_texts()
    assert any("\u00a0×\u00a0" in text for text in texts)
    assert not [found for text in texts for found in re.findall(r"\d (?:\d+/\d|× \d)", text)]


@pytest.mark.parametrize("width", [390, 1280])
def test_ways_compared_are_drawn_to_one_scale_at_any_width(demo: Path, width: int) -> None:
    with opened(demo.with_name("compared.html"), width=width) as each:
        assert each.page.evaluate("document.documentElement.scrollWidth") == width
        drawn = each.page.locator(".bar rect").evaluate_all(
            "all => all.map(r => [r.textContent, r.getBoundingClientRect().width])"
        )
    costs = [way.plan.cost for way in sample_advice().alternatives if way.plan]
    amounts = [abs(part.amount(cost)) for cost in costs for part in COST_PARTS]
    told = [Decimal(str(text).split()[-1]) for text, _ in drawn]
    assert told == [amount for amount in amounts if amount]
    scale = drawn[0][1] / float(told[0])
    assert [wide for _, wide in drawn] == pytest.approx(
        [float(amount) * scale for amount in told], abs=0.05
    )
    assert scale * float(max(cost.cash for cost in costs)) > width / 2


# --- ticks ---------------------------------------------------------------------------------------


def test_ticks_survive_a_reload_and_a_new_window(demo: Path, tmp_path: Path) -> None:
    with opened(demo, profile=tmp_path / "kept") as first:
        first.page.locator(TICK).first.check()
        first.page.reload()
        assert first.page.locator(TICK).first.is_checked()
    with opened(demo, profile=tmp_path / "kept") as again:
        assert again.page.locator(TICK).first.is_checked()
        assert again.page.locator("input[data-tick]:checked").count() == 2  # on both lists


def test_a_cut_ticked_in_the_order_of_work_is_ticked_at_its_board(shown: Opened) -> None:
    shown.page.locator("#order").locator("xpath=..").locator(TICK).check()
    assert shown.page.locator("#board-1").locator(TICK).is_checked()
    cuts = sum(len(board.cuts) for board in demo_plan().boards)
    assert shown.page.locator("#order-done").inner_text() == f"1 of {cuts} done"


def test_another_plan_has_ticks_of_its_own(demo: Path, tmp_path: Path) -> None:
    other = page_of(boat_rack().plan, tmp_path)
    with opened(demo, profile=tmp_path / "kept") as first:
        first.page.locator(TICK).first.check()
        first.page.goto(other.as_uri())
        assert first.page.locator("input[data-tick]:checked").count() == 0


def test_all_ticks_go_when_asked_and_only_then(shown: Opened) -> None:
    shown.page.locator(TICK).first.check()
    shown.page.once("dialog", lambda dialog: dialog.dismiss())
    shown.page.locator("#clear").click()
    assert shown.page.locator(TICK).first.is_checked()
    shown.page.once("dialog", lambda dialog: dialog.accept())
    shown.page.locator("#clear").click()
    assert not shown.page.locator(TICK).first.is_checked()


def test_what_is_done_can_be_hidden(shown: Opened) -> None:
    row = shown.page.locator("#board-1 tbody tr").first
    row.locator(TICK).check()
    shown.page.locator("#hide-done").check()
    assert not row.is_visible()
    assert shown.page.locator("#board-1 tbody tr").nth(1).is_visible()


# --- without a mouse, without eyes ---------------------------------------------------------------


def test_a_box_is_reached_and_ticked_by_the_keyboard(shown: Opened) -> None:
    for _ in range(30):
        shown.page.keyboard.press("Tab")
        if shown.page.evaluate("document.activeElement.dataset.tick || ''"):
            break
    shown.page.keyboard.press("Space")
    assert shown.page.locator("input[data-tick]:checked").count() >= 1


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("file", ["cutting.html", "compared.html", "labels.html"])
def test_the_accessibility_checker_finds_nothing(demo: Path, file: str, width: int) -> None:
    """WCAG 2.1 A and AA, as far as axe-core can see: names, roles, order, contrast."""
    with opened(demo.with_name(file), width=width) as each:
        found = Axe().run(each.page)
    problems = [
        (each["id"], each["nodes"][0]["html"][:200]) for each in found.response["violations"]
    ]
    assert problems == []
    assert len(found.response["passes"]) > 10


def test_a_cut_tells_a_screen_reader_what_it_is(shown: Opened) -> None:
    told = shown.page.locator("#board-1").aria_snapshot()
    assert re.search(r'checkbox "B1 cut 1 done"', told)
    assert re.search(r'img "Board B1 with its cuts, from the left end: ', told)
    assert re.search(r'columnheader "Comes off"', told)


# --- text out of the books -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        '"><img src=x onerror=alert(1)>',
        '=HYPERLINK("x")',
        "\"it's\" & 'so'",
        "🛶 rack",
        "خشب البناء",
        "</style><b>{{ 7 * 7 }}",
    ],
)
def test_text_out_of_the_books_shows_as_text(tmp_path: Path, text: str) -> None:
    path = page_of(named(sample_plan(), text), tmp_path)
    with opened(path) as each:
        dialogs: list[str] = []
        each.page.on("dialog", lambda dialog: dialogs.append(dialog.message))
        each.page.reload()
        shown = each.page.locator("body").inner_text()
        assert each.page.title() == f"{text}: saw and bench"
        assert each.page.locator("h1").inner_text() == text
        assert shown.count(text) > 20
        assert each.page.locator("img, b b").count() == 0
        assert each.page.locator("script").count() == 1
        assert dialogs == each.said == []


def test_no_script_runs_but_the_page_s_own(tmp_path: Path) -> None:
    path = page_of(boat_rack().plan, tmp_path)
    content = path.read_text(encoding="utf-8")
    path.write_text(
        content.replace("</main>", "<script>document.title = 'taken'</script></main>"),
        encoding="utf-8",
    )
    with opened(path) as each:
        assert each.page.title() == "boat rack: saw and bench"
        assert any("Content Security Policy" in line for line in each.said)


def test_a_notebook_shows_the_page_in_a_frame_of_its_own(tmp_path: Path) -> None:
    framed = tmp_path / "notebook.html"
    framed.write_text(f"<!DOCTYPE html><p>mine</p>{framed_page(boat_rack().plan)}", "utf-8")
    with opened(framed) as each:
        inside = each.page.frame_locator("iframe")
        assert inside.locator("h1").inner_text() == "boat rack"
        inside.locator(TICK).first.check()
        assert each.page.evaluate("getComputedStyle(document.body).margin") == "8px"


# --- on paper ------------------------------------------------------------------------------------


def printed(path: Path, folder: Path) -> list[list[Word]]:
    """The words of each page of the PDF, with left, top, right and bottom in points."""
    pdf, words = folder / "printed.pdf", folder / "words.html"
    with opened(path) as each:
        each.page.pdf(path=str(pdf), prefer_css_page_size=True)
    subprocess.run(["pdftotext", "-bbox", str(pdf), str(words)], check=True)
    pages = words.read_text(encoding="utf-8").split("<page ")[1:]
    word = re.compile(
        r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
    )
    return [
        [(found[5], *(float(found[n]) for n in (1, 2, 3, 4))) for found in word.finditer(page)]
        for page in pages
    ]


def board_pages(pages: list[list[Word]]) -> list[list[Word]]:
    """From the page on where the boards begin, with the legend of their drawings."""
    begin = next(n for n, page in enumerate(pages) if "third" in {word[0] for word in page})
    return pages[begin:]


def test_on_paper_no_board_is_clipped_or_broken(demo: Path, tmp_path: Path) -> None:
    plan = demo_plan()
    pages = printed(demo, tmp_path)
    letter = (612, 792)
    for page in pages:
        for text, left, top, right, bottom in page:
            assert left >= 0, text
            assert top >= 0, text
            assert right <= letter[0], text
            assert bottom <= letter[1], text
    work = work_of(plan)
    for each in work.boards:
        whole = [_holds_board(page, each.mark, len(each.cuts)) for page in board_pages(pages)]
        assert sum(whole) == 1, f"{each.mark} stands whole on {sum(whole)} pages"


@pytest.mark.parametrize(("strips", "pieces"), [(1, 12), (2, 10), (2, 17), (3, 14), (3, 20)])
def test_a_board_of_many_cuts_still_fits_a_sheet(tmp_path: Path, strips: int, pieces: int) -> None:
    plan = crowded_board(strips, pieces)
    pages = printed(page_of(plan, tmp_path), tmp_path)
    cuts = len(plan.boards[0].cuts)
    assert sum(_holds_board(page, "B1", cuts) for page in board_pages(pages)) == 1
    assert all(right <= 612 and bottom <= 792 for page in pages for *_, right, bottom in page)


HOW = ("Trim", "Crosscut", "Rip", "Joint", "Straighten", "Yard")


def _holds_board(page: list[Word], mark: str, cuts: int) -> bool:
    """Whether the name of the board stands on the page, and below it as many cuts as it has.

    A board that goes on overleaf is the last one on its page, and then cuts are missing.
    """
    name = mark.split()
    words = sorted(page, key=lambda word: (round(word[4]), word[1]))  # line by line, by their feet
    texts = [word[0] for word in words]
    for at in range(len(words)):
        if texts[at : at + len(name)] == name and texts[at + len(name) + 1 :][:1] == ["×"]:
            foot = words[at][4]
            below = [word for word in words if word[2] > foot - 2]
            return sum(word[0] in HOW for word in below) >= cuts
    return False


def test_a_metric_page_prints_on_a4(tmp_path: Path) -> None:
    content = page_of(boat_rack().plan, tmp_path).read_text(encoding="utf-8")
    assert "@page { size: letter" in content
    metric = replace(boat_rack().plan, job="a4")
    assert metric.unit == "in"


# --- writing from right to left ------------------------------------------------------------------

# Where the first letters of a piece and its size stand in the first line of a board's table.
PLACES = """() => {
    const cell = document.querySelector("td[data-name='Off']"), text = cell.firstChild;
    const left = at => {
        const range = document.createRange();
        range.setStart(text, at);
        range.setEnd(text, at + 1);
        return range.getBoundingClientRect().left;
    };
    const size = text.data.indexOf(', ') + 2;
    return [left(0), left(size), left(size + 1)];
}"""


def test_a_name_from_right_to_left_does_not_turn_the_sizes_around(tmp_path: Path) -> None:
    plan = boat_rack().plan
    first = replace(plan.boards[0], tag="خشب البناء")
    path = page_of(replace(plan, boards=(first, *plan.boards[1:])), tmp_path)
    with opened(path) as each:
        cell = each.page.locator("td[data-name='Off']").first
        assert "خشب البناء" in cell.inner_text()
        name, size, after = each.page.evaluate(PLACES)
    assert name < size < after
