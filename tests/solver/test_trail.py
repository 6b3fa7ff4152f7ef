"""Work taken back is given out anew from a mark on the way: it comes to the same as from the first morning."""

from __future__ import annotations

from random import Random

import pytest

from offseason.solver import trail
from offseason.solver.dispatch import dispatch
from offseason.solver.hunt import FIRST_MANNERS
from offseason.solver.model import build
from offseason.solver.trail import Trail
from offseason.workload.model import Place, Stay
from tests.solver.winters import DAY, HOUR, lot, mornings, step, winter

RACK = Place("rack", holds=6)
LOFT = Place("loft", holds=1_000)


def a_winter_of_coats(random: Random):
    """Second coats must follow within days, but frames come that are wanted at once: some first coats are too soon."""
    days = 40
    fine = tuple(d for d in range(days) if random.random() < 0.8)
    lots = []
    for n in range(3):
        count = random.randint(3, 9)
        coat = {"need": "painting", "wait_s": 16 * HOUR}
        steps = (
            step("scrape", count, 8),
            step("first coat", count, 6, stays=(Stay(0),), **coat),
            step("second coat", count, 6, stays=(Stay(1),), within_s=4 * DAY, within_of=1, **coat),
        )
        lots.append(lot(f"boxes {n}", count, *steps, arrives_s=random.randint(5, 20) * DAY))
    for n in range(3):
        arrives, count = random.randint(8, 30), random.randint(12, 18)
        frames = step("wire", count, 10)
        lots.append(lot(f"frames {n}", count, frames, arrives_s=arrives * DAY, ready_by_s=(arrives + 3) * DAY))
    return winter(mornings(days, fine=fine), *lots, places=(RACK, LOFT))


@pytest.fixture
def gone_back_to(monkeypatch):
    """The sessions from which a dispatch was gone on again."""
    found: list[int] = []
    go_back = Trail.go_back

    def noted(self, caps):
        at = go_back(self, caps)
        found.append(at.sessions)
        return at

    monkeypatch.setattr(Trail, "go_back", noted)
    return found


@pytest.mark.slow
def test_gone_on_from_a_mark_it_comes_to_the_same_as_from_the_first_morning(gone_back_to, monkeypatch):
    for seed in range(12):
        counts = build(a_winter_of_coats(Random(seed))).counts
        for manner in FIRST_MANNERS[:3]:
            monkeypatch.setattr(trail, "SESSIONS_APART", 10**9)
            from_the_first = dispatch(counts, manner)
            for apart in (1, 3):
                monkeypatch.setattr(trail, "SESSIONS_APART", apart)
                assert dispatch(counts, manner).work == from_the_first.work
    assert len({at for at in gone_back_to if at}) >= 5  # or nothing was tried
