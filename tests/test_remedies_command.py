"""The command ``offseason remedies`` from its words to the files it writes."""

from __future__ import annotations

import pytest

import offseason.commands.remedies as command
import offseason.commands.short_winter as shared
from offseason.cli import main
from offseason.remedy.file import read_remedies
from offseason.remedy.lever import Change, Found, Kind, Lever, Remedy
from offseason.scenario.read import read_scenario
from offseason.workload.model import Leaving, Left, Schedule

# Two combs fit into the freezer at a time, a load stays a day and a night, and there are four mornings to change it:
# 8 of 12 combs come to be safe, and room for 1 more (3 at a time) is enough for all 12.
WINTER = """\
season: {from: 2026-10-05, until: 2026-10-09}   # five mornings
moths: {season_starts: 2026-10-10}
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}      # before lunch
places:
  freezer: {holds: 2 combs, celsius: -18}       # the old one
  loft: {holds: 60 combs}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: 20 h, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear:
  combs: {piece: medium comb, count: 12, comb: dry, rests: loft, steps: [freeze, seal]}
"""
COLUMNS = "day,lowest temperature [°C],highest temperature [°C],rain [mm]"
FAST = ("--seconds", "20", "--workers", "1", "--quiet")


@pytest.fixture
def winter(tmp_path):
    file = tmp_path / "winter.yaml"
    file.write_text(WINTER, encoding="utf-8")
    return file


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main(["remedies", *map(str, words)])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


ROOM = Remedy((Change(Lever(Kind.SPACE, "freezer", 10, 2.0), 1),), least=True)
FEWER = Remedy((Change(Lever(Kind.FEWER, "combs", 11, 4.0), 4),), least=True)


@pytest.fixture
def found(winter, monkeypatch, capsys):
    """Remedies made by hand, kept beside the winter."""
    monkeypatch.setattr(shared, "find_remedies", lambda *_, **__: Found((ROOM, FEWER), None, all_tried=True, seconds=1))
    assert said(capsys, winter, *FAST)[0] == 3
    return winter


def files(folder) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_freezer_too_small_is_told_with_the_room_it_lacks_and_the_new_scenario_can_be_planned(winter, capsys):
    code, out, err = said(capsys, winter, *FAST)
    assert code == 3
    assert err == ""
    assert "No plan can do all that must be done: this is proven." in out
    assert "room for 1 more comb in freezer: 3 instead of 2" in out
    assert "4 of combs given up: 8 instead of 12 (price 16; proven: with 3 it does not fit)" in out
    assert "To write a new scenario with" in out
    numbered = [
        one.changes[0].lever.kind for one in read_remedies(winter.with_name("winter.remedies.yaml")).found.remedies
    ]
    number = numbered.index(Kind.SPACE) + 1
    assert said(capsys, winter, "--apply", number)[0] == 0
    assert main(["plan", str(winter.with_name(f"winter.remedy-{number}.yaml")), "--quiet", "--seconds", "20"]) == 0


def test_what_fails_and_what_mends_it_are_told_and_kept(found, capsys):
    code, out, _ = said(capsys, found, *FAST)
    assert code == 3
    assert out.index("Left over:") < out.index("Any one of these is enough")
    assert "2. 4 of combs given up: 8 instead of 12 (price 16; proven: with 3 it does not fit)" in out
    assert f"offseason remedies {found} --apply 1" in out
    kept = read_remedies(found.with_name("winter.remedies.yaml"))
    assert kept.found.singles == (ROOM, FEWER)


def test_a_remedy_is_written_to_a_new_scenario_and_the_old_one_stays(found, capsys):
    before = files(found.parent)
    code, out, err = said(capsys, found, "--apply", 1)
    assert (code, err) == (0, "")
    assert "Remedy 1: - room for 1 more comb in freezer: 3 instead of 2" in out
    new = found.with_name("winter.remedy-1.yaml")
    assert out.endswith(f"offseason plan {new}")
    assert read_scenario(new).places["freezer"].holds.spaces == 3
    text = new.read_text(encoding="utf-8")
    assert "# remedy: freezer: room for 1 more; holds was 2 combs\n" in text
    for remark in ("# five mornings", "# before lunch", "# the old one"):
        assert remark in text
    assert {name: content for name, content in files(found.parent).items() if name != new.name} == before


def test_the_new_scenario_may_be_named(found, capsys):
    assert said(capsys, found, "--apply", 2, "--to", found.with_name("fewer.yaml"))[0] == 0
    assert read_scenario(found.with_name("fewer.yaml")).gear["combs"].count == 8


