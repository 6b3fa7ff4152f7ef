"""Next winter's scenario out of this winter's and its log."""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.plan.carry_over import MARK, carry_over
from offseason.plan.progress.entry import Entry
from offseason.scenario.model import Foulbrood, Scenario
from offseason.scenario.read import parse_scenario
from offseason.scenario.yaml_edit import CannotEditError
from offseason.scenario.yaml_tree import read_tree
from offseason.workload.build import build_workload

SCENARIOS = Path(__file__).parents[2] / "scenarios"
DAY = date(2026, 11, 7)

YARD = """\
# our yard
season: {name: Winter 2026/27, from: 2026-10-05, until: 2027-04-09}   # as always
moths: {season_starts: 2027-04-20, season_ends: 2026-10-10}
crew:
  Ines:                # keeps the bees
    works: {mon-fri: 09:00-12:00}
    away: [2026-12-21..2027-01-03]
  Tove: {works: {sat: 09:00-12:00}, also: {2026-11-15: 09:00-12:00}}
  Rurik: {also: {2026-10-17: 09:00-12:00, 2027-04-09: 09:00-12:00}}
places:
  shed: {holds: 200 boxes, celsius: -6..8}
  freezer: {holds: 40 combs, celsius: -18}
  locked cupboard: {holds: 20 combs}
tasks:
  scrape: {minutes_each: 6}
  first coat: {minutes_each: 5, weather: dry, paint: latex, then: {dries: latex}}
  second coat: {minutes_each: 5, weather: dry, paint: latex}
  freeze: {minutes_each: 1, then: {wait: freezer stay, in: freezer}, kills: true}
  seal: {minutes_each: 1, seals: true, then: {in: shed}, uses: {bags: 0.1}}
  melt down: {minutes_each: 1, uses_up: true}
  fit foundation: {minutes_each: 4, uses: {foundation sheets: 1}}
gear:
  boxes: {piece: langstroth deep box, count: 20, rests: shed, last_painted: 2019,
          steps: [scrape, first coat, second coat]}
  lids:                # the old ones
    piece: telescoping lid
    count: 12
    rests: shed
    steps: [first coat, second coat]   # never painted yet
  combs: {piece: medium comb, count: 80, comb: dry, rests: shed, arrives: 2026-10-12, webbing_seen: true,
          steps: [freeze, seal]}
  brood: {piece: deep comb, count: 30, comb: brood, rests: shed, steps: [freeze, seal]}
  black combs: {piece: deep comb, count: 50, comb: brood, rests: shed, ready_by: 2027-02-26, steps: [melt down]}
  frames: {piece: deep frame, count: 40, rests: shed, arrives: 2027-01-11, steps: [fit foundation]}
  from hive 7: {piece: deep comb, count: 9, comb: brood, rests: locked cupboard, foulbrood: suspected}
jobs:
  build a rack: {hours: 4, by: 2026-10-31, before: [boxes]}
  clean the melter: {hours: 2, after: [black combs, boxes], importance: should}
rounds:
  look at combs: {every: 28 d, minutes: 10, from: 2026-11-01, looks_at: shed}
supplies:
  bags: {in_hand: 10}
  frames: {lead_time: 28 d}
weather:
  windows:
    dry: {2026-10-05..2026-10-30: 09:00-12:00, 2026-11-16..2026-11-20: 09:00-12:00}
"""


def done(**by_lot: dict[str, int]) -> list[Entry]:
    return [
        Entry(f"{lot}{step}", DAY, ("Ines",), lot.replace("_", " "), step, pieces)
        for lot, steps in by_lot.items()
        for step, pieces in steps.items()
    ]


def next_winter(*entries: Entry, text: str = YARD, **how: object) -> tuple[str, Scenario]:
    carried = carry_over(text, "winter.yaml", entries, origin="winter.yaml and winter.log.yaml", **how)
    assert parse_scenario(carried.text, "next.yaml") == carried.scenario
    return carried.text, carried.scenario


COATS = ("first coat", "second coat")


