"""Ticking what is done: kept by the browser, written as lines that offseason reads, sent back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from offseason.cli import main
from offseason.plan.document import Plan
from offseason.plan.file import write_plan
from offseason.plan.origin import digest_of
from offseason.plan.progress.log import read_log
from offseason.share.page import page_html
from tests.plan.progress.yards import SCENARIO
from tests.share.page import seen
from tests.share.page.handouts import hostile, small

pytestmark = pytest.mark.slow  # a browser is started

DENIED = "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('no', 'SecurityError') }})"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError') }"
DONE, SCRAPE, SORT, SORT_AGAIN, PRESS, CLEAN, COAT = (entry.id for entry in small().entries)


@pytest.fixture
def recorded(tmp_path, capsys):
    """Has offseason record lines sent back from the page; gives what then stands in the log."""
    (tmp_path / "winter.yaml").write_text(SCENARIO, "utf-8")
    plan = tmp_path / "winter.plan.yaml"
    made = datetime(2026, 10, 1, tzinfo=UTC)
    write_plan(plan, Plan("winter.yaml", digest_of(tmp_path / "winter.yaml"), made, "by test", False, (), ()))

    def record(lines: list[str], today: str) -> list[tuple]:
        (tmp_path / "sent.txt").write_text("\n".join(lines), "utf-8")
        code = main(["record", str(plan), "--from", str(tmp_path / "sent.txt"), "--today", today])
        told = capsys.readouterr()
        assert (code, told.err) == (0, "")
        assert "taken as" not in told.out
        log = read_log(tmp_path / "winter.log.yaml")
        return sorted((str(e.day), " ".join(e.who), e.step, e.lot, e.pieces) for e in log.entries)

    return record


def test_ticks_are_sent_as_lines_that_offseason_reads(opened, recorded):
    page = opened(small(), "2026-11-07")
    seen.choose(page, days="All days")
    for entry in (SCRAPE, SORT, SORT_AGAIN, PRESS):
        seen.tick(page, entry)
    assert recorded(seen.text(page), "2026-11-07") == [
        ("2026-10-17", "Joss", "scrape", "deep boxes, old paint", 12),
        ("2026-10-17", "Maren", "sort out", "super combs", 100),
        ("2026-10-17", "Maren", "sort out", "super combs", 100),
        ("2026-10-24", "Maren Joss", "press the cappings", "press the cappings", 1),
    ]


def test_two_stretches_of_the_same_work_sent_one_after_the_other_are_both_recorded(opened, recorded):
    page = opened(small(), "2026-10-17")
    page.on("dialog", lambda dialog: dialog.accept())
    seen.tick(page, SORT)
    recorded(seen.text(page), "2026-10-17")
    page.get_by_role("button", name="Sent: start afresh").click()
    assert seen.text(page) == []
    seen.tick(page, SORT_AGAIN)
    assert len(recorded(seen.text(page), "2026-10-17")) == 2
    assert len(recorded(seen.text(page), "2026-10-17")) == 2


def test_fewer_pieces_than_planned_can_be_said(opened, recorded):
    page = opened(small(), "2026-10-17")
    seen.tick(page, SCRAPE)
    field = page.locator(f"#e-{SCRAPE} input[type=number]")
    assert field.input_value() == "12"
    field.fill("7")
    assert recorded(seen.text(page), "2026-10-17") == [("2026-10-17", "Joss", "scrape", "deep boxes, old paint", 7)]
    for wrong in ("0", "13", "-1", "1.5", ""):
        field.fill(wrong)
        assert " 7 " in seen.text(page)[0]
    field.blur()
    assert field.input_value() == "7"
    page.reload()
    assert field.input_value() == "7"
    assert page.locator(f"#e-{PRESS} input[type=number]").count() == 0


def test_more_than_was_sent_before_counts_once(opened, recorded):
    """A part is done and sent, then all of it: the later text holds the earlier line and the rest."""
    page = opened(small(), "2026-10-17")
    page.on("dialog", lambda dialog: dialog.accept())
    seen.tick(page, SCRAPE)
    field = page.locator(f"#e-{SCRAPE} input[type=number]")
    field.fill("7")
    page.get_by_role("button", name="Copy the text").click()
    first = seen.text(page)
    field.fill("9")
    assert len(seen.text(page)) == 2
    assert seen.text(page)[0] == first[0]
    assert "planned 09:00, 2 more than the 7 sent before" in seen.text(page)[1]
    page.get_by_role("button", name="Sent: start afresh").click()
    page.reload()
    seen.tick(page, SCRAPE)
    assert len(seen.text(page)) == 3
    assert recorded(first, "2026-10-17")[0][-1] == 7
    assert sorted(line[-1] for line in recorded(seen.text(page), "2026-10-17")) == [2, 3, 7]
    assert len(recorded(seen.text(page), "2026-10-17")) == 3


def test_fewer_than_were_sent_before_are_taken_back(opened, recorded):
    page = opened(small(), "2026-10-17")
    seen.tick(page, SCRAPE)
    page.get_by_role("button", name="Copy the text").click()
    page.locator(f"#e-{SCRAPE} input[type=number]").fill("7")
    assert sorted(line[-1] for line in recorded(seen.text(page), "2026-10-17")) == [-5, 12]
    assert len(recorded(seen.text(page), "2026-10-17")) == 2


def test_what_is_done_before_its_day_and_sent_keeps_its_line_on_a_later_day(opened):
    page = opened(small(), "2026-10-20")
    page.on("dialog", lambda dialog: dialog.accept())
    seen.choose(page, days="All days")
    seen.tick(page, CLEAN)
    first = seen.text(page)
    page.get_by_role("button", name="Sent: start afresh").click()
    page.clock.set_fixed_time("2026-10-21T12:00:00")
    seen.tick(page, CLEAN)
    assert seen.text(page) == first
    assert '"planned 2026-' in first[0]


def test_what_is_done_before_its_day_is_written_with_the_day_of_the_tick(opened, recorded):
    page = opened(small(), "2026-10-20")
    seen.choose(page, days="All days")
    seen.tick(page, CLEAN)
    seen.tick(page, SCRAPE)
    assert [line[0] for line in recorded(seen.text(page), "2026-10-20")] == ["2026-10-17", "2026-10-20"]
    assert "What is done before its day is written with the day of the tick." in page.locator("#send").inner_text()


def test_ticks_stay_through_a_reload_and_can_be_taken_away(opened):
    page = opened(small())
    seen.tick(page, SCRAPE)
    seen.tick(page, CLEAN)
    page.reload()
    assert page.locator("li.entry input:checked").count() == 2
    assert page.locator("#bar").inner_text() == "2 ticked: text to send back"
    page.locator(f"#e-{SCRAPE} input[type=checkbox]").uncheck()
    page.reload()
    assert [line.split()[1] for line in seen.text(page)] == ['"Joss"']
    assert "clean the extractor" in seen.text(page)[0]


def test_ticks_stay_while_the_work_is_set_out_otherwise(opened):
    page = opened(small())
    seen.tick(page, SCRAPE)
    for word in ("Lot", "Person", "Day"):
        seen.view(page, word)
        assert page.locator(f"#e-{SCRAPE} input[type=checkbox]").is_checked()


def test_what_the_plan_has_as_done_cannot_be_ticked_and_is_not_sent_again(opened, tmp_path):
    page = opened(small())
    assert page.locator(f"#e-{DONE} input").count() == 0
    assert page.locator(f"#e-{DONE}").inner_text().startswith("done")
    seen.tick(page, SCRAPE)
    seen.tick(page, SORT)
    newer = tuple(replace(one, row=replace(one.row, done=True)) if one.id == SCRAPE else one for one in small().entries)
    (tmp_path / "page.html").write_text(page_html(replace(small(), entries=newer), ""), "utf-8")
    page.reload()
    assert len(seen.text(page)) == 1
    assert "1 tick of before: recorded already" in page.locator("#send").inner_text()


def test_a_newer_page_still_sends_ticks_whose_entry_is_gone_from_it(opened, recorded, tmp_path):
    page = opened(small())
    seen.tick(page, SCRAPE)
    seen.tick(page, SORT)
    newer = tuple(one for one in small().entries if one.id != SCRAPE)
    (tmp_path / "page.html").write_text(page_html(replace(small(), entries=newer), ""), "utf-8")
    page.reload()
    assert seen.text(page)[1] == "# ticked on an older page; no longer on this one:"
    assert [line[2] for line in recorded(seen.text(page), "2026-10-17")] == ["scrape", "sort out"]
    other = replace(small(), winter_id="another")
    (tmp_path / "page.html").write_text(page_html(other, ""), "utf-8")
    page.reload()
    assert seen.text(page) == []


@pytest.mark.parametrize("denied", [DENIED, FULL])
def test_where_the_browser_keeps_nothing_the_page_works_and_says_so(opened, watched, denied):
    page = opened(small(), init=denied)
    seen.tick(page, SCRAPE)
    seen.tick(page, SORT)
    assert len(seen.text(page)) == 2
    assert "This browser keeps nothing" in page.locator("#kept").inner_text()
    seen.view(page, "Lot")
    assert page.locator("li.entry input:checked").count() == 2
    assert not watched.said


@pytest.mark.parametrize("kept", ["nonsense", "null", "[]", "7", '{"x": 1}', '{"x": {"line": 1}}'])
def test_what_others_left_in_the_memory_of_the_browser_does_no_harm(opened, watched, kept):
    page = opened(small(), init=f"localStorage.getItem = Storage.prototype.getItem = () => {kept!r}")
    assert seen.text(page) == []
    assert len(seen.shown(page)) == 7
    assert not watched.said


def test_starting_afresh_asks_first(opened):
    page = opened(small())
    asked = []
    page.once("dialog", lambda dialog: (asked.append(dialog.message), dialog.dismiss()))
    seen.tick(page, SCRAPE)
    page.get_by_role("button", name="Sent: start afresh").click()
    assert asked == ["Were the lines sent? All ticks on this page are taken away."]
    assert len(seen.text(page)) == 1
    page.once("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Sent: start afresh").click()
    page.reload()
    assert page.locator("li.entry input:checked").count() == 0


def test_the_text_can_be_copied_or_is_marked_for_copying_by_hand(opened):
    page = opened(small(), permissions=["clipboard-read", "clipboard-write"])
    seen.tick(page, SCRAPE)
    page.get_by_role("button", name="Copy the text").click()
    page.get_by_text("Copied. Paste it into a message.").wait_for()
    assert page.evaluate("navigator.clipboard.readText()").splitlines() == seen.text(page)
    without = "Object.defineProperty(navigator, 'clipboard', {value: undefined}); document.execCommand = () => false"
    page = opened(small(), init=f"{without}; Document.prototype.execCommand = () => false")
    seen.tick(page, SCRAPE)
    page.get_by_role("button", name="Copy the text").click()
    page.get_by_text("The text is marked: copy it by hand.").wait_for()
    assert page.evaluate("document.activeElement.selectionEnd") == len("\n".join(seen.text(page)))


def test_two_windows_of_the_page_hold_the_same_ticks(opened):
    page = opened(small())
    other = page.context.new_page()
    other.goto(page.url)
    seen.tick(page, SCRAPE)
    other.locator(f"#e-{SCRAPE} input:checked").wait_for(state="attached")
    seen.tick(other, SORT)
    page.locator(f"#e-{SORT} input:checked").wait_for(state="attached")
    assert seen.text(page) == seen.text(other)


def test_hostile_names_can_be_ticked(opened, watched):
    page = opened(hostile())
    seen.choose(page, days="All days")
    boxes = page.locator("li.entry input[type=checkbox]")
    for at in range(boxes.count()):
        boxes.nth(at).check()
    assert page.locator("li.entry input:checked").count() == len(hostile().entries)
    assert page.title() == "</style><script>document.title='run'</script>"
    assert not watched.said
