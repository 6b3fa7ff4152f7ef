"""What the winter at a glance shows, gathered from scenario, workload and plan: nothing is worked out here."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date

from offseason.plan.document import Plan
from offseason.plan.reading import Unplanned, comb_safety, left_over
from offseason.scenario.hours import fit_on, season_days
from offseason.scenario.model import Scenario
from offseason.share.picture.winter_lots import Lane, LotShown
from offseason.share.picture.winter_strips import NeedShown
from offseason.share.terminal.layout import hours_text
from offseason.workload.model import Importance, Workload

Days = dict[tuple[str, str], dict[date, bool]]


def needs_shown(scenario: Scenario, workload: Workload) -> tuple[NeedShown, ...]:
    """Each kind of weather that work asks for or goes better in, with the days that have it."""
    asked = [task.weather for task in scenario.tasks.values()]
    asked += [job.weather for job in scenario.jobs.values()] + [each.weather for each in scenario.rounds.values()]
    asked += [task.likes_weather for task in scenario.tasks.values()]
    days = season_days(scenario.season.from_, scenario.season.until)
    found = []
    for need in dict.fromkeys(need for need in asked if need is not None):
        windows = scenario.weather.windows.get(need, {})
        fit = {day for day in days if fit_on(windows, day)}
        used = {s.day for s in workload.sessions if s.helpers and (need in s.fit or dict(s.liked).get(need, 0))}
        found.append(NeedShown(need, frozenset(used), frozenset(fit | used)))
    return tuple(found)


def lots_shown(scenario: Scenario, workload: Workload, plan: Plan) -> tuple[LotShown, ...]:
    """The lots of gear in the order of the scenario, then what else the plan names that is no job and no round."""
    steps: dict[str, list[str]] = {name: [] for name in scenario.gear}
    for lot in workload.lots:
        steps.setdefault(lot.stated, []).extend(step.task for step in lot.steps)
    for row in plan.rows:
        steps.setdefault(row.lot, []).append(row.step)
    combs = {comb.lot: comb for comb in comb_safety(workload, plan)}
    days, left = _days(plan), _left(workload, plan, scenario)
    return tuple(
        LotShown(
            name=name,
            count=gear.count if (gear := scenario.gear.get(name)) else None,
            arrives=(gear.arrives if gear else None) or scenario.season.from_,
            lanes=tuple(_lane(name, step, days, left) for step in dict.fromkeys(named)),
            comb=combs.get(name),
        )
        for name, named in steps.items()
        if name not in scenario.jobs and name not in scenario.rounds
    )


def jobs_shown(scenario: Scenario, workload: Workload, plan: Plan) -> Iterator[tuple[str, Lane, bool]]:
    """Each job and each round in the order of the scenario; True: it is a round."""
    days, left = _days(plan), _left(workload, plan, scenario)
    for name in (*scenario.jobs, *scenario.rounds):
        yield name, _lane(name, name, days, left), name in scenario.rounds


def outside(plan: Plan, first: date, last: date) -> int:
    """How many rows lie on days before or after these, and cannot be drawn."""
    return sum(not first <= row.day <= last for row in plan.rows)


def _days(plan: Plan) -> Days:
    """For each lot and step the days it is worked on; True: all that is on it that day is done."""
    found: Days = defaultdict(dict)
    for row in plan.rows:
        of_step = found[row.lot, row.step]
        of_step[row.day] = row.done and of_step.get(row.day, True)
    return found


def _lane(lot: str, step: str, days: Days, left: dict[tuple[str, str], list[tuple[str, bool]]]) -> Lane:
    worked = days.get((lot, step), {})
    of_step = left.get((lot, step), [])
    return Lane(
        step,
        frozenset(day for day, done in worked.items() if not done),
        frozenset(day for day, done in worked.items() if done),
        ", ".join(words for words, _ in of_step),
        any(must for _, must in of_step),
    )


def _left(workload: Workload, plan: Plan, scenario: Scenario) -> dict[tuple[str, str], list[tuple[str, bool]]]:
    """What is left of each step, in words, and whether it had to be done."""
    found: dict[tuple[str, str], list[tuple[str, bool]]] = defaultdict(list)
    for one in left_over(workload, plan):
        found[one.lot, one.step].append((_undone(one, scenario), one.importance is Importance.MUST))
    for two in plan.left:
        if two.how not in {"undone", "overfull"}:
            found[two.lot, two.step].append((f"{two.pieces:,} {two.how}", True))
    return found


def _undone(left: Unplanned, scenario: Scenario) -> str:
    how = "undone" if left.importance is Importance.MUST else "left out"
    if left.lot in scenario.jobs:
        return f"{hours_text(left.hours)} {how}"
    return f"{left.pieces:,}{'×' if left.lot in scenario.rounds else ''} {how}"
