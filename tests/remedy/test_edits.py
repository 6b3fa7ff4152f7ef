"""A remedy in the keeper's own text is the remedy as it was tried, and leaves all other letters alone."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from offseason.remedy.changed import changed, help_hours
from offseason.remedy.edits import MARK, applied
from offseason.remedy.lever import Change, Kind, Lever
from offseason.scenario.hours import fit_on, hours_on
from offseason.scenario.lots import kind_of
from offseason.scenario.model import Scenario
from offseason.scenario.read import parse_scenario
from offseason.scenario.words import Days, parse_days, parse_hours
from offseason.scenario.yaml_edit import CannotEditError
from offseason.weather.winter import settle

SHIPPED = Path(__file__).parents[2] / "scenarios"

LINES = """\
# a yard of few words
season:
  from: 2026-10-05      # a Monday
  until: 2027-03-14
crew:
  Ottilie:
    works:
      mon-fri: 09:00-12:00    # mornings
    also:
      2026-10-17..2026-10-24: [14:00-16:00, 17:00-18:00]   # the week of the fair
      2026-11-07:
        - 09:00-10:00   # while the tea is hot
        - 11:00-12:00
  "Noël: the Younger":
    works: {sat: 09:00-12:00}
    also:
  Piet:
    works: {sat: 09:00-12:00}
    also: {}
places:
  bench: {seats: 1}
  loft:
    holds: 40 pieces   # counted
  freezer: {holds: "24combs", celsius: -18}
tasks:
  scrape: {minutes_each: 6, at: bench}
  paint, first: {minutes_each: 6, weather: "dry: and calm"}
  oil: {minutes_each: 2, weather: oiling}
gear:
  feeders:
    piece: feeder
    count: 20
    steps: [scrape, "paint, first", oil]
    optional:
      - scrape     # where it fits in
      - oil
  lids: {piece: telescoping lid, count: 4, rests: loft, arrives: 2026-11-02, ready_by: 2027-02-01, steps: [oil]}
  combs: {piece: medium comb, comb: dry, count: 9, rests: freezer}
jobs:
  tidy: {hours: 2, importance: must}
  sweep:
    hours: 1
    by: 2026-12-01   # before the frost
weather:
  windows:
    oiling: {2026-10-05..2027-03-14: 10:00-15:00, 2026-10-17: none}
    "dry: and calm":
      2026-10-10: 10:00-15:00
# the end"""

BRACES = (
    "{season: {from: 2026-10-05, until: 2027-03-14}, crew: {Ottilie: {works: {mon-fri: 09:00-12:00}}},"
    " tasks: {oil: {minutes_each: 2, weather: oiling with care}},"
    " gear: {lids: {piece: telescoping lid, count: 4, steps: [oil]}},"
    " jobs: {tidy: {hours: 2}}, weather: {history: records.csv, needs: {oiling with care: {no_rain: true}}}}\n"
)

NO_WINDOWS = """\
season: {from: 2026-10-05, until: 2027-03-14}
crew: {Ottilie: {works: {mon-fri: 09:00-12:00}}}
tasks:
  oil: {minutes_each: 2, weather: "oiling: with care"}
  wax: {minutes_each: 2, weather: waxing}
gear:
  lids: {piece: telescoping lid, count: 4, steps: [oil, wax]}
weather:   # only what was
  history: records.csv
  needs: {"oiling: with care": {no_rain: true}, waxing: {no_rain: true}}
"""

EMPTY_WINDOWS = NO_WINDOWS + "  windows:   # none known\n"
ONE_WINDOW = NO_WINDOWS + "  windows:\n    waxing:\n      2026-10-07: 10:00-12:00  # seen\n"

LAYOUTS = {
    "in lines": LINES,
    "with the line ends of another system": LINES.replace("\n", "\r\n"),
    "in braces": BRACES,
    "without windows": NO_WINDOWS,
    "with empty windows": EMPTY_WINDOWS,
    "with a window for another need": ONE_WINDOW,
    **{name: (SHIPPED / f"{name}.yaml").read_text(encoding="utf-8") for name in ("hobby", "sideline", "commercial")},
}
EACH = [pytest.param(name, marks=[pytest.mark.slow] if len(text) > 3_000 else []) for name, text in LAYOUTS.items()]
SCENARIOS = {name: parse_scenario(text, name) for name, text in LAYOUTS.items()}
FREE = ("04:00-05:30", "20:00-21:00", "22:15-23:59")
QUICK = settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def one(kind: Kind, about: str, size: int = 1, **more) -> Change:
    return Change(Lever(kind, about, 1_000, 1.0, **more), size)


