"""The audit of a winter planned anew, at its edges: what is held against nobody, what is due soon, what is left."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import pytest

from offseason.plan.audit import audit
from offseason.plan.audit.left import left_by_now
from offseason.plan.document import LeftOver, Plan
from tests.plan.winters import changed, plan, winter

# Moths fly until 20 October: comb off the hives on the 5th must be safe 7 days later, by the end of the 12th (derived).
MOTHS = """
season: {from: 2026-10-05, until: 2026-11-06}
moths: {season_starts: 2027-04-20, season_ends: 2026-10-20}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {loft: {celsius: 8..18}, freezer: {celsius: -18}}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear: {combs: {piece: deep comb, count: 1, comb: dry, rests: loft, steps: [freeze, seal]}}
"""
AWAY = changed(MOTHS, "works: {mon-fri: 09:00-12:00}", "works: {mon-fri: 09:00-12:00}, away: [2026-10-13..2026-10-30]")


def at(moment: str) -> datetime:
    return datetime.fromisoformat(f"2026-{moment}")


def anew(rows: str, since: str, *left: LeftOver) -> Plan:
    """The winter planned anew at that moment, with what was over by then done."""
    made = plan(rows)
    done = tuple(replace(row, done=datetime.combine(row.day, row.end) <= at(since)) for row in made.rows)
    return replace(made, rows=done, since=at(since), left=left)


def told(scenario: str, rows: str, since: str, *left: LeftOver) -> list[tuple[str, int | None, str]]:
    found = audit(winter(scenario), anew(rows, since, *left))
    return [(str(b.promise), b.row.line if b.row else None, b.text) for b in found]


@pytest.mark.parametrize(
    ("scenario", "since", "due"),
    [
        (MOTHS, "10-06 08:00", "Mon 2026-10-12"),  # it is not due yet
        (MOTHS, "10-12 08:00", "Mon 2026-10-12"),  # it is due on that day
        (MOTHS, "10-12 11:59", "Mon 2026-10-12"),  # and somebody is still there
        (MOTHS, "10-12 12:00", "Mon 2026-10-19"),  # nobody is there any more that day
        (MOTHS, "10-20 08:00", "Tue 2026-10-27"),
        (AWAY, "10-20 08:00", "Mon 2026-11-02"),  # nobody comes before
    ],
)
def test_comb_found_open_is_safe_within_a_week_or_when_somebody_comes(scenario, since, due):
    last = date.fromisoformat(due[4:])
    in_time = f"{last} 11:58-11:59 | Ines | freeze 1 of combs\n{last} 11:59-12:00 | Ines | seal 1 of combs"
    if since != "10-12 11:59":
        assert told(scenario, in_time, since) == []
    late = in_time.replace(str(last), str(date.fromordinal(last.toordinal() + 1)))
    ((promise, line, text),) = told(scenario, late, since)
    assert (promise, line) == ("protection", 1)
    assert text.endswith(f"all must be protected by the end of {due}")


def test_comb_is_asked_for_within_a_week_even_where_nobody_comes_any_more():
    gone = changed(AWAY, "2026-10-13..2026-10-30", "2026-10-13..2026-11-06")
    texts = [text for promise, _, text in told(gone, "", "10-20 08:00") if promise == "protection"]
    assert [text.endswith("all must be protected by the end of Tue 2026-10-27") for text in texts] == [True]


STACKS = """
season: {from: 2026-10-05, until: 2026-11-06}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
tasks: {scrape: {minutes_each: 1}, stack: {minutes_each: 1, within: 24 h}}
gear: {boxes: {piece: langstroth deep box, count: 1, steps: [scrape, stack]}}
"""


@pytest.mark.parametrize(
    ("within", "scraped", "since", "late"),
    [
        ("24 h", "08:59-09:00", "10-06 08:00", True),  # due just when somebody comes
        ("24 h", "08:58-08:59", "10-06 08:00", False),  # a minute before anybody is there
        ("24 h", "09:00-09:01", "10-07 08:00", False),
        ("12 h", "09:00-09:01", "10-05 12:00", False),  # due in the evening, and everybody has just gone home
        ("12 h", "09:00-09:01", "10-05 11:00", True),  # somebody is there to do it in time
        ("30 min", "09:29-09:30", "10-05 10:00", True),
        ("29 min", "09:29-09:30", "10-05 10:00", False),
    ],
)
def test_what_was_late_before_anybody_could_come_is_held_against_nobody(within, scraped, since, late):
    scenario = changed(STACKS, "within: 24 h", f"within: {within}")
    scrape, stack = (
        f"2026-10-05 {scraped} | Ines | scrape 1 of boxes\n",
        "2026-10-08 09:00-09:01 | Ines | stack 1 of boxes",
    )
    found = told(scenario, scrape + stack, since)
    assert [(promise, line) for promise, line, _ in found] == ([("not too late after", 2)] if late else [])
    left = LeftOver("boxes", "stack", 1, "undone"), LeftOver("boxes", "stack", 1, "late")
    assert [promise for promise, *_ in told(scenario, scrape, since, *left)] == ([] if late else ["left over"])


def test_of_what_was_done_only_the_end_is_known():
    three = changed(changed(STACKS, "count: 1", "count: 3"), "within: 24 h", "within: 1 h")
    rows = """