def test_all_dates_are_a_year_later():
    text, scenario = next_winter()
    assert (scenario.season.from_, scenario.season.until) == (date(2027, 10, 5), date(2028, 4, 9))
    assert scenario.moths.season_starts == date(2028, 4, 20)
    assert scenario.gear["combs"].arrives == date(2027, 10, 12)
    assert scenario.jobs["build a rack"].by == date(2027, 10, 31)
    assert scenario.rounds["look at combs"].from_ == date(2027, 11, 1)
    assert scenario.season.name == "Winter 2027/28"
    assert "2027-10-31" in text


def test_the_first_day_may_be_named_and_nothing_lies_before_it():
    _, scenario = next_winter(season_from=date(2027, 10, 20))
    assert scenario.season.from_ == date(2027, 10, 20)
    assert scenario.gear["combs"].arrives == date(2027, 10, 20)


@pytest.mark.parametrize("day", [date(2026, 10, 5), date(2026, 11, 2), date(2025, 10, 5)])
def test_a_winter_is_not_carried_over_into_itself(day):
    with pytest.raises(CannotEditError, match="is not the next one"):
        next_winter(season_from=day)


def test_a_leap_day_is_the_last_of_february_in_the_next_year():
    text = YARD.replace("2027", "2028").replace("2026", "2027").replace("2028-04-09", "2028-02-29")
    assert next_winter(text=text)[1].season.until == date(2029, 2, 28)


def test_the_keeper_s_own_comments_are_kept():
    text, _ = next_winter()
    for remark in ("# our yard", "# as always", "# keeps the bees", "# the old ones", "# never painted yet"):
        assert remark in text


def test_days_away_are_another_winter_s_and_left_as_a_comment():
    text, scenario = next_winter()
    assert scenario.crew["Ines"].away == ()
    assert f"    {MARK}last winter: away: [2026-12-21..2027-01-03]" in text
    assert scenario.crew["Tove"].also == {}


def test_someone_who_comes_on_single_days_only_keeps_them_on_the_same_weekdays():
    _, scenario = next_winter()
    (days,) = (scenario.crew["Rurik"].also,)
    assert [d.first for d in days] == [date(2027, 10, 16), date(2028, 4, 7)]


def test_hours_by_hand_are_moved_by_weeks_where_nothing_else_tells_the_weather():
    text, scenario = next_winter()
    assert [d.first for d in scenario.weather.windows["dry"]] == [date(2027, 10, 5), date(2027, 11, 15)]
    assert "no forecast; write this winter's in their place" in text


def test_a_lot_with_all_its_coats_was_painted_in_the_year_of_the_winter():
    _, scenario = next_winter(*done(boxes=dict.fromkeys(COATS, 20), lids=dict.fromkeys(COATS, 12)))
    assert scenario.gear["boxes"].last_painted == 2026
    assert scenario.gear["lids"].last_painted == 2026


def test_one_coat_is_not_painted():
    text, scenario = next_winter(*done(boxes={"first coat": 20}))
    assert scenario.gear["boxes"].last_painted == 2019
    assert "20 have had the first coat and 0 have had the second coat" in text


def test_a_lot_painted_in_part_becomes_two():
    _, scenario = next_winter(*done(lids={"first coat": 9, "second coat": 5}))
    assert (scenario.gear["lids"].count, scenario.gear["lids"].last_painted) == (7, None)
    painted = scenario.gear["lids, painted 2026"]
    assert (painted.count, painted.last_painted) == (5, 2026)
    assert list(scenario.gear).index("lids, painted 2026") == list(scenario.gear).index("lids") + 1


def test_a_coat_lost_again_does_not_count():
    entries = [*done(boxes=dict.fromkeys(COATS, 20)), Entry("lost", DAY, ("Ines",), "boxes", "second coat", -20)]
    assert next_winter(*entries)[1].gear["boxes"].last_painted == 2019


def test_combs_melted_down_are_gone_with_all_that_named_them():
    text, scenario = next_winter(*done(black_combs={"melt down": 50}))
    assert "black combs" not in scenario.gear
    assert scenario.jobs["clean the melter"].after == ("boxes",)
    assert f"{MARK}all used up last winter: black combs: {{piece" in text


