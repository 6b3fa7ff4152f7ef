"""The page on paper: a day to a sheet, a month to a page, on A4 and Letter, with nothing cut off or left out."""

from __future__ import annotations

import io
import unicodedata

import pytest
from pypdf import PdfReader

from offseason.plan.layout import time_text
from tests.share.page import seen
from tests.share.page.handouts import FIRST, SECOND, THIRD, handed, hostile, made_of, row, small, yard

pytestmark = pytest.mark.slow  # a browser is started

NO_DIALOG = "window.print = () => { window.asked = (window.asked ?? 0) + 1 }"
BOTH = pytest.mark.parametrize("paper", ["A4", "Letter"])


def bare(words: str) -> str:
    return "".join(unicodedata.normalize("NFKC", words).split())


def printed(page, paper: str = "A4") -> list[str]:
    """The words of each page of what the browser would print, without blanks."""
    pdf = PdfReader(io.BytesIO(page.pdf(format=paper)))
    return [bare(one.extract_text()) for one in pdf.pages]


def words_of(entry) -> str:
    one = entry.row
    pieces = f"{one.pieces:,}" if one.pieces > 1 else "one of the"
    what = one.step if one.step == one.lot else f"{one.step}:{pieces}{one.lot}"
    return bare(f"{time_text(one.start)}–{time_text(one.end)}{what}")


@BOTH
def test_each_day_that_is_shown_is_one_sheet_with_all_its_entries(opened, paper):
    sheets = printed(opened(small(), "2026-10-17"), paper)
    assert len(sheets) == 3
    for sheet, day in zip(sheets, (FIRST, SECOND, THIRD), strict=True):
        there = [one for one in small().entries if one.row.day == day]
        assert bare(f"{day:%a} {day.day} {day:%b %Y}") in sheet
        assert "WinteratDunlinCarr" in sheet
        assert [words_of(one) for one in there if words_of(one) not in sheet] == []
        assert [who for one in there for who in one.row.who if who not in sheet] == []
        assert [word for one in there for word in one.cautions if bare(f"{word}") not in sheet] == []
        assert "Thelabelandyourlocalauthoritycomebeforethesenumbers." in sheet
    assert "neverwithwateronit" in sheets[1]
    assert "neverwithwateronit" not in sheets[0]


def test_only_what_is_shown_is_printed(opened):
    page = opened(small(), "2026-10-24", who="Maren")
    assert len(printed(page)) == 1
    seen.choose(page, days="All days")
    sheets = printed(page)
    assert len(sheets) == 2
    assert "Wilhelmina" not in "".join(sheets)
    assert "scrape" not in "".join(sheets)
    seen.choose(page, who="Everybody", days="From today on")
    assert len(printed(page)) == 2


@pytest.mark.parametrize("word", ["Person", "Lot"])
def test_however_the_work_is_set_out_paper_has_day_sheets_and_the_screen_is_left_as_it_was(opened, word):
    page = opened(small(), "2026-10-17")
    asked = printed(page)
    seen.view(page, word)
    before = seen.ids(page)
    assert printed(page) == asked
    assert seen.ids(page) == before
    assert page.locator("#by-other").is_visible()


def test_without_scripts_all_days_are_printed(opened):
    assert printed(opened(small(), java_script_enabled=False)) == printed(opened(small(), "2026-10-17"))


@BOTH
def test_a_long_day_goes_on_on_the_next_page_under_its_day(opened, paper):
    entries = tuple(
        handed(
            row(
                FIRST,
                f"{7 + n // 12:02}:{n % 12 * 5:02}",
                f"{7 + n // 12:02}:{n % 12 * 5 + 4:02}",
                ("Maren",),
                "scrape",
                n + 2,
                f"lot {n}",
            )
        )
        for n in range(120)
    )
    sheets = printed(opened(made_of(entries)), paper)
    assert 2 <= len(sheets) <= 4
    assert all("Sat17Oct2026" in sheet for sheet in sheets)
    told = "".join(sheets)
    assert [one.row.lot for one in entries if words_of(one) not in told] == []


@BOTH
def test_a_busy_day_of_a_whole_crew_is_still_one_sheet_with_what_is_said_of_care(opened, paper):
    crew = ("Maren", "Joss", "Wilhelmina")
    entries = tuple(
        handed(
            row(FIRST, f"{8 + n}:00".rjust(5, "0"), f"{8 + n}:50".rjust(5, "0"), (who,), "scrape", n + 2, f"lot {n}")
        )
        for n in range(14)
        for who in crew
    )
    (sheet,) = printed(opened(made_of(entries)), paper)
    assert [one.row.lot for one in entries if words_of(one) not in sheet] == []
    assert "Thelabelandyourlocalauthoritycomebeforethesenumbers." in sheet


@BOTH
def test_nothing_is_wider_than_the_paper(opened, paper):
    width = {"A4": 210, "Letter": 216}[paper] - 24
    for handout in (small(), hostile()):
        page = opened(handout, viewport={"width": int(width * 96 / 25.4), "height": 900})
        seen.tick(page, handout.entries[1].id)
        page.emulate_media(media="print")
        assert seen.too_wide(page) <= 0


def test_hostile_names_are_printed_as_words(opened):
    told = "".join(printed(opened(hostile(), "2026-10-17")))
    assert "<script>document.title='run'</script>" in told
    assert "n" * 300 in told


@BOTH
def test_months_are_one_page_each_with_who_comes_and_what_is_done(opened, paper):
    page = opened(small(), "2026-10-17", init=NO_DIALOG)
    page.get_by_role("button", name="Print months").click()
    assert page.evaluate("window.asked") == 1
    october, november = printed(page, paper)
    assert "October2026" in october
    assert "Maren,Joss" in october
    assert "sortout400" in october
    assert "pressthecappings" in october
    assert "pressthecappings1" not in october
    assert "November2026" in november
    assert "firstcoat5" in november
    assert len(printed(page, paper)) == 3  # afterwards the browser's own command prints day sheets again


def test_months_of_one_person_hold_only_their_work(opened):
    page = opened(small(), "2026-10-17", who="Wilhelmina", init=NO_DIALOG)
    page.get_by_role("button", name="Print months").click()
    (november,) = printed(page)
    assert "November2026" in november
    assert "Joss" not in november


@BOTH
@pytest.mark.slow
def test_a_commercial_yard_fits_month_by_month(opened, paper):
    page = opened(yard(), "2027-04-12", init=NO_DIALOG)
    page.get_by_role("button", name="Print months").click()
    months = sorted({f"{one.row.day:%B%Y}" for one in yard().entries})
    pages = printed(page, paper)
    assert sorted(next(month for month in months if month in one) for one in pages) == months


def test_one_of_a_commercial_yard_has_a_sheet_for_each_day_and_no_entry_is_lost(opened):
    sheets = printed(opened(yard(), "2027-04-12", who="Amaru"), "Letter")
    theirs = [one for one in yard().entries if "Amaru" in one.row.who]
    assert len(sheets) == len({one.row.day for one in theirs})
    assert [one.id for one in theirs if words_of(one) not in "".join(sheets)] == []


def test_print_day_sheets_asks_the_browser_to_print(opened):
    page = opened(small(), init=NO_DIALOG)
    page.get_by_role("button", name="Print day sheets").click()
    assert page.evaluate("window.asked") == 1
