"""What the keeper reads before any planning."""

from dataclasses import replace
from datetime import date

import pytest

from offseason.scenario.model import Foulbrood
from offseason.scenario.read import read_scenario
from offseason.share.terminal import check_text
from offseason.workload.balance import balance_of
from offseason.workload.build import build_workload
from offseason.workload.model import Importance


@pytest.fixture
def balance(workload):
    return balance_of(workload, date(2026, 10, 5))


def flat(text):
    return " ".join(text.split())


def test_check_holds_work_against_help_at_the_top(scenario, balance):
    text = flat(check_text(scenario, balance))
    assert "32.0 h of help for 3.5 h of work that must be done and 1.7 h that should or could be." in text


def test_check_says_that_months_are_counted_up_and_hours_are_of_one_person(scenario, balance):
    text = flat(check_text(scenario, balance))
    assert "Hours of one person, without setting up." in text
    assert "by the end of a month, what is due must be done, and what is at hand can be" in text


def test_check_has_a_line_for_every_month_of_the_season(scenario, balance):
    text = check_text(scenario, balance)
    for month in ("Oct 2026", "Nov 2026", "Dec 2026", "Jan 2027", "Feb 2027", "Mar 2027"):
        assert f"\n{month}" in text


def test_check_has_a_line_for_the_bench_the_weather_and_the_freezer(scenario, balance):
    text = flat(check_text(scenario, balance))
    assert "bench 0.0 1.2 32.0" in text
    assert "painting 1.2 0.0 32.0 4 days" in text
    assert "freezer 60 60 1.0 1.0" in text


def test_check_says_where_it_is_short_and_that_it_cannot_be_planned(scenario, workload):
    unfit = replace(workload, sessions=tuple(replace(s, fit=frozenset()) for s in workload.sessions))
    text = flat(check_text(scenario, balance_of(unfit, date(2026, 10, 5))))
    assert "painting 1.2 0.0 0.0 0 days 1.2 h short" in text
    assert "This winter cannot be planned as it stands" in text


def test_check_does_not_promise_a_plan_where_the_sums_come_out(scenario, balance):
    assert "whether it all fits together, only a plan can show" in flat(check_text(scenario, balance))


def test_check_says_that_gear_suspected_of_foulbrood_is_not_planned(scenario, balance):
    boxes = scenario.gear["brood boxes"].model_copy(update={"foulbrood": Foulbrood.SUSPECTED})
    suspected = scenario.model_copy(update={"gear": {**scenario.gear, "brood boxes": boxes}})
    assert "brood boxes: foulbrood is suspected, so no work is planned" in flat(check_text(suspected, balance))


def test_check_says_to_warm_foundation_before_it_is_fitted(scenario, balance):
    scrape = scenario.tasks["scrape"].model_copy(update={"uses": {"foundation sheets": 1}})
    fitting = scenario.model_copy(update={"tasks": {**scenario.tasks, "scrape": scrape}})
    told = "- scrape: foundation is worked at bench, whose temperature is not given, and it breaks below 18 °C."
    assert told in flat(check_text(fitting, balance))
    assert "foundation" not in check_text(scenario, balance)


def test_check_fits_eighty_columns(scenario, balance):
    assert max(map(len, check_text(scenario, balance).splitlines())) <= 80


def test_a_store_that_is_never_full_is_not_worth_a_line(scenario, workload):
    roomy = tuple(replace(place, holds=600) if place.name == "freezer" else place for place in workload.places)
    text = check_text(scenario, balance_of(replace(workload, places=roomy), date(2026, 10, 5)))
    assert "freezer" not in text


def test_a_freezer_that_would_have_to_be_full_for_longer_than_the_winter_lasts_is_more_than_there_is(tmp_path):
    file = tmp_path / "winter.yaml"
    # 40 combs one after another, a night and a day each, in a season of five days
    file.write_text(
        "season: {from: 2026-10-05, until: 2026-10-09}\nmoths: {season_starts: 2027-04-20}\n"
        "crew: {Ottilie: {works: {mon-sun: 08:00-18:00}}}\n"
        "places: {freezer: {holds: 1 combs, celsius: -18}, loft: {holds: 60 combs}}\n"
        "tasks:\n  freeze: {minutes_each: 1, kills: true, then: {wait: 24 h, in: freezer}}\n"
        "  seal: {minutes_each: 1, seals: true, then: {in: loft}}\n"
        "gear: {combs: {piece: medium comb, count: 40, comb: dry, rests: loft, steps: [freeze, seal]}}\n",
        encoding="utf-8",
    )
    assert "more is asked than there is" in check_text_of(file)
    file.write_text(file.read_text(encoding="utf-8").replace("count: 40", "count: 4"), encoding="utf-8")
    assert "Nothing is short by adding up" in check_text_of(file)


def check_text_of(file):
    scenario = read_scenario(file)
    workload = build_workload(scenario)
    return " ".join(check_text(scenario, balance_of(workload, scenario.season.from_), None).split())


def test_where_nothing_must_be_done_no_stretch_is_called_the_tightest(scenario, balance, workload):
    assert "Tightest: from" in flat(check_text(scenario, balance))
    could = tuple(
        replace(lot, steps=tuple(replace(step, importance=Importance.COULD) for step in lot.steps))
        for lot in workload.lots
    )
    optional = balance_of(replace(workload, lots=could), date(2026, 10, 5))
    text = flat(check_text(scenario, optional))
    assert "Tightest" not in text
    assert "Nothing is short by adding up" in text
