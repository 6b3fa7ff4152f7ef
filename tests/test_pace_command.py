"""The command ``offseason pace`` from its words to what it prints and writes."""

from __future__ import annotations

import pytest

from offseason.cli import main
from offseason.commands import pace as pace_command
from offseason.scenario.read import read_scenario
from offseason.share.shell import for_shell

SCENARIO = """\
# our yard: minutes are guesses
season: {name: Winter at Tarn Hollow, from: 2026-10-05, until: 2026-11-01}
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}
tasks:
  scrape: {minutes_each: 6, importance: must}   # a guess
  oil: {minutes_each: 2}
gear:
  feeders: {piece: feeder, count: 240, steps: [scrape, oil]}
"""
PLAN = """\
format: 1
scenario: winter.yaml
sha256: "{digest}"
made: "2026-10-01 12:00:00+00:00"
made_with: by hand
proven: false
aims: []
work:
  - {{day: 2026-10-05, from: "09:00", to: "12:00", who: [Ottilie], lot: feeders, step: scrape, pieces: 30}}
end: of the plan
"""
ROW = "- {{id: a{n}, date: 2026-10-{day:02d}, who: [Ottilie], lot: feeders, step: scrape, pieces: 10, minutes: {m}}}\n"


@pytest.fixture
def yard(tmp_path):
    """A scenario, its plan, and a log of four rows, one of them mistyped."""
    (tmp_path / "winter.yaml").write_text(SCENARIO, encoding="utf-8")
    (tmp_path / "winter.plan.yaml").write_text(PLAN.format(digest="0" * 64), encoding="utf-8")
    log(tmp_path, 80, 90, 1.5, 90)
    return tmp_path


def log(folder, *minutes):
    rows = [ROW.format(n=n, day=5 + n, m=m) for n, m in enumerate(minutes)]
    (folder / "winter.log.yaml").write_text("".join(rows), encoding="utf-8")


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main(["pace", *map(str, words)])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


def test_the_pace_is_shown_beside_the_planned_and_nothing_is_changed(yard, capsys):
    code, out, err = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-09")
    assert (code, err) == (0, "")
    assert "scrape 6 8.5 6 - 9 4 rows +42 %".replace("6 - 9", "6-9") in out
    assert "at the pace so far it takes 4.2 h" in out
    assert "Nothing is changed. To plan with these minutes (scrape) from now on:" in out
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == SCENARIO


def test_it_says_whether_the_rest_fits_at_the_pace_and_that_this_is_an_estimate(yard, capsys):
    _, out, _ = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-09")
    # 200 to scrape at 8.5 minutes and 240 to oil at 2; 16 days of 3 hours are left
    assert "the must-work needs 36.3 h by Sun 1 Nov 2026; 48.0 h of help are left until then: it fits with 11.7" in out
    log(yard, 150, 150, 2.5, 150)
    _, out, _ = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-09")
    assert (
        "needs 58.0 h by Sun 1 Nov 2026; 48.0 h of help are left until then: it will not fit, 10.0 h are missing" in out
    )
    assert "This is an estimate by adding up hours" in out


def test_told_to_use_them_it_changes_the_minutes_alone_and_keeps_the_old_file(yard, capsys):
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    assert code == 0
    assert "scrape 6 -> 8.5 minutes. Nothing else in it was changed." in out
    written = (yard / "winter.yaml").read_text(encoding="utf-8")
    assert written == SCENARIO.replace("minutes_each: 6", "minutes_each: 8.5")
    assert (yard / "winter.yaml.before").read_text(encoding="utf-8") == SCENARIO
    assert read_scenario(yard / "winter.yaml").tasks["scrape"].minutes_each == 8.5


@pytest.mark.parametrize("letters", ["utf-16", "utf-16-be", "utf-32", "utf-32-be"])
def test_a_scenario_saved_in_other_letters_is_not_written_anew_in_ours(letters, yard, capsys):
    was = f"\ufeff{SCENARIO}".encode(letters) if letters.endswith("-be") else SCENARIO.encode(letters)
    (yard / "winter.yaml").write_bytes(was)
    code, _, told = said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    assert code == 2
    assert "it is not saved as UTF-8; save it as UTF-8 first" in told
    assert (yard / "winter.yaml").read_bytes() == was


