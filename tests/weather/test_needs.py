from offseason.trade.fitness import NEEDS, Limits
from offseason.weather.needs import asked_for, needs_of
from tests.weather.made_up import winter

YARD = """
season: {from: 2026-10-05, until: 2027-04-09}
crew: {Ines: {works: {sat: 09:00-12:00}}}
"""


def test_work_that_asks_for_a_kind_of_weather_known_here_is_judged_by_its_limits():
    scenario = winter(YARD + "tasks: {coat: {minutes_each: 5, weather: painting with oil}}")
    assert needs_of(scenario) == {"painting with oil": NEEDS["painting with oil"]}


def test_weather_that_work_only_likes_is_judged_but_not_asked_for():
    scenario = winter(YARD + "tasks: {scrape: {minutes_each: 5, likes_weather: scraping in the cold}}")
    assert set(needs_of(scenario)) == {"scraping in the cold"}
    assert asked_for(scenario) == ()


def test_what_the_keeper_writes_goes_over_what_it_is_like():
    scenario = winter(
        YARD + "weather: {needs: {painting: {like: painting with latex, at_least_celsius: 12, no_rain: no}}}"
    )
    painting, latex = needs_of(scenario)["painting"], NEEDS["painting with latex"]
    assert painting.at_least_celsius == 12
    assert painting.no_rain is False
    assert painting.warm_hours_after == latex.warm_hours_after == 24
    assert painting.at_most_humidity_percent == latex.at_most_humidity_percent


def test_a_need_of_a_known_name_starts_from_that_and_zero_hours_after_are_meant():
    scenario = winter(YARD + "weather: {needs: {gluing: {warm_hours_after: 0}, drying: {no_rain: yes}}}")
    assert needs_of(scenario) == {
        "gluing": Limits(at_least_celsius=10.0, warm_hours_after=0, no_rain=True),
        "drying": Limits(no_rain=True),
    }


def test_a_need_that_only_has_hours_by_hand_is_not_judged():
    scenario = winter(
        YARD
        + "jobs: {roof: {hours: 2, weather: calm}, glue: {hours: 1, weather: gluing}}\n"
        + "rounds: {look: {every: 7 d, minutes: 5, weather: airing comb}}\n"
        + "weather: {windows: {calm: {2026-10-10: 09:00-12:00}}}"
    )
    assert set(needs_of(scenario)) == {"gluing", "airing comb"}
    assert asked_for(scenario) == ("calm", "gluing", "airing comb")
