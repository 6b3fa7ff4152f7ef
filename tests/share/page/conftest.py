"""A real browser: Debian's chromium, told by the test what day it is, and watched for all it asks for and says."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from offseason.share.handout import Handout
from offseason.share.page import page_html
from tests.share.page.handouts import SVG

ARGUMENTS = (
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)


@dataclass
class Watched:
    """What a page asked for besides itself, and what its console said."""

    asked: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)


@pytest.fixture(scope="session")
def browser():
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.fail("chromium is missing: the page cannot be tried in a browser; apt-get install chromium brings it")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=list(ARGUMENTS))
        yield started
        started.close()


@pytest.fixture
def watched():
    return Watched()


@pytest.fixture
def opened(browser: Browser, tmp_path: Path, watched: Watched) -> Callable[..., Page]:
    """Opens the page of a handout as a file, on a day; nothing but the file is let through."""
    contexts = []

    def open_(
        handout: Handout,
        today: str = "2026-10-17",
        *,
        who: str = "",
        svg: str = SVG,
        init: str = "",
        clock: bool = True,
        **more,
    ) -> Page:
        file = tmp_path / "page.html"
        file.write_text(page_html(handout, svg), "utf-8")
        context = browser.new_context(**{"viewport": {"width": 1100, "height": 900}, **more})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(60_000)

        def judge(route):
            if route.request.url.split("#")[0] == file.as_uri():
                route.continue_()
            else:
                watched.asked.append(route.request.url)
                route.abort()

        page.on("console", lambda message: watched.said.append(message.text))
        page.on("pageerror", lambda error: watched.said.append(str(error)))
        page.route("**/*", judge)
        if clock:
            page.clock.set_fixed_time(datetime.fromisoformat(f"{today}T12:00:00"))
        if init:
            page.add_init_script(init)
        page.goto(file.as_uri() + (f"#who={quote(who, safe='')}" if who else ""))
        return page

    yield open_
    for context in contexts:
        context.close()
    assert not watched.asked, "the page asked for something besides itself"