def test_used_once_there_is_nothing_more_to_use(yard, capsys):
    said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    assert code == 0
    assert "as planned" in out
    assert "was left as it is" in out
    assert (yard / "winter.yaml.before").read_text(encoding="utf-8") == SCENARIO


def test_two_rows_are_too_few_to_use(yard, capsys):
    log(yard, 80, 90)
    _, out, _ = said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    assert "too few to say" in out
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == SCENARIO
    assert not (yard / "winter.yaml.before").exists()


def test_a_file_saved_with_a_mark_and_windows_line_ends_keeps_both(yard, capsys):
    before = b"\xef\xbb\xbf" + SCENARIO.replace("\n", "\r\n").encode()
    (yard / "winter.yaml").write_bytes(before)
    assert said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")[0] == 0
    assert (yard / "winter.yaml").read_bytes() == before.replace(b"minutes_each: 6", b"minutes_each: 8.5")


def test_minutes_that_stand_for_others_too_are_left_to_the_keeper(yard, capsys):
    shared = SCENARIO.replace("minutes_each: 6", "minutes_each: &m 6").replace("minutes_each: 2", "minutes_each: *m")
    (yard / "winter.yaml").write_text(shared, encoding="utf-8")
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    assert code == 2
    assert "was left as it is" in err
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == shared


def test_without_a_log_it_says_how_one_is_made(yard, capsys):
    (yard / "winter.log.yaml").unlink()
    assert main(["pace", str(yard / "winter.plan.yaml")]) == 2
    err = capsys.readouterr().err
    assert "there is no log beside this plan yet; `offseason record" in " ".join(err.split())
    assert max(len(line) for line in err.splitlines() if str(yard) not in line) <= 80


def test_a_log_without_minutes_teaches_nothing_and_says_so(yard, capsys):
    text = (yard / "winter.log.yaml").read_text(encoding="utf-8")
    (yard / "winter.log.yaml").write_text("".join(f"{r.split(', minutes')[0]}}}\n" for r in text.splitlines()))
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-09")
    assert code == 0
    assert "No row of the log tells minutes" in out
    assert "4 rows without minutes" in out
    assert "As planned the must-work needs" in out


def test_a_broken_log_is_told_with_its_line(yard, capsys):
    with (yard / "winter.log.yaml").open("a", encoding="utf-8") as stream:
        stream.write("- {date: 2026-10-09, who: [Ottilie], lot: feeders, step: oil, pieces: many}\n")
    code, _, err = said(capsys, yard / "winter.plan.yaml")
    assert code == 2
    assert "winter.log.yaml:5:" in err


def test_hours_enough_are_not_enough_where_the_weather_is_not_fit(yard, capsys):
    outdoors = SCENARIO.replace("oil: {minutes_each: 2}", "oil: {minutes_each: 2, weather: dry}")
    windows = "weather: {windows: {dry: {2026-10-12: 09:00-12:00}}}\n"
    (yard / "winter.yaml").write_text(outdoors + windows, encoding="utf-8")
    _, out, _ = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-09")
    assert (
        "there are 11.7 h to spare; but it will not fit otherwise: Weather for dry: 8.0 h of must-work for 3.0 h" in out
    )


def test_boxes_that_take_longer_than_others_are_told_and_one_number_is_offered(yard, capsys):
    scenario = SCENARIO + "  smokers: {piece: smoker, kind: tools, count: 40, steps: [scrape]}\n"
    (yard / "winter.yaml").write_text(scenario, encoding="utf-8")
    log(yard, 80, 90, 90, 90)
    rows = [ROW.format(n=f"s{n}", day=5 + n, m=40).replace("feeders", "smokers") for n in range(3)]
    with (yard / "winter.log.yaml").open("a", encoding="utf-8") as stream:
        stream.write("".join(rows))
    _, out, _ = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-09")
    assert "'scrape' takes another time by lot: smokers 4 (3 rows) and feeders 9 (4 rows). In the scenario one" in out
    assert "To plan with these minutes (scrape) from now on:" in out
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == scenario


