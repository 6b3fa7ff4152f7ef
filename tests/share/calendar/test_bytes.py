"""The files byte by byte, as RFC 5545 has them, whatever names are in the scenario."""

from __future__ import annotations

import re
from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from offseason.share.calendar import calendar_of
from offseason.share.calendar.content import Text, folded, unescaped, unfolded
from offseason.share.calendar.drafts import plain
from offseason.share.handout import Deadline
from tests.share.calendar.made import BOTH, NOW, SATURDAY, handout, work

NASTY = (
    "<script>alert(1)</script>",
    "Ann\r\nBEGIN:VEVENT\r\nUID:x",
    "BEGIN:VEVENT",
    "END:VCALENDAR",
    "\u202eevil\u202c \u200fשלום\u200e",
    "\u2067unclosed",
    "x" * 300,
    "é" * 300,
    "🐝" * 100,
    "👩\u200d🌾 with a hive",
    "a;b,c:d=\"e\"'f'",
    r"back\slash \n \N \\ \; \, C:\new",
    "\\" * 101,
    "ends in \\",
    " spaces \t tab \u2028 \x85 \x0b \x00 \x07 \x1b[31m",
    "%2C%0D%0A^n^'",
    "None",
)


def nasty(name: str):
    """A handout in which everything has this name."""
    entries = (
        work(SATURDAY, time(9), time(10), (name, "Bo"), name, name + "s", at=name, cautions=(name, "dust")),
        work(SATURDAY, time(14), time(15), name, "freeze", "super combs", 40),
    )
    return handout(*entries, name=name, people=(name, "Bo"), deadlines=(Deadline(date(2027, 3, 1), name, name),))


def made(name: str, *, who: str | None = None, alarm: int | None = 30) -> bytes:
    return calendar_of(nasty(name), who, None, now=NOW, alarm_minutes=alarm)


def check_lines(content: bytes) -> None:
    """RFC 5545: section 3.1 (CR LF, 75 octets, UTF-8 not cut), 3.3.11 (escapes), 3.4 and 3.6 (nesting)."""
    assert content.endswith(b"END:VCALENDAR\r\n")
    assert not re.search(rb"(?<!\r)\n|\r(?!\n)", content)
    pieces = content.removesuffix(b"\r\n").split(b"\r\n")
    for piece in pieces:
        assert 0 < len(piece) <= 75
        assert piece.decode().strip(" ") or piece.startswith(b" ")
        assert not re.search(rb"[\x00-\x08\x0a-\x1f\x7f]", piece)
    open_ones = []
    for line in unfolded(content):
        name, value = re.fullmatch(r"([A-Z-]+)(?:;[A-Z]+=[^:;,\"]+)*:(.*)", line, re.DOTALL).groups()
        if name == "BEGIN":
            open_ones.append(value)
        elif name == "END":
            assert open_ones.pop() == value
        elif name in {"SUMMARY", "DESCRIPTION", "LOCATION", "NAME", "X-WR-CALNAME"}:
            assert re.fullmatch(r"(?:[^\\;,]|\\[\\;,n])*", value)
    assert not open_ones


@pytest.mark.parametrize("name", NASTY)
def test_no_name_breaks_a_line_or_an_entry(name):
    for who in (None, name, "Bo"):
        check_lines(made(name, who=who))


@pytest.mark.parametrize("read", BOTH)
@pytest.mark.parametrize("name", NASTY)
def test_two_libraries_read_the_names_as_they_were_written(name, read):
    """Three stretches and a deadline, however many entries a name pretends to begin."""
    seen = read(made(name))
    assert len(seen) == 4
    first = next(one for one in seen if one.title.startswith(f"{plain(name)}: ") and plain(name + "s") in one.title)
    assert first.place == plain(name)
    assert f"09:00-10:00 {plain(name)}: 12 {plain(name + 's')}, at {plain(name)}, with Bo" in first.text
    assert first.text.count("\n") == 4


