"""Foundation: fitted warm, kept where it neither freezes nor sags (seen only on a secondary page; common practice)."""

import pytest

from offseason.scenario.foundation import foundation_remarks
from offseason.scenario.read import parse_scenario


def remarks(bench, shed="celsius: 5..20", steps="[wire and wax]", lot="deep frame"):
    return foundation_remarks(
        parse_scenario(
            f"""\
season: {{from: 2026-10-05, until: 2027-04-09}}
crew:
  Ines: {{works: {{sat: 09:00-12:00}}}}
places:
  bench: {{seats: 1, {bench}}}
  shed: {{holds: 400, {shed}}}
tasks:
  scrape frames: {{minutes_each: 2}}
  wire and wax: {{minutes_each: 5, at: bench, uses: {{foundation sheets: 1}}}}
  cut starter strips: {{minutes_each: 1, at: bench}}
gear:
  new frames: {{piece: {lot}, count: 20, rests: shed, steps: {steps}}}
""",
            "winter.yaml",
        )
    )


@pytest.mark.parametrize("celsius", ["18..25", "18", "20..31"])
def test_a_bench_that_is_always_warm_enough_needs_no_word(celsius):
    assert remarks(f"celsius: {celsius}") == ()


def test_a_bench_that_can_be_cold_asks_to_warm_the_sheets_first():
    (told,) = remarks("celsius: 8..20")
    assert told == (
        "wire and wax: foundation is worked at bench, which gets as cold as 8 °C, and it breaks below 18 °C. "
        "Warm sheets and place to 18-25 °C first, or choose a warmer place."
    )


def test_a_bench_that_can_be_hot_asks_for_a_cooler_day():
    (told,) = remarks("celsius: 19..33")
    assert "gets as warm as 33 °C, and it is soft from about 32 °C" in told


@pytest.mark.parametrize(
    ("bench", "how"), [("open_air: true", "follows the weather"), ("humidity_percent: 60", "is not given")]
)
def test_a_bench_of_unknown_warmth_is_not_taken_for_a_warm_one(bench, how):
    (told,) = remarks(bench)
    assert f"bench, whose temperature {how}" in told


def test_loose_sheets_are_handled_in_every_step_on_them():
    (told,) = remarks("celsius: 10..20", steps="[cut starter strips]", lot="foundation sheet")
    assert told.startswith("cut starter strips: foundation is worked at bench")


def test_work_that_has_nothing_to_do_with_foundation_needs_no_warmth():
    assert remarks("celsius: 2..8", steps="[scrape frames]") == ()


@pytest.mark.parametrize(
    ("shed", "how"),
    [("celsius: -6..17", "gets as cold as -6 °C"), ("celsius: 4..34", "gets as warm as 34 °C")],
)
def test_frames_with_foundation_in_them_are_remarked_on_where_it_can_freeze_or_sag(shed, how):
    (told,) = remarks("celsius: 20", shed)
    assert told.startswith(f"new frames: with foundation in them they rest in shed, which {how}.")


def test_frames_without_foundation_may_freeze():
    assert remarks("celsius: 20", "celsius: -6..17", steps="[scrape frames]") == ()
