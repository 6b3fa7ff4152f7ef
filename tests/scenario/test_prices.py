"""What a keeper writes of prices: what is left out, whose names may stand there, and what is told of a mistake."""

import re
from pathlib import Path

import pytest

from offseason.scenario.model import NewEntry, PricesEntry
from offseason.scenario.plain_words import fields_of
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario

YARD = """\
season: {from: 2026-10-05, until: 2027-04-09}
crew:
  Ines: {works: {sat: 09:00-12:00}}
  Tomas: {works: {sun: 09:00-12:00}}
places:
  shed: {holds: 400}
tasks:
  coat: {minutes_each: 6, paint: latex}
  mend: {minutes_each: 8, uses: {frame nails: 10}}
gear:
  supers: {piece: national super, count: 20, rests: shed, steps: [coat, mend]}
  home-made lids: {piece: tin lid, kind: tools, count: 4, rests: shed, steps: [mend]}
"""


def prices(text=""):
    return parse_scenario(YARD + text, "winter.yaml").prices


def told(text):
    with pytest.raises(ScenarioError) as raised:
        prices(text)
    return [str(problem).removeprefix("winter.yaml:") for problem in raised.value.problems]


def test_without_prices_the_usual_ones_hold():
    assert prices() == PricesEntry()
    assert prices("prices:\n") == PricesEntry()
    assert prices("prices: {hour:, new:}\n") == PricesEntry()


def test_an_hour_of_a_helper_costs_their_own_price_else_that_of_everybody():
    own = prices("prices: {hour: 18, help: {Tomas: 25}}\n")
    assert (own.hour_of("Ines"), own.hour_of("Tomas")) == (18, 25)
    assert PricesEntry().hour_of("Ines") == PricesEntry().hour


def test_prices_of_pieces_lots_and_supplies_are_read():
    text = """\
prices:
  money: EUR
  supplies: {latex paint: 14, frame nails: 0.01}
  new:
    home-made lids: {price: 9, lasts_years: 12, mended_years: 4}
    tin lid: {price: 8, lasts_years: 12}
    langstroth deep box: {price: 24, lasts_years: 15}     # none this winter, and welcome
  honey_kg: 8
"""
    read = prices(text)
    assert read.new["home-made lids"] == NewEntry(price=9, lasts_years=12, mended_years=4)
    assert (read.money, read.honey_kg, read.supplies["frame nails"]) == ("EUR", 8, 0.01)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hour: -1", "13:16: hour: -1 cannot be; write 0 or more"),
        ("hour: .nan", "13:16: '.nan' is not a number; write one in figures, as in hour: 15"),
        ("seat: '40'", "13:16: '40' is in quotes, so it counts as text; take them away, as in seat: 40"),
        ("hour: 1e12", "13:16: hour: 1e12 cannot be; write 1,000,000,000 or less"),
        ("help: {Thomas: 20}", "13:17: 'Thomas' is not described under crew; did you mean 'Tomas'?"),
        ("help: {Ines: dear}", "13:23: 'dear' is not a number; write one in figures, as in help: {Joss: 20}"),
        ("supplies: {nails: 1}", "13:21: 'nails' is not used by any task this winter; did you mean 'frame nails'?"),
        (
            "new: {national supers: {price: 9, lasts_years: 9}}",
            "13:16: 'national supers' is neither a lot of gear nor a piece; did you mean 'national super'?",
        ),
        ("new: {supers: {price: 9}}", "13:16: 'supers' lacks 'lasts_years'; add it, as in lasts_years: 15"),
        ("new: {supers: {price: 9, lasts_years: 0}}", "13:48: lasts_years: 0 cannot be; write a number above 0"),
        ("hourly: 9", "13:10: 'hourly' is not a word known here; did you mean 'hour'?"),
    ],
)
def test_a_mistake_is_told_where_it_stands_and_what_to_write(text, said):
    assert told(f"prices: {{{text}}}\n") == [said]


def test_a_treatment_has_no_price_here_as_its_label_says_how_much_is_taken():
    text = YARD.replace("minutes_each: 8,", "minutes_each: 8, treatment: acetic acid 80 %, authorised: true,")
    with pytest.raises(ScenarioError) as raised:
        parse_scenario(text + "prices: {supplies: {acetic acid 80 %: 3}}\n", "winter.yaml")
    (problem,) = raised.value.problems
    assert (problem.line, problem.column) == (13, 21)
    assert problem.text.startswith("'acetic acid 80 %' is a treatment: the label says how much of it is taken")


def test_every_price_is_described_with_an_example():
    for model in (PricesEntry, NewEntry):
        assert [key for key, field in fields_of(model).items() if not (field.description and field.examples)] == []


def test_the_usual_price_told_of_a_key_is_the_one_taken():
    for key, field in fields_of(PricesEntry).items():
        if field.description and "unless written" in field.description:
            assert f"; {getattr(PricesEntry(), key):g} unless written" in field.description, key


def test_the_prices_shown_in_the_guide_are_those_taken_where_nothing_is_written():
    guide = (Path(__file__).parents[2] / "docs" / "guide.md").read_text("utf-8")
    shown = dict(re.findall(r"\b([a-z_]+): ([0-9]+)\b", guide[guide.index("prices:\n") :].split("```")[0]))
    usual = {key: f"{price:g}" for key, price in PricesEntry().model_dump().items() if isinstance(price, (int, float))}
    assert {key: shown.get(key) for key in usual} == usual