def test_rows_of_days_to_come_are_not_counted_and_the_clock_is_asked_about(yard, capsys):
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-06")
    assert code == 0
    assert "2 rows of the log for days after Tue 6 Oct 2026, the last for Thu 8 Oct 2026: not counted here" in out
    assert "scrape 6 8.5 8.2-8.8 2 rows too few to say" in out
    assert "days after" not in said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-08")[1]


def test_what_is_no_older_scenario_is_not_pushed_out_by_the_one_that_is_kept(yard, capsys):
    (yard / "winter.yaml.before").write_text("keeper's own notes", encoding="utf-8")
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    assert code == 2
    assert "that is a file that is not a scenario of offseason; put that elsewhere first" in err
    assert (yard / "winter.yaml.before").read_text(encoding="utf-8") == "keeper's own notes"
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == SCENARIO


def test_a_plan_from_somebody_else_has_no_minutes_written_into_a_scenario_in_another_folder(yard, capsys):
    (yard / "sent").mkdir()
    text = PLAN.format(digest="0" * 64).replace("scenario: winter.yaml", "scenario: ../winter.yaml")
    (yard / "sent" / "winter.plan.yaml").write_text(text, encoding="utf-8")
    (yard / "winter.log.yaml").rename(yard / "sent" / "winter.log.yaml")
    words = (yard / "sent" / "winter.plan.yaml", "--use", "--today", "2026-10-09")
    code, _, err = said(capsys, *words)
    assert code == 2
    assert "is in another folder than the plan, so it was left as it is; name it with --scenario" in err
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == SCENARIO
    assert said(capsys, *words, "--scenario", yard / "winter.yaml")[0] == 0
    assert (yard / "winter.yaml").read_text(encoding="utf-8") != SCENARIO


def test_a_log_that_was_named_and_is_not_there_is_told_as_that(yard, capsys):
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--log", yard / "other.log.yaml")
    assert code == 2
    assert err == f"{yard / 'other.log.yaml'}: there is no log of this name."


def test_a_log_in_which_nothing_stands_yet_has_no_rows(yard, capsys):
    (yard / "winter.log.yaml").write_text("# what was done this winter\n", encoding="utf-8")
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--today", "2026-10-09")
    assert code == 0
    assert out.startswith(f"{yard / 'winter.log.yaml'}: no rows yet.")
    assert "As planned the must-work needs" in out


def test_the_offer_names_the_scenario_and_the_log_that_were_named(yard, capsys):
    scenario, rows = yard / "as it is now.yaml", yard / "told.log.yaml"
    scenario.write_text(SCENARIO, encoding="utf-8")
    (yard / "winter.log.yaml").rename(rows)
    plan = yard / "winter.plan.yaml"
    words = (plan, "--scenario", scenario, "--log", rows)
    _, out, _ = said(capsys, *words, "--today", "2026-10-09")
    assert out.endswith(f"offseason pace {plan} --use --scenario {for_shell(scenario)} --log {rows}")
    assert said(capsys, *words, "--use", "--today", "2026-10-09")[0] == 0
    assert "minutes_each: 8.5" in scenario.read_text(encoding="utf-8")
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == SCENARIO


def test_minutes_that_another_command_wrote_meanwhile_are_not_written_again_over_the_old_file(
    yard, capsys, monkeypatch
):
    likelihood = pace_command.likelihood
    words = (yard / "winter.plan.yaml", "--use", "--today", "2026-10-09")

    def meanwhile(*asked):
        monkeypatch.setattr(pace_command, "likelihood", likelihood)
        assert main(["pace", *map(str, words)]) == 0
        return likelihood(*asked)

    monkeypatch.setattr(pace_command, "likelihood", meanwhile)
    code, out, _ = said(capsys, *words)
    assert code == 0
    assert out.count(f"As it was before it is kept in {yard / 'winter.yaml.before'}.") == 2
    assert "minutes_each: 8.5" in (yard / "winter.yaml").read_text(encoding="utf-8")
    assert (yard / "winter.yaml.before").read_text(encoding="utf-8") == SCENARIO