@pytest.mark.parametrize("name", NASTY)
def test_a_name_is_one_line_without_signs_that_steer_and_keeps_what_can_be_read(name):
    shown = plain(name)
    assert len(shown.splitlines()) == 1
    assert not set(shown) & set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\x00\x07\x1b")
    assert shown.count("\u2068") == shown.count("\u2069")
    assert "👩\u200d🌾" not in name or "👩\u200d🌾" in shown
    assert "שלום" not in name or "\u2068" in shown


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]) | st.sampled_from("\n\\;,nN \U0001f41d"))


def comes_back(text: str) -> None:
    line = f"SUMMARY:{Text(text).to_ical().decode()}"
    content = folded([line])
    for piece in content.removesuffix(b"\r\n").split(b"\r\n"):
        assert len(piece) <= 75
        assert piece.decode()  # no sign is cut
        assert (len(piece) - len(piece.rstrip(b"\\"))) % 2 == 0  # no escape is cut
    (whole,) = unfolded(content)
    assert whole == line
    assert unescaped(whole.removeprefix("SUMMARY:")) == text


@given(TEXTS)
def test_text_comes_back_as_it_went_in(text):
    comes_back(text)


@pytest.mark.parametrize("many", ["\\" * 99, ",;" * 50, "\n" * 99, "é" * 99, "🐝" * 99, "a\\é\n" * 40])
def test_no_sign_and_no_escape_is_cut_wherever_the_line_ends(many):
    for n in range(76):
        comes_back("x" * n + many)


def test_what_every_calendar_has():
    """RFC 5545 sections 3.6, 3.7.3, 3.7.4, 3.8.7.2; RFC 7986 sections 5.1 and 5.3; no METHOD, for nobody is invited."""
    content = made("Ines")
    lines = unfolded(content)
    assert lines[1] == "VERSION:2.0"
    assert lines.count("PRODID:-//offseason//plan of a winter//EN") == 1
    assert {"NAME:Ines", "X-WR-CALNAME:Ines", "CALSCALE:GREGORIAN"} <= {*lines}
    assert not [line for line in lines if line.startswith(("METHOD", "ORGANIZER", "ATTENDEE"))]
    stamps = [line for line in lines if line.startswith("DTSTAMP")]
    assert stamps == ["DTSTAMP:20261001T080000Z"] * 4
    uids = [line for line in lines if line.startswith("UID:")]
    assert len({*uids}) == len(uids) == 5
    assert all(re.fullmatch(r"UID:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", uid) for uid in uids)


def test_an_alarm_only_where_one_is_asked_and_none_for_deadlines():
    """RFC 5545 section 3.6.6: an alarm that displays has ACTION, DESCRIPTION and TRIGGER."""
    assert b"VALARM" not in made("Ines", alarm=None)
    content = made("Ines", alarm=90)
    assert content.count(b"BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:") == 3
    assert content.count(b"TRIGGER:-PT1H30M\r\n") == 3
    assert b"TRIGGER:P0D\r\n" in made("Ines", alarm=0)


def test_a_deadline_is_all_of_one_day_and_makes_nobody_busy():
    """RFC 5545 sections 3.6.1 (the end is the day after) and 3.8.2.7."""
    content = made("Ines")
    entry = content[content.index(b"DTSTART;VALUE=DATE") :]
    assert entry.startswith(b"DTSTART;VALUE=DATE:20270301\r\nDTEND;VALUE=DATE:20270302\r\n")
    assert b"TRANSP:TRANSPARENT" in entry
    for read in BOTH:
        (seen,) = [one for one in read(content) if one.begins == date(2027, 3, 1)]
        assert seen.ends == date(2027, 3, 2)


def test_a_calendar_without_work_still_has_an_entry():
    """RFC 5545 section 3.4: at least one component."""
    for zone in ("EST5EDT", None):
        content = calendar_of(handout(zone=zone), "Ines", None, now=NOW, alarm_minutes=5)
        check_lines(content)
        for read in BOTH:
            assert [one.title for one in read(content)] == ["Bees: no work is planned for Ines"]


def test_work_that_rounds_to_no_time_still_ends_after_it_begins():
    """RFC 5545 section 3.8.2.2."""
    content = calendar_of(handout(work(SATURDAY, time(9), time(9), "Ines")), None, None, now=NOW, alarm_minutes=None)
    for read in BOTH:
        assert [one.ends - one.begins for one in read(content)] == [timedelta(minutes=1)]
