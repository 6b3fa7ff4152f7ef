"""A winter that has begun and no longer fits: what would be enough for the rest of it."""

from __future__ import annotations

from datetime import date, time
from pathlib import Path

import pytest

from offseason.cli import main
from offseason.plan.audit import audit
from offseason.plan.file import read_plan
from offseason.plan.progress.append import append
from offseason.plan.progress.entry import Entry
from offseason.plan.progress.log import log_beside
from offseason.remedy.file import read_remedies
from offseason.remedy.lever import Kind
from offseason.scenario.read import read_scenario
from offseason.share.exit_codes import CANNOT_BE_DONE, DONE

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY = (date(2026, 10, day) for day in range(5, 10))
FAST = ("--seconds", "10", "--workers", "1", "--quiet")

# Two combs at a time, a day and a night each, five mornings: four loads, all of them safe by Friday. With Tuesday lost
# 2 are through on Wednesday and two loads can follow, on Wednesday and on Thursday: 2 + 2 * 2 = 6 of 8. Two must be
# given up, or the freezer hold n with 2 + 2 * n >= 8: 3, one more.
COMBS = """\
season: {from: 2026-10-05, until: 2026-10-09}   # five mornings
moths: {season_starts: 2026-10-10}
crew:
  Ottilie: {works: {mon-fri: 09:00-12:00}}
places:
  freezer: {holds: 2 combs, celsius: -18}       # the old one
  loft: {holds: 60 combs}
tasks:
  freeze: {minutes_each: 1, kills: true, then: {wait: 20 h, in: freezer}}
  seal: {minutes_each: 1, seals: true, then: {in: loft}}
gear:
  combs: {piece: medium comb, count: 8, comb: dry, rests: loft, steps: [freeze, seal]}
"""

# Five boxes an hour, an hour a day, five days: 25. With three boxes fewer done than planned, 36 minutes are short:
# two quarters of an hour after the hour of a day are enough for two boxes (90 minutes: 7), three for three (105: 8).
BOXES = """\
season: {from: 2026-10-05, until: 2026-10-09}
crew:
  Ottilie: {works: {mon-fri: 09:00-10:00}}
places:
  bench: {seats: 1}
tasks:
  scrape: {minutes_each: 12, at: bench}
gear:
  boxes: {piece: langstroth deep box, count: 25, steps: [scrape]}
"""


def said(capsys, *words: object) -> tuple[int, str, str]:
    capsys.readouterr()
    code = main([str(word) for word in words])
    out, err = capsys.readouterr()
    return code, " ".join(out.split()), " ".join(err.split())


def begun(folder: Path, text: str, *done: tuple[date, str, str, int, time]) -> Path:
    """The plan of a winter that fits, with this in its log."""
    (folder / "winter.yaml").write_text(text, encoding="utf-8")
    assert main(["plan", str(folder / "winter.yaml"), *FAST]) == DONE
    plan = folder / "winter.plan.yaml"
    rows = (Entry(f"row{n}", day, ("Ottilie",), *rest) for n, (day, *rest) in enumerate(done))
    append(log_beside(plan), tuple(rows))
    return plan


def found_of(plan: Path):
    return read_remedies(plan.with_name("winter.remedies.yaml")).found


def of_kind(plan: Path, kind: Kind) -> tuple[int, object]:
    """The number of the single remedy of a kind, and its change."""
    return next(
        (n, one.changes[0]) for n, one in enumerate(found_of(plan).singles, 1) if one.changes[0].lever.kind is kind
    )


@pytest.fixture
def frozen(tmp_path):
    """Monday's load lies in the freezer, and on Tuesday nobody came."""
    return begun(tmp_path, COMBS, (MONDAY, "combs", "freeze", 2, time(9, 2)))


def test_a_freezer_too_small_for_what_is_left_is_told_with_the_room_it_lacks(frozen, capsys):
    code, out, err = said(capsys, "replan", frozen, "--today", WEDNESDAY, *FAST)
    assert code == CANNOT_BE_DONE
    assert "The best plan found is in" in out
    assert err.index("Left over:") < err.index("Any one of these is enough")
    assert "room for 1 more comb in freezer: 3 instead of 2" in err
    assert "2 of combs given up: 6 instead of 8" in err
    assert "proven: with 1 it does not fit" in err
    _, room = of_kind(frozen, Kind.SPACE)
    _, fewer = of_kind(frozen, Kind.FEWER)
    assert (room.size, fewer.size) == (1, 2)