def test_combs_melted_down_in_part_are_fewer():
    assert next_winter(*done(black_combs={"melt down": 20}))[1].gear["black combs"].count == 30


def test_frames_that_were_made_ready_are_not_made_again():
    text, scenario = next_winter(*done(frames={"fit foundation": 40}))
    assert "frames" not in scenario.gear
    assert "frames" not in scenario.supplies
    assert "all made ready last winter; count them with the gear they are now" in text
    assert next_winter(*done(frames={"fit foundation": 15}))[1].gear["frames"].count == 25


def test_foulbrood_stays_suspected_and_webbing_does_not():
    text, scenario = next_winter()
    assert scenario.gear["from hive 7"].foulbrood is Foulbrood.SUSPECTED
    assert "it is notifiable" in text
    assert not scenario.gear["combs"].webbing_seen


def test_combs_grow_older_every_winter_and_brood_combs_are_due_after_three():
    text, _ = next_winter()
    assert f"{MARK}brood: combs 1 season older than in 2026; brood combs are retired after 3 seasons" in text
    assert "10 of these 30" in " ".join(text.replace(MARK, " ").split())
    for seasons in (2, 3):
        text, _ = next_winter(text=text)
        assert f"{MARK}brood: combs {seasons} seasons older than in 2026" in text
    assert "any left from 2026 are due" in " ".join(text.replace(MARK, " ").split())


def test_what_is_left_undone_stands_at_the_top_and_what_is_done_does_not():
    text, _ = next_winter(*done(boxes={"scrape": 17}, combs={"freeze": 80, "seal": 80}))
    top = text[: text.index("# our yard")]
    assert "boxes: scrape 3 of 20" in top
    assert "build a rack: 4 h of 4 h" in top
    assert "combs:" not in top.replace("black combs:", "")


def test_a_job_that_was_begun_needs_only_the_rest_and_one_done_is_kept_with_a_word():
    text, scenario = next_winter(*done(build_a_rack={"build a rack": 4}, clean_the_melter={"clean the melter": 8}))
    assert scenario.jobs["build a rack"].hours == 3
    assert scenario.jobs["clean the melter"].hours == 2
    assert f"{MARK}done last winter; delete it if it does not come every winter" in text


def test_what_was_used_is_no_longer_in_hand():
    assert next_winter(*done(combs={"seal": 60}))[1].supplies["bags"].in_hand == 4
    assert next_winter(*done(combs={"seal": 80}, brood={"seal": 30}))[1].supplies["bags"].in_hand == 0


def test_carried_over_twice_it_tells_only_of_the_last_winter():
    once, _ = next_winter(*done(boxes={"scrape": 17}))
    twice, scenario = next_winter(text=once)
    assert "scrape 3 of 20" not in twice
    assert twice.count(f"{MARK}from winter.yaml") == 1
    assert scenario.season.from_ == date(2028, 10, 5)


def test_minutes_learnt_go_in_where_asked():
    _, scenario = next_winter(minutes={("tasks", "scrape", "minutes_each"): 7.4})
    assert scenario.tasks["scrape"].minutes_each == 7.4


def test_records_are_kept_and_last_winter_s_forecast_is_not():
    text = (SCENARIOS / "sideline.yaml").read_text(encoding="utf-8")
    changed, scenario = next_winter(text=text)
    assert scenario.weather.forecast == ()
    assert scenario.weather.history == ("weather/harrow-bend-history.csv",)
    assert f"{MARK}add the records of the winter of 2026/27 to these" in changed


