"""The command ``offseason spare`` from its words to what it prints."""

from __future__ import annotations

import pytest

from offseason.cli import main

SCENARIO = """\
season: {name: Winter at Fennel End, from: 2026-10-05, until: 2026-10-16}
moths: {season_starts: 2026-10-15, season_ends: 2026-09-30}
crew:
  Ines: {works: {mon-fri: 09:00-11:00}}
places:
  bench: {seats: 1}
  freezer: {holds: 20 combs, celsius: -18}
  comb room: {holds: 100 combs, celsius: 20}
tasks:
  scrape: {minutes_each: 60, at: bench}
  oil: {minutes_each: 10, importance: should}
  freeze: {minutes_each: 1, kills: true, then: {wait: 20 h, in: freezer}}
  seal: {minutes_each: 1, needs: [freeze], seals: true, then: {in: comb room}}
gear:
  boxes: {piece: langstroth deep box, count: 6, steps: [scrape, oil]}
  combs: {piece: medium comb, count: 20, comb: dry, rests: comb room, steps: [freeze, seal]}
jobs:
  mend the roof: {hours: 1, by: 2026-10-09}
rounds:
  look over comb: {every: 7 d, minutes: 10, looks_at: comb room}
"""


@pytest.fixture
def yard(tmp_path):
    """A scenario and its plan."""
    return planned(tmp_path, SCENARIO)


def planned(folder, text):
    (folder / "winter.yaml").write_text(text, encoding="utf-8")
    main(["plan", str(folder / "winter.yaml"), "--quiet", "--seconds", "5"])
    return folder


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main(["spare", *map(str, words)])
    out, err = capsys.readouterr()
    return code, out, err


def words(text: str) -> str:
    return " ".join(text.split())


def test_it_tells_how_late_each_step_can_begin_and_what_is_fullest_and_what_one_more_is_worth(yard, capsys):
    code, out, err = said(capsys, yard / "winter.plan.yaml", "--quiet")
    assert (code, err) == (0, "")
    assert max(map(len, out.splitlines())) <= 80
    # six hours at two a day fill the last three days; the combs have to be safe by the evening of the day before the
    # moths fly, and sealed by the last day; the roof is done by the first Friday
    assert "boxes scrape Mon 5 Oct Wed 14 Oct 9" in words(out)
    assert "mend the roof" in out
    roof = next(line for line in out.splitlines() if line.startswith("mend the roof"))
    assert "Fri 9 Oct" in roof
    assert "oil" not in out.split("When is the comb")[0]  # it should be done, and need not
    assert "look over comb" not in out
    assert "When is the comb safe from moths?" in out
    assert "seat at bench nothing: nobody is ever there with others, and all have a seat" in words(out)
    assert "space in freezer 100 %" in out


def test_one_step_is_asked_about_alone(yard, capsys):
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--quiet", "--lot", "boxes", "--step", "scrape")
    assert code == 0
    assert "Wed 14 Oct" in out
    assert "mend the roof" not in out
    assert "What is one more worth?" not in out
    assert "combs" not in out


def test_a_name_that_nothing_has_is_offered_the_nearest(yard, capsys):
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--lot", "boxs")
    assert code == 2
    assert "nothing that must be done is called 'boxs'; did you mean 'boxes'?" in words(err)
    code, _, err = said(capsys, yard / "winter.plan.yaml", "--lot", "boxes", "--step", "seal")
    assert code == 2
    assert "'seal' is no step of 'boxes'" in words(err)


def test_a_plan_that_leaves_something_has_no_room_to_spare(tmp_path, capsys):
    planned(tmp_path, SCENARIO.replace("count: 6", "count: 60"))
    code, out, err = said(capsys, tmp_path / "winter.plan.yaml", "--quiet")
    assert code == 3
    assert "This plan leaves what does not fit" in out
    assert f"has no room to spare. What is short, and what would mend it: offseason remedies {tmp_path}" in words(err)


def test_a_plan_changed_by_hand_that_breaks_a_promise_is_not_asked_what_it_has_to_spare(yard, capsys):
    plan = yard / "winter.plan.yaml"
    plan.write_text(plan.read_text(encoding="utf-8").replace("pieces: 2", "pieces: 1", 1), encoding="utf-8")
    code, out, err = said(capsys, plan, "--quiet")
    assert code == 4
    assert "breaks" in out
    assert "only told of a plan that keeps every promise" in words(err)


def test_a_scenario_changed_since_is_remarked(yard, capsys):
    scenario = yard / "winter.yaml"
    scenario.write_text(scenario.read_text(encoding="utf-8") + "# a word\n", encoding="utf-8")
    code, out, _ = said(capsys, yard / "winter.plan.yaml", "--quiet", "--step", "scrape")
    assert code == 0
    assert "has changed since this plan was made; the plan is judged as it is now." in words(out)


def test_how_far_it_is_goes_to_the_other_stream(yard, capsys):
    _, _, err = said(capsys, yard / "winter.plan.yaml")
    assert "how late can it begin: scrape, boxes" in err


def test_stopped_with_ctrl_c_it_tells_what_it_knew(yard, capsys, monkeypatch):
    def pressed(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("offseason.remedy.spare_worth.solve", pressed)
    code, out, err = said(capsys, yard / "winter.plan.yaml", "--quiet")
    assert (code, err) == (0, "")
    assert "Stopped early" in out
    assert "Wed 14 Oct" in out
    assert "What is one more worth?" not in out


def test_without_its_scenario_nothing_can_be_told(yard, capsys):
    (yard / "winter.yaml").unlink()
    code, _, err = said(capsys, yard / "winter.plan.yaml")
    assert code == 2
    assert "the scenario of this plan is not there; name it with --scenario" in words(err)
