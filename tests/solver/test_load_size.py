"""How much goes into a freezer so that tomorrow's load is a large one too.

Checked against every size tried one by one, on a clock that is written out here again (derived here, no source).
"""

from __future__ import annotations

import pytest

from offseason.solver.load_size import Turnover, best_size
from offseason.solver.throughput import Hours, Turn
from tests.solver.winters import session

DAY_S, MINUTE_S = 86_400, 60
HOLDS, FILL_S, EMPTY_S = 80, 18, 24
OPENS_S = session(0, 10, 4).starts_s
CLOSES_S = session(0, 10, 4).ends_s


def turnover(days: int, parties: int = 1) -> Turnover:
    """A freezer for 80 combs that must stay in a day and a night; each day from ten to two there is somebody."""
    sessions = [session(day, 10, 4) for day in range(days)]
    hours = Hours.of(sessions, [parties] * days)
    return Turnover(Turn(HOLDS, FILL_S, DAY_S, EMPTY_S), hours, hours.ends_s)


def in_with_the_next(size: int, now_s: int, parties: int, still_to_come: int) -> int:
    """Combs in, today and tomorrow, if so many go in today: second by second of work, as on a clock on the wall."""
    closed_s = now_s + size * FILL_S / parties
    left_s = (CLOSES_S - closed_s) * parties - size * EMPTY_S
    return size + max(0, min(int(left_s // FILL_S), HOLDS, still_to_come - size))


@pytest.mark.parametrize("parties", [1, 2])
@pytest.mark.parametrize("minutes", [60, 150, 170, 190, 196, 205, 215])
@pytest.mark.parametrize("still_to_come", [81, 120, 1_000])
def test_as_many_combs_as_can_be_are_in_with_the_next_load(minutes: int, parties: int, still_to_come: int) -> None:
    now_s = OPENS_S + minutes * MINUTE_S
    room = min(HOLDS, (CLOSES_S - now_s) * parties // FILL_S)
    size = best_size(turnover(2, parties), now_s, room, still_to_come)
    tried = [in_with_the_next(one, now_s, parties, still_to_come) for one in range(1, room + 1)]
    assert tried[size - 1] == max(tried)
    assert max(tried[size:], default=0) < tried[size - 1], "a larger load would do as well"


def test_a_load_late_in_the_day_is_made_smaller_so_that_nearly_a_whole_one_can_follow() -> None:
    now_s = OPENS_S + 196 * MINUTE_S
    size = best_size(turnover(2), now_s, HOLDS, 1_000)
    assert 0 < size < HOLDS
    assert in_with_the_next(size, now_s, 1, 1_000) - size > 0.95 * HOLDS
    assert in_with_the_next(HOLDS, now_s, 1, 1_000) < in_with_the_next(size, now_s, 1, 1_000)


def test_early_in_the_day_the_freezer_is_filled() -> None:
    assert best_size(turnover(2), OPENS_S + 60 * MINUTE_S, HOLDS, 1_000) == HOLDS


def test_the_last_load_is_not_held_back() -> None:
    assert best_size(turnover(2), OPENS_S + 196 * MINUTE_S, HOLDS, HOLDS) == HOLDS


def test_where_nobody_comes_the_day_after_the_freezer_is_filled() -> None:
    assert best_size(turnover(1), OPENS_S + 196 * MINUTE_S, HOLDS, 1_000) == HOLDS


def test_so_much_goes_in_until_the_session_ends_as_all_who_are_there_can_fill() -> None:
    late_s = CLOSES_S - 10 * MINUTE_S
    assert turnover(1, parties=2).most_in(0, late_s) == 2 * 10 * MINUTE_S // FILL_S