2026-10-05 09:00-10:00 | Ines | scrape 3 of boxes
2026-10-05 10:00-10:03 | Ines | stack 3 of boxes
"""
    assert told(three, rows, "10-05 10:00") == []
    assert told(three, rows.replace("10:00-10:03", "10:57-11:00"), "10-05 10:00") == []
    assert [p for p, *_ in told(three, rows.replace("10:00-10:03", "10:58-11:01"), "10-05 10:00")] == [
        "not too late after"
    ]


READY = """
season: {from: 2026-10-05, until: 2026-11-06}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
tasks: {scrape: {minutes_each: 1}}
gear: {boxes: {piece: langstroth deep box, count: 1, ready_by: 2026-10-08, steps: [scrape]}}
"""
JOB = READY.replace("tasks: {scrape: {minutes_each: 1}}\n", "")
JOB = changed(
    JOB,
    "gear: {boxes: {piece: langstroth deep box, count: 1, ready_by: 2026-10-08, steps: [scrape]}}",
    "jobs: {scrape: {hours: 0.0167, by: 2026-10-08}}",
)


@pytest.mark.parametrize(
    ("since", "away", "last"),
    [
        ("10-08 08:00", "", "2026-10-08"),  # on the day it is due somebody still comes
        ("10-08 12:00", "", "2026-10-22"),
        ("10-12 08:00", "", "2026-10-26"),
        ("10-12 08:00", "2026-10-12..2026-10-30", "2026-11-02"),
    ],
)
def test_what_should_have_been_ready_is_ready_within_a_fortnight_or_when_somebody_comes(since, away, last):
    after = date.fromordinal(date.fromisoformat(last).toordinal() + 1)
    for scenario, promise, lot in ((READY, "ready by", "boxes"), (JOB, "job days", "scrape")):
        here = changed(scenario, "works: {mon-fri: 09:00-12:00}", f"works: {{mon-fri: 09:00-12:00}}, away: [{away}]")
        row = f"{last} 11:58-11:59:01 | Ines | scrape 1 of {lot}"
        assert told(here, row, since) == []
        ((found, line, text),) = told(here, row.replace(last, str(after)), since)
        assert (found, line, text.endswith("1 day too late")) == (promise, 1, True)
        assert "2026-10-08" in text


ROUND = """
season: {from: 2026-10-05, until: 2026-10-18}
crew: {Ines: {works: {every day: 09:00-12:00}}}
rounds: {look: {every: 1 w, minutes: 20}}
"""
SECOND = "2026-10-12 09:00-09:20 | Ines | look 1 of look"


def test_a_round_is_asked_for_on_the_last_day_of_its_period_and_not_after_it():
    ((promise, line, text),) = told(ROUND, SECOND, "10-11 08:00")
    assert (promise, line, text) == ("rounds", None, "look: it is not made in 2026-10-05..2026-10-11")
    assert told(ROUND, SECOND, "10-11 12:00") == []
    assert told(ROUND, SECOND, "10-12 08:00") == []
    assert [p for p, *_ in told(ROUND, SECOND, "10-12 08:00", LeftOver("look", "look", 1, "undone"))] == ["left over"]


def test_a_round_whose_days_are_over_is_not_made_up_for():
    over = changed(ROUND, "minutes: 20", "minutes: 20, until: 2026-10-09")
    ((promise, line, text),) = told(over, SECOND, "10-11 08:00")
    assert (promise, line, text.endswith("from 2026-10-05 to 2026-10-09: 3 days too late")) == ("rounds", 1, True)


RACK = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {rack: {holds: 3}, loft: {}}
tasks: {put up: {minutes_each: 1, then: {on: rack}}, take down: {minutes_each: 1, then: {in: loft}}}
gear:
  lids: {piece: flat lid, count: 3, rests: rack, steps: [take down], optional: [take down]}
  floors: {piece: floor, count: 3, rests: loft, steps: [put up]}
"""
TWICE = """
2026-10-05 09:00-09:01 | Ines | put up 1 of floors
2026-10-05 09:02-09:04 | Ines | take down 2 of lids
2026-10-08 09:00-09:02 | Ines | put up 2 of floors
"""


