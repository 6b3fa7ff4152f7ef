import csv
import importlib.metadata
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.scenario.model import Moths, Season
from offseason.trade.moths import in_season
from offseason.weather.season import Flight, flights, moth_season
from offseason.weather.span import lies_north, shifted, span_of
from offseason.weather.winters import winters_of
from tests.weather.made_up import DAY, daily, days, swing, winter

NORTH = span_of(Season(**{"from": "2026-10-05", "until": "2027-04-09"}), northern=True)
SOUTH = span_of(Season(**{"from": "2026-04-20", "until": "2026-09-20"}), northern=False)


def flight(span, mean):
    return flights(np.array([[mean(span.day(at)) for at in range(len(span))]]), span)[0]


def seattle():
    """Daily means of Seattle 2012–2015 (vega-datasets, from GHCN-Daily), half-way between highest and lowest, in °C."""
    (file,) = (f for f in importlib.metadata.files("vega-datasets") if f.name == "seattle-weather.csv")
    with file.locate().open(encoding="utf-8", newline="") as stream:
        return {
            date.fromisoformat(row["date"].replace("/", "-")): (float(row["temp_max"]) + float(row["temp_min"])) / 2
            for row in csv.DictReader(stream)
        }


def test_midsummer_comes_before_the_winter_and_midwinter_after_it_on_both_halves_of_the_earth():
    assert (NORTH.midsummer, NORTH.midwinter) == (date(2026, 6, 21), date(2026, 12, 21))
    assert (SOUTH.midsummer, SOUTH.midwinter) == (date(2025, 12, 21), date(2026, 6, 21))
    late = span_of(Season(**{"from": "2027-01-10", "until": "2027-04-09"}), northern=True)
    assert (late.midsummer, late.midwinter) == (date(2026, 6, 21), date(2026, 12, 21))


@pytest.mark.parametrize(("span", "coldest"), [(NORTH, 15), (SOUTH, 196)])
def test_moths_stop_in_autumn_and_fly_again_in_spring_on_both_halves_of_the_earth(span, coldest):
    found = flight(span, lambda day: swing(day, coldest=coldest))
    assert span.midsummer < found.ends < span.midwinter < found.starts
    # half a year of 9 °C and more, less a little for 10 °C and the trailing mean
    assert 140 < (found.starts - found.ends).days < 215
    assert not found.never_ends


def test_where_no_week_falls_below_10_degrees_moths_never_stop():
    assert flight(NORTH, lambda day: swing(day, mean=21)) == Flight(None, None, never_ends=True)
    season = moth_season([Flight(None, None, never_ends=True)], NORTH)
    assert season.moths == Moths(season_starts=date(2026, 10, 5))
    assert in_season(date(2026, 10, 5), season.moths.season_starts, season.moths.season_ends)


def test_a_winter_nobody_recorded_is_not_a_winter_without_an_end():
    assert flight(NORTH, lambda day: float("nan") if day > date(2026, 9, 1) else 20.0) == Flight(None, None)
    gap = NORTH.midwinter - 10 * DAY
    assert not flight(NORTH, lambda day: float("nan") if gap <= day < gap + 30 * DAY else 20.0).never_ends


def test_a_short_cold_spell_after_midwinter_ends_one_season_and_the_next_starts_after_it():
    cold = days(date(2027, 1, 5), date(2027, 1, 20))
    found = flight(NORTH, lambda day: 2.0 if day in cold else 14.0)
    assert date(2027, 1, 5) <= found.ends < found.starts <= date(2027, 1, 27)


def test_a_spring_that_comes_later_than_60_days_after_the_season_gives_no_start():
    last = NORTH.season_last + 60 * DAY
    assert flight(NORTH, lambda day: 10.0 if day >= last - 7 * DAY else 4.0).starts == last - DAY
    assert flight(NORTH, lambda day: 10.0 if day >= last - 6 * DAY else 4.0).starts is None
    assert moth_season([Flight(None, date(2026, 9, 1))], NORTH).moths is None