def day(text: str) -> date:
    return parse_days(text).first


def slots(*each: str):
    return tuple((day(first), parse_hours(hours)) for first, hours in (one.split(" ") for one in each))


@st.composite
def changes_of(draw, scenario: Scenario) -> tuple[Change, ...]:
    """A few changes of all kinds that this scenario allows."""
    kinds = [*_of_places(scenario), *_of_help(scenario), *_of_gear(scenario), *_of_jobs(scenario)]
    kinds.append(st.just(one(Kind.LATER, "", 6)))
    apart = {"unique_by": lambda change: (change.lever.kind, change.lever.about, change.lever.job)}
    return tuple(draw(st.lists(st.one_of(kinds), min_size=1, max_size=5, **apart)))


def _days(scenario: Scenario):
    season = scenario.season
    return st.integers(0, (season.until - season.from_).days).map(lambda n: season.from_ + timedelta(days=n))


def _of_places(scenario: Scenario):
    some = st.integers(1, 40)
    for name, place in scenario.places.items():
        if place.holds:
            yield st.builds(one, st.just(Kind.SPACE), st.just(name), some)
        if place.seats:
            yield st.builds(one, st.just(Kind.SEATS), st.just(name), some)
    for need in {task.weather for task in scenario.tasks.values()} - {None}:
        hired = st.lists(_days(scenario), min_size=1, max_size=4, unique=True).map(tuple)
        yield hired.map(lambda days, need=need: one(Kind.INDOORS, need, len(days), days=days))


def _of_help(scenario: Scenario):
    free = st.tuples(_days(scenario), st.sampled_from(FREE).map(parse_hours))
    lists = st.lists(free, min_size=1, max_size=4, unique=True).map(tuple)
    for name in scenario.crew:
        yield lists.flatmap(lambda s, n=name: st.integers(1, 4 * len(s)).map(lambda size: helped(n, s, size)))


def _of_gear(scenario: Scenario):
    season = scenario.season
    for name, lot in scenario.gear.items():
        if lot.arrives and lot.arrives > season.from_:
            yield st.just(one(Kind.EARLIER, name, min(5, (lot.arrives - season.from_).days)))
        if lot.ready_by and lot.ready_by < season.until:
            yield st.just(one(Kind.LATER, name, min(5, (season.until - lot.ready_by).days)))
        if kind_of(lot) == "comb":
            yield st.just(one(Kind.FEWER, name, min(lot.count - 1, 7)))
        elif still := [step for step in lot.steps if scenario.tasks[step].then.rests is None]:
            yield st.sampled_from(still).map(lambda step, name=name: one(Kind.OPTIONAL, name, steps=(step,)))


def _of_jobs(scenario: Scenario):
    for name, job in scenario.jobs.items():
        yield st.just(one(Kind.OPTIONAL, name, job=True))
        if job.by and job.by < scenario.season.until:
            yield st.just(one(Kind.LATER, name, min(5, (scenario.season.until - job.by).days), job=True))


def helped(name, free, quarters: int) -> Change:
    return one(Kind.HELP, name, quarters, slots=free)


REMARK = re.compile(r"(?:^|\s)#\s?(.*?)\r?$", re.MULTILINE)


def remarks(text: str) -> Counter[str]:
    return Counter(" ".join(found.split()) for found in REMARK.findall(text))


@pytest.mark.parametrize("name", EACH)
@QUICK
@given(st.data())
def test_the_changed_text_reads_as_the_changed_scenario_and_keeps_every_remark(name, data):
    text, scenario = LAYOUTS[name], SCENARIOS[name]
    changes = data.draw(changes_of(scenario))
    done = applied(text, scenario, changes)
    assert parse_scenario(done, "changed") == changed(scenario, changes)
    assert parse_scenario(done, "changed") != scenario or all(c.lever.kind is Kind.OPTIONAL for c in changes)
    ours = done.replace(f"{MARK}beside it stood: ", "# ")
    assert not remarks(text) - remarks(ours)