def test_a_rack_too_full_again_after_the_winter_was_planned_anew_is_named_and_what_was_before_is_not():
    assert [(p, line) for p, line, _ in told(RACK, TWICE, "10-05 08:00")] == [("space", 1), ("space", 3)]
    ((promise, line, text),) = told(RACK, TWICE, "10-06 08:00")
    assert (promise, line) == ("space", 3)
    assert text.endswith("rack holds 3 pieces, and from Thu 2026-10-08 09:02 up to 4 are in it: 1 too many")


ARRIVING = """
season: {from: 2026-10-05, until: 2026-10-16}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {shed: {holds: 3}}
tasks: {wipe: {minutes_each: 1}}
gear:
  lids: {piece: flat lid, count: 2, rests: shed, steps: [wipe]}
  boxes: {piece: bucket, count: 2, arrives: 2026-10-07, rests: shed}
"""
WIPED = "2026-10-05 09:00-09:02 | Ines | wipe 2 of lids"


@pytest.mark.parametrize(
    ("since", "said", "keeps"),
    [
        ("10-07 12:00", "2026-10-06", True),  # that it was so before is not looked into
        ("10-06 12:00", "2026-10-05", False),  # it is not so yet
        ("10-06 12:00", "2026-10-07", True),
    ],
)
def test_since_when_a_place_is_too_full_is_looked_into_from_the_day_planned_anew_on(since, said, keeps):
    crowd = LeftOver("", "", 1, "overfull", "shed", date.fromisoformat(said))
    found = told(ARRIVING, WIPED, since, crowd)
    assert [promise for promise, *_ in found] == ([] if keeps else ["left over"])
    assert keeps or found[0][2].endswith("it is too full only from Wed 2026-10-07 on")
    told_now = left_by_now(winter(ARRIVING), anew(WIPED, since, crowd))
    assert told_now == (crowd if keeps else replace(crowd, since=date(2026, 10, 7)),)


def test_of_what_is_said_to_be_left_one_piece_is_still_left_and_what_may_be_left_without_a_word_is_not():
    scenario = changed(STACKS, "count: 1", "count: 3").replace("stack: {", "stack: {importance: should, ")
    rows = "2026-10-05 09:00-09:02 | Ines | scrape 2 of boxes"
    said = LeftOver("boxes", "scrape", 2, "undone"), LeftOver("boxes", "stack", 3, "undone")
    still = left_by_now(winter(scenario), replace(plan(rows), left=said))
    assert still == (LeftOver("boxes", "scrape", 1, "undone"),)
    nowhere = LeftOver("", "", 1, "overfull", "shed", None)
    assert left_by_now(winter(ARRIVING), replace(plan(WIPED), left=(nowhere,))) == ()


FULL_AS_IT_COMES = """
season: {from: 2026-10-05, until: 2026-11-06}
crew: {Ines: {works: {mon-fri: 09:00-12:00}}}
places: {rack: {holds: 1 pieces}, loft: {}}
tasks: {put away: {minutes_each: 1, then: {in: loft}}}
gear: {boxes: {piece: langstroth deep box, count: 2, rests: rack, steps: [put away]}}
"""


@pytest.mark.parametrize(("since", "found"), [("10-06 08:00", []), ("10-05 09:30", [("space", None)])])
def test_a_rack_that_was_too_full_of_what_came_and_is_no_more_when_planning_begins_is_not_named(since, found):
    rows = """
2026-10-05 10:00-10:01 | Ines | put away 1 of boxes
2026-10-07 09:00-09:01 | Ines | put away 1 of boxes
"""
    assert [(promise, line) for promise, line, _ in told(FULL_AS_IT_COMES, rows, since)] == found
