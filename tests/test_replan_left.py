"""``offseason replan`` of a plan that leaves something: tried again, kept where nothing is won, never hidden."""

from __future__ import annotations

from dataclasses import replace

import pytest

import offseason.commands.replan as command
from offseason.cli import main
from offseason.plan.audit import Broken, audit
from offseason.plan.document import LeftOver, Plan
from offseason.plan.file import read_plan, write_plan
from offseason.plan.progress.standing import followed
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import AUDIT_FAILED, CANNOT_BE_DONE, DONE
from offseason.workload.model import Leaving, Left, Schedule
from tests.begun import DAY, FIRST, SMALL, entries_of_plan, first_plan, morning, read, small

ASKED = ("--seconds", "2", "--workers", "1", "--quiet")
JOB = "press the cappings"
JOB_LEFT = LeftOver(JOB, JOB, 1, "undone")


@pytest.fixture(scope="module")
def small_plan():
    return first_plan(read(small()))


@pytest.fixture
def yard(tmp_path):
    (tmp_path / "winter.yaml").write_text(SMALL, encoding="utf-8")
    return tmp_path


def replanned(capsys, folder, day=FIRST) -> tuple[int, str, str, Plan]:
    capsys.readouterr()
    code = main(["replan", str(folder / "winter.plan.yaml"), "--today", str(day), *ASKED])
    out, err = (" ".join(text.split()) for text in capsys.readouterr())
    plan = read_plan(folder / "winter.plan.yaml")
    assert not audit(read_scenario(folder / "winter.yaml"), plan)
    return code, out, err, plan


def without(plan: Plan, step: str, *left: LeftOver) -> Plan:
    return replace(plan, rows=tuple(row for row in plan.rows if row.step != step), left=left)


def to_come(plan: Plan):
    return [(r.day, r.start, r.end, r.who, r.lot, r.step, r.pieces) for r in plan.rows if not r.done]


def test_what_was_left_and_fits_is_planned_though_nothing_has_changed(yard, small_plan, capsys):
    old = without(small_plan, JOB, JOB_LEFT)
    assert not audit(read(small()), old)
    write_plan(yard / "winter.plan.yaml", old)
    code, out, err, plan = replanned(capsys, yard)
    assert (code, err) == (DONE, "")
    assert plan.left == ()
    assert sum(row.pieces for row in plan.rows if row.step == JOB) == 1
    assert "was left before and fits now" in out
    assert "not in the old plan" not in out
    assert "Was left and no longer is, or not so much of it: press the cappings: 4.0 h of it are not done." in out
    assert "it keeps every promise" in out


@pytest.mark.slow
def test_what_still_does_not_fit_is_said_again_and_nothing_moves_for_it(yard, capsys):
    (yard / "winter.yaml").write_text(SMALL.replace("count: 50", "count: 350"), encoding="utf-8")
    assert main(["plan", str(yard / "winter.yaml"), *ASKED]) == CANNOT_BE_DONE
    *_, first = replanned(capsys, yard)
    assert first.left
    code, out, err, again = replanned(capsys, yard)
    assert (to_come(again), again.left) == (to_come(first), first.left)
    assert code == CANNOT_BE_DONE
    assert "Nothing changes: what is planned from now on keeps every other promise" in out
    assert "it leaves what is named below, and keeps every other promise" in out
    assert "keeps every promise" not in out
    assert "combs are open to moths after their day" in err
    assert "No plan that leaves less was found" in err


def test_a_round_whose_week_is_over_is_not_left_any_more_and_no_reason_to_move_anything(yard, small_plan, capsys):
    rounds = [row for row in small_plan.rows if row.lot == "look over comb"]
    first = min(row.day for row in rounds)
    rows = tuple(row for row in small_plan.rows if not (row.lot == "look over comb" and row.day == first))
    old = replace(small_plan, rows=rows, left=(LeftOver("look over comb", "look over comb", 1, "undone"),))
    assert not audit(read(small()), old)
    write_plan(yard / "winter.plan.yaml", old)
    now = FIRST + 8 * DAY
    code, out, _, plan = replanned(capsys, yard, now)
    assert code == DONE
    assert plan.left == ()
    assert "not so or not so much of it: look over comb: left out once." in out
    assert entries_of_plan(row for row in plan.rows if not row.done) == entries_of_plan(
        row for row in rows if morning(row.day) >= morning(now)
    )


