"""The minutes of a row: long enough for its pieces, and with set-up before the first work of its kind."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.plan.audit.broken import Broken, Promise, broken, length_text, named, pieces_text
from offseason.plan.audit.case import Case
from offseason.plan.audit.clock import span_around
from offseason.plan.audit.timeline import Stint


def too_short(case: Case) -> Iterator[Broken]:
    """A row lasts at least its set-up and the minutes of each of its pieces."""
    for stint in case.timeline.stints:
        lasts = stint.ends - stint.begins
        if lasts <= 0:
            yield broken(Promise.LENGTH, stint.row, "it ends before it begins")
        elif stint.step is not None:
            takes = stint.first_piece - stint.begins + stint.row.pieces * stint.step.seconds_each
            if lasts < takes:
                work = f"{pieces_text(stint.row.pieces)} of {length_text(stint.step.seconds_each)} each"
                set_up = " with set-up" if stint.first_piece > stint.begins else ""
                short = f"{work}{set_up} take {length_text(takes)}, and it lasts {length_text(lasts)}"
                yield broken(Promise.LENGTH, stint.row, f"{short}: {length_text(takes - lasts)} too short")


def set_up_forgotten(case: Case) -> Iterator[Broken]:
    """In each stretch of a day, the first row of work that needs setting up carries it, and no other runs ahead."""
    first_of: dict[tuple[str, int, int], list[Stint]] = {}
    for stint in case.timeline.stints:
        if stint.step is not None and stint.step.setup_s > 0:
            stretch = span_around(case.calendar.stretches.get(stint.row.day, ()), stint.begins)
            begins = stretch[0] if stretch else case.clock.midnight_after(stint.row.day)
            first_of.setdefault((stint.step.name, stint.step.setup_s, begins), []).append(stint)
    for (work, setup_s, _), stints in first_of.items():
        yield from _one_stretch(work, setup_s, stints)


def _one_stretch(work: str, asked: int, stints: list[Stint]) -> Iterator[Broken]:
    first = min(stints, key=lambda s: (s.begins, s.begins - s.first_piece))
    given = first.first_piece - first.begins
    if given < asked:
        said = f"setting up for {work} takes {length_text(asked)} before the first piece of the stretch"
        yield broken(Promise.SET_UP, first.row, f"{said}; here it has {length_text(given)}")
        return
    ready = first.begins + asked
    for stint in stints:
        if stint.first_piece < ready:
            early = length_text(ready - stint.first_piece)
            said = f"it begins its pieces {early} before the set-up has ended ({named(first.row)})"
            yield broken(Promise.SET_UP, stint.row, said)
