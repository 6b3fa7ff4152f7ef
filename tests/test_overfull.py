"""A winter with too little room for what arrives, from the check to the plan, the audit and the replan."""

from __future__ import annotations

from datetime import date

import pytest

from offseason.cli import main
from offseason.plan.document import LeftOver
from offseason.plan.file import read_plan
from offseason.share.exit_codes import CANNOT_BE_DONE, DONE
from tests.remedy.winters_short_of_room import shed_for_what_arrives

# 24 lids stay in a shed of 30, and 10 boxes come on the 8th
FULL = "shed: 4 spaces too few from Thu 8 Oct 2026 on, when 10 boxes arrive"
QUICK = ("--seconds", "6", "--workers", "1", "--quiet")


@pytest.fixture
def yard(tmp_path, monkeypatch):
    (tmp_path / "winter.yaml").write_text(shed_for_what_arrives(0), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(capsys, *words: str) -> tuple[int, str]:
    code = main(list(words))
    out, err = capsys.readouterr()
    assert max(map(len, [*out.splitlines(), *err.splitlines(), ""])) <= 80
    return code, " ".join(f"{out}\n{err}".split())


@pytest.mark.usefixtures("yard")
def test_check_says_that_it_is_so_unless_something_is_moved_out(capsys):
    code, told = run(capsys, "check", "winter.yaml")
    assert code == DONE
    assert f"{FULL}, unless as much is moved out of it before." in told


def test_check_says_nothing_of_a_place_with_room_for_all(yard, capsys):
    (yard / "winter.yaml").write_text(shed_for_what_arrives(4), encoding="utf-8")
    assert "too few" not in run(capsys, "check", "winter.yaml")[1]


def test_the_best_plan_is_written_with_that_told_and_every_command_sees_it(yard, capsys):
    code, told = run(capsys, "plan", "winter.yaml", *QUICK)
    assert code == CANNOT_BE_DONE
    assert f"No room {FULL}" in told
    assert f"Too little room for what arrives: - {FULL}" in told
    assert "this is proven" in told
    assert "room for 4 more pieces in shed: 34 instead of 30" in told
    made = read_plan(yard / "winter.plan.yaml")
    assert made.left == (LeftOver("", "", 4, "overfull", "shed", date(2026, 10, 8)),)
    assert sum(row.pieces for row in made.rows) == 24 + 10
    for words in (("audit", "winter.plan.yaml"), ("spare", "winter.plan.yaml")):
        code, told = run(capsys, *words)
        assert (code, FULL in told) == (CANNOT_BE_DONE, True), words
    code, told = run(capsys, "share", "winter.plan.yaml", "--to", "shared")
    assert (code, FULL in told) == (DONE, True)
    page = (yard / "shared" / "page.html").read_text(encoding="utf-8")
    assert FULL in page
    assert "Too little room for what arrives: shed." in page
    assert FULL in " ".join((yard / "shared" / "everybody.txt").read_text(encoding="utf-8").split())


@pytest.mark.parametrize("today", ["2026-10-07", "2026-10-08", "2026-10-10"])
def test_replanned_before_and_after_the_day_it_is_still_told(yard, capsys, today):
    run(capsys, "plan", "winter.yaml", *QUICK)
    code, told = run(capsys, "replan", "winter.plan.yaml", "--today", today, *QUICK)
    assert (code, FULL in told) == (CANNOT_BE_DONE, True)
    assert run(capsys, "audit", "winter.plan.yaml")[0] == CANNOT_BE_DONE
    (left,) = read_plan(yard / "winter.plan.yaml").left
    assert (left.pieces, left.since) == (4, date(2026, 10, 8))