@pytest.mark.parametrize("name", ["winter.yaml", "winter.remedies.yaml", "notes.txt", "."])
def test_what_is_there_is_never_written_over(found, capsys, name):
    found.with_name("notes.txt").write_text("mine", encoding="utf-8")
    before = files(found.parent)
    code, _, err = said(capsys, found, "--apply", 1, "--to", found.parent / name)
    assert code == 2
    assert "is there already and was left as it is; name another with --to." in err
    assert files(found.parent) == before


def test_a_folder_that_is_not_there_is_told(found, capsys):
    code, _, err = said(capsys, found, "--apply", 1, "--to", found.parent / "none" / "new.yaml")
    assert code == 2
    assert "there is no such folder" in err


def test_remedies_of_a_winter_that_changed_since_are_not_applied(found, capsys):
    found.write_text(WINTER.replace("count: 12", "count: 13"), encoding="utf-8")
    before = files(found.parent)
    code, _, err = said(capsys, found, "--apply", 1)
    assert code == 2
    assert f"winter.yaml has changed since these remedies were found; run `offseason remedies {found}` again." in err
    assert files(found.parent) == before


def test_weather_to_be_copied_too_is_named(tmp_path, monkeypatch, capsys):
    text = WINTER + "weather: {history: records.csv}\n"
    (tmp_path / "winter.yaml").write_text(text, encoding="utf-8")
    rows = [f"2025-{month:02d}-{day:02d},5,9,0" for month in (9, 10, 11) for day in range(1, 31)]
    (tmp_path / "records.csv").write_text("\n".join([COLUMNS, *rows, ""]), encoding="utf-8")
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.setattr(shared, "find_remedies", lambda *_, **__: Found((ROOM,), None, all_tried=True, seconds=1))
    winter = tmp_path / "winter.yaml"
    code, _, err = said(capsys, winter, *FAST)
    assert (code, err) == (3, "")
    code, out, _ = said(capsys, winter, "--apply", 1, "--to", tmp_path / "elsewhere" / "new.yaml")
    assert code == 0
    assert "First copy records.csv beside it." in out
    (tmp_path / "records.csv").write_text("date,tmin,tmax\n", encoding="utf-8")
    code, _, err = said(capsys, winter, "--apply", 1)
    assert code == 2
    assert "records.csv has changed since these remedies were found" in err


def test_a_number_that_is_not_there_is_told(found, capsys):
    code, _, err = said(capsys, found, "--apply", 3)
    assert code == 2
    assert "There is no remedy 3:" in err
    assert "winter.remedies.yaml has 1 to 2." in err
    assert "'0' is not a whole number from 1 up" in said(capsys, found, "--apply", 0)[2]


def test_remedies_have_to_be_looked_for_before_one_is_applied(winter, capsys):
    code, _, err = said(capsys, winter, "--apply", 1)
    assert code == 2
    assert "no remedies are kept here yet; run `offseason remedies` first" in err


def test_a_kept_file_that_was_damaged_is_told(found, capsys):
    kept = found.with_name("winter.remedies.yaml")
    kept.write_text(kept.read_text(encoding="utf-8").replace("about: freezer", "about: cellar"), encoding="utf-8")
    code, _, err = said(capsys, found, "--apply", 1)
    assert code == 2
    assert "Remedy 1 cannot be written into the text of" in err
    assert "there is no place 'cellar' in the scenario" in err
    assert not found.with_name("winter.remedy-1.yaml").exists()


def test_a_file_of_the_keeper_under_that_name_is_left_as_it_is(winter, capsys):
    kept = winter.with_name("winter.remedies.yaml")
    kept.write_text("my own thoughts", encoding="utf-8")
    code, _, err = said(capsys, winter, *FAST)
    assert code == 2
    assert "is not a file of remedies of offseason; it was left as it is" in err
    assert kept.read_text(encoding="utf-8") == "my own thoughts"


def test_a_winter_that_fits_needs_no_remedy(winter, capsys):
    winter.write_text(WINTER.replace("2 combs", "12 combs"), encoding="utf-8")
    code, out, _ = said(capsys, winter, *FAST)
    assert code == 0
    assert "This winter fits as it is" in out
    assert "offseason spare" in out
    assert not winter.with_name("winter.remedies.yaml").exists()


def test_where_no_remedy_is_found_nothing_is_kept(winter, capsys, monkeypatch):
    monkeypatch.setattr(shared, "find_remedies", lambda *_, **__: Found((), None, all_tried=False, seconds=1))
    code, out, _ = said(capsys, winter, *FAST)
    assert code == 3
    assert "No remedy was found" in out
    assert "--apply" not in out
    assert not winter.with_name("winter.remedies.yaml").exists()


