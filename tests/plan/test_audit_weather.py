"""The audit where the weather decides by the hour: paint and glue dry in the air as it is, work in fit hours."""

from __future__ import annotations

import time as stopwatch
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.plan.audit import audit
from offseason.plan.audit.airs import drying_air
from offseason.plan.audit.clock import Clock
from offseason.plan.document import Plan, Row
from offseason.scenario.model import PlaceEntry
from offseason.weather.outlook import Outlook
from tests.plan.outdoors import FIRST, air, assert_breaks, assert_keeps, told
from tests.plan.winters import changed, winter

# Latex dries in 4 h at 25 °C and 50 % (published, a maker's data sheet), twice as long for every 10 K less (derived).
PAINTING = """
season: {from: 2026-10-05, until: 2026-10-30}
crew: {Ines: {works: {every day: 08:00-20:00}}}
places: {rack: {holds: 20, open_air: true}, shed: {holds: 20}}
tasks:
  first coat: {minutes_each: 6, then: {dries: latex, on: rack}}
  second coat: {minutes_each: 6, then: {in: shed}}
gear: {frames: {piece: deep frame, count: 1, rests: shed, steps: [first coat, second coat]}}
"""
PAINTED = """
2026-10-05 10:00-10:06 | Ines | first coat 1 of frames
2026-10-05 AGAIN | Ines | second coat 1 of frames
"""


def painted_again(hours):
    """The second coat at these hours of the day of the first, or of a day of its own."""
    return changed(PAINTED, "2026-10-05 AGAIN", hours if " " in hours else f"2026-10-05 {hours}")


def test_a_coat_dries_by_the_hours_it_truly_lies_in():
    outdoors = air()
    outdoors.celsius[4, :12] = 25.0
    # Until noon 1.9 h of 4; the rest, 0.525, takes 4.2 h of the 8 at 15 °C: dry at 16:12.
    assert_keeps(PAINTING, painted_again("16:12-16:18"), outdoors)
    said = "6 h 6 min of drying (latex) in the air of these days after first coat are needed, 1 min are missing"
    assert_breaks(PAINTING, painted_again("16:11-16:17"), outdoors, "waiting", 2, said)


def test_damp_hours_above_85_per_cent_dry_nothing():
    outdoors = air(celsius=25.0)
    outdoors.humidity_percent[4, 12:14] = 90.0
    assert_keeps(PAINTING, painted_again("16:06-16:12"), outdoors)
    assert_breaks(PAINTING, painted_again("16:05-16:11"), outdoors, "waiting", 2, "6 h of drying")


def test_hours_of_which_nothing_is_known_dry_nothing():
    outdoors = air(celsius=25.0)
    outdoors.celsius[4, 11] = np.nan
    outdoors.humidity_percent[4, 13] = np.nan
    assert_keeps(PAINTING, painted_again("16:06-16:12"), outdoors)
    assert_breaks(PAINTING, painted_again("16:05-16:11"), outdoors, "waiting", 2, "6 h of drying")


def test_a_coat_that_becomes_dry_as_a_damp_night_begins_is_not_wet_until_morning():
    outdoors = air()
    outdoors.humidity_percent[4, 18:] = 95.0
    late = painted_again("18:00-18:06").replace("10:00-10:06", "09:54-10:00")
    assert_keeps(PAINTING, late, outdoors)


def test_each_piece_dries_from_when_it_was_painted_itself():
    outdoors = air(celsius=25.0)
    outdoors.humidity_percent[4, 14:16] = 90.0
    two = changed(PAINTING, "count: 1", "count: 2")
    rows = """
2026-10-05 09:54-10:00 | Ines | first coat 1 of frames
2026-10-05 10:54-11:00 | Ines | first coat 1 of frames
2026-10-05 14:00-14:06 | Ines | second coat 1 of frames
2026-10-05 17:00-17:06 | Ines | second coat 1 of frames
"""
    # Four dry hours each: the first is dry at 14:00, the second loses two hours to the damp and is dry at 17:00.
    assert_keeps(two, rows, outdoors)
    early = changed(rows, "17:00-17:06", "16:59-17:05")
    assert_breaks(two, early, outdoors, "waiting", 4, "6 h of drying (latex) in the air of these days")


def test_a_warmer_shed_holds_the_water_of_the_air_outdoors_and_so_is_drier():
    outdoors = air(humidity=90.0)
    assert_breaks(PAINTING, painted_again("14:06-14:12"), outdoors, "waiting", 2)
    # 90 % at 15 °C are 48 % at 25 °C (saturation pressures of WMO-No. 8): no slower than at 50 %, so 4 h.
    shed = changed(PAINTING, "rack: {holds: 20, open_air: true}", "rack: {holds: 20, outdoors_plus_k: 10}")
    assert_keeps(shed, painted_again("14:06-14:12"), outdoors)
    assert_breaks(shed, painted_again("14:05-14:11"), outdoors, "waiting", 2, "4 h of drying (latex) in the air")