@pytest.mark.parametrize("name", EACH)
@QUICK
@given(st.data())
def test_lines_that_a_change_does_not_touch_stay_byte_for_byte(name, data):
    text, scenario = LAYOUTS[name], SCENARIOS[name]
    (change, *_) = data.draw(changes_of(scenario))
    done = applied(text, scenario, [change])
    lines, ours = text.splitlines(keepends=True), done.splitlines(keepends=True)
    kept = [line for line in ours if MARK not in line]
    many = {Kind.HELP: len({d for d, _ in change.lever.slots}), Kind.INDOORS: len(change.lever.days), Kind.OPTIONAL: 2}
    assert sum((Counter(lines) - Counter(kept)).values()) <= many.get(change.lever.kind, 1)
    assert ("\r\n" in text) == ("\r\n" in done)
    assert "\n" not in done.replace("\r\n", "") or "\r\n" not in text


def test_what_was_there_before_stands_above_the_line():
    text = LAYOUTS["hobby"]
    done = applied(text, SCENARIOS["hobby"], [one(Kind.SPACE, "kitchen freezer", 14)])
    old = "  kitchen freezer: {holds: 20 combs, celsius: -18}\n"
    new = "  # remedy: kitchen freezer: room for 14 more; holds was 20 combs\n" + old.replace("20", "34")
    assert done == text.replace(old, new)


def test_a_number_of_pieces_stays_a_number_alone():
    done = applied(LAYOUTS["hobby"], SCENARIOS["hobby"], [one(Kind.SPACE, "drying rack", 3)])
    assert "drying rack: {holds: 15," in done
    assert "holds: 41 pieces   # counted" in applied(LINES, SCENARIOS["in lines"], [one(Kind.SPACE, "loft", 1)])


def test_help_is_taken_quarter_by_quarter_in_the_order_of_the_stretches():
    lever = Lever(Kind.HELP, "Piet", 99, 1.0, slots=slots("2026-10-31 16:00-16:40", "2026-10-30 09:00-12:00"))
    assert help_hours(lever, 1) == slots("2026-10-31 16:00-16:15")
    assert help_hours(lever, 5) == slots("2026-10-30 09:00-09:45", "2026-10-31 16:00-16:30")
    with pytest.raises(ValueError, match="no 225 minutes to spare"):
        help_hours(lever, 15)


def test_help_joins_the_hours_that_are_there_and_parts_a_stretch_of_days():
    scenario = SCENARIOS["in lines"]
    more = one(Kind.HELP, "Ottilie", 4, slots=slots("2026-10-20 16:00-17:00", "2026-11-07 10:00-11:00"))
    after = changed(scenario, [more])
    assert hours_on(after.crew["Ottilie"], day("2026-10-20"))[1:] == [parse_hours("14:00-18:00")]
    for other in ("2026-10-19", "2026-10-21", "2026-11-07"):
        assert hours_on(after.crew["Ottilie"], day(other)) == hours_on(scenario.crew["Ottilie"], day(other))
    done = applied(LINES, scenario, [more])
    assert "      2026-10-17..2026-10-19: [14:00-16:00, 17:00-18:00]   # the week of the fair\n" in done
    assert "      2026-10-20: 14:00-18:00\n" in done
    assert "      2026-10-21..2026-10-24: [14:00-16:00, 17:00-18:00]\n" in done


def test_help_that_reaches_into_the_weekly_hours_is_refused_in_a_sentence():
    more = one(Kind.HELP, "Piet", 4, slots=slots("2026-10-31 11:30-12:30"))
    with pytest.raises(CannotEditError, match="overlaps 09:00-12:00, the hours of every sat"):
        applied(LINES, SCENARIOS["in lines"], [more])


def test_a_day_under_a_roof_is_fit_at_all_hours_whatever_the_records_say(tmp_path):
    text = LAYOUTS["sideline"].replace("weather/harrow-bend", "harrow-bend")
    for file in (SHIPPED / "weather").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    scenario = parse_scenario(text, "sideline")
    roof = one(Kind.INDOORS, "painting", 2, days=(day("2026-12-05"), day("2026-10-06")))
    before, _ = settle(scenario, tmp_path)
    after, _ = settle(parse_scenario(applied(text, scenario, [roof]), "sideline"), tmp_path)
    assert after == changed(before, [roof])
    assert [str(h) for h in fit_on(after.weather.windows["painting"], day("2026-12-05"))] == ["00:00-23:59"]
    assert not fit_on(before.weather.windows["painting"], day("2026-12-05"))


