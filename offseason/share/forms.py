"""All the files a plan is handed out in, made before any of them is written."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from types import MappingProxyType

from offseason.share.calendar import calendar_of, trouble_with
from offseason.share.file_names import file_names
from offseason.share.folder import Ours
from offseason.share.handout import Handout
from offseason.share.page import page_html
from offseason.share.sheets import text_of, work_csv

EVERYBODY = "everybody"
SHARED = "shared.plan.yaml"
"""The plan as it was shared, from which the next one tells what changed."""
SHARED_BEFORE = f"{SHARED}.before"
_ANOTHER = (
    "What was shared into this folder before was of another winter, or the scenario's file or the season had another "
    "name: its files are replaced, and calendars are begun anew. What was imported from the old ones stays on the "
    "phones: have it taken off there if it is the same winter."
)


@dataclass(frozen=True)
class Forms:
    """Files by name in the order in which they are written, and all that is ours in the folder afterwards.

    ``gone``: those who are no longer in the plan and had files; ``remarks``: sentences for the keeper.
    """

    files: Mapping[str, bytes]
    after: Ours
    gone: tuple[str, ...]
    remarks: tuple[str, ...]


def forms(
    handout: Handout,
    svg: str,
    kept: Mapping[str, bytes],
    ours: Ours,
    old: Callable[[str], bytes | None],
    *,
    now: datetime,
    alarm_minutes: int | None,
) -> Forms:
    """The page, the calendars, the table, the texts and the picture.

    ``kept``: files to go with them, written last. ``old``: what was written last time into a file, by name; None where
    that was not ours. Within a winter names of files stay what they were, and who is no longer in the plan has a
    calendar all the same, in which all is called off.
    """
    of_another = bool(ours.winter) and ours.winter != handout.winter_id
    names = file_names([*(() if of_another else ours.people), *handout.people])
    gone = tuple(person for person in names if person not in handout.people)
    remarks = [_ANOTHER] if of_another else []

    def calendar(name: str, shown: Handout, who: str | None) -> bytes:
        before = old(name)
        if before is not None and (trouble := trouble_with(before)):
            remarks.append(f"{name}: {trouble}")
        return calendar_of(shown, who, before, now=now, alarm_minutes=alarm_minutes)

    def calendars() -> Iterator[tuple[str, bytes]]:
        yield f"{EVERYBODY}.ics", calendar(f"{EVERYBODY}.ics", handout, None)
        for person, name in names.items():
            shown = replace(handout, deadlines=()) if person in gone else handout
            yield f"{name}.ics", calendar(f"{name}.ics", shown, person)

    files = {
        "page.html": page_html(handout, svg).encode(),
        **dict(calendars()),
        "work.csv": work_csv(handout),
        f"{EVERYBODY}.txt": text_of(handout, None).encode(),
        **{f"{names[person]}.txt": text_of(handout, person).encode() for person in names if person not in gone},
        "winter.svg": svg.encode(),
        **kept,
    }
    people = {f"{name}.{kind}": person for person, name in names.items() for kind in ("ics", "txt")}
    # by person: whoever came first keeps the name without a number
    in_order = {name: person for name, person in people.items() if name in files}
    after = Ours(handout.winter_id, MappingProxyType({**in_order, **{name: people.get(name) for name in files}}))
    return Forms(MappingProxyType(files), after, gone, tuple(remarks))
