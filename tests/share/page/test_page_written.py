"""The page as it is written, before any script runs: whole, closed to the outside, and deaf to hostile names."""

from __future__ import annotations

import json
import re
from base64 import b64encode
from dataclasses import replace
from datetime import UTC, datetime
from hashlib import sha256
from html.parser import HTMLParser

import pytest

from offseason.share.page import page_html
from offseason.share.page.markup import shown, value
from tests.share.page.handouts import HOSTILE, SVG, hostile, made_of, small, yard


class Tags(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def entries(self) -> list[dict[str, str]]:
        return [attrs for tag, attrs in self.tags if tag == "li" and "entry" in attrs.get("class", "").split()]


@pytest.mark.parametrize("handout", [small(), hostile(), yard()], ids=["small", "hostile", "yard"])
def test_every_entry_stands_once_in_the_file_with_all_that_is_known_of_it(handout):
    entries = Tags(page_html(handout, SVG)).entries()
    assert sorted(one["id"] for one in entries) == sorted(f"e-{one.id}" for one in handout.entries)
    for one in entries:
        (row,) = (e.row for e in handout.entries if f"e-{e.id}" == one["id"]) if len(entries) < 50 else (None,)
        if row is not None:
            assert (one["data-day"], json.loads(one["data-who"])) == (str(row.day), list(row.who))
            assert (one["data-lot"], one["data-step"]) == (row.lot, row.step)
            assert int(one["data-pieces"]) == row.pieces
            assert ("data-done" in one) == row.done


def test_only_the_script_of_the_page_may_run_and_nothing_may_be_loaded():
    page = page_html(hostile(), SVG)
    (policy,) = (a["content"] for t, a in Tags(page).tags if a.get("http-equiv") == "Content-Security-Policy")
    script = re.search(r"<script>(.*)</script>", page.split("<body", 1)[1], re.DOTALL)[1]
    assert f"script-src 'sha256-{b64encode(sha256(script.encode()).digest()).decode()}'" in policy
    assert policy.startswith("default-src 'none'; ")
    assert [t for t, _ in Tags(page).tags].count("script") == 1


def test_no_hostile_name_becomes_a_tag_or_an_attribute():
    plain = {(tag, key) for tag, attrs in Tags(page_html(small(), SVG)).tags for key in attrs}
    found = Tags(page_html(hostile(), SVG))
    assert {(tag, key) for tag, attrs in found.tags for key in attrs} <= plain | {("details", "open")}
    assert [json.loads(one["data-who"])[0] for one in found.entries()] == list(HOSTILE)


def test_a_name_that_would_turn_the_line_around_is_shown_with_its_sign_replaced():
    assert shown("a\u202eb\r\n\x00\ud800") == "a?b  ??"
    assert value("a\u202eb") == '"a\u202eb"'
    assert page_html(made_of((), "\ud800\x00"), "").encode()


def test_the_picture_loses_its_prolog_and_is_left_out_where_there_is_none():
    page = page_html(small(), '<?xml version="1.0"?>\n<!DOCTYPE svg [<!ENTITY a "b">]>\n<!-- x -->\n<svg></svg>\n')
    assert "\n<svg></svg>\n" in page
    assert "<?xml" not in page
    assert "x -->" not in page
    assert 'id="glance"' not in page_html(small(), "")


def test_a_caution_stands_beside_its_entry_and_leads_to_its_sentence():
    tags = Tags(page_html(small(), SVG)).tags
    linked = {attrs["href"] for tag, attrs in tags if tag == "a" and attrs["href"].startswith("#care-")}
    assert linked == {"#care-1", "#care-2", "#care-3"}
    assert linked <= {f"#{attrs.get('id')}" for _, attrs in tags}


def test_when_it_was_planned_is_told_by_the_clock_of_the_yard():
    made = datetime(2026, 10, 1, 22, 30, tzinfo=UTC)
    assert "Planned Thu 1 Oct 2026, 22:30 UTC." in page_html(replace(small(), made=made), "")
    there = replace(small(), made=made, timezone="Europe/Paris", since=datetime.fromisoformat("2026-10-02T07:00"))
    assert "Planned Fri 2 Oct 2026, 00:30, anew from Fri 2 Oct 2026, 07:00 on." in page_html(there, "")


def test_a_plan_without_work_says_so():
    assert "There is no work in this plan." in page_html(made_of(()), "")


@pytest.mark.slow
def test_the_page_of_a_commercial_yard_is_smaller_than_two_megabytes():
    assert len(page_html(yard(), SVG).encode()) < 1_900_000


def test_where_nothing_binds_there_is_no_list_of_days_to_keep_in_mind():
    heading = "Days to keep in mind"
    assert heading in page_html(small(), SVG)
    assert heading not in page_html(replace(small(), deadlines=()), SVG)