def test_a_remedy_that_would_make_a_scenario_that_is_refused_is_not_allowed(winter, capsys, monkeypatch):
    asked = []

    def search(yard, *_, **__):
        not_frozen = Lever(Kind.OPTIONAL, "combs", 1, 1.0, steps=("freeze",))
        asked.extend(yard.allowed(changes) for changes in ((Change(not_frozen, 1),), ROOM.changes))
        return Found((), None, all_tried=True, seconds=1)

    monkeypatch.setattr(shared, "find_remedies", search)
    assert said(capsys, winter, *FAST)[0] == 3
    assert asked == [False, True]


def test_a_search_stopped_before_its_first_plan_leaves_nothing_behind(winter, capsys, monkeypatch):
    monkeypatch.setattr(command, "solve", lambda *_, **__: Schedule((), (), stopped=True))
    code, out, err = said(capsys, winter, *FAST)
    assert (code, out) == (130, "")
    assert "Stopped. No file was written or changed." in err
    assert not winter.with_name("winter.remedies.yaml").exists()


def test_a_file_to_write_without_a_number_is_told(winter, capsys):
    code, _, err = said(capsys, winter, "--to", winter.with_name("new.yaml"))
    assert code == 2
    assert "write it with --apply and the number of one" in err


def test_a_scenario_that_is_not_there_is_told(tmp_path, capsys):
    for words in ((), ("--apply", 1)):
        code, _, err = said(capsys, tmp_path / "none.yaml", *words)
        assert code == 2
        assert "there is no file of this name" in err


def test_remedies_of_another_scenario_are_not_applied(found, capsys):
    other = found.with_suffix(".yml")  # its remedies would be kept in the same file
    other.write_bytes(found.read_bytes())
    code, _, err = said(capsys, other, "--apply", "1")
    assert code == 2
    assert "holds the remedies of winter.yaml, not of winter.yml" in err


@pytest.mark.parametrize("ending", ["plan", "log", "remedies"])
def test_a_new_scenario_does_not_take_the_name_of_a_plan_a_log_or_remedies(found, ending, capsys):
    target = found.with_name(f"other.{ending}.yaml")
    code, _, err = said(capsys, found, "--apply", "1", "--to", target)
    assert code == 2
    assert "has the name of a file that offseason writes itself" in err
    assert not target.exists()


def test_a_plan_that_fails_its_audit_is_a_fault_and_not_called_a_winter_that_fits(winter, capsys, monkeypatch):
    monkeypatch.setattr(command, "solve", lambda *_, **__: Schedule((), ()))
    before = files(winter.parent)
    code, out, err = said(capsys, winter, *FAST)
    assert code == 4
    assert "12 of 12" in out
    assert err == "This is a fault of offseason: a plan was found and broke a promise. No file was written."
    assert files(winter.parent) == before


def test_a_plan_is_written_where_its_remedies_cannot_be_kept_and_what_is_there_in_their_place_stays(
    winter, capsys, monkeypatch
):
    monkeypatch.setattr(shared, "find_remedies", lambda *_, **__: Found((ROOM,), None, all_tried=True, seconds=1))
    notes = winter.with_name("winter.remedies.yaml")
    notes.write_text("ask Bruno about his freezer", encoding="utf-8")
    assert main(["plan", str(winter), *FAST]) == 3
    out, err = (" ".join(text.split()) for text in capsys.readouterr())
    assert "room for 1 more comb in freezer: 3 instead of 2" in err
    assert "--apply" not in out + err
    assert err.endswith("So no remedy can be applied.")
    assert notes.read_text(encoding="utf-8") == "ask Bruno about his freezer"
    assert winter.with_name("winter.plan.yaml").exists()


@pytest.mark.parametrize(("seconds", "searched_s"), [(60, shared.SMALL_S), (61, 61 - shared.STARTING_AND_TELLING_S)])
def test_who_gives_a_small_winter_more_than_the_usual_time_has_all_of_it_used(
    winter, capsys, monkeypatch, seconds, searched_s
):
    given = []

    def find(_, schedule, *, seconds, **__):
        given.append(seconds + schedule.seconds)
        return Found((), None, all_tried=True, seconds=1)

    monkeypatch.setattr(shared, "find_remedies", find)
    monkeypatch.setattr(command, "solve", lambda *_, **__: Schedule((), (), left=(Left(0, 0, 4, Leaving.OPEN),)))
    assert said(capsys, winter, "--seconds", seconds, "--quiet")[0] == 3
    assert given == [searched_s]


def test_that_another_winter_has_begun_is_not_said_of_this_one(winter, monkeypatch):
    monkeypatch.setattr(command, "has_begun", lambda _: True)
    plan = winter.with_suffix(".plan.yaml")
    plan.write_text(f"format: 1\nscenario: {winter.name}\n")
    assert "replan" in command._said_of_begun(winter)
    other = winter.with_suffix(".yml")
    other.write_text(winter.read_text("utf-8"), "utf-8")
    assert not command._said_of_begun(other)