def test_a_plan_is_kept_where_the_new_one_leaves_as_much_or_more(small_plan, monkeypatch):
    scenario, old = read(small()), without(small_plan, JOB, JOB_LEFT)
    now = morning(FIRST)
    found = command.plan_anew(scenario, None, old, followed(old, now), now, seconds=2, workers=1)
    assert found.schedule is not None
    for left, taken in (
        ((LeftOver("combs", "freeze", 1, "open"),), False),
        ((LeftOver("boxes", "put away", 1, "undone"),), False),
        ((), True),
    ):
        monkeypatch.setattr(command, "plan_from", lambda *_, left=left, **__: replace(found.plan, left=left))
        monkeypatch.setattr(command, "audit", lambda *_: ())
        anew = command.plan_anew(scenario, None, old, followed(old, now), now, seconds=1, workers=1)
        assert (anew.schedule is not None) is taken, left
        if not taken:
            assert to_come(anew.plan) == to_come(old)


@pytest.mark.slow
def test_where_no_plan_at_all_is_found_nothing_is_touched_and_it_is_no_fault_of_the_program(
    yard, small_plan, monkeypatch, capsys
):
    write_plan(yard / "winter.plan.yaml", without(small_plan, "put away"))
    before = (yard / "winter.plan.yaml").read_bytes()
    schedule = Schedule((), (), left=(Left(0, 1, 12, Leaving.UNDONE),), seconds=2)
    monkeypatch.setattr(command, "solve_anew", lambda *_, **__: schedule)
    code = main(["replan", str(yard / "winter.plan.yaml"), "--today", str(FIRST), *ASKED])
    out, err = (" ".join(text.split()) for text in capsys.readouterr())
    assert code == CANNOT_BE_DONE
    assert "paint: 12 of 12 boxes" in err
    assert "winter.plan.yaml was not touched" in err
    assert "fault" not in out + err
    assert (yard / "winter.plan.yaml").read_bytes() == before
    assert not list(yard.glob("*.rejected.yaml"))


# what goes wrong


BROKEN = (Broken("order", None, "boxes: painted wet"),)


def refused(capsys, folder, monkeypatch, made: Schedule) -> tuple[int, str, str]:
    """What is said where the search comes to this, and the audit does not agree; the old plan is left alone."""
    monkeypatch.setattr(command, "solve_anew", lambda *_, **__: made)
    monkeypatch.setattr(command, "audit", lambda *_: BROKEN)
    before = (folder / "winter.plan.yaml").read_bytes()
    capsys.readouterr()
    code = main(["replan", str(folder / "winter.plan.yaml"), "--today", str(FIRST), *ASKED])
    assert (folder / "winter.plan.yaml").read_bytes() == before
    return code, *(" ".join(text.split()) for text in capsys.readouterr())


def test_a_new_plan_that_fails_its_audit_is_put_aside_and_the_old_one_stays(yard, small_plan, capsys, monkeypatch):
    write_plan(yard / "winter.plan.yaml", small_plan)
    code, out, err = refused(capsys, yard, monkeypatch, Schedule((), ()))
    assert code == AUDIT_FAILED
    assert "boxes: painted wet" in out
    assert "winter.plan.yaml was not touched; the plan that failed is in" in err
    assert read_plan(yard / "winter.plan.rejected.yaml").rows == ()


def test_where_no_plan_at_all_is_found_that_is_said_and_it_is_no_fault(yard, small_plan, capsys, monkeypatch):
    write_plan(yard / "winter.plan.yaml", small_plan)
    nothing = Schedule((), (), left=(Left(0, 1, 12, Leaving.UNDONE),), stopped=True)
    code, out, err = refused(capsys, yard, monkeypatch, nothing)
    assert (code, out) == (CANNOT_BE_DONE, "")
    assert "paint: 12 of 12 boxes" in err
    assert err.endswith("winter.plan.yaml was not touched.")
    assert "fault" not in err
    assert not (yard / "winter.plan.rejected.yaml").exists()