def test_the_changed_scenario_is_planned_anew_by_the_command_that_is_told_and_what_was_done_stays(frozen, capsys):
    log = log_beside(frozen).read_bytes()
    _, _, err = said(capsys, "replan", frozen, "--today", WEDNESDAY, *FAST)
    scenario = frozen.with_name("winter.yaml")
    changed = frozen.with_name("winter.remedy-1.yaml")
    told = f"offseason remedies {scenario} --apply 1 offseason replan {frozen} --scenario {changed}"
    assert f"{told} Add --today as you gave it now." in err
    for number in range(1, len(found_of(frozen).remedies) + 1):
        code, out, _ = said(capsys, "remedies", scenario, "--apply", number)
        changed = frozen.with_name(f"winter.remedy-{number}.yaml")
        assert code == DONE
        assert f"offseason replan {frozen} --scenario {changed}" in out
        to = frozen.with_name(f"other-{number}.plan.yaml")
        again = ("--scenario", changed, "--today", WEDNESDAY, "--to", to)
        assert said(capsys, "replan", frozen, *again, *FAST)[0] == DONE
        plan = read_plan(to)
        assert plan.left == ()
        assert not audit(read_scenario(changed), plan)
        assert [(row.day, row.lot, row.step, row.pieces) for row in plan.rows if row.done] == [
            (MONDAY, "combs", "freeze", 2)
        ]
        assert all(row.day >= WEDNESDAY for row in plan.rows if not row.done)
    assert log_beside(frozen).read_bytes() == log


@pytest.mark.parametrize(
    ("today", "done", "first"),
    [
        (WEDNESDAY, ((MONDAY, 5), (TUESDAY, 2)), WEDNESDAY),
        (WEDNESDAY, ((MONDAY, 5), (TUESDAY, 5), (WEDNESDAY, 2)), THURSDAY),  # of a day that is over nothing is asked
    ],
)
def test_help_is_asked_for_to_the_quarter_of_an_hour_and_only_on_days_to_come(tmp_path, capsys, today, done, first):
    plan = begun(tmp_path, BOXES, *((day, "boxes", "scrape", boxes, time(10)) for day, boxes in done))
    code, _, err = said(capsys, "replan", plan, "--today", today, *FAST)
    assert code == CANNOT_BE_DONE
    number, more = of_kind(plan, Kind.HELP)
    assert more.size == 3
    assert "proven: with a quarter of an hour less it does not fit" in err
    slots = [slot for one in found_of(plan).remedies for change in one.changes for slot in change.lever.slots]
    assert slots
    assert min(day for day, _ in slots) >= first
    _, later = of_kind(plan, Kind.LATER)
    assert later.size == 3  # until Monday, for nobody comes on a Saturday or a Sunday
    assert said(capsys, "remedies", plan.with_name("winter.yaml"), "--apply", number)[0] == DONE
    changed = plan.with_name(f"winter.remedy-{number}.yaml")
    assert said(capsys, "replan", plan, "--scenario", changed, "--today", today, *FAST)[0] == DONE


def test_where_the_plan_that_leaves_something_is_kept_remedies_are_told_all_the_same(frozen, capsys):
    said(capsys, "replan", frozen, "--today", WEDNESDAY, *FAST)
    code, out, err = said(capsys, "replan", frozen, "--today", WEDNESDAY, *FAST)
    assert code == CANNOT_BE_DONE
    assert "Nothing changes" in out
    assert "No plan that leaves less was found, so it is kept." in err
    assert "room for 1 more comb in freezer: 3 instead of 2" in err


def test_remedies_of_a_winter_that_has_begun_say_that_they_know_nothing_of_it(frozen, capsys):
    code, out, _ = said(capsys, "remedies", frozen.with_name("winter.yaml"), *FAST)
    assert code == DONE
    assert "This looks at the winter from its beginning" in out
    assert f"offseason replan {frozen}" in out
    assert "fits as it is" not in out
    assert "offseason plan" not in out
    log_beside(frozen).write_text("", encoding="utf-8")
    _, out, _ = said(capsys, "remedies", frozen.with_name("winter.yaml"), *FAST)
    assert "This winter fits as it is" in out
    assert "from its beginning" not in out


def test_remedies_of_a_begun_winter_that_never_fitted_say_so_too(frozen, capsys):
    scenario = frozen.with_name("winter.yaml")
    scenario.write_text(COMBS.replace("count: 8", "count: 12"), encoding="utf-8")
    code, out, _ = said(capsys, "remedies", scenario, *FAST)
    assert code == CANNOT_BE_DONE
    assert out.index("This looks at the winter from its beginning") < out.index("Left over:")


def test_spare_of_a_begun_winter_that_leaves_something_points_to_replan(frozen, capsys):
    said(capsys, "replan", frozen, "--today", WEDNESDAY, *FAST)
    code, _, err = said(capsys, "spare", frozen, "--quiet")
    assert code == CANNOT_BE_DONE
    assert f"what would mend it: offseason replan {frozen}" in err
    assert "offseason remedies" not in err