def made_up_log(text: str, seed: int) -> list[Entry]:
    """For each step a part of the pieces between none and all, now and then of none that exist."""
    rng = random.Random(seed)
    scenario = parse_scenario(text, "winter.yaml")
    who = next(iter(scenario.crew))
    rows = []
    for lot in build_workload(scenario).lots:
        for step in lot.steps:
            pieces = rng.choice([0, step.pieces // 3, step.pieces, step.pieces, step.pieces + 5])
            rows += [Entry(f"{len(rows)}", scenario.season.from_, (who,), lot.stated, step.task, pieces or -1)]
    return rows


@pytest.mark.parametrize("name", ["hobby", "sideline", "commercial"])
def test_what_is_written_is_a_scenario_that_can_be_carried_over_again(name):
    text = (SCENARIOS / f"{name}.yaml").read_text(encoding="utf-8")
    for seed in range(2):
        once, scenario = next_winter(*made_up_log(text, seed), text=text)
        assert set(scenario.crew) == set(parse_scenario(text, name).crew)
        next_winter(*made_up_log(once, seed), text=once)


@pytest.mark.slow
@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6))
def test_whatever_was_done_every_piece_is_somewhere(seed):
    rows = made_up_log(YARD, seed)
    _, scenario = next_winter(*rows)
    told = {(row.lot, row.step): max(0, row.pieces) for row in rows}
    before = parse_scenario(YARD, "winter.yaml")
    for name, lot in before.gear.items():
        used = {"black combs": "melt down", "frames": "fit foundation"}.get(name)
        gone = min(lot.count, told[name, used]) if used else 0
        now = sum(other.count for key, other in scenario.gear.items() if key in (name, f"{name}, painted 2026"))
        assert now == lot.count - gone


@pytest.mark.parametrize("braces", [True, False])
@pytest.mark.parametrize("name", ["our yard", "hobby", "sideline", "commercial"])
def test_however_the_file_is_laid_out_the_same_comes_of_it(name, braces):
    text = YARD if name == "our yard" else (SCENARIOS / f"{name}.yaml").read_text(encoding="utf-8")
    data = read_tree(text, "winter.yaml")[0].data
    other = yaml.safe_dump(data, default_flow_style=braces, sort_keys=False, width=10_000, allow_unicode=True)
    rows = made_up_log(text, seed=1)
    assert next_winter(*rows, text=other)[1] == next_winter(*rows, text=text)[1]


def test_where_only_a_forecast_tells_the_weather_it_is_kept_and_a_new_one_is_asked_for():
    changed, scenario = next_winter(text=YARD.replace("weather:\n", "weather:\n  forecast: week.csv\n"))
    assert scenario.weather.forecast == ("week.csv",)
    assert f"{MARK}last winter's; put this winter's in its place" in changed
    told = "the forecast file is last winter's, kept because nothing else tells the weather: put in a new one."
    assert told in " ".join(changed.replace(MARK, "").split())


HISTORY = YARD.replace("weather:\n", "weather:\n  history: past.csv\n  needs: {dry: {dry_hours_after: 4}}\n")


def test_hours_of_weather_that_records_tell_are_left_behind_and_others_moved_by_weeks():
    assert "dry" in next_winter()[1].weather.windows
    changed, scenario = next_winter(text=HISTORY)
    assert scenario.weather.windows == {}
    assert f"{MARK}last winter: dry: {{2026-10-05..2026-10-30: 09:00-12:00" in changed


def test_a_season_within_one_year_is_called_by_that_year_alone():
    text = HISTORY.replace("from: 2026-10-05", "from: 2027-01-04")
    text = text.replace("arrives: 2026-10-12, ", "").replace(", by: 2026-10-31", "").replace("from: 2026-11-01, ", "")
    text = text.replace("also: {2026-11-15: 09:00-12:00}", "also: {}").replace("2026-10-17: 09:00-12:00, ", "")
    text = text.replace("away: [2026-12-21..2027-01-03]", "away: [2027-01-04]")
    text = text.replace("{2026-10-05..2026-10-30: 09:00-12:00, 2026-11-16..2026-11-20:", "{2027-01-04..2027-02-20:")
    assert f"{MARK}add the records of the winter of 2027 to these" in next_winter(text=text)[0]
    assert f"{MARK}add the records of the winter of 2026/27 to these" in next_winter(text=HISTORY)[0]


def test_a_name_that_is_taken_already_gets_a_number():
    entries = done(boxes={"scrape": 20, "first coat": 8, "second coat": 8})
    assert next_winter(*entries)[1].gear["boxes, painted 2026"].count == 8
    taken = YARD.replace("  brood:", '  "Boxes, painted 2026": {piece: flat lid, count: 3, rests: shed}\n  brood:')
    assert next_winter(*entries, text=taken)[1].gear["boxes, painted 2026 (2)"].count == 8
