"""Stores that follow the weather: their daily heat, when comb in them must be looked at, and how fast paint dries."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from offseason.scenario.model import Scenario
from offseason.trade.air import dew_point_celsius
from offseason.trade.paint import drying_hours
from offseason.weather.outlook import Air, Outlook
from offseason.workload.build import build_workload
from offseason.workload.drying import HOUR_S, NEVER_S
from offseason.workload.jobs import periods_by_warmth
from offseason.workload.stores import drying_in, heat_by_midnight

FIRST = date(2026, 10, 5)


def outlook(celsius, humidity=70.0, *, days=20, before=2) -> Outlook:
    """Outdoor air of so many days, ``celsius`` one number or one for each day; some days before the season too."""
    by_day = np.broadcast_to(np.asarray(celsius, float), (days,))
    by_day = np.concatenate([np.full(before, by_day[0]), by_day])
    hours = np.repeat(by_day[:, None], 24, axis=1)
    air = Air(FIRST - timedelta(days=before), hours, np.full_like(hours, humidity), by_day)
    return Outlook({}, air, None, ())


def scenario(place, *, round_=None, moths=None, zone=None, until="2026-10-14"):
    data = {
        "season": {"from": str(FIRST), "until": until, "timezone": zone},
        "moths": moths,
        "crew": {"Ines": {"works": {"every day": "09:00-12:00"}}},
        "places": {"store": place},
        "tasks": {"sort": {"minutes_each": 1}, "coat": {"minutes_each": 6, "then": {"dries": "latex"}}},
        "gear": {
            "combs": {"piece": "deep comb", "comb": "brood", "count": 10, "rests": "store", "steps": ["sort"]},
            "boxes": {"piece": "langstroth deep box", "count": 2, "rests": "store", "steps": ["coat"]},
        },
        "rounds": {"look": round_} if round_ else {},
    }
    return Scenario.model_validate(data)


OUTDOORS = {"holds": 100, "outdoors_plus_k": 3}


def test_a_store_three_kelvin_warmer_than_a_day_of_ten_degrees_gives_moths_three_degree_days():
    heat = heat_by_midnight(scenario(OUTDOORS), scenario(OUTDOORS).places["store"], outlook([10.0] * 5 + [4.0] * 15))
    assert [round(h, 9) for _, h in heat[:8]] == [0, 3, 6, 9, 12, 15, 15, 15]


def test_exposed_comb_in_a_store_that_follows_the_weather_meets_the_heat_of_each_day():
    moths = {"season_starts": "2027-04-20", "season_ends": "2026-10-20"}
    warm_then_cold = outlook([15.0] * 5 + [-2.0] * 15)
    (combs, _) = build_workload(scenario(OUTDOORS, moths=moths), warm_then_cold).lots
    # 12:00 of the first day to the end of the fifth: 4.5 days at 18 °C, 8 degree-days each (derived, daily_heat)
    assert sum(combs.open_heat) == pytest.approx(10 * 8 * 4.5, abs=1)
    assert not any(combs.open_heat[5:])


def test_brood_comb_that_comes_into_a_warm_store_out_of_season_is_due_when_its_larvae_would_feed():
    moths = {"season_starts": "2027-04-20"}
    frosty = build_workload(scenario(OUTDOORS, moths=moths), outlook(-5.0)).lots[0]
    warm = build_workload(scenario(OUTDOORS, moths=moths), outlook(22.0)).lots[0]
    # 25 °C: 15 degree-days a day, 75 on the fifth (derived here, no published constants)
    assert warm.treat_by_s == 5 * 86_400
    assert frosty.treat_by_s > 190 * 86_400


def test_paint_dries_in_outdoor_air_warmed_by_the_store_with_the_water_that_is_in_it():
    place = scenario(OUTDOORS).places["store"]
    drying = drying_in(scenario(OUTDOORS), place, "latex", outlook(12.0, 80.0))
    # 80 % at 12 °C keeps its dew point when it is warmed to 15 °C
    humidity = next(h / 100 for h in range(5000, 10000) if dew_point_celsius(15, h / 100) >= dew_point_celsius(12, 80))
    assert drying.ready_s(0) / HOUR_S == pytest.approx(drying_hours("latex", 15, humidity), rel=0.002)


def test_a_store_whose_dampness_is_written_keeps_it_however_damp_it_is_outdoors():
    place = scenario({**OUTDOORS, "humidity_percent": 55}).places["store"]
    damp, dry = (drying_in(scenario(OUTDOORS), place, "latex", outlook(12.0, humid)) for humid in (95.0, 40.0))
    assert damp == dry
    assert dry.ready_s(0) / HOUR_S == pytest.approx(drying_hours("latex", 15, 55), rel=0.002)


def test_in_air_too_damp_to_dry_in_a_coat_is_never_taken_as_dry():
    drying = drying_in(scenario(OUTDOORS), scenario({"open_air": True}).places["store"], "latex", outlook(12.0, 95.0))
    assert drying.ready_s(0) == NEVER_S


def test_a_place_of_given_temperature_keeps_its_constant_drying_time():
    assert drying_in(scenario(OUTDOORS), scenario({"celsius": 12}).places["store"], "latex", outlook(0.0)) is None


def test_the_hour_that_comes_twice_in_autumn_dries_twice():
    # CET, 25 Oct 2026: the clocks go back; published, tz database
    winter = scenario(OUTDOORS, zone="CET", until="2026-11-08")
    drying = drying_in(winter, winter.places["store"], "latex", outlook(20.0, 50.0, days=30))
    assert len(drying.done) == 1 + 30 * 24 + 1


def test_looks_come_due_as_the_store_warms():
    # 14 days while active, published (Swiss and German practice); 30 while arrested, derived here
    cold, arrested, active = [4.0] * 10, [11.0] * 30, [16.0] * 28
    temperatures = dict(enumerate([*cold, *arrested, *active]))
    by_day = {FIRST + timedelta(days=n): celsius for n, celsius in temperatures.items()}
    due = [((a - FIRST).days, (b - FIRST).days) for a, b in periods_by_warmth(FIRST, max(by_day), by_day)]
    assert due == [(0, 39), (40, 53), (54, 67)]


def test_a_store_that_stays_cold_asks_for_no_look_at_all():
    by_day = {FIRST + timedelta(days=n): 3.0 for n in range(60)}
    assert periods_by_warmth(FIRST, max(by_day), by_day) == []


def test_where_nobody_knows_how_warm_it_is_comb_is_looked_at_as_if_moths_were_active():
    winter = scenario(
        {"holds": 100, "open_air": True},
        round_={"every": "as the store warms", "minutes": 5, "looks_at": "store"},
        until="2026-11-15",
    )
    unknown = outlook(float("nan"), days=60)
    lots = [lot for lot in build_workload(winter, unknown).lots if lot.stated == "look"]
    assert [(lot.period[1] - lot.period[0]).days + 1 for lot in lots] == [14, 14, 14]


def test_glue_is_hard_after_24_hours_of_ten_degrees_though_frost_follows():
    # white glue 10 °C or warmer, 24 h to full strength: published
    air = outlook([12.0] + [-8.0] * 19)
    drying = drying_in(scenario(OUTDOORS), scenario({"open_air": True}).places["store"], "glue", air)
    assert drying.ready_s(0) == 24 * HOUR_S
