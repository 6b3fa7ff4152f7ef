"""The command ``offseason rehearse`` from its words to what it prints."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from offseason.cli import main
from offseason.plan.file import read_plan, write_plan

SCENARIO = """
season: {name: Winter at Tarn Hollow, from: 2026-10-05, until: 2026-11-01}
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}
places:
  shed: {holds: 100 boxes, celsius: 15, humidity_percent: 50}
tasks:
  coat: {minutes_each: 10, weather: painting, paint: latex, then: {dries: latex, in: shed}}
gear:
  lids: {piece: telescoping lid, count: 40, rests: shed, last_painted: never, steps: [coat]}
weather:
  history: records.csv
  beyond_forecast: middle year
  needs: {painting: {like: painting with latex}}
"""

HEADER = "day,lowest [°C],highest [°C],humidity [%],rain [mm],wind [m/s]\n"


def records(rainy: tuple[int, ...], years: range = range(2022, 2026)) -> str:
    """September to November of each year, mild and dry; in the ``rainy`` years it pours until the last October week."""
    rows = []
    for year in years:
        day = date(year, 9, 1)
        while day.month < 12:
            rain = 12 if year in rainy and day < date(year, 10, 24) else 0
            rows.append(f"{day},14,22,55,{rain},2")
            day += timedelta(days=1)
    return HEADER + "\n".join(rows) + "\n"


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """A scenario with its records and its plan."""
    folder = tmp_path_factory.mktemp("yard")
    (folder / "winter.yaml").write_text(SCENARIO, encoding="utf-8")
    (folder / "records.csv").write_text(records(rainy=(2023,)), encoding="utf-8")
    assert main(["plan", str(folder / "winter.yaml"), "--quiet", "--seconds", "2", "--workers", "1"]) == 0
    return folder


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main(["rehearse", *map(str, words)])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


def test_a_plan_is_rehearsed_in_every_past_winter_of_its_records(planned, capsys):
    code, out, err = said(capsys, planned / "winter.plan.yaml", "--workers", "1", "--quiet")
    assert (code, err) == (0, "")
    assert "Winter at Tarn Hollow, rehearsed in 4 past winters (2022 to 2025)." in out
    assert "In 4 of 4 past winters all that must be done was done in time; there is no comb to protect." in out
    assert "coat: lids" in out


def test_the_scenario_may_be_named_instead_of_its_plan(planned, capsys):
    by_plan = said(capsys, planned / "winter.plan.yaml", "--workers", "1", "--quiet")
    assert said(capsys, planned / "winter.yaml", "--workers", "1", "--quiet") == by_plan


def test_how_far_it_is_is_shown_while_it_goes_on(planned, capsys):
    assert "0 of 4 winters" in said(capsys, planned / "winter.yaml", "--workers", "1")[2]


def test_the_same_seed_gives_the_same_report(planned, capsys):
    words = (planned / "winter.yaml", "--workers", "1", "--quiet", "--vary", "20", "--seed")
    assert said(capsys, *words, "3") == said(capsys, *words, "3")
    assert "(seed 3)" in said(capsys, *words, "3")[1]


def test_the_spread_is_drawn_where_a_picture_is_asked_for(planned, capsys):
    code, out, _ = said(capsys, planned / "winter.yaml", "--workers", "1", "--quiet", "--picture", planned / "s.svg")
    assert code == 0
    assert f"The picture is in {planned / 's.svg'}." in out
    drawn = (planned / "s.svg").read_text(encoding="utf-8")
    assert "<svg" in drawn
    assert "2023" in drawn


def test_a_picture_is_never_drawn_over_another_file(planned, capsys):
    (planned / "mine.svg").write_text("my own drawing", encoding="utf-8")
    code, _, err = said(capsys, planned / "winter.yaml", "--picture", planned / "mine.svg")
    assert code == 2
    assert "not a picture of offseason" in err
    assert (planned / "mine.svg").read_text(encoding="utf-8") == "my own drawing"


def test_a_scenario_without_a_plan_is_told_to_make_one(tmp_path, capsys):
    (tmp_path / "winter.yaml").write_text(SCENARIO, encoding="utf-8")
    code, _, err = said(capsys, tmp_path / "winter.yaml")
    assert code == 2
    assert f"make one first: offseason plan {tmp_path / 'winter.yaml'}" in err


def test_a_file_that_is_not_there_is_told(tmp_path, capsys):
    code, _, err = said(capsys, tmp_path / "winter.yaml")
    assert code == 2
    assert "there is no such file" in err


def moved(planned, tmp_path, scenario: str, history: str | None):
    """The plan with another scenario or other records beside it."""
    (tmp_path / "winter.plan.yaml").write_bytes((planned / "winter.plan.yaml").read_bytes())
    (tmp_path / "winter.yaml").write_text(scenario, encoding="utf-8")
    if history is not None:
        (tmp_path / "records.csv").write_text(history, encoding="utf-8")
    return tmp_path / "winter.plan.yaml"


def test_a_plan_without_its_scenario_asks_for_it(planned, tmp_path, capsys):
    (tmp_path / "winter.plan.yaml").write_bytes((planned / "winter.plan.yaml").read_bytes())
    code, _, err = said(capsys, tmp_path / "winter.plan.yaml")
    assert code == 2
    assert "name it with --scenario" in err


def test_without_records_of_past_winters_there_is_nothing_to_rehearse_in(planned, tmp_path, capsys):
    by_hand = SCENARIO.partition("weather:\n")[0] + "weather: {windows: {painting: {2026-10-06: 09:00-12:00}}}\n"
    code, _, err = said(capsys, moved(planned, tmp_path, by_hand, None))
    assert code == 2
    assert "names no records of past winters" in err
    assert "weather: history:" in err


def test_records_without_one_whole_winter_are_not_enough(planned, tmp_path, capsys):
    short = HEADER + "2025-10-05,14,22,55,0,2\n"
    code, _, err = said(capsys, moved(planned, tmp_path, SCENARIO, short))
    assert code == 2
    assert "no past winter from 05 Oct to 01 Nov that is whole enough" in err


def test_records_that_are_not_there_are_named(planned, tmp_path, capsys):
    code, _, err = said(capsys, moved(planned, tmp_path, SCENARIO, None))
    assert code == 2
    assert "records.csv" in err


def test_a_past_winter_that_is_not_whole_is_named_and_left_out(planned, tmp_path, capsys):
    torn = "".join(line for line in records(()).splitlines(keepends=True) if not line.startswith("2023-10"))
    code, out, _ = said(capsys, moved(planned, tmp_path, SCENARIO, torn), "--workers", "1", "--quiet")
    assert code == 0
    assert "rehearsed in 3 past winters" in out
    assert "2023" in out.partition("Winter at Tarn Hollow")[0]


def test_a_scenario_changed_since_the_plan_was_made_is_remarked_on(planned, tmp_path, capsys):
    path = moved(planned, tmp_path, SCENARIO.replace("count: 40", "count: 44"), records(()))
    code, out, _ = said(capsys, path, "--workers", "1", "--quiet")
    assert code == 0
    assert "has changed since this plan was made; it is rehearsed by the scenario as it is now." in out


@pytest.mark.parametrize(
    ("option", "word", "told"),
    [
        ("--vary", "much", "is not a number of per cent from 0 to 90"),
        ("--vary", "100", "is not a number of per cent from 0 to 90"),
        ("--vary", "nan", "is not a number of per cent from 0 to 90"),
        ("--forecast-days", "-1", "is not a whole number of days from 0 to 366"),
        ("--forecast-days", "5000", "is not a whole number of days from 0 to 366"),
        ("--workers", "0", "is not a whole number from 1 up"),
    ],
)
def test_numbers_out_of_reach_are_told_in_a_sentence(planned, capsys, option, word, told):
    code, _, err = said(capsys, planned / "winter.yaml", f"{option}={word}")
    assert code == 2
    assert told in err


def test_a_plan_made_anew_in_mid_winter_is_not_rehearsed_as_if_nothing_had_been_done(planned, tmp_path, capsys):
    yard = shutil.copytree(planned, tmp_path / "yard")
    plan = yard / "winter.plan.yaml"
    write_plan(plan, replace(read_plan(plan), since=datetime(2026, 10, 20)))  # noqa: DTZ001  the clock on the wall
    code, _, err = said(capsys, plan)
    assert code == 2
    assert "was planned anew from Tue 20 Oct 2026 on; only the plan of a whole winter can be rehearsed" in err


def test_work_on_gear_that_the_scenario_no_longer_has_is_said_to_be_left_out(planned, tmp_path, capsys):
    yard = shutil.copytree(planned, tmp_path / "yard")
    text = (yard / "winter.yaml").read_text("utf-8")
    (yard / "winter.yaml").write_text(text.replace("  lids:", "  covers:"), "utf-8")
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--workers", "1", "--quiet")
    assert code == 0
    assert "lids: the plan has work on it and the scenario does not; it is left out." in out
