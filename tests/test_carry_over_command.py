"""The command ``offseason carry-over`` from its words to the file it writes."""

from __future__ import annotations

import pytest

from offseason.cli import main
from offseason.scenario.read import read_scenario

SCENARIO = """\
season: {name: Winter at Tarn Hollow, from: 2026-10-05, until: 2027-03-14}   # the usual weeks
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}
tasks:
  scrape: {minutes_each: 6}
gear:
  feeders: {piece: feeder, count: 60, steps: [scrape]}
"""
PLAN = """\
format: 1
scenario: winter.yaml
sha256: "0000000000000000000000000000000000000000000000000000000000000000"
made: "2026-10-01 12:00:00+00:00"
made_with: by hand
proven: false
aims: []
work: []
end: of the plan
"""
ROW = "- {{id: a{n}, date: 2026-10-{n:02d}, who: [Ottilie], lot: feeders, step: scrape, pieces: 10, minutes: 90}}\n"


@pytest.fixture
def yard(tmp_path):
    """A scenario, its plan, and a log of three rows."""
    (tmp_path / "winter.yaml").write_text(SCENARIO, encoding="utf-8")
    (tmp_path / "winter.plan.yaml").write_text(PLAN, encoding="utf-8")
    (tmp_path / "winter.log.yaml").write_text("".join(ROW.format(n=n) for n in (5, 6, 7)), encoding="utf-8")
    return tmp_path


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main(["carry-over", *map(str, words)])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


def test_next_winter_is_written_with_where_it_came_from_at_its_top(yard, capsys):
    code, out, err = said(capsys, yard / "winter.plan.yaml", "--to", yard / "next.yaml")
    assert (code, err) == (0, "")
    text = (yard / "next.yaml").read_text(encoding="utf-8")
    assert text.startswith("# carried over: from winter.yaml and winter.log.yaml, for the winter from 2027-10-05 to")
    assert "# the usual weeks" in text
    assert "feeders: scrape 30 of 60" in out
    assert "offseason check" in out
    assert read_scenario(yard / "next.yaml").tasks["scrape"].minutes_each == 6


def test_next_winter_can_be_checked_as_it_stands(yard, capsys):
    said(capsys, yard / "winter.plan.yaml", "--to", yard / "next.yaml")
    assert main(["check", str(yard / "next.yaml")]) == 0


def test_minutes_learnt_are_used_when_asked_for(yard, capsys):
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--to", yard / "next.yaml", "--learnt")
    assert code == 0
    assert "Minutes as learnt from the log: scrape 6 -> 9." in out
    assert read_scenario(yard / "next.yaml").tasks["scrape"].minutes_each == 9


def test_the_first_day_of_the_season_may_be_named(yard, capsys):
    said(capsys, yard / "winter.plan.yaml", "--to", yard / "next.yaml", "--season-from", "2027-10-11")
    assert read_scenario(yard / "next.yaml").season.from_.isoformat() == "2027-10-11"


def test_a_season_that_is_not_the_next_is_told_and_nothing_is_written(yard, capsys):
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--to", yard / "next.yaml", "--season-from", "2026-10-11")
    assert code == 2
    assert "a season from 2026-10-11 is not the next one after that from 2026-10-05 to 2027-03-14" in err
    assert not (yard / "next.yaml").exists()


@pytest.mark.parametrize("name", ["winter.yaml", "winter.plan.yaml", "winter.log.yaml", "."])
def test_what_is_there_is_never_written_over(yard, capsys, name):
    before = {path.name: path.read_bytes() for path in yard.iterdir()}
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--to", yard / name)
    assert code == 2
    assert "is there already and was left as it is" in err
    assert {path.name: path.read_bytes() for path in yard.iterdir()} == before


def test_a_folder_that_is_not_there_is_told(yard, capsys):
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--to", yard / "none" / "next.yaml")
    assert code == 2
    assert "there is no such folder" in err


def test_without_a_log_nothing_is_written(yard, capsys):
    (yard / "winter.log.yaml").unlink()
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--to", yard / "next.yaml")
    assert code == 2
    assert "there is no log beside this plan yet" in err
    assert not (yard / "next.yaml").exists()


def test_the_file_to_write_must_be_named(yard, capsys):
    code, _, err = said(capsys, yard / "winter.plan.yaml")
    assert code == 2
    assert "--to" in err


def test_the_name_of_a_file_is_never_written_with_another_capital(yard, capsys, monkeypatch):
    monkeypatch.chdir(yard)
    with (yard / "winter.log.yaml").open("a", encoding="utf-8") as stream:
        stream.write("- {id: torn, date: 2026-10")
    code, out, _ = said(capsys, "winter.plan.yaml", "--to", "next.yaml")
    assert code == 0
    assert out.startswith("winter.log.yaml:")
    assert "Winter.log.yaml" not in out
    assert "From winter.yaml and winter.log.yaml, for the winter from" in out
