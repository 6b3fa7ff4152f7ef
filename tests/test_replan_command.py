"""``offseason replan``: nothing is lost, nothing is shuffled without need, and what goes wrong is said plainly."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from random import Random

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from offseason.cli import main
from offseason.commands.replan import plan_anew
from offseason.plan.audit import audit
from offseason.plan.file import read_plan, write_plan
from offseason.plan.progress.append import append
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.log import log_beside, read_log
from offseason.plan.progress.standing import followed, kept
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import CANNOT_BE_DONE, DONE, FILE_WRONG
from offseason.solver import solve
from offseason.workload.build import build_workload
from tests.begun import (
    DAY,
    FIRST,
    LAST,
    SMALL,
    as_logged,
    as_plan,
    begun,
    first_plan,
    happens,
    morning,
    read,
    rows_before,
    small,
)
from tests.shipped_plans import shipped
from tests.solver.drawn import FIRST as FIRST_DRAWN
from tests.solver.drawn import winters

steady = {
    "derandomize": True,
    "database": None,
    "deadline": None,
    "phases": [Phase.generate],
    "suppress_health_check": list(HealthCheck),
}


@pytest.fixture(scope="module")
def small_plan():
    return first_plan(read(small()))


@pytest.fixture
def yard(tmp_path, small_plan):
    """The small winter as files: a scenario and the plan beside it."""
    (tmp_path / "winter.yaml").write_text(SMALL, encoding="utf-8")
    write_plan(tmp_path / "winter.plan.yaml", small_plan)
    return tmp_path


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main([str(word) for word in words])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


def replanned(capsys, folder, day: date, *words: object) -> tuple[int, str, str]:
    asked = ("--seconds", "2", "--workers", "1", "--quiet", *words)
    return said(capsys, "replan", folder / "winter.plan.yaml", "--today", day, *asked)


def edited(folder, old: str, new: str) -> None:
    text = (folder / "winter.yaml").read_text(encoding="utf-8")
    assert old in text
    (folder / "winter.yaml").write_text(text.replace(old, new), encoding="utf-8")


def planned_rows(plan):
    return [replace(row, line=None) for row in plan.rows if not row.done]


# what was there before


def test_what_is_known_as_done_is_not_planned_over_from_the_start(yard, capsys):
    plan = yard / "winter.plan.yaml"
    assert replanned(capsys, yard, FIRST + DAY)[0] == DONE
    was = plan.read_bytes()
    code, _, told = said(capsys, "plan", yard / "winter.yaml", "--seconds", "1", "--quiet")
    assert code == FILE_WRONG
    assert "has begun" in told
    assert f"`offseason replan {plan}`" in told
    assert plan.read_bytes() == was
    assert said(capsys, "plan", yard / "winter.yaml", "--to", yard / "anew.plan.yaml", "--seconds", "1")[0] == DONE
    edited(yard, "2026", "2046")
    assert said(capsys, "plan", yard / "winter.yaml", "--seconds", "1", "--quiet")[0] == DONE  # that was another winter
    assert plan.with_name("winter.plan.yaml.before").read_bytes() == was


def test_a_log_that_is_named_and_not_there_is_not_taken_for_one_in_which_nothing_stands(yard, capsys):
    was = (yard / "winter.plan.yaml").read_bytes()
    code, _, told = replanned(capsys, yard, FIRST + 3 * DAY, "--log", yard / "winterr.log.yaml")
    assert (code, (yard / "winter.plan.yaml").read_bytes()) == (FILE_WRONG, was)
    assert "there is no log of this name" in told


def test_a_plan_saved_in_other_letters_by_an_editor_is_planned_anew(yard, capsys):
    plan = yard / "winter.plan.yaml"
    plan.write_bytes(plan.read_text("utf-8").encode("utf-16"))
    was = plan.read_bytes()
    assert replanned(capsys, yard, FIRST + DAY)[0] == DONE
    assert plan.with_name("winter.plan.yaml.before").read_bytes() == was


def test_what_a_keeper_wrote_into_the_plan_by_hand_is_kept_also_where_nothing_changes(yard, capsys):
    plan = yard / "winter.plan.yaml"
    assert replanned(capsys, yard, FIRST + DAY)[0] == DONE
    assert not plan.with_name("winter.plan.yaml.before").exists()
    noted = plan.read_text(encoding="utf-8") + "# Maren brings the torch on Saturday\n"
    plan.write_text(noted, encoding="utf-8")
    assert replanned(capsys, yard, FIRST + DAY)[0] == DONE
    assert plan.with_name("winter.plan.yaml.before").read_text(encoding="utf-8") == noted


def test_a_log_of_last_winter_under_the_same_name_makes_nothing_done_in_this_one(yard, capsys, small_plan):
    row = small_plan.rows[0]
    (logged,) = as_logged([row])
    last_year = replace(logged, day=row.day - 365 * DAY)
    append(log_beside(yard / "winter.plan.yaml"), [last_year])
    code, out, _ = replanned(capsys, yard, FIRST)
    assert code == DONE
    assert "The log has 1 entry for days before this winter" in out
    assert "Where it is the log of another winter, move it away." in out
    assert not any(one.done for one in read_plan(yard / "winter.plan.yaml").rows)


# nothing changed


@pytest.mark.parametrize("days", range(0, 35, 3))
def test_planning_anew_with_nothing_changed_changes_nothing_on_any_day(small_plan, days):
    now = morning(FIRST + days * DAY)
    anew = plan_anew(read(small()), None, small_plan, followed(small_plan, now), now, seconds=1, workers=1)
    assert anew.schedule is None
    assert planned_rows(anew.plan) == [row for row in small_plan.rows if morning(row.day) >= now]


@pytest.mark.slow
def test_planning_anew_with_nothing_changed_changes_nothing_in_whatever_winter():
    seen = []

    @settings(max_examples=16, **steady)
    @given(winters(), st.integers(0, 9), st.integers(0, 23))
    def each(scenario, days, hour):
        assume(scenario is not None)
        workload = build_workload(scenario)
        made = solve(workload, seconds=1, workers=1)
        assume(not made.left_undone)
        plan = as_plan(workload, made)
        now = datetime.combine(FIRST_DRAWN + min(days, (scenario.season.until - FIRST_DRAWN).days) * DAY, time(hour))
        under_way = [r for r in plan.rows if r.day == now.date() and r.start.replace(fold=0) < now.time() < r.end]
        assume(not under_way)
        anew = plan_anew(scenario, None, plan, followed(plan, now), now, seconds=1, workers=1)
        assert anew.schedule is None
        ahead = [r for r in plan.rows if datetime.combine(r.day, r.start.replace(fold=0)) >= now]
        assert planned_rows(anew.plan) == ahead
        seen.append(len(ahead))

    each()
    assert sum(map(bool, seen)) > 5


@pytest.mark.slow
@pytest.mark.parametrize("name", ["hobby", "sideline", "commercial"])
def test_planning_a_shipped_scenario_anew_with_nothing_changed_changes_nothing_on_any_day(name):
    winter = shipped(name)
    scenario, outlook, plan, season = winter.scenario, winter.outlook, winter.plan, winter.scenario.season
    for days in range(0, (season.until - season.from_).days + 1, 24):
        now = morning(season.from_ + timedelta(days=days))
        anew = plan_anew(scenario, outlook, plan, followed(plan, now), now, seconds=1)
        assert anew.schedule is None, now
        assert planned_rows(anew.plan) == [row for row in plan.rows if morning(row.day) >= now], now


def test_through_the_command_too_nothing_changes_and_it_says_so(yard, capsys):
    before = read_plan(yard / "winter.plan.yaml")
    code, out, err = replanned(capsys, yard, FIRST + 7 * DAY)
    assert code == DONE, err
    assert "Nothing changes" in out
    after = read_plan(yard / "winter.plan.yaml")
    assert planned_rows(after) == planned_rows(
        replace(before, rows=tuple(r for r in before.rows if r.day > FIRST + 6 * DAY))
    )
    assert after.since == morning(FIRST + 7 * DAY)


def test_planning_anew_twice_is_as_once(yard, capsys):
    edited(yard, "cannot: [paint]", f"cannot: [paint]\n    away: [{FIRST + 7 * DAY}]")
    assert replanned(capsys, yard, FIRST + 3 * DAY)[0] == DONE
    once = read_plan(yard / "winter.plan.yaml")
    code, out, _ = replanned(capsys, yard, FIRST + 3 * DAY)
    assert code == DONE
    assert "Nothing changes" in out
    assert read_plan(yard / "winter.plan.yaml").rows == once.rows


def test_what_was_done_before_an_earlier_replan_is_still_done_in_the_next_where_there_is_no_log(yard, capsys):
    edited(yard, "cannot: [paint]", f"cannot: [paint]\n    away: [{FIRST + 14 * DAY}]")
    for days in (3, 9, 12):
        code, out, err = replanned(capsys, yard, FIRST + days * DAY)
        assert code == DONE, err
        assert "There is no log" in out
    plan = read_plan(yard / "winter.plan.yaml")
    assert not audit(read_scenario(yard / "winter.yaml"), plan)
    assert any(row.done and row.day < FIRST + 3 * DAY for row in plan.rows)
    assert any(row.done and row.day > FIRST + 3 * DAY for row in plan.rows)


# what happens


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_whatever_happens_every_promise_is_kept_or_what_does_not_fit_is_named(small_plan, seed):
    under_way, random = begun(plan=small_plan), Random(seed)
    for _ in range(20):
        happens(under_way, random)
        anew = under_way.replan(seconds=1)
        assert not anew.faults, (under_way.told, [fault.text for fault in anew.faults])
        assert not audit(read(under_way.data), anew.plan), under_way.told
        again = under_way.replan(seconds=1)
        assert again.schedule is None, under_way.told
        assert again.plan.rows == anew.plan.rows, under_way.told


def test_more_was_logged_than_there_is_only_what_there_is_counts_and_it_is_said(small_plan):
    entries = [Entry("a", FIRST, ("Ines",), "combs", "freeze", 20), Entry("b", FIRST, ("Ines",), "frames", "wire", 44)]
    anew = plan_anew(read(small()), None, small_plan, entries, morning(FIRST + 3 * DAY), seconds=2, workers=1)
    assert not anew.faults
    assert sum(row.pieces for row in anew.plan.rows if row.step == "wire") == 30
    assert any("The log has 44 of 'wire' of frames" in sentence for sentence in anew.said)


@pytest.mark.slow
def test_sealed_and_never_frozen_is_not_believed_and_is_planned_again(small_plan):
    entries = [Entry("a", FIRST, ("Ines",), "combs", "seal", 20)]
    anew = plan_anew(read(small()), None, small_plan, entries, morning(FIRST + 3 * DAY), seconds=2, workers=1)
    assert not anew.faults
    assert sum(row.pieces for row in anew.plan.rows if row.step == "seal") == 50
    assert any("'seal' of combs" in sentence for sentence in anew.said)


def test_a_freezer_that_fails_puts_its_load_at_risk_again_and_it_is_made_safe_in_time(small_plan):
    now = morning(FIRST + 5 * DAY)
    done = as_logged(rows_before(small_plan, now))
    inside = sum(e.pieces * ((e.step == "freeze") - (e.step == "seal")) for e in done if e.lot == "combs")
    frozen = sum(e.pieces for e in done if e.step == "freeze")
    assert inside > 0
    lost = Entry("lost", now.date() - DAY, ("Ines",), "combs", "freeze", -inside, time(20))
    anew = plan_anew(read(small()), None, small_plan, kept((*done, lost)), now, seconds=2, workers=1)
    assert not anew.faults
    rows = [row for row in anew.plan.rows if row.step == "freeze"]
    assert sum(row.pieces for row in rows if row.done) == frozen - inside
    assert sum(row.pieces for row in rows) == 50


# messages


def test_a_plan_cut_in_half_is_told_and_left_alone(yard, capsys):
    path = yard / "winter.plan.yaml"
    content = path.read_bytes()
    path.write_bytes(content[: len(content) // 2])
    code, _, err = replanned(capsys, yard, FIRST + 7 * DAY)
    assert code == FILE_WRONG
    assert "the file is not whole, its last line" in " ".join(err.split())
    assert path.read_bytes() == content[: len(content) // 2]


def test_a_plan_of_a_scenario_that_was_edited_since_is_planned_anew_and_the_old_one_is_kept(yard, capsys):
    before = (yard / "winter.plan.yaml").read_bytes()
    edited(yard, "count: 12", "count: 14")
    code, out, err = replanned(capsys, yard, FIRST + 3 * DAY)
    assert code == DONE, err
    plan = read_plan(yard / "winter.plan.yaml")
    assert sum(row.pieces for row in plan.rows if (row.lot, row.step) == ("boxes", "paint")) == 14
    kept_plan = re.search(r"kept in (\S+)\.$", err) or re.search(r"kept in (\S+)\.", out + err)
    assert kept_plan
    assert any(path.read_bytes() == before for path in yard.iterdir() if path.name != "winter.plan.yaml")


def test_a_log_in_the_wrong_order_counts_whole_and_nothing_of_it_is_lost(yard, small_plan, capsys):
    now = morning(FIRST + 8 * DAY)
    entries = as_logged(rows_before(small_plan, now))
    log = log_beside(yard / "winter.plan.yaml")
    append(log, entries[::-1])
    text = log.read_bytes()
    code, out, err = replanned(capsys, yard, now.date())
    assert code == DONE, err
    assert "Nothing changes" in out
    assert log.read_bytes() == text
    done = [row for row in read_plan(yard / "winter.plan.yaml").rows if row.done]
    assert sum(row.pieces for row in done) == sum(entry.pieces for entry in entries)


def test_a_clock_set_back_finds_entries_of_days_to_come_and_says_so_and_keeps_them(yard, small_plan, capsys):
    entries = as_logged(rows_before(small_plan, morning(FIRST + 15 * DAY)))
    log = log_beside(yard / "winter.plan.yaml")
    append(log, entries)
    code, out, err = replanned(capsys, yard, FIRST + 8 * DAY)
    assert code == DONE, err
    later = [entry for entry in entries if entry.day > FIRST + 8 * DAY]
    number = "1 entry" if len(later) == 1 else f"{len(later)} entries"
    assert later
    assert f"The log has {number} for days after" in out
    assert "Is the clock of this computer right?" in out
    assert len(read_log(log).entries) == len(entries)


def test_a_scenario_that_is_gone_is_asked_for_by_name(yard, capsys):
    (yard / "winter.yaml").rename(yard / "moved.yaml")
    code, out, err = replanned(capsys, yard, FIRST + 7 * DAY)
    assert (code, out) == (FILE_WRONG, "")
    assert err.endswith("winter.yaml: the scenario of this plan is not there; name it with --scenario")


def test_a_plan_is_never_written_over_its_scenario(yard, capsys):
    code, _, err = replanned(capsys, yard, FIRST + 7 * DAY, "--to", yard / "winter.yaml")
    assert code == FILE_WRONG
    assert "is the scenario itself" in err
    assert (yard / "winter.yaml").read_text(encoding="utf-8") == SMALL


def test_a_day_out_of_the_winter_is_told(yard, capsys):
    code, _, err = replanned(capsys, yard, LAST + 9 * DAY)
    assert code == FILE_WRONG
    assert "is not in this winter" in err


@pytest.mark.slow
def test_a_rest_that_cannot_be_done_is_planned_but_for_what_is_left_and_that_is_named(yard, capsys):
    before = (yard / "winter.plan.yaml").read_bytes()
    edited(yard, "count: 50", "count: 350")
    code, out, err = replanned(capsys, yard, FIRST + 20 * DAY)
    assert code == CANNOT_BE_DONE
    assert "combs of 350 open to moths" in " ".join(err.split())
    assert "it leaves what is named below" in " ".join(out.split())
    assert (yard / "winter.plan.yaml.before").read_bytes() == before
    plan = read_plan(yard / "winter.plan.yaml")
    assert "open" in {one.how for one in plan.left}
    assert not audit(read_scenario(yard / "winter.yaml"), plan)


def test_help_says_what_the_command_is_for(capsys):
    assert main(["replan", "--help"]) == DONE
    out = " ".join(capsys.readouterr().out.split())
    assert "moving as little as can be" in out
    assert "--settle" in out
    assert "promised" in out


# what was logged today, what came before the log, and what was missed


def logged(folder, *entries: Entry) -> None:
    append(log_beside(folder / "winter.plan.yaml"), list(entries))


def test_work_logged_for_today_is_done_when_it_was_done_and_the_plan_can_be_read_back(yard, small_plan, capsys):
    today = FIRST + 2 * DAY
    logged(yard, *as_logged(rows_before(small_plan, morning(today))))
    sealed = next(row for row in small_plan.rows if row.day == today and row.step == "seal")
    logged(yard, Entry("today", today, sealed.who, sealed.lot, "seal", sealed.pieces, time(9, 20)))
    code, _, err = replanned(capsys, yard, today)
    assert code == DONE, err
    again = read_plan(yard / "winter.plan.yaml")
    assert again.since == datetime.combine(today, time(9, 20))
    assert [row.end for row in again.rows if row.done and row.day == today] == [time(9, 20)]
    assert said(capsys, "audit", yard / "winter.plan.yaml")[0] == DONE


def test_a_day_before_the_plan_was_made_anew_is_not_planned_from_again(yard, capsys):
    assert replanned(capsys, yard, FIRST + 7 * DAY)[0] == DONE
    code, _, err = replanned(capsys, yard, FIRST + 2 * DAY)
    assert code == FILE_WRONG
    assert "planned anew from Sat 24 Oct 2026 00:00 on, and --today lies before that" in err


def test_what_was_planned_before_the_first_day_of_a_log_is_taken_as_done_and_it_is_said(yard, small_plan, capsys):
    day = FIRST + 4 * DAY
    row = next(row for row in small_plan.rows if row.day == day)
    logged(yard, Entry("first", day, row.who, row.lot, row.step, row.pieces, row.end))
    code, out, err = replanned(capsys, yard, FIRST + 5 * DAY)
    assert code == DONE, err
    assert "Before Wed 21 Oct 2026, the first day of the log, all that was planned is taken as done." in out


def test_optional_work_that_was_missed_is_caught_up_with_where_there_is_time(yard, small_plan, capsys):
    day = FIRST + 1 * DAY
    done = [row for row in rows_before(small_plan, morning(day)) if row.step != "wire"]
    logged(yard, *as_logged(done))
    code, _, err = replanned(capsys, yard, day)
    assert code == DONE, err
    plan = read_plan(yard / "winter.plan.yaml")
    assert sum(row.pieces for row in plan.rows if row.step == "wire") == 30


@pytest.mark.parametrize("ids", [("a", "b"), ("b", "a")])
def test_a_load_that_is_frozen_and_lost_on_one_day_is_lost_whatever_its_rows_are_called(ids):
    frozen, lost = (Entry(name, FIRST, ("Ines",), "combs", "freeze", n) for name, n in zip(ids, (20, -20), strict=True))
    assert kept([frozen, lost]) == ()


def test_a_settled_day_that_had_to_change_all_the_same_is_named(yard, capsys):
    ill = FIRST + 7 * DAY
    edited(yard, "cannot: [paint]", f"cannot: [paint]\n    away: [{ill}]")
    edited(yard, "wed: 09:00-12:00, sat: [09:00-12:00, 13:00-15:00]", "wed: 09:00-12:00, sat: 13:00-15:00")
    code, out, err = replanned(capsys, yard, FIRST + 6 * DAY, "--settle", FIRST + 10 * DAY)
    assert code == DONE, err
    assert "are settled, and these had to change all the same: Sat 24 Oct 2026" in out


def test_of_settled_days_on_which_nothing_changes_nothing_is_said(yard, capsys):
    code, out, _ = replanned(capsys, yard, FIRST + 6 * DAY, "--settle", FIRST + 10 * DAY)
    assert code == DONE
    assert "Nothing changes" in out
    assert "had to change all the same" not in out


def test_planning_anew_twice_keeps_the_plan_from_before_the_change(yard, capsys):
    edited(yard, "cannot: [paint]", f"cannot: [paint]\n    away: [{FIRST + 7 * DAY}]")
    before = read_plan(yard / "winter.plan.yaml")
    assert replanned(capsys, yard, FIRST + 6 * DAY)[0] == DONE
    assert replanned(capsys, yard, FIRST + 6 * DAY)[0] == DONE
    assert planned_rows(read_plan(yard / "winter.plan.yaml.before")) == planned_rows(before)
