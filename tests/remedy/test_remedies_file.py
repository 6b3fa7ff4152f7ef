"""The file of remedies: what was found is read back as it was, and a damaged or hostile one ends in a sentence."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from offseason.plan.document import WeatherFile
from offseason.plan.origin import digest_of
from offseason.remedy.edits import applied
from offseason.remedy.file import (
    Kept,
    RemediesFileError,
    changed_since,
    parse_remedies,
    read_remedies,
    remedies_file_text,
    remedies_path,
    unfit_for_remedies,
    write_remedies,
)
from offseason.remedy.lever import Change, Found, Kind, Lever, Remedy
from offseason.scenario.read import parse_scenario
from offseason.scenario.words import parse_hours
from offseason.scenario.yaml_edit import CannotEditError

WINTER = """\
season: {from: 2026-10-05, until: 2027-03-14}
crew: {Ottilie: {works: {mon-fri: 09:00-12:00}}}
places: {freezer: {holds: 20 combs, celsius: -18}}
tasks: {oil: {minutes_each: 2, weather: dry}}
gear: {feeders: {piece: feeder, count: 20, arrives: 2026-11-02, steps: [oil]}}
jobs: {tidy: {hours: 2, by: 2026-12-01}}
weather: {windows: {dry: {2026-10-12: 10:00-15:00}}}
"""
SLOTS = ((date(2026, 10, 31), parse_hours("16:00-18:30")), (date(2026, 10, 30), parse_hours("16:00-17:00")))
DAYS = (date(2026, 11, 14), date(2026, 11, 13))
EVERY_KIND = (
    Change(Lever(Kind.SPACE, "freezer", 60, 2.0), 14),
    Change(Lever(Kind.HELP, "Ottilie", 14, 3.75, slots=SLOTS), 11),
    Change(Lever(Kind.INDOORS, "dry", 2, 60.0, days=DAYS), 2),
    Change(Lever(Kind.EARLIER, "feeders", 28, 10.0), 3),
    Change(Lever(Kind.LATER, "tidy", 28, 0.1 + 0.2, job=True), 3),
    Change(Lever(Kind.LATER, "", 28, 10.0), 3),
    Change(Lever(Kind.OPTIONAL, "feeders", 1, 20.0, steps=("oil",)), 1),
    Change(Lever(Kind.OPTIONAL, "tidy", 1, 60.0, job=True), 1),
)
FOUND = Found(
    tuple(Remedy((change,), least=n % 2 == 0) for n, change in enumerate(EVERY_KIND)),
    Remedy(EVERY_KIND[:3], least=False),
    all_tried=False,
    seconds=12.3,
)
KEPT = Kept(
    "winter.yaml",
    "0" * 64,
    datetime(2026, 10, 1, 12, tzinfo=UTC),
    FOUND,
    (WeatherFile("weather/records, old.csv", "a" * 64),),
)
TEXT = remedies_file_text(KEPT)


def answer(do, refusal, *words):
    """What is answered; of a refusal that it is a sentence. Any other error fails the test by itself."""
    try:
        return do(*words)
    except refusal as error:
        told = str(error)
    assert " " in told
    return None


def refused(text: str | bytes) -> str:
    with pytest.raises(RemediesFileError) as error:
        parse_remedies(text, "winter.remedies.yaml")
    return str(error.value)


def test_what_was_found_is_read_back_as_it_was(tmp_path):
    path = tmp_path / "winter.remedies.yaml"
    write_remedies(path, KEPT)
    assert read_remedies(path) == KEPT


names = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Zl", "Zp"]), min_size=1, max_size=20)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.builds(
            Lever,
            st.sampled_from(list(Kind)),
            names,
            st.integers(7, 10**6),
            st.floats(0, 1e9),
            days=st.lists(st.dates(date(2000, 1, 1), date(2100, 1, 1)), max_size=3).map(tuple),
            steps=st.lists(names, max_size=3).map(tuple),
            job=st.booleans(),
        ),
        max_size=3,
    ),
    st.booleans(),
)
def test_any_names_and_prices_come_back_as_they_were(levers, together):
    singles = tuple(Remedy((Change(lever, 7),), least=True) for lever in levers)
    more = Remedy(tuple(Change(lever, 1) for lever in levers), least=False) if together and levers else None
    kept = Kept("x", "1" * 64, KEPT.made, Found(singles, more, all_tried=True, seconds=1.0))
    assert parse_remedies(remedies_file_text(kept), "x") == kept


def test_a_file_cut_off_anywhere_is_refused_in_a_sentence():
    for at in range(0, len(TEXT) - 2, 97):
        assert refused(TEXT[:at])


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("format: 1", "format: 2", "this is layout 2 of the file"),
        ("kind: space", "kind: shrink", "'shrink' is not a kind of change"),
        ("size: 14", "size: 0", "0 is not between 1 and 60"),
        ("size: 14", "size: 61", "61 is not between 1 and 60"),
        ("size: 14", "size: 1.5", "'1.5' is not a whole number"),
        ("price_each: 2}", "price_each: .inf}", "'.inf' is not an amount"),
        ("price_each: 2}", "price_each: -1}", "'-1' is not an amount"),
        ("16:00-18:30", "18:30-16:00", "ends before it begins"),
        ("2026-11-14", "2026-11-31", "'2026-11-31' is not a day of the calendar"),
        ("about: freezer, ", "", "a change wants 'about', and there is none"),
        ("about: freezer", "about: freezer, colour: red", "'colour' is not a word known here"),
        ("- number: 2", "- number: 3", "remedy 3 stands where 2 belongs"),
        ("    least: true\n", "    least: true\n    together: true\n", "only the last remedy is one of several"),
        ("000000", "00000x", "is not the digest of a file"),
        ("all_tried: false", "all_tried: perhaps", "'perhaps' is neither true nor false"),
        ("remedies:\n", "remedies: none\nwas:\n", "'remedies' wants a list"),
        (
            TEXT[TEXT.index("      - {kind: earlier") : TEXT.index("  - number: 5")],
            "      []\n",
            "and here stands nothing",
        ),
        (
            "- {kind: optional, about: tidy",
            "- tidy\n      - {kind: optional, about: tidy",
            "a change is made of keys and values",
        ),
        ('- {file: "weather', '- records.csv\n  - {file: "weather', "a file of weather is made of keys and values"),
        ('made: "2026-10-01', 'made: "1 October', "is not a date and time"),
    ],
)
def test_what_was_changed_by_hand_and_cannot_be_is_told_at_its_place(old, new, told):
    assert old in TEXT
    sentence = refused(TEXT.replace(old, new, 1))
    assert told in sentence
    assert sentence.startswith("winter.remedies.yaml:")


@pytest.mark.parametrize(
    "text", ["", "nothing", "[1, 2]", "a: [", WINTER, "end: of it", b"\xff\xfe\0", "x" * 10**7 + "x"]
)
def test_another_file_is_refused(text):
    assert refused(text)


WORDS = sorted({word.strip("{}[],") for word in TEXT.replace("\n", " ").split()} | {"-1", "0", "9999999", "null", "~"})
SCENARIO = parse_scenario(WINTER, "winter.yaml")


@pytest.mark.slow
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.tuples(st.sampled_from(WORDS), st.sampled_from(WORDS)), min_size=1, max_size=4))
def test_a_hostile_file_leads_to_a_scenario_that_can_be_read_or_to_a_sentence(exchanged):
    text = TEXT
    for one, two in exchanged:
        text = text.replace(one, two, 1) if one else text
    kept = answer(parse_remedies, RemediesFileError, text, "winter.remedies.yaml")
    for remedy in kept.found.remedies if isinstance(kept, Kept) else ():
        done = answer(applied, CannotEditError, WINTER, SCENARIO, remedy.changes)
        if isinstance(done, str):
            parse_scenario(done, "changed")


def test_every_remedy_of_the_file_can_be_written_into_the_scenario():
    for remedy in parse_remedies(TEXT, "x").found.remedies:
        assert parse_scenario(applied(WINTER, SCENARIO, remedy.changes), "changed") != SCENARIO


def test_a_scenario_or_its_records_that_changed_since_are_named(tmp_path):
    scenario, records = tmp_path / "winter.yaml", tmp_path / "records.csv"
    scenario.write_text(WINTER, encoding="utf-8")
    records.write_text("day", encoding="utf-8")
    kept = Kept("winter.yaml", digest_of(scenario), KEPT.made, FOUND, (WeatherFile("records.csv", digest_of(records)),))
    assert changed_since(kept, scenario) == ()
    records.write_text("days", encoding="utf-8")
    assert changed_since(kept, scenario) == ("records.csv",)
    records.unlink()
    scenario.write_text(f"{WINTER}\n", encoding="utf-8")
    assert changed_since(kept, scenario) == ("winter.yaml", "records.csv")


def test_a_file_of_the_keeper_is_never_taken_for_remedies(tmp_path):
    path = remedies_path(tmp_path / "winter.yaml")
    assert path.name == "winter.remedies.yaml"
    assert unfit_for_remedies(path) is None
    write_remedies(path, KEPT)
    assert unfit_for_remedies(path) is None
    path.write_text(WINTER, encoding="utf-8")
    assert "it was left as it is" in (unfit_for_remedies(path) or "")
    path.unlink()
    path.mkdir()
    assert "it was left as it is" in (unfit_for_remedies(path) or "")
    with pytest.raises(RemediesFileError, match="not a file of remedies"):
        read_remedies(path)


def test_remedies_that_were_never_looked_for_are_told(tmp_path):
    with pytest.raises(RemediesFileError, match="no remedies are kept here yet; run `offseason remedies` first"):
        read_remedies(tmp_path / "winter.remedies.yaml")