def test_hours_that_were_none_are_told_as_none():
    roof = one(Kind.INDOORS, "oiling", 2, days=(day("2026-10-17"), day("2026-10-18")))
    done = applied(LINES, SCENARIOS["in lines"], [roof])
    assert "# remedy: oiling: a hired roof on 2026-10-17, fit at any hour; before: none\n" in done
    assert "# remedy: oiling: a hired roof on 2026-10-18, fit at any hour; before: 10:00-15:00\n" in done


def test_a_need_that_wants_quotes_is_added_in_quotes():
    roof = one(Kind.INDOORS, "oiling: with care", 1, days=(day("2026-12-05"),))
    for text in (NO_WINDOWS, EMPTY_WINDOWS, ONE_WINDOW):
        done = applied(text, parse_scenario(text, "yard"), [roof])
        assert '"oiling: with care": {2026-12-05: 00:00-23:59}' in done


def test_an_amount_that_others_stand_for_is_not_changed_behind_their_back():
    text = LINES.replace("count: 20", "count: &n 20").replace("count: 9,", "count: *n,")
    with pytest.raises(CannotEditError, match="&"):
        applied(text, parse_scenario(text, "yard"), [one(Kind.FEWER, "combs", 2)])


def test_an_amount_with_an_anchor_of_its_own_keeps_it():
    text = LINES.replace("count: 20", "count: &n 20")
    assert "count: &n 18\n" in applied(text, parse_scenario(text, "yard"), [one(Kind.FEWER, "feeders", 2)])


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (one(Kind.SPACE, "cellar"), "there is no place 'cellar' in the scenario"),
        (one(Kind.SPACE, "bench"), "'bench' does not hold anything"),
        (one(Kind.SEATS, "loft"), "nobody works at 'loft'"),
        (one(Kind.HELP, "Nobody", slots=slots("2026-10-31 16:00-18:00")), "there is no person 'Nobody'"),
        (one(Kind.HELP, "Piet"), "no 15 minutes to spare"),
        (one(Kind.INDOORS, "oiling", 2, days=(day("2026-12-05"),)), "only 1 days on which a roof would help"),
        (one(Kind.INDOORS, "sunbathing", days=(day("2026-12-05"),)), "no task, job or round asks for the weather"),
        (one(Kind.INDOORS, "oiling", days=(day("2028-12-05"),)), "outside the season"),
        (one(Kind.EARLIER, "lids", 400), "outside the season"),
        (one(Kind.EARLIER, "lids", 10_000_000), "out of range"),
        (one(Kind.LATER, "sweep", 400, job=True), "outside the season"),
        (one(Kind.OPTIONAL, "lids", steps=("fly",)), "not one of the steps"),
        (one(Kind.FEWER, "lids", 4), "0 is too small|1 or more|at least 1"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(change, told):
    with pytest.raises(CannotEditError, match=told):
        applied(LINES, SCENARIOS["in lines"], [change])


def test_a_text_that_is_not_the_scenario_it_is_said_to_be_is_not_written():
    other = parse_scenario(LINES.replace("count: 4,", "count: 5,"), "another yard")
    with pytest.raises(CannotEditError, match="cannot be written without changing something else"):
        applied(LINES, other, [one(Kind.SEATS, "bench")])


def test_days_parted_in_braces_stay_days():
    text = BRACES.replace("{works: {mon-fri: 09:00-12:00}}", "{also: {2026-10-06..2026-10-07: 09:00-12:00}}")
    scenario = parse_scenario(text, "yard")
    more = one(Kind.HELP, "Ottilie", 1, slots=slots("2026-10-06 12:00-13:00"))
    after = parse_scenario(applied(text, scenario, [more]), "yard")
    assert after.crew["Ottilie"].also == {
        Days(day("2026-10-06"), day("2026-10-06")): (parse_hours("09:00-12:15"),),
        Days(day("2026-10-07"), day("2026-10-07")): (parse_hours("09:00-12:00"),),
    }
