"""``offseason replan`` after a helper was renamed in the scenario: nobody's days change, and it is said."""

from __future__ import annotations

import pytest

from offseason.cli import main
from offseason.plan.file import read_plan, write_plan
from offseason.share.exit_codes import DONE
from tests.begun import DAY, FIRST, SMALL, entries_of_plan, first_plan, morning, read, small


@pytest.fixture
def yard(tmp_path):
    (tmp_path / "winter.yaml").write_text(SMALL, encoding="utf-8")
    write_plan(tmp_path / "winter.plan.yaml", first_plan(read(small())))
    return tmp_path


def test_a_helper_renamed_in_the_scenario_keeps_every_minute_and_is_not_told_as_a_change(yard, capsys):
    before = read_plan(yard / "winter.plan.yaml")
    text = (yard / "winter.yaml").read_text(encoding="utf-8")
    (yard / "winter.yaml").write_text(text.replace("  Tomas:", "  Thomas:"), encoding="utf-8")
    today = FIRST + 9 * DAY
    asked = ("--today", str(today), "--seconds", "2", "--workers", "1", "--quiet")
    code = main(["replan", str(yard / "winter.plan.yaml"), *asked])
    out, err = (" ".join(text.split()) for text in capsys.readouterr())
    assert code == DONE, err
    assert "Tomas is no longer in the scenario and Thomas is new there: taken for the same person." in out
    assert "Nothing changes" in out
    after = read_plan(yard / "winter.plan.yaml")
    ahead = entries_of_plan(row for row in before.rows if morning(row.day) >= morning(today))
    renamed = {(day, who.replace("Tomas", "Thomas"), *rest): n for (day, who, *rest), n in ahead.items()}
    assert entries_of_plan(row for row in after.rows if not row.done) == renamed
    assert "kept in" in err + out  # the plan that was there before, with the old name


def test_a_helper_renamed_and_away_one_day_is_told_only_of_that_day(yard, capsys):
    plan = read_plan(yard / "winter.plan.yaml")
    day = min(row.day for row in plan.rows if "Tomas" in row.who and row.day > FIRST + 9 * DAY)
    text = (yard / "winter.yaml").read_text(encoding="utf-8")
    text = text.replace("  Tomas:", f"  Thomas:\n    away: [{day}]")
    (yard / "winter.yaml").write_text(text, encoding="utf-8")
    asked = ("--today", str(FIRST + 9 * DAY), "--seconds", "2", "--workers", "1", "--quiet")
    code = main(["replan", str(yard / "winter.plan.yaml"), *asked])
    out, err = (" ".join(text.split()) for text in capsys.readouterr())
    assert code == DONE, err
    assert "taken for the same person" in out
    assert "Tomas " not in out.replace("Tomas is no longer", "")