def test_a_colder_cellar_is_damper_than_the_air_outdoors():
    # 60 % at 25 °C would be more than all the air can hold at 10 °C: 100 %, in which latex does not dry.
    cellar = changed(PAINTING, "rack: {holds: 20, open_air: true}", "rack: {holds: 20, outdoors_plus_k: -15}")
    said = "drying (latex) after first coat takes longer than the weather is known"
    rows = painted_again("2026-10-29 10:00-10:06")
    assert_breaks(cellar, rows, air(celsius=25.0, humidity=60.0), "waiting", 2, said)


def test_a_humidity_that_is_given_holds_whatever_the_air_outdoors():
    dry = changed(PAINTING, "open_air: true", "open_air: true, humidity_percent: 50")
    assert_keeps(dry, painted_again("18:06-18:12"), air(humidity=95.0))
    assert_breaks(dry, painted_again("18:05-18:11"), air(humidity=95.0), "waiting", 2, "8 h of drying")


def test_a_place_whose_temperature_is_given_does_not_follow_the_weather():
    room = changed(PAINTING, "open_air: true", "open_air: true, celsius: 25, humidity_percent: 50")
    assert_keeps(room, painted_again("14:06-14:12"), air(celsius=5.0, humidity=95.0))
    assert_breaks(room, painted_again("14:05-14:11"), air(), "waiting", 2, "4 h of drying (latex) after first coat")


def test_without_records_a_place_outdoors_is_taken_as_cool_and_damp():
    # 10 °C and 70 % (ours): 18 h 51 min.
    assert_breaks(PAINTING, painted_again("18:06-18:12"), None, "waiting", 2, "18 h 51 min of drying (latex) after")
    assert_keeps(PAINTING, painted_again("18:06-18:12"), air())


def test_glue_does_not_set_in_hours_colder_than_ten_degrees():
    glued = PAINTING.replace("dries: latex", "dries: glue")
    outdoors = air(celsius=12.0)
    rows = painted_again("2026-10-06 10:06-10:12")
    assert_keeps(glued, rows, outdoors)
    outdoors.celsius[4, 22:] = 9.0
    assert_breaks(glued, rows, outdoors, "waiting", 2, "1 d 2 h of drying (glue) in the air of these days")
    assert_keeps(glued, painted_again("2026-10-06 12:06-12:12"), outdoors)


def test_what_waits_and_dries_waits_for_the_longer_of_both():
    both = changed(PAINTING, "dries: latex", "wait: 6 h, dries: latex")
    said = "6 h of waiting after first coat are needed"
    assert_breaks(both, painted_again("16:05-16:11"), air(celsius=25.0), "waiting", 2, said)
    assert_breaks(both, painted_again("16:06-16:12"), air(), "waiting", 2, "8 h of drying (latex) in the air")
    assert_keeps(both, painted_again("16:06-16:12"), air(celsius=25.0))


# Every hour damp but the one from 02:00, which dries a quarter: four such hours make a coat dry.
AUTUMN = PAINTING.replace("2026-10-30}", "2026-10-30, timezone: CET}")


def small_hours_only(days, first):
    outdoors = air(celsius=25.0, humidity=95.0, days=days, first=first)
    outdoors.humidity_percent[:, 2] = 50.0
    return outdoors


def test_in_the_night_the_clocks_go_back_the_hour_that_comes_twice_dries_twice():
    rows = painted_again("2026-10-27 08:00-08:06").replace("2026-10-05", "2026-10-24")
    outdoors = small_hours_only(40, FIRST)
    assert_keeps(AUTUMN, rows, outdoors)
    assert_breaks(PAINTING, rows, outdoors, "waiting", 2, "3 d 16 h of drying")


def test_in_the_night_the_clocks_go_forward_the_hour_left_out_dries_nothing():
    spring = AUTUMN.replace("from: 2026-10-05, until: 2026-10-30", "from: 2027-03-22, until: 2027-04-03")
    rows = painted_again("2027-03-31 08:00-08:06").replace("2026-10-05", "2027-03-27")
    outdoors = small_hours_only(20, date(2027, 3, 20))
    assert_breaks(spring, rows, outdoors, "waiting", 2)
    assert_keeps(spring, rows.replace("2027-03-31", "2027-04-01"), outdoors)
    assert_keeps(spring.replace(", timezone: CET", ""), rows, outdoors)


