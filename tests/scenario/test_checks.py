"""What must hold between entries: what is let through, and how mistakes keep out of one another's way."""

from __future__ import annotations

import pytest

from offseason.scenario.model import Scenario
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario

YARD = """\
season: {from: 2026-10-05, until: 2027-04-09}
crew:
  Ines: {works: {sat: [09:00-12:00, 13:00-16:00]}}
  Tom: {works: {sat: 10:00-12:00}}
places:
  bench: {seats: 2}
  stand: {seats: 1, open_air: true}
  rack: {holds: 20}
  shed: {holds: 60 boxes}
  freezer: {holds: 60 combs, celsius: -18}
  loft: {holds: 400 combs}
tasks:
  scrape: {minutes_each: 6, at: bench}
  first coat: {minutes_each: 6, at: stand, paint: latex, needs: [scrape], within: 14 d, then: {dries: latex, on: rack}}
  put away: {minutes_each: 1, then: {in: shed}}
  freeze: {minutes_each: 0.5, kills: true, then: {wait: freezer stay, in: freezer}}
  seal: {minutes_each: 0.5, seals: true, then: {in: loft}}
gear:
  supers: {piece: national super, count: 20, last_painted: 2020, rests: shed, steps: [scrape, first coat, put away]}
  combs: {piece: medium comb, comb: dry, count: 60, rests: loft, steps: [freeze, seal]}
"""

DRY = "jobs: {air the yard: {hours: 1, weather: dry}}\n"


def read(text: str) -> Scenario:
    return parse_scenario(text, "winter.yaml")


def told(*changes: tuple[str, str], add: str = "") -> list[str]:
    text = YARD
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    try:
        read(text + add)
    except ScenarioError as error:
        return [f"{problem.line}: {problem.text}" for problem in error.problems]
    return []


def test_the_yard_itself_has_no_mistake():
    assert told() == []


def test_a_section_left_empty_counts_as_left_out():
    assert told(add="jobs:\nrounds:\nweather:\n") == []


def test_a_key_left_empty_counts_as_left_out():
    assert read(YARD.replace("at: stand,", "at: ,")).tasks["first coat"].at is None


def test_hours_left_empty_on_a_day_are_no_hours():
    scenario = read(YARD + DRY + "weather: {windows: {dry: {2026-10-18: , 2026-10-17: 10:00-12:00}}}\n")
    assert sorted(len(hours) for hours in scenario.weather.windows["dry"].values()) == [0, 1]


@pytest.mark.parametrize(
    "change",
    [
        ("rack: {holds: 20}", "rack: {holds: 20, celsius: 4..12, humidity_percent: 85}"),
        ("count: 60, rests", "count: 60, spaces: 2, rests"),
        ("Tom: {works: {sat: 10:00-12:00}}", "Tom: {also: {2026-10-12: 10:00-12:00}, cannot: [scrape]}"),
        ("Tom: {works: {sat: 10:00-12:00}}", "Tom: {works: {sat: 10:00-12:00}, also: {2026-10-10: 12:00-13:00}}"),
        ("wait: freezer stay", "wait: 2 h"),
        ("celsius: -18", "celsius: 46..49"),
        ("national super, count", "long hive, kind: woodenware, spaces: 20, count"),
        ("last_painted: 2020", "last_painted: 2026"),
        ("steps: [scrape, first coat, put away]", "steps: [scrape, put away], optional: [scrape]"),
        ("at: bench}", "at: bench, caution: [lead, 'beware of the geese behind the shed']}"),
    ],
)
def test_what_a_keeper_may_well_write_is_let_through(change):
    if "46..49" in change[1]:
        assert told(change, ("wait: freezer stay", "wait: 80 min")) == []
    else:
        assert told(change) == []


def test_paint_that_is_not_due_asks_nothing_of_the_order_of_steps():
    """A coat within 14 days of a scraping that may be left out is a mistake only where the coat is due."""
    scraping_optional = ("steps: [scrape, first", "optional: [scrape], steps: [scrape, first")
    assert told(scraping_optional, ("needs: [scrape], ", ""), ("2020", "2025")) == []
    assert told(scraping_optional, ("needs: [scrape], ", ""))[0].startswith("14: 'first coat' of 'supers' cannot be")


def test_a_single_day_may_differ_from_the_span_it_lies_in():
    windows = "weather: {windows: {dry: {2026-10-12..2026-10-20: 10:00-15:00, 2026-10-14: none}}}\n"
    assert told(add=DRY + windows) == []