def trailing_means(series):
    """The mean of the 7 days up to each day, in order, where all of them are known: the rule again, day by day."""
    for day in sorted(series):
        week = [day - n * DAY for n in range(7)]
        if all(past in series for past in week):
            yield day, round(sum(series[past] for past in week) / 7, 9)


# Derived: the first trailing 7-day mean of 10 °C or more, and the first below 10 °C after midsummer.
def test_the_season_starts_when_a_whole_week_has_been_warm_on_the_mean():
    # Three days of 17 °C after 3 °C give a mean of 9.0, four give 11.0.
    warm = date(2027, 3, 11)
    assert flight(NORTH, lambda day: 17.0 if day >= warm else 3.0).starts == warm + 3 * DAY


def test_the_season_ends_after_midsummer_when_a_week_has_been_cool_on_the_mean():
    # Four days of 3 °C after 17 °C give a mean of 9.0, three give 11.0.
    cool = date(2026, 9, 10)
    assert flight(NORTH, lambda day: 3.0 if day >= cool else 17.0).ends == cool + 3 * DAY


def test_a_cold_spring_before_midsummer_does_not_end_the_season():
    cool = date(2026, 9, 10)
    spring = NORTH.midsummer - 5 * DAY
    assert flight(NORTH, lambda day: 3.0 if day >= cool or day <= spring else 25.0).ends > cool


def test_a_week_of_exactly_10_degrees_starts_the_season_and_does_not_end_it():
    spring = date(2027, 3, 11)
    assert flight(NORTH, lambda day: 10.0 if day >= spring else 4.0).starts == spring + 6 * DAY
    assert flight(NORTH, lambda _: 10.0).never_ends


def test_where_it_never_warms_the_season_never_starts():
    assert flight(NORTH, lambda _: 2.0).starts is None


def test_a_week_with_a_day_missing_is_not_judged():
    spring, gap = date(2027, 3, 11), date(2027, 3, 14)
    found = flight(NORTH, lambda day: float("nan") if day == gap else 15.0 if day >= spring else 2.0)
    assert found.starts == gap + 7 * DAY


