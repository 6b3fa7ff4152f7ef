"""Which resource is used most of what it has, week by week, from the plan alone."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from operator import attrgetter

from offseason.plan.document import Plan, Row
from offseason.plan.elapsed import Elapsed, elapsed
from offseason.plan.load import Resource, everybody, monday, resources
from offseason.remedy.spare import Use, Week
from offseason.workload.flow import stages
from offseason.workload.model import Lot, Workload

Moves = list[tuple[int, int]]
"""Moments in seconds, and how many spaces are taken (above 0) or given back then."""


def weeks_of(workload: Workload, plan: Plan) -> tuple[Week, ...]:
    """Every week in which somebody works, with what is used in it, fullest first; what is not used is left out."""
    hourly = [one for one in resources(workload, plan) if one.what != "space"]
    peaks = fullest_by_week(workload, plan)
    worked = everybody(workload, plan).used
    return tuple(
        Week(week, worked[week], tuple(sorted(_uses(week, hourly, peaks), key=attrgetter("share"), reverse=True)))
        for week in sorted(week for week, hours in worked.items() if hours)
    )


def _uses(week: date, hourly: list[Resource], peaks: dict[str, dict[date, float]]) -> Iterator[Use]:
    for one in hourly:
        if one.used.get(week):
            yield Use(one.what, one.name, one.share(week, week))
    for name, by_week in peaks.items():
        if by_week.get(week):
            yield Use("space", name, by_week[week])


def fullest_by_week(workload: Workload, plan: Plan) -> dict[str, dict[date, float]]:
    """For each place that holds gear: how full it is at the fullest moment of each week, as a share of what it holds.

    A piece takes its space when its step is over and gives it back when the next begins, so that a place emptied and
    filled by two people side by side may seem fuller by the pieces in their hands; it is never told above 1.
    """
    clock = elapsed(workload)
    found: dict[str, dict[date, float]] = {}
    for index, place in enumerate(workload.places):
        moves = [move for lot in workload.lots for move in _moves(lot, index, plan, clock)]
        if place.holds and moves:
            peaks = _peaks(sorted(moves), clock, workload.sessions[-1].day)
            found[place.name] = {week: min(1.0, spaces / place.holds) for week, spaces in peaks.items()}
    return found


def _peaks(moves: Moves, clock: Elapsed, last: date) -> dict[date, int]:
    """The most spaces taken at any moment of each week; ``moves`` in order of time, out before in."""
    at, inside = 0, 0
    peaks: dict[date, int] = {}
    week = monday(clock.first_day)
    while week <= last:
        ends_s = clock.night_s(week + timedelta(days=6))
        most = inside
        while at < len(moves) and moves[at][0] < ends_s:
            inside += moves[at][1]
            at += 1
            if at == len(moves) or moves[at][0] != moves[at - 1][0] or moves[at][1] < 0:
                most = max(most, inside)
        peaks[week] = most
        week += timedelta(days=7)
    return peaks


def _moves(lot: Lot, place: int, plan: Plan, clock: Elapsed) -> Iterator[tuple[int, int]]:
    """What pieces of the lot take and give back at a place, stage by stage."""
    moving = stages(lot)
    by_step: dict[str, list[Row]] = defaultdict(list)
    for row in plan.rows:
        if row.lot == lot.stated:
            by_step[row.step].append(row)
    for stage, following in zip(moving, [*moving[1:], None], strict=True):
        stays = lot.rests if stage < 0 else lot.steps[stage].stays
        for stay in (one for one in stays if one.place == place):
            ends = [lot.arrives_s] * lot.count if stage < 0 else _moments(by_step[lot.steps[stage].task], clock, 1)
            yield from ((moment, stay.spaces) for moment in ends)
            if not stay.until_taken and stage >= 0:
                yield from ((lot.steps[stage].ready_s(moment), -stay.spaces) for moment in ends)
            elif following is not None:
                begun = _moments(by_step[lot.steps[following].task], clock, 0)
                yield from ((moment, -stay.spaces) for moment in begun)


def _moments(rows: list[Row], clock: Elapsed, over: int) -> list[int]:
    """When each piece is begun (``over`` 0) or through (1): one after another, or side by side where several work."""
    found: list[int] = []
    for row in rows:
        begins, ends = clock.span_s(row)
        begins += round(row.set_up_minutes * 60)
        each = (ends - begins) / row.pieces if row.pieces else 0
        found += [round(begins + each * (n + over)) for n in range(row.pieces)]
    return found