@pytest.mark.parametrize("warmest", [5, 13])
def test_only_a_store_between_5_and_12_degrees_must_be_looked_at(warmest):
    """Published: 5 °C inactive (handbook practice), 12 °C arrested (Swiss bee health service leaflet 4.4.2)."""
    moths = ("crew:", "moths: {season_starts: 2027-04-20}\ncrew:")
    assert told(moths, ("holds: 400 combs}", f"holds: 400 combs, celsius: 0..{warmest}}}")) == []
    assert len(told(moths, ("holds: 400 combs}", "holds: 400 combs, celsius: 0..12}"))) == 1


def test_a_cool_store_is_not_asked_about_where_no_moths_are_named():
    assert told(("holds: 400 combs}", "holds: 400 combs, celsius: 0..12}")) == []


def test_a_store_looked_at_every_month_is_looked_at_enough():
    moths = ("crew:", "moths: {season_starts: 2027-04-20}\ncrew:")
    cool = ("holds: 400 combs}", "holds: 400 combs, celsius: 0..12}")
    assert told(moths, cool, add="rounds: {look: {every: 30 d, minutes: 10, looks_at: loft}}\n") == []


def test_kill_hours_of_the_place_are_asked_of_the_wait():
    """Published, J. Apic. Res. 52(1), 2013, 5.8.1: -7 °C 4.5 h, -12 °C 3 h, -15 °C 2 h."""
    for celsius, hours in ((-7, 4.5), (-12, 3), (-15, 2)):
        cold = ("celsius: -18", f"celsius: {celsius}")
        assert told(cold, ("wait: freezer stay", f"wait: {hours} h")) == []
        assert len(told(cold, ("wait: freezer stay", f"wait: {hours - 0.1:g} h"))) == 1
    assert len(told(("celsius: -18", "celsius: -6"), ("wait: freezer stay", "wait: 90 d"))) == 1


def test_a_mistaken_helper_is_not_said_to_be_the_one_who_is_missing():
    told_now = told(("Ines: {works", "Ines: {can: [scrape, freze], works"), ("Tom: {works", "Tom: {can: scrape, works"))
    assert [line.split(":")[0] for line in told_now] == ["3", "4"]


def test_a_mistaken_season_does_not_put_every_date_outside():
    assert told(("2027-04-09", "2027-04-31"), ("count: 20", "arrives: 2026-10-12, count: 20")) == [
        "1: '2027-04-31' is not a day of the calendar"
    ]


def test_steps_that_cannot_be_read_do_not_spoil_the_checks_of_other_lots():
    told_now = told(("minutes_each: 6, at: bench", "minutes_each: six, at: bench"), ("rests: loft", "rests: bench"))
    assert [line.split(":")[0] for line in told_now] == ["13", "20"]


def test_the_same_mistake_met_by_several_lots_is_told_once():
    again = "  more: {piece: medium comb, comb: dry, count: 6, rests: loft, steps: [freeze, seal]}\n"
    assert len(told(("loft: {holds: 400 combs}", "loft: {seats: 1}"), ("rests: loft, ", ""), add=again)) == 2


def test_two_helpers_together_need_hours_in_common():
    lift = "jobs: {lift the roof: {hours: 2, divisible: false, hands: 2}}\n"
    assert told(add=lift) == []
    assert told(("sat: 10:00-12:00", "sat: 10:00-11:00"), add=lift) == [
        "21: 'lift the roof' takes 120 minutes at a stretch, but the longest stretch with 2 people able is 60 minutes"
    ]


def test_hours_on_top_that_join_the_usual_ones_make_one_stretch():
    long = "jobs: {build: {hours: 4, divisible: false}}\n"
    assert len(told(add=long)) == 1
    assert told(("16:00]}}", "16:00]}, also: {2026-10-10: 12:00-13:00}}"), add=long) == []


def test_a_ring_may_lead_through_gear_and_tasks():
    ring = "jobs:\n  clear the rack: {hours: 1, after: [supers], before: [first coat]}\n"
    assert len(told(add=ring)) == 1
    assert told(add=ring.replace("after", "before").replace(", before: [first coat]", "")) == []


