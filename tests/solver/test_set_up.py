"""What is set up is set up for one stretch of hours."""

from __future__ import annotations

from offseason.solver import solve
from offseason.workload.model import Helper
from tests.solver.winters import INES, lot, session, step, winter


def test_what_was_set_up_yesterday_is_set_up_anew_though_somebody_without_work_came_first_today():
    frames = lot("frames", 14, step("wire", 14, 5, setup_s=600))
    sessions = [session(0, 9, 1), session(1, 8, 1, who=(1,)), session(1, 9, 1)]
    schedule = solve(winter(sessions, frames, helpers=(INES, Helper("Tomas", frozenset()))), seconds=2)
    assert not schedule.left
    assert [(one.session, one.setup_s) for one in schedule.work if one.setup_s] == [(0, 600), (2, 600)]
