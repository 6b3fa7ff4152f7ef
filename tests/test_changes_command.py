"""The command ``offseason changes`` from its words to what it prints."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date, timedelta

import pytest

from offseason.cli import main
from offseason.plan.document import LeftOver
from offseason.plan.file import read_plan, write_plan

WINTER = """\
season: {name: Winter at Quillet Yard, from: 2026-10-05, until: 2026-10-31}
crew:
  Ines: {works: {mon: 09:00-12:00, wed: 09:00-12:00}}
  Tomas: {works: {sat: 09:00-12:00}}
places: {bench: {seats: 1}}
tasks: {scrape: {minutes_each: 6, at: bench}}
gear: {boxes: {piece: langstroth deep box, count: 20, steps: [scrape]}}
"""


@pytest.fixture
def yard(tmp_path):
    """A scenario, its plan, a copy in which Ines is away on the first day, and the plan of that."""
    for name, text in (
        ("winter", WINTER),
        ("away", WINTER.replace("{works: {mon", "{away: [2026-10-05], works: {mon")),
    ):
        (tmp_path / f"{name}.yaml").write_text(text, "utf-8")
        assert main(["plan", str(tmp_path / f"{name}.yaml"), "--seconds", "3", "--workers", "1", "--quiet"]) == 0
    return tmp_path


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main(["changes", *map(str, words)])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


def test_who_is_told_what_and_why(yard, capsys):
    code, out, _ = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert code == 0
    assert "1 of 1 entry changes: 1 moved" in out
    assert "Mon 5 Oct 2026: not called (was 09:00-11:00)" in out
    assert "scrape: 20 boxes moved to Wed 7 Oct: Ines is away (Mon 5 Oct)" in out


def test_a_copy_of_a_plan_changes_nothing(yard, capsys):
    shutil.copy(yard / "winter.plan.yaml", yard / "copy.plan.yaml")
    assert said(capsys, yard / "winter.plan.yaml", yard / "copy.plan.yaml") == (0, "Nothing changes.", "")


def test_the_same_file_twice_is_told(yard, capsys):
    code, _, err = said(capsys, yard / "winter.plan.yaml", yard / "." / "winter.plan.yaml")
    assert code == 2
    assert "is written twice" in err


def test_one_plan_alone_is_compared_with_the_one_kept_beside_it(yard, capsys):
    code, _, err = said(capsys, yard / "winter.plan.yaml")
    assert (code, "no plan was kept" in err) == (2, True)
    shutil.copy(yard / "winter.plan.yaml", yard / "away.plan.yaml.before")
    assert "1 of 1 entry changes" in said(capsys, yard / "away.plan.yaml")[1]


def test_plans_of_two_scenarios_are_told_at_the_top(yard, capsys):
    _, out, _ = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert out.startswith("These are plans of two different scenarios: ")
    assert f"winter.plan.yaml is of {yard}/winter.yaml, {yard}/away.plan.yaml of {yard}/away.yaml." in out


def test_plans_of_one_scenario_that_was_edited_or_kept_in_another_folder_are_not_told_as_two(yard, capsys):
    shutil.copy(yard / "winter.plan.yaml", yard / "first.plan.yaml")
    (yard / "kept").mkdir()
    shutil.copy(yard / "winter.plan.yaml", yard / "kept" / "first.plan.yaml")
    shutil.copy(yard / "away.yaml", yard / "winter.yaml")
    assert main(["plan", str(yard / "winter.yaml"), "--seconds", "3", "--workers", "1", "--quiet"]) == 0
    for old in (yard / "first.plan.yaml", yard / "kept" / "first.plan.yaml"):
        _, out, _ = said(capsys, old, yard / "winter.plan.yaml")
        assert out.startswith("1 of 1 entry changes: 1 moved")


def test_a_scenario_in_the_place_of_a_plan_is_told_in_one_sentence(yard, capsys):
    code, out, err = said(capsys, yard / "winter.yaml", yard / "away.plan.yaml")
    assert (code, out) == (2, "")
    assert "this looks like a scenario, not a plan; `offseason plan` makes a plan from it" in err
    assert err.count("winter.yaml") == 1


def test_a_plan_cut_in_half_is_told_with_its_file(yard, capsys):
    whole = (yard / "away.plan.yaml").read_text("utf-8")
    (yard / "away.plan.yaml").write_text(whole[: len(whole) * 2 // 3], "utf-8")
    code, out, err = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert (code, out) == (2, "")
    assert "away.plan.yaml: the file is not whole" in err
    assert "take the copy whose name ends in .before, if there is one, or plan again" in err


def test_plans_of_two_winters_are_not_compared(yard, capsys):
    text = (yard / "away.plan.yaml").read_text("utf-8")
    (yard / "away.plan.yaml").write_text(text.replace("lot: boxes", "lot: lids"), "utf-8")
    code, _, err = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert (code, "plans of two different winters" in err) == (2, True)


def test_an_edited_scenario_is_told_and_gives_the_reasons_as_it_is_now(yard, capsys):
    now = WINTER.replace("{works: {mon", "{away: [2026-10-05..2026-10-06], works: {mon")
    (yard / "away.yaml").write_text(now, "utf-8")
    _, out, _ = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert "away.yaml has changed since" in out
    assert "Ines is away (Mon 5 Oct to Tue 6 Oct)" in out


def test_without_the_scenario_the_changes_are_told_and_that_reasons_are_missing(yard, capsys):
    (yard / "away.yaml").unlink()
    code, out, _ = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert code == 0
    assert "Without the scenario most reasons cannot be told." in out
    assert "moved to Wed 7 Oct: no reason was found" in out


def test_a_log_that_cannot_be_read_only_takes_its_reasons_away(yard, capsys):
    (yard / "away.log.yaml").write_text("this is no log\n", "utf-8")
    code, out, _ = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert (code, "The log is left out of the reasons." in out) == (0, True)
    assert "moved to Wed 7 Oct" in out


def test_plans_the_wrong_way_round_are_remarked(yard, capsys):
    text = (yard / "winter.plan.yaml").read_text("utf-8")
    (yard / "winter.plan.yaml").write_text(text.replace("proven:", 'since: "2026-10-05 00:00"\nproven:', 1), "utf-8")
    _, out, _ = said(capsys, yard / "winter.plan.yaml", yard / "away.plan.yaml")
    assert "The first plan was planned anew later than the second" in out


def test_one_person_and_some_days_can_be_picked_and_a_wrong_name_gets_the_nearest(yard, capsys):
    plans = yard / "winter.plan.yaml", yard / "away.plan.yaml"
    assert (
        "Nothing changes from Thu 8 Oct 2026 for Ines."
        in said(capsys, *plans, "--who", "Ines", "--from", "2026-10-08")[1]
    )
    code, _, err = said(capsys, *plans, "--who", "Inez")
    assert (code, err) == (2, "nobody in these plans is called Inez; did you mean 'Ines'?")
    code, _, err = said(capsys, *plans, "--from", "2026-10-09", "--until", "2026-10-08")
    assert (code, "no day is both" in err) == (2, True)


def test_a_helper_renamed_in_the_scenario_is_told_once_and_not_as_changed_days(yard, capsys):
    renamed = (yard / "winter.yaml").read_text(encoding="utf-8").replace("  Ines:", "  Inez:")
    (yard / "winter.yaml").write_text(renamed, encoding="utf-8")
    old = read_plan(yard / "winter.plan.yaml")
    rows = tuple(replace(row, who=tuple(name.replace("Ines", "Inez") for name in row.who)) for row in old.rows)
    write_plan(yard / "new.plan.yaml", replace(old, rows=rows))
    code, told, _ = said(capsys, yard / "winter.plan.yaml", yard / "new.plan.yaml")
    assert code == 0
    assert "Ines is no longer in the scenario and Inez is new there" in told
    assert "Nothing changes." in told


def test_a_renamed_helper_is_found_by_the_old_name_and_by_the_new(yard, capsys):
    renamed = (yard / "winter.yaml").read_text(encoding="utf-8").replace("  Ines:", "  Inez:")
    (yard / "winter.yaml").write_text(renamed, encoding="utf-8")
    old = read_plan(yard / "winter.plan.yaml")
    rows = tuple(replace(row, who=("Inez",), day=date(2026, 10, 7)) for row in old.rows)
    write_plan(yard / "new.plan.yaml", replace(old, rows=rows))
    for who in ("Ines", "Inez"):
        code, told, _ = said(capsys, yard / "winter.plan.yaml", yard / "new.plan.yaml", "--who", who)
        assert code == 0
        assert "scrape: 20 boxes moved to Wed 7 Oct" in told


def test_what_a_new_plan_has_to_leave_is_told_first(yard, capsys):
    old = read_plan(yard / "winter.plan.yaml")
    left = (LeftOver("boxes", "scrape", 12, "undone"),)
    write_plan(yard / "new.plan.yaml", replace(old, left=left))
    _, told, _ = said(capsys, yard / "winter.plan.yaml", yard / "new.plan.yaml")
    assert "Now does not fit: scrape of boxes: 12 are left undone" in told


def test_an_older_plan_named_second_is_told(yard, capsys):
    plan = read_plan(yard / "winter.plan.yaml")
    later = replace(plan, made=plan.made + timedelta(hours=1), rows=tuple(replace(r, line=None) for r in plan.rows))
    write_plan(yard / "later.plan.yaml", later)
    wrong = "The first plan was made after the second: perhaps they are the wrong way round."
    assert said(capsys, yard / "later.plan.yaml", yard / "winter.plan.yaml") == (0, f"{wrong} Nothing changes.", "")
    assert said(capsys, yard / "winter.plan.yaml", yard / "later.plan.yaml") == (0, "Nothing changes.", "")
