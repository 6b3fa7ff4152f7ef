"""What must be done and does not fit, when no plan keeps every promise."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import clean, day_text, hours_text, paragraph
from offseason.workload.model import Schedule, Workload

SECONDS_PER_HOUR = 3600
MOST_OF_A_ROUND = 3
MOST_LINES = 20


def shortfall_text(scenario: Scenario, workload: Workload, schedule: Schedule) -> str:
    """Which pieces of which work are left over, and whether that is proven or only not found yet."""
    lines = list(_lines(scenario, workload, schedule.left_undone))
    if schedule.proven:
        certain = "No plan can do all that must be done: this is proven."
    else:
        certain = (
            f"No plan that does all that must be done was found in {schedule.seconds:.0f} s; it is not proven that "
            "there is none. A longer search may find one: try --seconds with a larger number. (Every piece of a lot is "
            "planned between two changes of people or weather; one carried over such a change may fit.)"
        )
    advice = (
        "What can help: more hours of help or fit weather, more seats or space, gear that arrives earlier, "
        "a later date to be ready, or work marked should or could instead of must. "
        "'offseason check' shows where it is tight."
    )
    return "\n".join([paragraph(certain), "Left over:" if lines else "", *lines, paragraph(advice)]).replace(
        "\n\n", "\n"
    )


def _lines(scenario: Scenario, workload: Workload, left_undone: Sequence[tuple[int, int, int]]) -> Iterator[str]:
    """A line for each; of one round only the first few, and of all only so many as will be read."""
    shown: list[str] = []
    for _, group in groupby(left_undone, key=lambda left: _kind(workload, left[0], left[1])):
        same = list(group)
        few = same if len(same) <= MOST_OF_A_ROUND + 1 else same[:MOST_OF_A_ROUND]
        shown += [_line(scenario, workload, *left) for left in few]
        if more := len(same) - len(few):
            shown.append(paragraph(f"{clean(workload.lots[same[0][0]].stated)}: and {more:,} more", 4, "  -"))
    yield from shown[:MOST_LINES]
    if len(shown) > MOST_LINES:
        yield paragraph(f"and {len(shown) - MOST_LINES:,} more", 4, "  -")


def _kind(workload: Workload, lot: int, step: int) -> tuple[str, str]:
    return workload.lots[lot].stated, workload.lots[lot].steps[step].task


def _period(first: date, last: date) -> str:
    return day_text(first) if first == last else f"from {day_text(first)} to {day_text(last)}"


def _line(scenario: Scenario, workload: Workload, lot_number: int, step_number: int, pieces: int) -> str:
    lot = workload.lots[lot_number]
    step = lot.steps[step_number]
    hours = hours_text(pieces * step.seconds_each * step.hands / SECONDS_PER_HOUR)
    if lot.stated in scenario.gear:
        text = f"{clean(step.task)}: {pieces:,} of {step.pieces:,} {clean(lot.stated)}, {hours} of work"
    elif lot.period is not None:
        on = "on " if lot.period[0] == lot.period[1] else ""
        text = f"{clean(lot.stated)}: the one {on}{_period(*lot.period)}, {hours} of work"
    else:
        text = f"{clean(lot.stated)}: {hours} of work"
    return paragraph(text, indent=4, first="  -")
