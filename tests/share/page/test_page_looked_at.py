"""Looking at the page in a browser: today first, one person's work, set out by day, person or lot, nothing lost."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.share.page import seen
from tests.share.page.handouts import FIRST, SECOND, THIRD, handed, made_of, row, small, yard

pytestmark = pytest.mark.slow  # a browser is started


def test_what_is_to_do_today_stands_at_the_top_and_leads_to_the_work(opened):
    page = opened(small(), "2026-10-17")
    told = page.locator("#today").inner_text()
    assert "Today, Sat 17 Oct 2026" in told
    assert "Maren 09:00–12:20, 3 entries" in told
    assert "Joss 09:00–10:00, 1 entry" in told
    assert page.locator(".day h3").first.inner_text() == "Today: Sat 17 Oct 2026"
    page.get_by_text("To today’s work").click()
    assert page.locator(f"#d-{FIRST}").bounding_box()["y"] < 900


def test_on_a_day_without_work_the_next_one_is_named(opened):
    told = opened(small(), "2026-10-18", who="Wilhelmina").locator("#today").inner_text()
    assert "Nothing is planned today. Next: Sat 7 Nov 2026." in told
    assert "Wilhelmina 09:00–09:30, 1 entry" in told


def test_days_gone_by_are_folded_and_come_last(opened):
    page = opened(small(), "2026-10-24")
    assert seen.shown(page) == seen.of(small(), day=SECOND) + seen.of(small(), day=THIRD)
    assert "3 entries on 2 days; 4 entries of days gone by are folded" in page.locator("#said").inner_text()
    page.get_by_text("Days gone by: 1").click()
    assert sorted(seen.shown(page)) == sorted(seen.of(small()))
    seen.choose(page, days="All days")
    assert page.locator(".day h3").first.inner_text() == "Sat 17 Oct 2026"


def test_after_the_last_day_all_is_shown_and_it_is_said_that_nothing_is_left(opened):
    page = opened(small(), "2027-08-01")
    assert "Nothing more is planned." in page.locator("#today").inner_text()
    assert sorted(seen.shown(page)) == sorted(seen.of(small()))


def test_the_days_to_be_shown_can_be_chosen(opened):
    page = opened(small(), "2026-10-17")
    for word, last in (("Today", FIRST), ("7 days from today", FIRST + timedelta(6)), ("All days", THIRD)):
        seen.choose(page, days=word)
        assert sorted(seen.shown(page)) == sorted(e.id for e in small().entries if e.row.day <= last)


def test_the_address_shows_the_work_of_one_person_shared_work_with_it(opened):
    page = opened(small(), who="Joss")
    assert sorted(seen.shown(page)) == sorted(seen.of(small(), who="Joss"))
    assert "Shown: 3 entries on 2 days for Joss." in page.locator("#said").inner_text()
    shared = small().entries[4].id
    assert seen.under(page, shared) == ["Sat 24 Oct 2026", "Joss"]
    assert "Maren and Joss" in page.locator(f"#e-{shared}").inner_text()
    assert "1 thing" in page.locator("#changes").inner_text()
    assert "comes too" not in page.locator("#changes").inner_text()
    seen.choose(page, who="Everybody")
    assert sorted(seen.shown(page)) == sorted(seen.of(small()))
    assert seen.under(page, shared) == ["Sat 24 Oct 2026", "Maren"]
    assert "#" not in page.url


def test_who_was_chosen_stays_in_the_address_through_a_reload_and_a_look_at_a_caution(opened):
    page = opened(small())
    seen.choose(page, who="Joss")
    assert page.url.endswith("#who=Joss")
    page.locator(".c a").first.click()
    assert page.url.endswith("#care-1")
    page.reload()
    assert sorted(seen.shown(page)) == sorted(seen.of(small(), who="Joss"))
    page.evaluate("location.hash = '#who=Maren'")
    page.get_by_text("for Maren").wait_for()
    assert sorted(seen.shown(page)) == sorted(seen.of(small(), who="Maren"))


@pytest.mark.parametrize("name", ["Nobody & Co", "%", "<b>x</b>"])
def test_a_name_that_is_not_in_the_plan_is_said_and_hides_nothing(opened, name):
    page = opened(small(), who=name)
    assert f"Nobody in this plan is called {name}. Everybody is shown." in page.locator("#said").inner_text()
    assert sorted(seen.shown(page)) == sorted(seen.of(small()))


def test_a_name_is_found_however_it_is_written_and_whatever_is_in_it(opened):
    names = ("Noël “the Younger”, of +100% & Sons", "Zoë/#?")
    handout = made_of(tuple(handed(row(FIRST, "09:00", "10:00", (n,), "scrape", 3, "boxes")) for n in names))
    for name in names:
        assert seen.shown(opened(handout, who=name)) == seen.of(handout, who=name)
    assert seen.shown(opened(handout, who="ZOE\u0308/#?")) == seen.of(handout, who=names[1])


def test_a_second_person_is_told_where_shared_work_stands(opened):
    page = opened(small(), "2026-10-24")
    told = page.locator(f"#d-{SECOND} [data-of=Joss] .also")
    assert told.inner_text() == "09:00–11:00 press the cappings, with Maren: see there\nCare: hot wax"
    seen.view(page, "Person")
    section = page.locator(".group", has=page.get_by_role("heading", name="Joss", exact=True))
    assert section.locator(".also").inner_text().startswith("09:00–11:00 press the cappings")
    seen.choose(page, who="Joss")
    assert not page.locator(".also").first.is_visible()


@pytest.mark.parametrize("handout", [small(), pytest.param(yard(), marks=pytest.mark.slow)], ids=["small", "yard"])
def test_every_entry_is_on_the_page_once_however_it_is_set_out(opened, handout):
    page = opened(handout, "2026-10-17")
    every = sorted(one.id for one in handout.entries)
    seen.choose(page, days="All days")
    for word in ("Person", "Lot", "Day", "Lot", "Person", "Day"):
        seen.view(page, word)
        assert sorted(seen.ids(page)) == every
        assert sorted(seen.shown(page)) == every
        assert (
            page.locator("#controls").get_by_role("button", name=word, exact=True).get_attribute("aria-pressed")
            == "true"
        )
        seen.choose(page, who=handout.people[1])
        assert sorted(seen.shown(page)) == sorted(seen.of(handout, who=handout.people[1]))
        seen.choose(page, who="Everybody")
    assert seen.ids(page) == seen.ids(opened(handout, "2026-01-01"))


def test_by_person_and_by_lot_an_entry_stands_under_its_own_and_in_order_of_time(opened):
    page = opened(small(), "2026-10-17")
    seen.view(page, "Person")
    assert seen.under(page, small().entries[4].id) == ["Maren", "Sat 24 Oct 2026"]
    assert page.locator(".group > h3").all_inner_texts() == ["Maren", "Joss", "Wilhelmina"]
    seen.view(page, "Lot")
    one, two, three = (small().entries[n].id for n in (0, 2, 3))
    assert [i for i in seen.ids(page) if i in {one, two, three}] == [one, two, three]
    assert seen.under(page, one) == ["super combs", "Today: Sat 17 Oct 2026"]


def test_at_midnight_the_page_turns_to_the_new_day(opened):
    page = opened(small(), "2026-10-23")
    assert "Nothing is planned today. Next: Sat 24 Oct 2026." in page.locator("#today").inner_text()
    page.clock.set_fixed_time("2026-10-24T00:01:00")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert page.locator("#today h2").inner_text() == "Today, Sat 24 Oct 2026"
    assert page.locator(f"#d-{SECOND} h3").inner_text() == "Today: Sat 24 Oct 2026"


def test_without_scripts_all_the_work_is_there_and_it_is_said_what_is_not(opened):
    page = opened(small(), java_script_enabled=False)
    told = page.locator("body").inner_text()
    assert "Scripts do not run here." in told
    assert told.count("sort out") == 3
    assert "Text to send back" not in told
    assert not page.locator("#controls").is_visible()


# The clock of the tests stands still; here only the day is set.
ON_A_DAY = (
    "const Real = Date; Date = class extends Real { constructor(...a) { super(...(a.length ? a : [2027, 4, 28])) } }"
)
PAINTED = "() => new Promise((done) => requestAnimationFrame(() => setTimeout(done)))"
FILTERED = """() => new Promise((done) => {
  const who = document.getElementById("who");
  who.value = who.options[2].value;
  who.dispatchEvent(new Event("change", {bubbles: true}));
  requestAnimationFrame(() => setTimeout(done));
})"""


@pytest.mark.slow
def test_the_page_of_a_commercial_yard_is_open_and_answers_within_a_second(opened, watched):
    """A second of the work of the thread that reads, lays out and runs: others may keep the machine busy."""
    page = opened(yard(), clock=False, init=ON_A_DAY)
    browser = page.context.new_cdp_session(page)
    browser.send("Performance.enable", {"timeDomain": "threadTicks"})

    def worked_s() -> float:
        return next(
            m["value"] for m in browser.send("Performance.getMetrics")["metrics"] if m["name"] == "TaskDuration"
        )

    before_s = worked_s()
    page.reload()
    page.evaluate(PAINTED)
    opening_s = worked_s() - before_s
    assert page.locator(".day:not([hidden]) h3").first.inner_text() == "Today: Fri 28 May 2027"
    assert page.locator(".day:not([hidden]) li.entry").first.bounding_box()["y"] < 900
    before_s = worked_s()
    page.evaluate(FILTERED)
    filtering_s = worked_s() - before_s
    assert seen.shown(page)[0] in seen.of(yard(), who=yard().people[1])
    print(f"opening {opening_s:.3f} s, filtering {filtering_s:.3f} s")
    assert min(opening_s, filtering_s) > 0
    assert opening_s + filtering_s < 1
    assert not watched.said
