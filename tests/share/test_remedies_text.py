"""What a keeper reads of remedies: what each changes, what it costs, and how sure it is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from offseason.remedy.lever import Change, Found, Kind, Lever, Remedy
from offseason.scenario.read import parse_scenario
from offseason.scenario.words import parse_hours
from offseason.share.terminal.layout import COLUMNS
from offseason.share.terminal.remedies import change_text, remedies_text

WINTER = """\
season: {from: 2026-10-05, until: 2027-03-14}
crew: {Ottilie: {works: {mon-fri: 09:00-12:00}}}
places:
  freezer: {holds: 20 combs, celsius: -18}
  shed: {holds: 1 boxes}
  rack: {holds: 1200}
  bench: {seats: 1}
tasks:
  scrape: {minutes_each: 5, at: bench}
  first coat: {minutes_each: 2, weather: dry, paint: oil, caution: [lifting]}
  second coat: {minutes_each: 2, weather: dry, paint: oil}
  wash: {minutes_each: 2, weather: calm, uses: {oxalic acid grams: 2}}
gear:
  lids: {piece: telescoping lid, count: 20, arrives: 2026-11-02, ready_by: 2027-02-01, last_painted: 2015,
         steps: [scrape, first coat, second coat, wash]}
  combs: {piece: medium comb, count: 160, comb: dry}
jobs:
  tidy: {hours: 2, by: 2026-12-01}
