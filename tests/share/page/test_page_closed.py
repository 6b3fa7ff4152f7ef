"""The page lets nothing in and nothing out: no request, no foreign script, and hostile names stay words."""

from __future__ import annotations

import struct
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from offseason.share.page import page_html
from offseason.share.page.markup import shown
from tests.share.page import seen
from tests.share.page.handouts import HOSTILE, SVG, hostile, small

pytestmark = pytest.mark.slow  # a browser is started

INJECTED = """() => {
  document.body.insertAdjacentHTML("beforeend", `<img src="x:y" onerror="document.title='run'">
    <button id="in" onclick="document.title='run'">x</button><a id="js" href="javascript:document.title='run'">x</a>
    <iframe srcdoc="<script>parent.document.title='run'</script>"></iframe>`);
  const script = document.createElement("script");
  script.textContent = "document.title = 'run'";
  document.body.append(script);
  document.getElementById("in").click();
  document.getElementById("js").click();
  return Promise.allSettled([fetch("http://yard.invalid/"), new Promise((done) => setTimeout(done, 300))])
    .then(([one]) => one.status);
}"""


def test_nothing_that_is_put_into_the_page_runs_or_asks_anybody(opened, watched):
    page = opened(small())
    assert page.evaluate(INJECTED) == "rejected"
    assert page.title() == "Winter at Dunlin Carr"
    assert len([said for said in watched.said if "Content Security Policy" in said]) >= 4
    assert watched.asked == []


def test_a_script_that_was_tampered_with_does_not_run(opened, tmp_path):
    page = opened(small())
    changed = page_html(small(), SVG).replace('"use strict";', '"use strict"; document.title = "run";')
    (tmp_path / "page.html").write_text(changed, "utf-8")
    page.reload()
    assert page.title() == "Winter at Dunlin Carr"
    assert not page.locator("#controls").is_visible()


def test_a_picture_with_a_script_in_it_runs_nothing(opened):
    bad = SVG.replace("<rect", "<script>document.title='run'</script><rect onload=\"document.title='run'\"")
    page = opened(small(), svg=bad)
    page.wait_for_timeout(200)
    assert page.title() == "Winter at Dunlin Carr"


def test_hostile_names_are_shown_as_they_are_written_and_never_run(opened, watched):
    page = opened(hostile())
    seen.choose(page, days="All days")
    for word in ("Day", "Person", "Lot"):
        seen.view(page, word)
        for one in hostile().entries:
            told = page.locator(f"#e-{one.id}").text_content()
            for name in (one.row.lot, one.row.step, one.row.at, *one.row.who):
                assert " ".join(name.replace("\u202e", "?").replace("\u202c", "?").split()) in " ".join(told.split())
    for name in HOSTILE:
        page.locator("#who").select_option(value=name.replace("\r\n", "\r\n"))
        assert seen.shown(page) == seen.of(hostile(), who=name)
    assert page.evaluate("document.querySelectorAll('img, iframe, b[onclick]').length") == 0
    assert page.evaluate("document.scripts.length") == 1
    assert page.title() == HOSTILE[1]
    assert (watched.said, watched.asked) == ([], [])


def test_each_hostile_name_can_stand_in_the_address(opened, watched):
    page = opened(hostile())
    for name in HOSTILE:
        page.evaluate("(name) => { location.hash = '#who=' + encodeURIComponent(name) }", name)
        page.locator(f"#e-{seen.of(hostile(), who=name)[0]}").wait_for()
        assert seen.shown(page) == seen.of(hostile(), who=name)
    assert watched.said == []


def test_names_are_escaped_wherever_they_stand():
    page = page_html(hostile(), SVG)
    assert page.count("<script>") == 1
    assert page.count("<style>") == 1
    assert "<img" not in page
    assert shown(HOSTILE[2]) in page


def test_the_console_stays_empty_while_everything_is_used(opened, watched):
    page = opened(small(), init="window.print = () => {}")
    page.on("dialog", lambda dialog: dialog.accept())
    for word in ("Lot", "Person", "Day"):
        seen.view(page, word)
        seen.choose(page, who="Joss", days="All days")
        seen.choose(page, who="Everybody", days="From today on")
    seen.tick(page, small().entries[1].id)
    for called in ("print-days", "print-months", "copy", "afresh"):
        page.locator(f"#{called}").click()
    assert (watched.said, watched.asked) == ([], [])


def test_the_picture_can_be_saved_as_svg_and_as_png(opened, watched):
    page = opened(small())
    with page.expect_download() as download:
        page.get_by_role("button", name="Save picture as SVG").click()
    assert download.value.suggested_filename == "winter.svg"
    assert ET.parse(download.value.path()).getroot().tag == "{http://www.w3.org/2000/svg}svg"  # noqa: S314
    with page.expect_download() as download:
        page.get_by_role("button", name="Save picture as PNG").click()
    saved = download.value.path().read_bytes()
    assert (saved[:8], struct.unpack(">II", saved[16:24])) == (b"\x89PNG\r\n\x1a\n", (2200, 240))
    page.get_by_text("Saved as winter.png.").wait_for()
    assert watched.said == []


def test_without_a_picture_the_page_works_all_the_same(opened, watched):
    page = opened(replace(small(), deadlines=(), changes=None, left=(), weather=()), svg="")
    assert len(seen.shown(page)) == 7
    assert page.locator("#glance, #changes, #left, #deadlines, #weather").count() == 0
    assert watched.said == []
