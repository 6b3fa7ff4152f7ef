"""Work that needs fit weather is done in hours fit for it."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.plan.audit.broken import Broken, Promise, broken
from offseason.plan.audit.case import Case


def unfit_weather(case: Case) -> Iterator[Broken]:
    """The whole row lies inside one window of that day that is fit for the need."""
    for stint in case.timeline.stints:
        need = stint.step.weather if stint.step else None
        if need is None:
            continue
        fit = case.calendar.fit(need, stint.row.day)
        if any(begins <= stint.begins and stint.ends <= ends for begins, ends in fit):
            continue
        if fit:
            hours = ", ".join(f"{case.clock.shows(b):%H:%M}-{case.clock.shows(e):%H:%M}" for b, e in fit)
            said = f"the weather is fit for {need} only {hours} that day"
        else:
            said = f"no hour of that day is fit for {need}"
        yield broken(Promise.WEATHER, stint.row, said)
