"""How soon so many combs can be in a freezer in whole loads: against every order of loads, tried one by one."""

from __future__ import annotations

import random

import numpy as np
import pytest

from offseason.solver.throughput import Hours, Turn, soonest_through
from tests.solver.winters import DAY, HOUR, session


def every_order(turn, sessions, parties, arrives_s, pieces):
    """For 0, 1, 2 ... pieces the soonest moment they can be in, by trying loads of every size, second by second."""
    open_s = [(t, there) for one, there in zip(sessions, parties, strict=True) for t in range(one.starts_s, one.ends_s)]
    soonest = [-np.inf] + [np.inf] * pieces

    def worked(after_s, needed):
        for t, people in open_s:
            if t >= after_s:
                needed -= people
                if needed <= 0:
                    return t + 1
        return np.inf

    def load(inside, ready_s, to_empty_s):
        for size in range(1, min(turn.holds, pieces - inside) + 1):
            closed_s = worked(ready_s, to_empty_s + size * turn.fill_s)
            if closed_s < np.inf:
                for n in range(inside + 1, inside + size + 1):
                    soonest[n] = min(soonest[n], closed_s)
                load(inside + size, closed_s + turn.wait_s, size * turn.empty_s)

    load(0, arrives_s, 0)
    return soonest


@pytest.mark.parametrize("seed", range(25))
def test_no_order_of_loads_brings_as_many_combs_in_any_sooner(seed):
    draw = random.Random(seed)
    days = sorted(draw.sample(range(6), 4))
    sessions = [session(day, 9 + draw.random(), draw.uniform(0.01, 0.05)) for day in days]
    parties = [draw.choice((1, 1, 2)) for _ in sessions]
    turn = Turn(draw.randint(2, 4), draw.randint(5, 40), draw.choice((20, HOUR, DAY, DAY)), draw.randint(0, 40))
    pieces = draw.randint(3, 8)
    arrives_s = draw.choice((0, sessions[0].starts_s + 20))
    told = soonest_through(turn, Hours.of(sessions, parties), arrives_s, pieces)
    tried = every_order(turn, sessions, parties, arrives_s, pieces)
    assert len(told) == pieces + 1
    assert all(a <= b + 1e-6 for a, b in zip(told, tried, strict=True)), (turn, told, tried)
    # with so few in a load each is a portion of its own, and what is told is no less than the truth but for seconds
    assert all(a >= b - max(parties) for a, b in zip(told, tried, strict=True) if np.isfinite(b)), (turn, told, tried)
