"""What can be said of a scenario before any planning: hours of work against hours of help, and where it is tight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from offseason.plan.document import LeftOver
from offseason.plan.reading import no_room_said
from offseason.remedy.contradiction import Contradiction
from offseason.scenario.foundation import foundation_remarks
from offseason.scenario.model import Foulbrood, Scenario
from offseason.scenario.nearest import listed
from offseason.share.terminal.contradiction import contradiction_text
from offseason.share.terminal.layout import clean, count_text, day_text, hours_text, paragraph, remarks_text, table
from offseason.weather.outlook import Outlook
from offseason.workload.balance import Balance, SkillBalance

HEADER = (
    "Hours of one person, without setting up. When the work will be done is not known before planning, so the "
    "months are counted up: by the end of a month, what is due must be done, and what is at hand can be."
)

MOST_SKILL_ROWS = 4
LONGEST_LAST_WAIT_DAYS = 30
"""Nothing waits longer in a rack or freezer. Ours."""

WORTH_READING = 0.25
"""Groups of people with less of their help asked for than this share are not tight, and are left out."""


def check_text(
    scenario: Scenario,
    balance: Balance,
    outlook: Outlook | None = None,
    contradicting: Sequence[Contradiction] = (),
) -> str:
    """The balances as tables, each followed by a sentence where something is short; and what weather is expected.

    ``contradicting``: what of the file cannot be true at once.
    """
    season = scenario.season
    title = f"{clean(season.name)}, {day_text(season.from_)} to {day_text(season.until)}"
    total = (
        f"{hours_text(balance.help_hours)} of help for {hours_text(balance.must_hours)} of work that must be done and "
        f"{hours_text(balance.optional_hours)} that should or could be."
    )
    parts = [paragraph(title), paragraph(total), paragraph(HEADER), _months(balance)]
    parts += [text for text in (_places(balance), _weather(balance), _skills(balance), _spaces(balance)) if text]
    weather = "\n".join(paragraph(said) for said in outlook.said) if outlook else ""
    said = [text for text in (weather, remarks_text(foundation_remarks(scenario))) if text]
    said += [text for text in (contradiction_text(contradicting),) if text]
    return "\n\n".join([*parts, *said, "\n".join(_verdict(scenario, balance, bool(contradicting)))])


def _h(hours: float) -> str:
    return f"{hours:,.1f}"


def _month(day: date) -> str:
    return f"{day:%b %Y}"


def _months(balance: Balance) -> str:
    rows = [
        (
            _month(month.until),
            _h(month.help_hours),
            _h(month.help_so_far),
            _h(month.must_due),
            _h(month.must_at_hand),
            _h(month.optional_at_hand),
            _short(month.must_due, month.help_so_far),
        )
        for month in balance.months
    ]
    headers = ("By the end of", "help", "so far", "must be done", "at hand", "optional", "")
    return table(rows, headers, numbers=range(1, 6))


def _short(wanted: float, there: float) -> str:
    return f"{_h(wanted - there)} h short" if wanted > there + 0.05 else ""


def _places(balance: Balance) -> str:
    rows = [
        (p.place, _h(p.must_hours), _h(p.optional_hours), _h(p.open_hours), _short(p.must_hours, p.open_hours))
        for p in balance.places
    ]
    return _table_or_nothing(rows, ("Seats at", "must", "optional", "hours open", ""), range(1, 4))


def _weather(balance: Balance) -> str:
    rows = [
        (
            w.need,
            _h(w.must_hours),
            _h(w.optional_hours),
            _h(w.fit_hours),
            count_text(w.fit_days, "day"),
            _short(w.must_hours, w.fit_hours),
        )
        for w in balance.weather
    ]
    return _table_or_nothing(rows, ("Weather for", "must", "optional", "hours fit", "on", ""), range(1, 5))


def _skills(balance: Balance) -> str:
    rows = [
        (
            listed(s.helpers) or "nobody",
            listed(s.kinds),
            _h(s.must_hours),
            _h(s.optional_hours),
            _h(s.help_hours),
            _short(s.must_hours, s.help_hours),
        )
        for s in sorted(balance.skills, key=_taken, reverse=True)[:MOST_SKILL_ROWS]
        if _taken(s) >= WORTH_READING or s.must_hours > s.help_hours
    ]
    return _table_or_nothing(rows, ("Only by", "this work", "must", "optional", "help", ""), range(2, 5))


def _taken(skill: SkillBalance) -> float:
    """Share of the help of these people that the work only they can do asks for."""
    return (skill.must_hours + skill.optional_hours) / skill.help_hours if skill.help_hours else 9.9


def _spaces(balance: Balance) -> str:
    rows = [
        (s.place, f"{s.holds:,}", f"{s.spaces_asked:,}", f"{s.spaces_asked / s.holds:,.1f}", f"{s.least_days:,.1f}")
        for s in balance.spaces
        if s.spaces_asked >= s.holds  # what is never even once full need not be read
    ]
    return _table_or_nothing(rows, ("Space at", "holds", "asked in all", "times full", "days at least"), range(1, 5))


def _table_or_nothing(rows: Sequence[tuple[str, ...]], headers: tuple[str, ...], numbers: range) -> str:
    return table(rows, headers, numbers=numbers, wrap=range(numbers[0])) if rows else ""


def _verdict(scenario: Scenario, balance: Balance, contradicts: bool) -> Iterator[str]:
    tight = balance.tightest
    if tight is not None:
        text = (
            f"Tightest: from {day_text(tight.first)} to {day_text(tight.last)} there are "
            f"{hours_text(tight.help_hours)} of help for {hours_text(tight.must_hours)} of work that arrives and is "
            f"due in these days"
        )
        yield paragraph(text + (f": {hours_text(tight.short_hours)} short." if tight.short_hours > 0.05 else "."))
    for one, day in balance.crowded:
        said = no_room_said(LeftOver("", "", one.spaces, "overfull", one.place, day), scenario)
        yield paragraph(f"{clean(said)}, unless as much is moved out of it before.")
    for name, gear in scenario.gear.items():
        if gear.foulbrood is Foulbrood.SUSPECTED:
            yield paragraph(f"{clean(name)}: foulbrood is suspected, so no work is planned on this gear.")
    if contradicts:
        yield paragraph("This winter cannot be planned as it stands: the file contradicts itself, as told above.")
    elif any(_lacking(scenario, balance)):
        yield paragraph("This winter cannot be planned as it stands: more is asked than there is.")
    else:
        yield paragraph("Nothing is short by adding up; whether it all fits together, only a plan can show.")


def _lacking(scenario: Scenario, balance: Balance) -> Iterator[bool]:
    yield balance.tightest is not None and balance.tightest.short_hours > 0.05
    yield from (place.must_hours > place.open_hours + 0.05 for place in balance.places)
    yield from (weather.must_hours > weather.fit_hours + 0.05 for weather in balance.weather)
    yield from (skill.must_hours > skill.help_hours + 0.05 for skill in balance.skills)
    # the last pieces need not have waited when the season ends
    days = scenario.season.days + LONGEST_LAST_WAIT_DAYS
    yield from (space.least_days > days for space in balance.spaces)