weather: {windows: {dry: {2026-10-12: 10:00-15:00}, calm: {2026-10-12: 10:00-15:00}}}
"""
WITH_PRICES = f"{WINTER}prices: {{money: EUR, space: 2}}\n"
SCENARIO = parse_scenario(WINTER, "winter.yaml")
WEEK = "in the week of Mon 26 Oct 2026"


def one(kind: Kind, about: str, size: int = 1, price: float = 2.0, **more) -> Change:
    return Change(Lever(kind, about, 1_000, price, **more), size)


def slot(day: int, hours: str):
    return date(2026, 10, day), parse_hours(hours)


ROOM = one(Kind.SPACE, "freezer", 14)
HELP = one(Kind.HELP, "Ottilie", 12, 3.75, slots=(slot(31, "16:00-18:30"), slot(30, "16:00-17:00")))
ROOF = one(Kind.INDOORS, "dry", 2, 60, days=(date(2026, 11, 14), date(2026, 11, 13)))


def told(found: Found, scenario=SCENARIO) -> str:
    text = remedies_text(scenario, found)
    assert all(len(line) <= COLUMNS for line in text.splitlines())
    return " ".join(text.split())


def alone(*changes: Change, least: bool = True, all_tried: bool = True) -> Found:
    return Found(tuple(Remedy((change,), least) for change in changes), None, all_tried, 12.3)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (ROOM, "room for 14 more combs in freezer: 34 instead of 20"),
        (one(Kind.SPACE, "shed"), "room for 1 more box in shed: 2 instead of 1"),
        (one(Kind.SPACE, "rack", 2), "room for 2 more pieces in rack: 1,202 instead of 1,200"),
        (one(Kind.SEATS, "bench"), "1 more seat at bench: 2 instead of 1"),
        (
            HELP,
            f"3 h more help from Ottilie {WEEK}: Fri 30 Oct 16:00-16:30 and Sat 31 Oct 16:00-18:30",
        ),
        (one(Kind.INDOORS, "dry", days=ROOF.lever.days), "a hired roof for dry: Sat 14 Nov 2026"),
        (ROOF, "a hired roof for dry on 2 days: Fri 13 Nov 2026 and Sat 14 Nov 2026"),
        (one(Kind.EARLIER, "lids", 3), "lids fetched 3 days earlier: Fri 30 Oct 2026 instead of Mon 2 Nov 2026"),
        (one(Kind.LATER, "lids"), "lids ready 1 day later: by Tue 2 Feb 2027 instead of Mon 1 Feb 2027"),
        (
            one(Kind.LATER, "tidy", 2, job=True),
            "tidy done 2 days later: by Thu 3 Dec 2026 instead of Tue 1 Dec 2026",
        ),
        (one(Kind.LATER, "", 7), "a season 7 days longer: until Sun 21 Mar 2027 instead of Sun 14 Mar 2027"),
        (one(Kind.OPTIONAL, "tidy", job=True), "tidy: should instead of must, so it may be left out"),
        (
            one(Kind.OPTIONAL, "lids", steps=("first coat", "second coat")),
            "first coat and second coat of lids optional: done only where they fit in",
        ),
        (one(Kind.FEWER, "combs", 40), "40 of combs given up: 120 instead of 160"),
    ],
)
def test_a_change_is_told_in_the_words_of_the_yard(change, words):
    assert change_text(SCENARIO, change) == words


def test_remedies_are_numbered_and_told_with_price_and_proof():
    text = told(alone(ROOM, HELP, one(Kind.SEATS, "bench")), parse_scenario(WITH_PRICES, "winter.yaml"))
    assert "Any one of these is enough." in text
    assert "1. room for 14 more combs in freezer: 34 instead of 20 (28 EUR; proven: with 13 it does not fit)" in text
    assert "Sat 31 Oct 16:00-18:30 (45 EUR; proven: with a quarter of an hour less it does not fit)" in text
    assert "3. 1 more seat at bench: 2 instead of 1 (2 EUR)" in text  # there is no less of it
    assert "may be cheaper" not in text


def test_that_less_may_do_is_told_where_it_is_not_proven():
    assert "(price 28; perhaps less does too: not proven)" in told(alone(ROOM, least=False))


def test_days_less_are_told_as_days():
    assert "(price 120; proven: with 1 day it does not fit)" in told(alone(ROOF))


def test_prices_that_nobody_wrote_are_told_to_be_guesses():
    assert "guesses of offseason's own, from no source" in told(alone(ROOM))
    only_money = parse_scenario(f"{WINTER}prices: {{money: EUR}}\n", "winter.yaml")
    assert "guesses of offseason's own, from no source" in told(alone(ROOM), only_money)
    text = told(alone(ROOM), parse_scenario(WITH_PRICES, "winter.yaml"))
    assert "Prices are those under prices: in the scenario" in text


def test_what_is_enough_only_together_is_told_so():
    text = told(Found((), Remedy((ROOM, HELP), least=True), all_tried=True, seconds=3))
    assert "No single change that was tried is enough." in text
    assert "1. all of this (price 73; proven: of what was tried nothing cheaper does):" in text
    assert "- room for 14 more combs in freezer: 34 instead of 20 (price 28)" in text


def test_a_search_that_ended_too_soon_says_so():
    assert "Not everything could be tried in 12 s, so there may be cheaper ones" in told(alone(ROOM, all_tried=False))


def test_where_nothing_was_found_it_is_told_what_was_tried():
    text = told(Found((), None, all_tried=False, seconds=12.3))
    assert "No remedy was found, neither a single one nor several together. Looked for were more room" in text
    assert "so there may be some: try --seconds" in text
    assert "Prices" not in text
    text = told(Found((), None, all_tried=True, seconds=12.3))
    assert "Tried were more room" in text
    assert "may be some" not in text


def test_what_a_proof_is_of_is_told_where_there_is_one():
    rule = "carry no piece of a lot over a change of people or weather"
    assert rule in told(alone(ROOM))
    assert rule not in told(alone(ROOM, least=False))
    assert rule not in told(alone(one(Kind.SEATS, "bench")))  # nothing less of it to be proven
    assert rule in told(Found((), Remedy((ROOM, HELP), least=True), all_tried=True, seconds=3))


def test_painting_under_a_roof_comes_with_its_cautions():
    text = told(alone(ROOF))
    assert "Painting under a roof: open doors and windows." in text
    assert "keep flames and sparks away" in text
    assert "Oily rags" in text
    assert "deep box weighs" not in text  # as heavy there as anywhere
    assert "roof" not in told(alone(ROOM))


def test_acids_under_a_roof_are_told_to_be_for_outdoors_only():
    acid = replace(ROOF, lever=replace(ROOF.lever, about="calm"))
    text = told(alone(acid))
    assert "outdoors only" in text
    assert "Painting" not in text


def test_a_roof_over_work_that_needs_no_care_comes_without_cautions():
    told_of_it = told(alone(ROOF), parse_scenario(WINTER.replace(", paint: oil", ""), "winter.yaml"))
    assert "a hired roof for dry on 2 days" in told_of_it
    assert "Painting" not in told_of_it
    assert "Oily rags" not in told_of_it


def test_a_search_that_was_stopped_says_that_it_did_not_try_everything():
    text = told(replace(alone(ROOM, all_tried=False), stopped=True))
    assert text.endswith("The search was stopped, so not everything was tried.")
    assert "--seconds" not in text


def test_help_at_the_same_hours_of_many_days_is_told_in_one_go():
    days = [slot(day, "13:00-14:00") for day in (5, 6, 7, 8, 9)]
    same = one(Kind.HELP, "Ottilie", 20, slots=tuple(days))
    week = "in the week of Mon 5 Oct 2026"
    text = change_text(SCENARIO, same)
    assert text == f"5 h more help from Ottilie {week}: 13:00-14:00 on 5 days, Mon 5 Oct to Fri 9 Oct"
    other = one(Kind.HELP, "Ottilie", 20, slots=(*days[:4], slot(9, "14:00-15:00")))
    assert "Thu 8 Oct 13:00-14:00 and Fri 9 Oct 14:00-15:00" in change_text(SCENARIO, other)


def test_names_cannot_steer_the_terminal():
    text = WINTER.replace("bench", '"ben\\u00a0ch\\u200b"')
    assert "\u200b" not in remedies_text(parse_scenario(text, "x"), alone(one(Kind.SEATS, "ben\u00a0ch\u200b")))
