"""What must be done and does not fit, when no plan keeps every promise."""

from __future__ import annotations

from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import clean, day_text, hours_text, paragraph
from offseason.workload.model import Schedule, Workload

SECONDS_PER_HOUR = 3600


def shortfall_text(scenario: Scenario, workload: Workload, schedule: Schedule) -> str:
    """Which pieces of which work are left over, and whether that is proven or only not found yet."""
    lines = [_line(scenario, workload, *left) for left in schedule.left_undone]
    if schedule.proven:
        certain = "No plan can do all that must be done: this is proven."
    else:
        certain = (
            f"No plan that does all that must be done was found in {schedule.seconds:.0f} s; it is not proven that "
            "there is none. A longer search may find one: try --seconds with a larger number."
        )
    advice = (
        "What can help: more hours of help or fit weather, more seats or space, gear that arrives earlier, "
        "a later date to be ready, or work marked should or could instead of must. "
        "'offseason check' shows where it is tight."
    )
    return "\n".join([paragraph(certain), "Left over:" if lines else "", *lines, paragraph(advice)]).replace(
        "\n\n", "\n"
    )


def _line(scenario: Scenario, workload: Workload, lot_number: int, step_number: int, pieces: int) -> str:
    lot = workload.lots[lot_number]
    step = lot.steps[step_number]
    hours = hours_text(pieces * step.seconds_each * step.hands / SECONDS_PER_HOUR)
    if lot.stated in scenario.gear:
        text = f"{clean(step.task)}: {pieces:,} of {step.pieces:,} {clean(lot.stated)}, {hours} of work"
    elif lot.period is not None:
        text = (
            f"{clean(lot.stated)}: the one from {day_text(lot.period[0])} to {day_text(lot.period[1])}, {hours} of work"
        )
    else:
        text = f"{clean(lot.stated)}: {hours} of work"
    return paragraph(text, indent=4, first="  -")
