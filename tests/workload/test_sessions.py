"""The hours of the winter cut into sessions: who is there, what the weather is fit for, and what the clock does."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest

from offseason.plan.audit import audit
from offseason.plan.make import plan_from
from offseason.scenario.model import Scenario
from offseason.solver import solve
from offseason.workload.build import build_workload
from offseason.workload.sessions import day_ends_s, day_starts_s, sessions_of

HOUR = 3_600
# In CET the clocks go forward on the last Sunday of March from 2 to 3, and back on the last of October from 3 to 2:
# published, the zone's entry in the tz database (the rule of the European Union since 1996).
BACK, FORWARD = date(2026, 10, 25), date(2027, 3, 28)
MONDAY = date(2026, 10, 5)


def scenario(crew, *, first=MONDAY, days=1, zone=None, windows=None):
    data = {
        "season": {"from": str(first), "until": str(first + timedelta(days=days - 1)), "timezone": zone},
        "crew": crew,
        "tasks": {"paint": {"minutes_each": 5, "weather": "painting"}, "glue": {"minutes_each": 5, "weather": "dry"}},
        "weather": {"windows": windows or {}},
    }
    return Scenario.model_validate(data)


def told(sessions, first=MONDAY):
    """Day counted from the first, hours on the clock, who is there, what the weather is fit for."""
    return [
        (
            (s.day - first).days,
            f"{s.clock[0]:%H:%M}-{s.clock[1]:%H:%M}",
            "".join(str(h) for h in s.helpers),
            " ".join(sorted(s.fit)),
        )
        for s in sessions
    ]


def test_a_session_has_the_same_people_from_its_start_to_its_end():
    crew = {
        "Ines": {"works": {"mon": "09:00-12:00"}},
        "Tomás": {"works": {"mon": ["10:00-11:00", "12:00-13:00"]}},
    }
    assert told(sessions_of(scenario(crew))) == [
        (0, "09:00-10:00", "0", ""),
        (0, "10:00-11:00", "01", ""),
        (0, "11:00-12:00", "0", ""),
        (0, "12:00-13:00", "1", ""),
    ]


def test_a_break_without_anybody_is_no_session():
    crew = {"Ines": {"works": {"mon": ["09:00-12:00", "13:00-16:00"]}}}
    assert [clock for _, clock, *_ in told(sessions_of(scenario(crew)))] == ["09:00-12:00", "13:00-16:00"]


def test_a_fine_spell_cuts_the_day_into_before_during_and_after():
    windows = {"painting": {str(MONDAY): "10:00-14:30"}, "dry": {str(MONDAY): "08:00-11:00"}}
    crew = {"Ines": {"works": {"mon": ["09:00-12:00", "13:00-16:00"]}}}
    assert told(sessions_of(scenario(crew, windows=windows))) == [
        (0, "09:00-10:00", "0", "dry"),
        (0, "10:00-11:00", "0", "dry painting"),
        (0, "11:00-12:00", "0", "painting"),
        (0, "13:00-14:30", "0", "painting"),
        (0, "14:30-16:00", "0", ""),
    ]


def test_weather_that_no_work_needs_cuts_nothing():
    windows = {"frost": {str(MONDAY): "10:00-11:00"}}
    sessions = sessions_of(scenario({"Ines": {"works": {"mon": "09:00-12:00"}}}, windows=windows))
    assert told(sessions) == [(0, "09:00-12:00", "0", "")]


def test_a_day_of_its_own_in_the_weather_goes_before_a_span_of_days():
    windows = {"painting": {f"{MONDAY}..{MONDAY + timedelta(days=2)}": "09:00-12:00", "2026-10-06": "none"}}
    sessions = sessions_of(scenario({"Ines": {"works": {"mon-wed": "09:00-12:00"}}}, days=3, windows=windows))
    assert [fit for *_, fit in told(sessions)] == ["painting", "", "painting"]


def test_someone_away_is_not_there_even_for_hours_given_besides():
    crew = {
        "Ines": {"works": {"mon-wed": "09:00-10:00"}, "away": ["2026-10-06"], "also": {"2026-10-06": "13:00-14:00"}},
        "Tomás": {"works": {"tue": "09:00-10:00"}},
    }
    assert told(sessions_of(scenario(crew, days=3))) == [
        (0, "09:00-10:00", "0", ""),
        (1, "09:00-10:00", "1", ""),
        (2, "09:00-10:00", "0", ""),
    ]


def test_hours_given_besides_add_to_the_weekday_and_to_days_without_any():
    crew = {
        "Ines": {"works": {"mon": "09:00-10:00"}, "also": {"2026-10-05": "10:00-11:00", "2026-10-08": "20:00-21:00"}}
    }
    assert told(sessions_of(scenario(crew, days=7))) == [(0, "09:00-11:00", "0", ""), (3, "20:00-21:00", "0", "")]


def test_nobody_works_before_the_first_or_after_the_last_day():
    sessions = sessions_of(scenario({"Ines": {"works": {"mon-sun": "09:00-10:00"}}}, days=4))
    assert [s.day for s in sessions] == [MONDAY + timedelta(days=n) for n in range(4)]


def test_without_a_zone_every_day_has_24_hours():
    quiet = scenario({"Ines": {"works": {"sun": "01:00-05:00"}}}, first=BACK)
    assert [(s.starts_s, s.ends_s) for s in sessions_of(quiet)] == [(1 * HOUR, 5 * HOUR)]
    assert day_ends_s(quiet, BACK) == 24 * HOUR


def shown(session):
    return tuple(f"{moment:%H:%M}{' again' if moment.fold else ''}" for moment in session.clock)


def night(first, hours="01:00-05:00"):
    return scenario({"Ines": {"works": {"sun-mon": hours}}}, first=first, days=2, zone="CET")


def test_in_the_night_the_clocks_go_back_an_hour_is_worked_twice():
    before, after, monday = sessions_of(night(BACK))
    # two hours by summer time; when the clock would show 03:00 it shows 02:00 again
    assert shown(before) == ("01:00", "02:00 again")
    assert shown(after) == ("02:00 again", "05:00")
    assert (before.starts_s, before.ends_s) == (1 * HOUR, 3 * HOUR)
    assert (after.starts_s, after.ends_s) == (3 * HOUR, 6 * HOUR)
    assert sum(s.length_s for s in (before, after)) == 5 * HOUR
    assert (monday.starts_s, monday.length_s) == (25 * HOUR + 1 * HOUR, 4 * HOUR)


def test_in_the_night_the_clocks_go_forward_the_hour_left_out_is_nobodys():
    before, after, monday = sessions_of(night(FORWARD))
    # an hour by winter time; when the clock would show 02:00 it shows 03:00
    assert shown(before) == ("01:00", "03:00")
    assert shown(after) == ("03:00", "05:00")
    assert (before.starts_s, before.ends_s) == (1 * HOUR, 2 * HOUR)
    assert (after.starts_s, after.ends_s) == (2 * HOUR, 4 * HOUR)
    assert sum(s.length_s for s in (before, after)) == 3 * HOUR
    assert (monday.starts_s, monday.length_s) == (23 * HOUR + 1 * HOUR, 4 * HOUR)


@pytest.mark.parametrize(("day", "hours"), [(BACK, 25), (FORWARD, 23), (MONDAY, 24)])
def test_the_day_of_a_clock_change_is_an_hour_longer_or_shorter(day, hours):
    changing = scenario({"Ines": {"works": {"mon": "09:00-10:00"}}}, first=day, zone="CET")
    assert day_ends_s(changing, day) - day_starts_s(changing, day) == hours * HOUR


@pytest.mark.parametrize(("day", "elapsed_h"), [(BACK, 10), (FORWARD, 8)])
def test_hours_after_the_change_are_counted_by_time_elapsed_and_shown_by_the_clock(day, elapsed_h):
    (morning, _) = sessions_of(night(day, "09:00-12:00"))
    assert told([morning], day) == [(0, "09:00-12:00", "0", "")]
    assert (morning.starts_s, morning.length_s) == (elapsed_h * HOUR, 3 * HOUR)


def test_of_hours_that_touch_the_hour_left_out_only_what_the_clock_shows_is_worked():
    (begun, _), (ended, _) = sessions_of(night(FORWARD, "02:30-04:00")), sessions_of(night(FORWARD, "01:00-02:30"))
    assert shown(begun)[1] == "04:00"
    assert 0 < begun.length_s <= 1 * HOUR
    assert begun.ends_s == 3 * HOUR
    assert shown(ended)[0] == "01:00"
    assert 0 < ended.length_s <= 1 * HOUR
    assert ended.starts_s == 1 * HOUR


def test_hours_wholly_in_the_hour_left_out_are_not_there():
    assert [s.day for s in sessions_of(night(FORWARD, "02:10-02:50"))] == [FORWARD + timedelta(days=1)]


def test_hours_within_the_hour_shown_twice_last_till_it_is_shown_the_second_time():
    first, second, _ = sessions_of(night(BACK, "02:10-02:50"))
    assert shown(first) == ("02:10", "02:00 again")
    assert shown(second) == ("02:00 again", "02:50 again")
    assert (first.ends_s, second.starts_s, second.ends_s) == (3 * HOUR, 3 * HOUR, 3 * HOUR + 50 * 60)


@pytest.mark.parametrize(("day", "hours"), [(BACK, 7), (FORWARD, 4.5)], ids=["back", "forward"])
def test_a_plan_for_the_night_the_clocks_change_fills_every_hour_and_keeps_its_promises(day, hours):
    # Ines: five hours or three; Tomás: two, or an hour and a half that the clock shows as two and a half
    ends = "02:30" if day == BACK else "04:00"
    crew = {"Ines": {"works": {"sun": "01:00-05:00"}}, "Tomás": {"works": {"sun": f"01:30-{ends}"}}}
    data = {
        "season": {"from": str(day), "until": str(day), "timezone": "CET"},
        "crew": crew,
        "jobs": {"render wax": {"hours": hours}},
    }
    wax = Scenario.model_validate(data)
    workload = build_workload(wax)
    assert sum(s.length_s * len(s.helpers) for s in workload.sessions) == hours * HOUR
    plan = plan_from(
        workload,
        solve(workload, seconds=5),
        scenario_file="winter.yaml",
        scenario_sha256="0" * 64,
        made=datetime(2026, 10, 1, tzinfo=UTC),
        made_with="a test",
    )
    assert sum(row.pieces for row in plan.rows) == hours * 4
    assert [broken.text for broken in audit(wax, plan)] == []


def test_sessions_follow_one_another_and_never_overlap():
    crew = {"Ines": {"works": {"mon-sun": "00:00-23:30"}}, "Tomás": {"works": {"sun": ["01:30-02:30", "03:00-04:00"]}}}
    for first in (BACK - timedelta(days=1), FORWARD - timedelta(days=1)):
        sessions = sessions_of(scenario(crew, first=first, days=3, zone="CET"))
        assert all(a.ends_s <= b.starts_s for a, b in pairwise(sessions))
        assert all(s.length_s > 0 for s in sessions)
