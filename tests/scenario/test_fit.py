"""Weather of a scenario: what is let through with and without records, and what only shows once moths are known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from offseason.scenario.fit import judged_by_records, limits_of
from offseason.scenario.model import Moths, NeedEntry, Scenario
from offseason.scenario.outdoors import follows_outdoors
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import check_settled, parse_scenario, settled_problems
from offseason.trade.fitness import NEEDS, Limits

YARD = """\
season: {from: 2026-10-05, until: 2027-04-09}
crew:
  Ines: {works: {sat: [09:00-12:00, 13:00-16:00]}}
places:
  stand: {seats: 1, open_air: true}
  rack: {holds: 20, RACK}
  loft: {holds: 400 combs, LOFT}
tasks:
  first coat: {minutes_each: 6, at: stand, weather: painting, then: {dries: latex, on: rack}}
  second coat: {minutes_each: 6, weather: painting, within: 6 h}
  sort: {minutes_each: 1, likes_weather: scraping in the cold}
gear:
  supers: {piece: national super, count: 20, rests: rack, steps: [first coat, second coat]}
  combs: {piece: medium comb, comb: dry, count: 60, rests: loft, steps: [sort]}
rounds:
  look at combs: {every: as the store warms, minutes: 10, looks_at: loft}
"""
RECORDS = "weather: {history: records.csv, needs: {painting: {like: painting with latex}}}\n"


def yard(weather: str = RECORDS, *, rack: str = "outdoors_plus_k: 1", loft: str = "celsius: 4..16") -> Scenario:
    return parse_scenario(text_of(weather, rack=rack, loft=loft), "winter.yaml")


def text_of(weather: str = RECORDS, *, rack: str = "outdoors_plus_k: 1", loft: str = "celsius: 4..16") -> str:
    return YARD.replace("RACK", rack).replace("LOFT", loft) + weather


def told(weather: str = RECORDS, **places: str) -> list[str]:
    try:
        yard(weather, **places)
    except ScenarioError as error:
        return [problem.text for problem in error.problems]
    return []


def test_with_records_a_need_wants_no_hours_by_hand():
    assert told() == []


@pytest.mark.parametrize("files", ["forecast: week.csv", "history: [a.csv, past/b.csv]"])
def test_a_forecast_or_past_winters_are_records(files):
    assert told(RECORDS.replace("history: records.csv", files)) == []


def test_a_word_known_here_wants_no_description():
    text = text_of("weather: {history: records.csv}\n").replace("weather: painting", "weather: painting with latex")
    assert parse_scenario(text, "winter.yaml").weather.needs == {}


def test_hours_by_hand_for_a_word_of_ones_own_stand_beside_records():
    scenario = yard("weather: {history: records.csv, windows: {painting: {2026-10-05..2026-10-30: 10:00-15:00}}}\n")
    assert not judged_by_records(scenario.weather, "painting")
    assert judged_by_records(scenario.weather, "scraping in the cold")


def test_records_may_give_hours_on_days_that_windows_by_hand_leave_out():
    """Nobody comes on a Wednesday; without records that need would never be fit for anybody."""
    windows = "windows: {painting: {2026-10-14: 10:00-15:00}, scraping in the cold: {2026-10-14: none}}"
    by_hand = f"weather: {{{windows}}}\n"
    indoors = {"rack": "celsius: 18"}
    never = (
        "there is no hour of the season with someone able to do 'first coat' in weather fit for 'painting'; add hours"
    )
    assert never in told(by_hand, **indoors)
    assert told(by_hand.replace("windows", "history: records.csv, needs: {painting: {no_rain: true}}, windows")) == []


def test_where_the_air_changes_with_the_weather_a_short_time_for_the_next_coat_may_do():
    """At 10 °C and 70 % latex takes most of a day: where that is all that is known, six hours are too short."""
    assert any("write a longer time" in text for text in told(rack="seats: 1"))
    assert told(rack="outdoors_plus_k: 1") == told(rack="open_air: true, sheltered: true") == []


def test_a_place_follows_the_weather_only_where_there_is_some_and_no_temperature_is_given():
    weather = yard().weather
    places = yard(rack="open_air: true, celsius: 30, sheltered: true").places
    assert follows_outdoors(weather, places["stand"])
    assert not follows_outdoors(weather, places["rack"])
    assert not follows_outdoors(weather.model_copy(update={"history": ()}), places["stand"])


@pytest.mark.parametrize("loft", ["celsius: 4..16", "celsius: 6..12", "outdoors_plus_k: 2", "open_air: true"])
def test_a_round_may_come_as_a_store_warms_whose_warmth_is_known_or_follows_the_weather(loft):
    assert told(loft=loft) == []


def test_a_round_as_a_cool_store_warms_is_often_enough_there():
    cool = text_of(loft="celsius: 6..12") + "moths: {season_starts: 2027-04-01}\n"
    assert parse_scenario(cool, "winter.yaml").moths is not None
    with pytest.raises(ScenarioError, match="has to be looked at every 30 days"):
        parse_scenario(cool.replace("as the store warms", "6 w"), "winter.yaml")


def test_a_mistake_in_the_weather_does_not_make_work_without_weather():
    assert told(RECORDS.replace("records.csv", "7")) == [
        "'7' is not the name of a file; write it as in forecast.csv",
    ]


def test_a_key_left_empty_in_a_need_counts_as_left_out_and_a_need_left_empty_as_its_known_word():
    needs = "weather: {history: a.csv, needs: {painting: {like: gluing, no_rain: }, airing comb: }}\n"
    airing = f"jobs: {{air the combs: {{hours: 1, weather: airing comb}}}}\n{needs}"
    assert yard(airing).weather.needs["painting"].no_rain is None
    assert yard(airing).weather.needs["airing comb"] == NeedEntry()


# --- names that no work asks for

OIL = RECORDS.replace("painting: {like: painting with latex}", "NAME: {like: painting with oil}")
WRITTEN = (
    ("weather: painting, then", "weather: painting with oil, then"),
    ("weather: painting, within", "weather: gluing, within"),
)


def of_oil(weather: str) -> list[str]:
    """What is told where one coat asks for the weather of oil paint and the other for that of glue."""
    text = text_of(weather)
    for change in WRITTEN:
        text = text.replace(*change)
    try:
        parse_scenario(text, "winter.yaml")
    except ScenarioError as error:
        return [problem.text for problem in error.problems]
    return []


@pytest.mark.parametrize(
    "weather",
    [
        "weather: {history: a.csv, needs: {paintin with oil: {at_least_celsius: 12}}}\n",
        "weather: {history: a.csv, windows: {paintin with oil: {2026-10-18: none}}}\n",
    ],
)
def test_a_mistyped_name_beside_records_is_never_passed_over_for_paint_would_be_laid_on_a_forbidden_day(weather):
    assert of_oil(weather.replace("paintin ", "painting ")) == []
    assert of_oil(weather) == [
        "no task, job or round asks for the weather 'paintin with oil'; did you mean 'painting with oil'?"
    ]


def test_a_name_that_is_like_none_asked_for_is_to_be_deleted_or_asked_for():
    calm = "weather: {history: a.csv, windows: {painting with oil: {2026-10-18: none}, calm: {2026-10-18: none}}}\n"
    assert of_oil(calm) == [
        "no task, job or round asks for the weather 'calm'; delete it, or write weather: and this name in that work"
    ]


def test_the_name_that_is_written_already_is_not_offered_again():
    (text,) = of_oil("weather: {history: a.csv, needs: {painting with oil: , painting with oils: {no_rain: true}}}\n")
    assert "did you mean" not in text


@pytest.mark.parametrize("asks", ["tasks", "jobs", "rounds"])
def test_weather_that_any_kind_of_work_asks_for_or_likes_has_its_place_in_the_file(asks):
    work = {
        "tasks": "",
        "jobs": "jobs: {move: {hours: 1, weather: calm}}\n",
        "rounds": "  look in: {every: 14 d, minutes: 5, weather: calm}\n",
    }[asks]
    likes = "scraping in the cold" if asks == "tasks" else "calm"
    needs = f"weather: {{history: a.csv, needs: {{painting: {{like: gluing}}, {likes}: {{no_rain: true}}}}}}\n"
    assert told(work + needs) == []


def test_where_the_work_itself_cannot_be_read_nothing_is_said_of_what_it_may_ask_for():
    assert of_oil(OIL.replace("NAME", "painting") + "jobs: {paint the shed: {hours: 1, wether: painting}}\n") == [
        "'wether' is not a word known here; did you mean 'weather'?"
    ]


# --- what a need asks


def test_a_need_asks_what_is_written_and_for_the_rest_what_it_is_like():
    need = NeedEntry(like="painting with latex", at_least_celsius=12, no_rain=False)
    assert limits_of("paint", need) == replace(NEEDS["painting with latex"], at_least_celsius=12, no_rain=False)


def test_a_need_named_with_a_known_word_starts_from_it_unless_it_is_like_another():
    assert limits_of("gluing", NeedEntry(at_least_celsius=15)) == replace(NEEDS["gluing"], at_least_celsius=15)
    assert limits_of("gluing", NeedEntry(like="airing comb")) == NEEDS["airing comb"]
    assert limits_of("calm", NeedEntry(at_most_wind_m_s=3)) == Limits(at_most_wind_m_s=3)


# --- once records have told when moths fly


def settled(scenario: Scenario) -> Scenario:
    return scenario.model_copy(update={"moths": Moths(season_starts=date(2027, 4, 1))})


def test_comb_that_nothing_protects_shows_once_the_moth_season_is_worked_out():
    problems = settled_problems(settled(yard()), text_of(), "winter.yaml")
    assert [(problem.line, problem.text.split(";")[0]) for problem in problems] == [
        (14, "nothing protects 'combs' from moths after 'sort'")
    ]
    assert settled_problems(yard(), text_of(), "winter.yaml") == []


def test_comb_that_rests_cold_is_no_mistake_once_the_moth_season_is_worked_out(tmp_path):
    file, cold = tmp_path / "winter.yaml", {"loft": "celsius: 6..12"}
    file.write_text(text_of(**cold), encoding="utf-8")
    check_settled(settled(yard(**cold)), file)
    file.write_text(text_of(), encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"winter\.yaml:14:\d+: nothing protects 'combs'"):
        check_settled(settled(yard()), file)


def test_what_the_guide_shows_of_weather_can_be_written():
    guide = (Path(__file__).parents[2] / "docs" / "guide.md").read_text(encoding="utf-8")
    shown = [block.split("```")[0] for block in guide.split("```yaml\n")[1:]]
    crew = "season: {from: 2026-10-05, until: 2027-04-09}\ncrew: {Ines: {works: {sat: 09:00-12:00}}}\n"
    scenario = parse_scenario(crew + "".join(shown), "winter.yaml")
    assert limits_of("painting", scenario.weather.needs["painting"]).at_least_celsius == 12
    assert follows_outdoors(scenario.weather, scenario.places["lean-to"])
