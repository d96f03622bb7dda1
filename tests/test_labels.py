"""Labels say what is on the piece, and a reader finds the tag in the code."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
import segno
import zxingcpp
from PIL import Image

from optimizer.output.labels import Label, labels, labels_page, write_labels
from optimizer.work.work import work_of
from tests.browser import needs_chromium, opened
from tests.demo_plan import demo_plan
from tests.sample_plan import named, sample_plan
from tests.sound_plans import boat_rack


def test_every_part_and_every_leftover_has_one() -> None:
    plan = demo_plan()
    found = [label.tag for label in labels(work_of(plan))]
    tags = [left.tag for board in plan.boards for left in board.leftovers]
    assert sorted(found) == sorted([*work_of(plan).marks.parts, *tags])


def test_a_label_says_size_and_where_from() -> None:
    found = {label.tag: label for label in labels(work_of(boat_rack().plan))}
    assert found["C1"] == Label(
        tag="C1", name="Post", size="30 × 2 3/4 × 2 3/4", where="C1a, C1b of B2"
    )
    assert found["A1"].where == "of R001"
    assert found["R003"] == Label(
        tag="R003", name="SPF", size="32 3/4 × 3 1/2 × 1 1/2", where="bay ________, left of B2"
    )


@pytest.mark.parametrize("tag", ["R003", "C1", "R010 (2)", "🛶", "خشب", '=HYPERLINK("x")', "<b>"])
def test_a_reader_finds_the_tag_in_the_code(tag: str) -> None:
    """Read by ZXing, another program than the one that drew it (ISO/IEC 18004)."""
    drawn = segno.make_qr(tag, error="m", boost_error=False)
    picture = io.BytesIO()
    drawn.save(picture, kind="png", scale=6, border=4)
    assert zxingcpp.read_barcodes(Image.open(picture))[0].text == tag


@needs_chromium
def test_every_code_on_the_printed_sheet_is_read(tmp_path: Path) -> None:
    work = work_of(boat_rack().plan)
    write_labels(work, tmp_path / "labels.html")
    with opened(tmp_path / "labels.html") as shown:
        shown.page.emulate_media(media="print")
        picture = shown.page.screenshot(full_page=True)
        assert shown.said == []
        assert shown.asked == [(tmp_path / "labels.html").as_uri()]
    read = [found.text for found in zxingcpp.read_barcodes(Image.open(io.BytesIO(picture)))]
    assert sorted(read) == sorted(label.tag for label in labels(work))


@needs_chromium
def test_a_sheet_of_thirty_fills_a_page(tmp_path: Path) -> None:
    work = work_of(demo_plan())
    write_labels(work, tmp_path / "labels.html")
    with opened(tmp_path / "labels.html") as shown:
        pdf = shown.page.pdf(prefer_css_page_size=True)
    sheets = -(-len(labels(work)) // 30)
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == sheets


def test_labels_of_two_jobs_are_told_apart() -> None:
    plan = boat_rack().plan
    page = labels_page(work_of(replace(plan, job="Seat & shelf")))
    assert "<bdi>Rail</bdi> · <bdi>Seat &amp; shelf</bdi>" in page


def test_text_out_of_the_books_is_escaped() -> None:
    page = labels_page(work_of(named(sample_plan(), "<script>alert(1)</script>")))
    assert "<script" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
