"""What must be done and does not fit, when no plan keeps every promise."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from itertools import groupby

from offseason.plan.document import LeftOver
from offseason.plan.elapsed import elapsed
from offseason.plan.reading import no_room_said
from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import clean, count_text, day_text, hours_text, paragraph
from offseason.workload.model import Leaving, Left, Schedule, Workload

SECONDS_PER_HOUR = 3600
MOST_OF_A_ROUND = 3
MOST_LINES = 20


def shortfall_text(
    scenario: Scenario, workload: Workload, schedule: Schedule, *, advice: bool = True, impossible: bool = False
) -> str:
    """Which pieces of which work are left over, and whether that is proven or only not found yet.

    ``advice``: with a word on what can help in general, for where no remedies are told. ``impossible``: it is proven
    of plans that carry no piece over a change of people or weather.
    """
    work = [one for one in schedule.left if one.how is not Leaving.OVERFULL]
    lines = list(_lines(scenario, workload, work))
    without_room = [paragraph(clean(one), 4, "  -") for one in without_room_said(scenario, workload, schedule)]
    if schedule.certain:
        certain = "No plan can do all that must be done: this is proven."
    elif impossible:
        certain = (
            "No plan can do all that must be done: this is proven of plans that carry no piece of a lot over a change "
            "of people or weather, as all plans of offseason are."
        )
    else:
        certain = (
            f"No plan that does all that must be done was found in {schedule.seconds:.0f} s; it is not proven that "
            "there is none. A longer search may find one: try --seconds with a larger number. (Every piece of a lot is "
            "planned between two changes of people or weather; one carried over such a change may fit.)"
        )
    help_in_general = (
        "What can help: more hours of help or fit weather, more seats or space, gear that arrives earlier, "
        "a later date to be ready, or work marked should or could instead of must. "
        "'offseason check' shows where it is tight."
    )
    told = [paragraph(certain), *(["Too little room for what arrives:"] if without_room else []), *without_room]
    told += [*(["Left over:"] if lines else []), *lines]
    return "\n".join([*told, *([paragraph(help_in_general)] if advice else [])])


def without_room_said(scenario: Scenario, workload: Workload, schedule: Schedule) -> tuple[str, ...]:
    """A sentence on each place that is too full for what arrives, as the plan says it too."""
    said = {one.place: one for one in schedule.left if one.how is Leaving.OVERFULL}
    places = ((workload.places[one.place].name, one) for one in said.values())
    days = elapsed(workload)
    left = (LeftOver("", "", one.pieces, "overfull", name, days.day_of(one.since_s)) for name, one in places)
    return tuple(no_room_said(one, scenario) for one in left)


def own_dates_text(stated: Workload, begun: Workload, left: Iterable[Left]) -> str:
    """Of what is left, that which was due before planning began and was given a later date here; empty for none."""
    told: dict[str, None] = {}
    for number in sorted({one.lot for one in left if one.how is not Leaving.OVERFULL}):
        was, now = stated.lots[number], begun.lots[number]
        for due_s, given_s, why in (
            (was.treat_by_s, now.treat_by_s, "lay open past their day, {due}: they are to be safe by {given}"),
            (was.ready_by_s, now.ready_by_s, "had to be ready by {due}: what is overdue is to be done by {given}"),
        ):
            if due_s is not None and given_s is not None and due_s < given_s:
                days = (elapsed(begun).last_day(one) for one in (due_s, given_s))
                due, given = map(day_text, days)
                told[f"{clean(was.stated)} {why.format(due=due, given=given)}, a day that offseason chose."] = None
    return "\n".join(map(paragraph, told))


def _lines(scenario: Scenario, workload: Workload, left: Sequence[Left]) -> Iterator[str]:
    """A line for each, open comb first; of one round only the first few, and of all only so many as will be read."""
    shown: list[str] = []
    comb_first = sorted(left, key=lambda one: one.how is not Leaving.OPEN)
    for _, group in groupby(comb_first, key=lambda one: _kind(workload, one)):
        same = list(group)
        few = same if len(same) <= MOST_OF_A_ROUND + 1 else same[:MOST_OF_A_ROUND]
        shown += [_line(scenario, workload, one) for one in few]
        if more := len(same) - len(few):
            shown.append(paragraph(f"{clean(workload.lots[same[0].lot].stated)}: and {more:,} more", 4, "  -"))
    yield from shown[:MOST_LINES]
    if len(shown) > MOST_LINES:
        yield paragraph(f"and {len(shown) - MOST_LINES:,} more", 4, "  -")


def _kind(workload: Workload, left: Left) -> tuple[str, str, str]:
    return workload.lots[left.lot].stated, workload.lots[left.lot].steps[left.step].task, left.how


def _period(first: date, last: date) -> str:
    return day_text(first) if first == last else f"from {day_text(first)} to {day_text(last)}"


def _long(seconds: int) -> str:
    """How long work takes: in minutes below an hour, for 0.0 h says nothing."""
    hours, minutes = divmod(-(-seconds // 60), 60)
    if hours and minutes % 6:  # one decimal would not tell it
        return f"{hours:,} h {minutes} min"
    return hours_text(seconds / SECONDS_PER_HOUR) if hours else f"{minutes} min"


def _line(scenario: Scenario, workload: Workload, left: Left) -> str:
    lot = workload.lots[left.lot]
    step = lot.steps[left.step]
    hours = _long(left.pieces * step.seconds_each * step.hands)
    if left.how is Leaving.OPEN:
        by = elapsed(workload).last_day(lot.treat_by_s) if lot.treat_by_s is not None else None
        since = f" after {day_text(by)}" if by else ""
        text = f"{clean(lot.stated)}: {count_text(left.pieces, 'comb')} of {lot.count:,} open to moths{since}"
    elif left.how is Leaving.LATE:
        text = f"{clean(step.task)}: {left.pieces:,} of {step.pieces:,} {clean(lot.stated)} come later than they may"
    elif lot.stated in scenario.gear:
        text = f"{clean(step.task)}: {left.pieces:,} of {step.pieces:,} {clean(lot.stated)}, {hours} of work"
    elif lot.period is not None:
        on = "on " if lot.period[0] == lot.period[1] else ""
        text = f"{clean(lot.stated)}: the one {on}{_period(*lot.period)}, {hours} of work"
    else:
        text = f"{clean(lot.stated)}: {hours} of work"
    return paragraph(text, indent=4, first="  -")