def test_a_night_of_25_hours_is_an_hour_longer_for_drying():
    # 5 °C: 16 h from 18:00 are over at 09:00 by the clock, not at 10:00.
    rows = """
2026-10-24 17:54-18:00 | Ines | first coat 1 of frames
2026-10-25 09:00-09:06 | Ines | second coat 1 of frames
"""
    assert_keeps(AUTUMN, rows, air(celsius=5.0))
    assert_breaks(AUTUMN, rows.replace("09:00-09:06", "08:59-09:05"), air(celsius=5.0), "waiting", 2, "1 min are")
    assert_breaks(PAINTING, rows, air(celsius=5.0), "waiting", 2, "16 h of drying (latex)")


def test_what_is_not_dry_before_the_weather_known_ends_is_not_taken_as_dry():
    rows = painted_again("2026-10-20 10:00-10:06")
    assert_keeps(PAINTING, rows, air(days=10))
    said = "too soon for 1 piece: drying (latex) after first coat takes longer than the weather is known"
    # Known until the end of the day of painting at 5 °C: 13 h 54 min of the 16 asked for.
    assert_breaks(PAINTING, rows, air(celsius=5.0, days=5), "waiting", 2, said)
    assert_breaks(PAINTING, rows, air(days=0), "waiting", 2, said)
    # Known from November on only: nothing dries before, and 8 h then.
    assert_breaks(PAINTING, rows, air(first=date(2026, 11, 1)), "waiting", 2, "26 d 21 h of drying (latex)")


HOURS = st.lists(st.sampled_from([(25.0, 50.0), (15.0, 50.0), (15.0, 90.0), (np.nan, 50.0), (1.0, 50.0)]), min_size=24)


@given(HOURS, st.integers(-600, 5_000))
@settings(max_examples=60, deadline=None)
def test_drying_agrees_with_adding_it_up_minute_by_minute_over_the_clock_change(hours, minute):
    outdoors = air(celsius=np.nan, days=4, first=date(2026, 10, 24))
    for number, (celsius, humidity) in enumerate(hours[:96]):
        outdoors.celsius[divmod(number, 24)], outdoors.humidity_percent[divmod(number, 24)] = celsius, humidity
    clock = Clock(date(2026, 10, 24), ZoneInfo("CET"))
    coat = drying_air("latex", PlaceEntry(open_air=True), Outlook({}, outdoors, None, ()), clock)
    # In 480ths of a drying: a minute at 25 °C is two of them, a minute at 15 °C one.
    done, now = 0, minute
    while done < 480 and now < 4 * 24 * 60 + 60:
        moment = datetime(2026, 10, 24, tzinfo=ZoneInfo("CET")).astimezone(UTC) + timedelta(minutes=now)
        shown = moment.astimezone(ZoneInfo("CET"))
        here = (shown.day - 24, shown.hour) if now >= 0 else (3, 23)
        damp = outdoors.humidity_percent[here] > 85 or now < 0
        done += 0 if damp else {25.0: 2, 15.0: 1}.get(float(outdoors.celsius[here]), 0)
        now += 1
    dry = float(coat.dry_at(np.array([60 * minute]))[0])
    assert (np.isinf(dry) and done < 480) or abs(dry - 60 * now) <= 60


JOB = changed(PAINTING, "gear:", "jobs: {take the rack down: {hours: 1, after: [first coat]}}\ngear:")
TAKEN_DOWN = painted_again("19:00-19:06") + "2026-10-05 18:06-19:00 | Ines | take the rack down 4 of take the rack down"


def test_a_job_waits_until_the_coat_before_it_is_dry():
    rows = TAKEN_DOWN.replace("19:00-19:06", "19:30-19:36").replace("18:06-19:00", "18:06-19:06")
    assert_keeps(JOB, rows, air())
    said = "first coat of frames comes before this and is through at Mon 2026-10-05 18:06: 6 min too early"
    assert_breaks(JOB, rows.replace("18:06-19:06", "18:00-19:00"), air(), "before and after", 3, said)


def test_a_job_after_a_coat_that_is_not_known_to_dry_is_named():
    rows = TAKEN_DOWN.replace("18:06-19:00", "18:06-19:06").replace("19:00-19:06", "19:30-19:36")
    found = told(JOB, rows, air(humidity=90.0))
    said = "first coat of frames comes before this, and drying (latex) takes longer than the weather is known"
    assert [(p, line) for p, line, _ in found] == [("waiting", 2), ("before and after", 3)]
    assert said in found[1][2]