@settings(max_examples=40, deadline=None)
@given(
    means=st.lists(st.integers(-10, 40).map(lambda n: n / 2), min_size=30, max_size=90),
    missing=st.sets(st.integers(0, 400), max_size=8),
)
def test_one_year_is_judged_by_the_rule_of_the_trade(means, missing):
    series = {NORTH.day(at): means[at * len(means) // len(NORTH)] for at in range(len(NORTH)) if at not in missing}
    found = flight(NORTH, lambda day: series.get(day, float("nan")))
    until = date(2027, 2, 20)
    weeks = dict(trailing_means(series))
    end = next((day for day, mean in weeks.items() if NORTH.midsummer < day <= until and mean < 10), None)
    assert found.ends == end
    if not found.never_ends:
        after = max(end or NORTH.midwinter, NORTH.midwinter) - 5 * DAY
        limit = NORTH.season_last + 60 * DAY
        starts = (day for day, mean in weeks.items() if after + 6 * DAY <= day < limit and mean >= 10)
        assert found.starts == next(starts, None)


def test_with_fewer_than_ten_springs_the_earliest_start_and_the_latest_end_are_planned_with():
    years = [Flight(date(2027, 4, 10 + n), date(2026, 10, 20 - n)) for n in range(9)]
    season = moth_season(years, NORTH)
    assert season.moths == Moths(season_starts=date(2027, 4, 10), season_ends=date(2026, 10, 20))
    assert season.springs == season.autumns == 9


@pytest.mark.parametrize(("count", "rank"), [(10, 2), (14, 2), (15, 3), (20, 4), (30, 6)])
def test_with_ten_springs_and_more_a_fifth_of_them_is_passed_over(count, rank):
    years = [Flight(date(2027, 4, 1) + n * DAY, date(2026, 11, 1) - n * DAY) for n in reversed(range(count))]
    season = moth_season(years, NORTH)
    assert season.moths.season_starts == date(2027, 4, rank)
    assert season.moths.season_ends == date(2026, 11, 1) - (rank - 1) * DAY


def test_one_winter_in_ten_without_rest_is_passed_over_and_two_are_not():
    usual = [Flight(date(2027, 4, 10), date(2026, 10, 10))] * 9
    mild = Flight(None, None, never_ends=True)
    assert moth_season([*usual, mild], NORTH).moths.season_starts == date(2027, 4, 10)
    assert moth_season([*usual[1:], mild, mild], NORTH).moths.season_starts == NORTH.season_first


def test_seasons_that_run_into_each_other_over_the_years_leave_no_time_without_moths():
    years = [Flight(date(2027, 1, 4), date(2026, 12, 20)), Flight(date(2027, 2, 20), date(2027, 1, 10))]
    assert moth_season(years, NORTH).moths == Moths(season_starts=NORTH.season_first)
    touching = [Flight(date(2027, 1, 10), date(2026, 12, 20)), Flight(date(2027, 2, 20), date(2027, 1, 10))]
    assert moth_season(touching, NORTH).moths == Moths(season_starts=NORTH.season_first)


def test_which_half_of_the_earth_it_is_shows_in_june_and_in_too_short_a_record_by_the_winter_itself():
    northern, southern = (
        Season(**{"from": "2026-10-05", "until": "2027-04-09"}),
        Season(**{"from": "2026-04-20", "until": "2026-09-20"}),
    )
    year = days(date(2020, 1, 1), date(2020, 12, 31))
    assert lies_north(np.array([swing(day) for day in year]), date(2020, 1, 1), southern)
    assert not lies_north(np.array([swing(day, coldest=196) for day in year]), date(2020, 1, 1), northern)
    assert lies_north(np.full(40, 3.0), date(2020, 1, 1), northern)
    assert not lies_north(np.full(40, 3.0), date(2020, 1, 1), southern)


def test_the_springs_and_autumns_of_seattle_counted_by_hand_give_the_season_to_plan_with():
    means = seattle()

    def week(day):
        return sum(means[day - timedelta(days=n)] for n in range(7)) / 7

    def first(day, fits):
        while not fits(week(day)):
            day += timedelta(days=1)
        return day

    ends = [first(date(year, 6, 22), lambda mean: mean < 10) for year in (2012, 2013, 2014)]
    starts = [first(date(year, 12, 22), lambda mean: mean >= 10) for year in (2012, 2013, 2014)]
    every = days(date(2012, 1, 1), date(2015, 12, 31))
    record = daily(every[0], every[-1], means.__getitem__)
    scenario = winter(COMB)
    winters = winters_of(scenario, None, record)
    assert winters.years == (2012, 2013, 2014)
    starts = [shifted(day, 2016 - year) for year, day in zip(winters.years, starts, strict=True)]
    ends = [shifted(day, 2016 - year) for year, day in zip(winters.years, ends, strict=True)]
    for year, start, end in zip(winters.years, starts, ends, strict=True):
        assert winters.as_it_was(year).moths == Moths(season_starts=start, season_ends=end)
    planned = winters.outlook()
    assert planned.moths == Moths(season_starts=min(starts), season_ends=max(ends))
    assert "the earliest of 3 springs (an estimate from daily means, never a prediction)" in planned.said[-1]


def test_in_a_winter_whose_spring_is_not_seen_to_warm_up_moths_fly_as_in_the_plan():
    def mean(day):
        return 5.0 if date(2013, 12, 1) < day < date(2014, 9, 1) else swing(day)

    winters = winters_of(winter(COMB), None, daily(date(2012, 1, 1), date(2015, 12, 31), mean))
    planned = winters.outlook().moths
    assert planned is not None
    assert winters.as_it_was(2013).moths == planned
    assert winters.as_it_was(2012).moths is not None


COMB = """
season: {from: 2016-10-05, until: 2017-04-09}
crew: {Ines: {works: {sat: 09:00-12:00}}}
gear: {combs: {piece: medium comb, count: 10, comb: dry}}
weather: {history: records.csv}
"""


def comb_winter(**changes):
    text = COMB
    for old, new in changes.values():
        assert old in text
        text = text.replace(old, new)
    return winter(text)


def swings(first, last, **how):
    return daily(first, last, lambda day: swing(day, **how))


def test_without_comb_or_with_moths_given_by_hand_no_season_is_worked_out():
    record = swings(date(2012, 1, 1), date(2016, 9, 30))
    woodenware = comb_winter(gear=("medium comb, count: 10, comb: dry", "langstroth deep box, count: 10"))
    assert winters_of(woodenware, None, record).outlook().moths is None
    given = comb_winter(moths=("weather:", "moths: {season_starts: 2017-05-01}\nweather:"))
    outlook = winters_of(given, None, record).outlook()
    assert outlook.moths is None
    assert not any("oths" in sentence for sentence in outlook.said)


def test_a_forecast_of_a_warm_spring_brings_the_moths_forward_in_every_year():
    record = swings(date(2010, 1, 1), date(2016, 9, 30))
    usual = winters_of(comb_winter(), None, record).outlook().moths
    warm = daily(date(2017, 3, 1), date(2017, 3, 12), lambda _: 15.0)
    soon = winters_of(comb_winter(file=("{history", "{forecast: forecast.csv, history")), warm, record).outlook().moths
    # five days at 15 °C after two at 5 or so: 7-day mean 10 and more within the first week
    assert date(2017, 3, 1) < soon.season_starts <= date(2017, 3, 7) < usual.season_starts


def test_a_forecast_alone_tells_of_moths_only_where_it_reaches_the_spring():
    alone = comb_winter(file=("{history: records.csv", "{forecast: forecast.csv"))
    autumn = winters_of(alone, swings(date(2016, 10, 1), date(2016, 10, 14)), None).outlook()
    assert autumn.moths is None
    assert "no spring in forecast.csv is seen to warm up before 8 Jun 2017. So no protection" in autumn.said[-1]
    assert "write moths: and in it season_starts: with the day they first fly here." in autumn.said[-1]
    spring = winters_of(alone, daily(date(2017, 3, 1), date(2017, 3, 14), lambda _: 12.0), None).outlook()
    assert spring.moths == Moths(season_starts=date(2017, 3, 7))
    assert "after the only spring known (an estimate" in spring.said[-1]


def test_a_cold_place_says_that_moths_are_not_known_of():
    outlook = winters_of(comb_winter(), None, swings(date(2010, 1, 1), date(2016, 9, 30), mean=-2)).outlook()
    assert outlook.moths is None
    assert outlook.said[-1].startswith(
        "When moths fly is not known: no spring in records.csv is seen to warm up before"
    )


def test_where_it_is_always_warm_the_plan_counts_on_moths_all_winter_and_says_so():
    outlook = winters_of(comb_winter(), None, swings(date(2005, 1, 1), date(2016, 9, 30), mean=21)).outlook()
    assert outlook.moths == Moths(season_starts=date(2016, 10, 5))
    assert "Moths are taken to fly all winter, by 11 winters (an estimate" in outlook.said[-1]


def test_in_the_south_moths_stop_in_autumn_and_start_in_september_or_so():
    southern = comb_winter(season=("2016-10-05, until: 2017-04-09", "2016-04-20, until: 2016-09-20"))
    moths = winters_of(southern, None, swings(date(2005, 1, 1), date(2016, 4, 1), coldest=196)).outlook().moths
    assert moths.season_ends.year == 2016
    assert moths.season_ends.month in (4, 5)
    assert moths.season_starts.month in (9, 10)
