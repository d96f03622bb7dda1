"""A real browser, headless: what a page asks for, complains of, keeps and prints."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, sync_playwright

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
needs_chromium = pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")


@dataclass(slots=True)
class Opened:
    """An open page, with what it said on the console and asked of others."""

    page: Page
    context: BrowserContext
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


@contextmanager
def opened(path: Path, *, width: int = 1280, profile: Path | None = None) -> Iterator[Opened]:
    """The file at ``path`` in a window ``width`` pixels wide."""
    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            profile or path.parent / f"profile {width}",
            executable_path=CHROMIUM,
            args=["--no-sandbox"],
            viewport={"width": width, "height": 900},
        )
        try:
            shown = Opened(page=context.new_page(), context=context)
            shown.page.on("console", lambda message: shown.said.append(message.text))
            shown.page.on("pageerror", lambda error: shown.said.append(str(error)))
            shown.page.on("request", lambda request: shown.asked.append(request.url))
            shown.page.goto(path.as_uri())
            yield shown
        finally:
            context.close()