def test_a_load_in_a_drying_cupboard_dries_from_when_the_last_of_it_went_in():
    cupboard = changed(PAINTING, "open_air: true", "outdoors_plus_k: 0, whole_loads: true")
    cupboard = changed(cupboard, "count: 1", "count: 2")
    rows = """
2026-10-05 08:00-08:06 | Ines | first coat 1 of frames
2026-10-05 09:54-10:00 | Ines | first coat 1 of frames
2026-10-05 16:06-16:12 | Ines | second coat 1 of frames
2026-10-05 18:00-18:06 | Ines | second coat 1 of frames
"""
    said = "too soon for 1 piece: 8 h of drying (latex) in the air of these days are needed from when the last of the"
    assert_breaks(cupboard, rows, air(), "whole loads", 3, f"{said} load went in (Mon 2026-10-05 10:00), 1 h 54 min")
    assert_keeps(cupboard, rows.replace("16:06-16:12", "18:06-18:12"), air())


def test_a_load_that_is_not_known_to_dry_after_the_last_went_in_is_named():
    cupboard = changed(PAINTING, "open_air: true", "outdoors_plus_k: 0, whole_loads: true")
    cupboard = changed(cupboard, "count: 1", "count: 2")
    outdoors = air(celsius=25.0)
    outdoors.humidity_percent[4, 13:] = 95.0
    outdoors.humidity_percent[5:] = 95.0
    rows = """
2026-10-05 08:00-08:06 | Ines | first coat 1 of frames
2026-10-05 09:54-10:00 | Ines | first coat 1 of frames
2026-10-05 12:06-12:12 | Ines | second coat 1 of frames
"""
    scenario = changed(
        cupboard, "minutes_each: 6, then: {in: shed}", "minutes_each: 6, importance: could, then: {in: shed}"
    )
    said = "too soon for 1 piece: drying (latex) takes longer than the weather is known from when the last of the load"
    assert_breaks(scenario, rows, outdoors, "whole loads", 3, said)


def test_the_only_frame_that_is_mended_is_not_put_away_while_its_glue_sets():
    glued = """
season: {from: 2026-10-05, until: 2026-10-09}
crew: {Ines: {works: {every day: 08:00-20:00}}}
places: {yard: {open_air: true}}
tasks:
  scrape: {minutes_each: 60}
  mend: {minutes_each: 60, share: 50%, needs: [scrape], then: {dries: glue}}
  put away: {minutes_each: 60}
gear: {frames: {piece: deep frame, count: 2, rests: yard, steps: [scrape, mend, put away]}}
"""
    rows = """
2026-10-05 09:00-10:00 | Ines | scrape 1 of frames
2026-10-05 10:00-11:00 | Ines | mend 1 of frames
2026-10-06 11:00-12:00 | Ines | put away 1 of frames
2026-10-07 09:00-10:00 | Ines | scrape 1 of frames
2026-10-07 10:00-11:00 | Ines | put away 1 of frames
"""
    assert_keeps(glued, rows, air())
    cold = air()
    cold.celsius[4, 20:] = 5.0
    assert_breaks(glued, rows, cold, "order", 3, "only 1 is through scrape: 1 too many")


def test_five_thousand_rows_in_the_fit_hours_of_every_single_day_are_audited_within_seconds():
    days = [date(2026, 10, 5) + timedelta(days=n) for n in range(190)]
    fit = ", ".join(f"{day}: 08:00-20:00" for day in days)
    needs = [f"need {n}" for n in range(8)]
    scenario = winter(f"""
season: {{from: 2026-10-05, until: 2027-04-12, timezone: CET}}
crew: {{Ines: {{works: {{every day: 08:00-20:00}}}}}}
places: {{rack: {{open_air: true}}, shed: {{outdoors_plus_k: 2}}}}
tasks:
  scrape: {{minutes_each: 1, weather: need 7, then: {{dries: oil, on: rack}}}}
  paint: {{minutes_each: 1, weather: need 7, then: {{dries: latex, in: shed}}}}
gear: {{frames: {{piece: deep frame, count: 50000, steps: [scrape, paint]}}}}
weather: {{windows: {{{", ".join(f"{need}: {{{fit}}}" for need in needs)}}}}}
""")
    rows = []
    for number in range(5_000):
        day, part = days[number % 190], number // 190
        start = datetime.combine(day, time(8)) + timedelta(minutes=20 * part)
        end = start + timedelta(minutes=20)
        step = "scrape" if number % 190 < 90 else "paint"
        rows.append(Row(day, start.time(), end.time(), ("Ines",), "frames", step, 20, None, 0, number + 1))
    made = Plan("w.yaml", "0" * 64, datetime(2026, 10, 1, tzinfo=UTC), "", False, (), tuple(rows))
    began = stopwatch.process_time()
    found = audit(scenario, made, Outlook({}, air(days=200), None, ()))
    # About a second is needed; the rest is for a slow machine.
    assert stopwatch.process_time() - began < 9
    assert "weather" not in {str(b.promise) for b in found}