SORTED = """\
season: {from: 2026-10-05, until: 2027-05-14}
moths: {season_starts: 2027-04-20}
crew: {Ines: {works: {sat: 09:00-12:00}}}
places: {freezer: {holds: 60 combs, celsius: -18}, loft: {holds: 400 combs}, cellar: {holds: 400 combs, celsius: 0..4}}
tasks:
  sort: {minutes_each: 1}
  carry down: {minutes_each: 1, then: {in: cellar}}
  melt: {minutes_each: 3, uses_up: true}
  freeze: {minutes_each: 0.5, kills: true, then: {wait: freezer stay, in: freezer}}
  thaw: {minutes_each: 0.5, then: {in: loft}}
  seal: {minutes_each: 0.5, seals: true, within: 24 h, needs: [thaw], then: {in: loft}}
  treat: {minutes_each: 0.5, protects: 4 w}
  treat once: {minutes_each: 0.5, protects: season}
gear:
  combs: {piece: medium comb, count: 60, rests: loft, steps: [sort]}
"""


def test_comb_that_is_only_sorted_is_told_to_be_unprotected():
    with pytest.raises(ScenarioError, match="nothing protects 'combs' from moths after 'sort'"):
        read(SORTED)


@pytest.mark.parametrize(
    "steps",
    [
        "[sort, carry down]",
        "[sort, melt]",
        "[freeze]",
        "[sort, freeze, thaw, seal]",
        "[sort, treat]",
        "[treat once, sort]",
        "[sort], foulbrood: none known, ready_by: 2027-04-18",
        "[], foulbrood: suspected",
    ],
)
def test_comb_that_rests_safe_or_is_gone_or_not_asked_for_is_let_through(steps):
    text = SORTED.replace("[sort]", steps)
    assert text != SORTED
    assert list(read(text).gear) == ["combs"]


def test_comb_that_came_into_a_cold_store_needs_no_step():
    assert read(SORTED.replace("rests: loft, steps: [sort]", "rests: cellar")).gear["combs"].steps == ()


def test_without_a_moth_season_nothing_need_protect_comb():
    assert read(SORTED.replace("moths: {season_starts: 2027-04-20}\n", "")).moths is None


def test_comb_is_not_called_unprotected_where_its_freezing_holds_the_mistake():
    text = SORTED.replace("[sort]", "[freeze, thaw]").replace(", in: freezer}", "}")
    with pytest.raises(ScenarioError) as caught:
        read(text)
    assert [problem.line for problem in caught.value.problems] == [9]


def test_a_lot_with_a_mistaken_count_still_has_its_other_words_looked_up():
    one_by_one = [told((old, new)) for old, new in (("count: 20", "count: 0"), ("[scrape, first", "[scrap, first"))]
    together = told(("count: 20", "count: 0"), ("[scrape, first", "[scrap, first"))
    assert together == [line for lines in one_by_one for line in lines]


COOL = ("loft: {holds: 400 combs}", "loft: {holds: 400 combs, celsius: 4..12}")
MOTHS = "moths: {season_starts: 2027-04-20}\n"


def test_a_mistaken_place_or_round_is_told_itself_and_nothing_that_hangs_on_it():
    (told_of_freezer,) = told(("holds: 60 combs, celsius: -18", "holds: lots, celsius: -5"))
    assert told_of_freezer.startswith("10: 'lots' is not an amount of space")
    assert "has to be looked at every 30 days" in told(COOL, add=MOTHS)[0]
    (told_of_round,) = told(COOL, add=f"{MOTHS}rounds: {{look: {{every: often, minutes: 5, looks_at: loft}}}}\n")
    assert told_of_round.startswith("22: 'often' does not say how often")
    follows = "rounds: {look: {every: as the store warms, minutes: 5, looks_at: shed}}\n"
    assert "how warm 'shed' is, is not known" in told(add=follows)[0]
    (told_of_shed,) = told(("holds: 60 boxes", "holds: many"), add=follows)
    assert told_of_shed.startswith("9: 'many' is not an amount of space")


def test_an_hour_on_a_day_outside_the_season_is_told():
    (day,) = told(
        ("Tom: {works: {sat: 10:00-12:00}}", "Tom: {works: {sat: 10:00-12:00}, also: {2027-05-09: 9:00-10:00}}")
    )
    assert day.startswith("4: '2027-05-09' is outside the season (2026-10-05 to 2027-04-09)")


@pytest.mark.parametrize("year", ["[2020]", "{a: 1}"])
def test_a_list_or_block_in_place_of_a_year_is_told_at_its_line(year):
    (problem,) = told(("last_painted: 2020", f"last_painted: {year}"))
    assert problem.startswith("19: ")
    assert problem.endswith("write one in figures, as in last_painted: 2022")
