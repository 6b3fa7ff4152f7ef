"""Where comb is safe from moths, until when it must be made so, and how much heat it meets while it is not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np

from offseason.scenario.lots import kind_of
from offseason.scenario.model import GearEntry, Moths, Scenario, TaskEntry
from offseason.trade.moths import ARRESTED_CELSIUS, treat_by
from offseason.weather.outlook import Outlook
from offseason.workload.flow import stages
from offseason.workload.model import Importance, Lot, Session
from offseason.workload.sessions import day_ends_s
from offseason.workload.stores import heat_by_midnight, store_by_day

THAWING_S = 24 * 3_600
"""Comb from the freezer is kept closed this long while it thaws (common practice)."""

TENTHS = 10


def guard(
    scenario: Scenario,
    gear: GearEntry,
    tasks: list[str],
    lot: Lot,
    sessions: tuple[Session, ...],
    outlook: Outlook | None = None,
) -> Lot:
    """The lot with what protects it filled in; a lot that is not comb, or a winter without moths, stays as it is."""
    if (
        scenario.moths is None
        or kind_of(gear) != "comb"
        or (gear.steps and not tasks)
        or gear.foulbrood.value == "suspected"
    ):
        return lot
    treat_by_day = _treat_by(scenario, scenario.moths, gear, outlook)
    until_s = lot.ready_by_s if lot.ready_by_s is not None else day_ends_s(scenario, scenario.season.until)
    safe = _walk(scenario, [scenario.tasks[t] for t in tasks], lot)
    steps = tuple(replace(s, protected=p, lasts_s=lasts) for s, (p, lasts) in zip(lot.steps, safe, strict=True))
    guarded = replace(
        lot,
        steps=steps,
        treat_by_s=day_ends_s(scenario, treat_by_day),
        protect_until_s=until_s,
        protected=_cold(scenario, lot, -1),
        open_heat=_open_heat(scenario, gear, lot, sessions, until_s, outlook),
    )
    return _with_renewals(guarded)


def _treat_by(scenario: Scenario, moths: Moths, gear: GearEntry, outlook: Outlook | None) -> date:
    place = scenario.places.get(gear.rests or "")
    return treat_by(
        gear.arrives or scenario.season.from_,
        moths.season_starts,
        moths.season_ends,
        gear.comb.value if gear.comb else None,
        gear.webbing_seen,
        place.celsius.highest if place and place.celsius else store_by_day(place, outlook),
        mean_celsius=place.celsius.mean if place and place.celsius else None,
    )


def _cold(scenario: Scenario, lot: Lot, step: int) -> bool:
    stays = lot.rests if step < 0 else lot.steps[step].stays
    places = list(scenario.places.values())
    celsius = [places[stay.place].celsius for stay in stays]
    return bool(celsius) and all(c is not None and c.highest <= ARRESTED_CELSIUS for c in celsius)


def _walk(scenario: Scenario, tasks: list[TaskEntry], lot: Lot) -> list[tuple[bool, int | None]]:
    """For each step: safe at rest after it, and for how long (None: as long as it rests so).

    Cold kills and leaves no lasting protection: comb stays clean only if it is sealed next, or kept cold.
    """
    found: list[tuple[bool, int | None]] = []
    clean = treated = False
    every = stages(lot)
    for s, task in enumerate(tasks):
        # what only some combs have protects the others from nothing
        clean = clean or (task.kills and s in every)
        treated = treated or (task.protects == "season" and s in every)
        thawing = False
        if s + 1 in every:
            following = tasks[s + 1]
            thawing = clean and following.seals and following.within is not None and following.within <= THAWING_S
        safe = task.uses_up or _cold(scenario, lot, s) or (task.seals and clean) or treated or thawing
        lasts_s = task.protects if isinstance(task.protects, int) and not safe else None
        found.append((safe or lasts_s is not None, lasts_s))
        if s in every:
            clean = clean and (safe or lasts_s is not None)
    return found


def _open_heat(
    scenario: Scenario, gear: GearEntry, lot: Lot, sessions: tuple[Session, ...], until_s: int, outlook: Outlook | None
) -> tuple[int, ...]:
    """Tenths of degree-days from the end of each session to the end of the next, while the lot is here."""
    midnights = heat_by_midnight(scenario, scenario.places.get(gear.rests or ""), outlook)
    ends = np.array([*(session.ends_s for session in sessions), until_s]).clip(
        lot.arrives_s, max(until_s, lot.arrives_s)
    )
    if len(ends) > 1:
        ends[-1] = max(ends[-1], ends[-2])
    heat = np.interp(ends, [at_s for at_s, _ in midnights], [heat for _, heat in midnights])
    found = tuple(round(float(tenths)) for tenths in TENTHS * np.diff(heat))
    return found if any(found) else ()


def _with_renewals(lot: Lot) -> Lot:
    """A last treatment that lapses before spring is followed by as many renewals as may come due.

    A renewal comes no sooner than half-way through what the last one lasts, and is worth nothing unless it is due.
    """
    last = lot.steps[-1] if lot.steps else None
    if last is None or last.lasts_s is None or lot.treat_by_s is None or lot.protect_until_s is None:
        return lot
    half_s = last.lasts_s // 2
    times = -(-max(0, lot.protect_until_s - lot.treat_by_s) // max(half_s, 1))
    last = replace(last, wait_s=max(last.wait_s, half_s))
    renewal = replace(last, importance=Importance.COULD, worth=0, within_s=None, within_of=None)
    first = len(lot.steps) - 1
    renewals = tuple(replace(renewal, needs=(first + n,)) for n in range(times))
    return replace(lot, steps=(*lot.steps[:-1], last, *renewals))
