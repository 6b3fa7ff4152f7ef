"""The remedies of a winter that does not fit, for reading: what each changes, what it costs, how sure it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, time, timedelta

from offseason.plan.document import Row
from offseason.remedy.changed import due_day, help_hours, hired_days
from offseason.remedy.lever import QUARTER_MINUTES, Change, Found, Kind, Lever, Remedy
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.share.terminal.care import care_of
from offseason.share.terminal.layout import clean, count_text, day_text, paragraph, short_day_text
from offseason.share.terminal.money import money_text
from offseason.trade.cautions import CAUTIONS

INDENT = 5
MOST_DAYS_NAMED = 4
_BY_DAYS = frozenset((Kind.INDOORS, Kind.EARLIER, Kind.LATER))
# What matters under a roof; the rest (lifting, foulbrood) is the same everywhere.
_UNDER_A_ROOF = frozenset(CAUTIONS) - {"lifting", "foulbrood"}
# common practice, no source
_PAINT_UNDER_A_ROOF = "Painting under a roof: open doors and windows."
_LOOKED_AT = (
    "more room, seats and help, a hired roof, gear fetched earlier, later dates, and work or combs given up, as far as "
    "they touch what does not fit."
)
_PROVEN = (
    "Proven here means: of plans that carry no piece of a lot over a change of people or weather, as all plans of "
    "offseason are."
)


def remedies_text(scenario: Scenario, found: Found) -> str:
    """All remedies with their numbers, cheapest first. ``scenario``: as it is, without any of them."""
    parts = [*_remedies(scenario, found), *_under_a_roof(scenario, found)]
    if found.remedies:
        proven = [paragraph(_PROVEN)] if any(_has_proof(one) for one in found.remedies) else []
        parts.append("\n".join([*proven, paragraph(_prices_from(scenario))]))
    if found.stopped:
        parts.append(paragraph("The search was stopped, so not everything was tried."))
    elif not found.all_tried:
        cheaper = "there may be cheaper ones" if found.remedies else "there may be some"
        told = f"Not everything could be tried in {found.seconds:.0f} s, so {cheaper}"
        parts.append(paragraph(f"{told}: try --seconds with a larger number."))
    return "\n\n".join(parts)


def change_text(scenario: Scenario, change: Change) -> str:
    """One change in plain words, without its price; names as they were written."""
    return _WORDS[change.lever.kind](scenario, change.lever, change.size)


def _remedies(scenario: Scenario, found: Found) -> Iterator[str]:
    if found.singles:
        several = len(found.singles) > 1
        head = "Any one of these is enough. Each was tried by itself" if several else "This is enough. It was tried"
        lines = [_numbered(n, _single(scenario, one)) for n, one in enumerate(found.singles, 1)]
        yield "\n".join([paragraph(f"{head}, and a plan that keeps every promise was found:"), *lines])
    if found.together is not None:
        yield _together(scenario, found.together, len(found.singles) + 1, alone=not found.singles)
    if not found.remedies:
        least = "No remedy was found, neither a single one nor several together."
        yield paragraph(f"{least} {'Tried were' if found.all_tried else 'Looked for were'} {_LOOKED_AT}")


def _single(scenario: Scenario, remedy: Remedy) -> str:
    (change,) = remedy.changes
    sure = _sure(change, least=remedy.least)
    return f"{change_text(scenario, change)} ({_price(scenario, remedy.price)}{f'; {sure}' if sure else ''})"


def _has_proof(remedy: Remedy) -> bool:
    """Whether it is told with a proof that less of it does not do."""
    return remedy.least and (len(remedy.changes) > 1 or _has_less(remedy.changes[0]))


def _has_less(change: Change) -> bool:
    return change.lever.kind is not Kind.OPTIONAL and change.size > 1


def _sure(change: Change, *, least: bool) -> str:
    if not _has_less(change):
        return ""
    if not least:
        return "perhaps less does too: not proven"
    if change.lever.kind is Kind.HELP:
        return "proven: with a quarter of an hour less it does not fit"
    less = count_text(change.size - 1, "day") if change.lever.kind in _BY_DAYS else f"{change.size - 1:,}"
    return f"proven: with {less} it does not fit"


def _together(scenario: Scenario, remedy: Remedy, number: int, *, alone: bool) -> str:
    sure = (
        "proven: of what was tried nothing cheaper does"
        if remedy.least
        else "perhaps something cheaper does too: not proven"
    )
    head = "No single change that was tried is enough. " if alone else ""
    told = f"{head}{'These' if alone else 'Or these'} together are; they were tried, and a plan that keeps every "
    lines = [paragraph(f"{told}promise was found:")]
    lines.append(_numbered(number, f"all of this ({_price(scenario, remedy.price)}; {sure}):"))
    for change in remedy.changes:
        text = f"{change_text(scenario, change)} ({_price(scenario, change.price)})"
        lines.append(paragraph(clean(text), INDENT + 2, f"{' ' * INDENT}-"))
    return "\n".join(lines)


def _numbered(number: int, text: str) -> str:
    return paragraph(clean(text), INDENT, f"{number:>3}.")


def _price(scenario: Scenario, price: float) -> str:
    amount = money_text(price, scenario.prices.money, whole=float(price).is_integer())
    return amount if scenario.prices.money else f"price {amount}"


def _prices_from(scenario: Scenario) -> str:
    written = scenario.prices.model_fields_set - {"money"}
    if written:
        return (
            "Prices are those under prices: in the scenario; what is not written there is a guess of offseason's own."
        )
    told = "Prices are guesses of offseason's own, from no source, only to say which remedy is the easier one"
    return f"{told}; write what things cost at your place under prices: in the scenario."


def _space(scenario: Scenario, lever: Lever, size: int) -> str:
    holds = scenario.places[lever.about].holds
    if holds is None:
        return f"room for {size:,} more in {lever.about}"
    word = {"combs": "comb", "boxes": "box"}.get(holds.unit, "piece")
    more = f"{size:,} more {word if size == 1 else holds.unit}"
    return f"room for {more} in {lever.about}: {holds.spaces + size:,} instead of {holds.spaces:,}"


def _seats(scenario: Scenario, lever: Lever, size: int) -> str:
    seats = scenario.places[lever.about].seats or 0
    return f"{size:,} more {'seat' if size == 1 else 'seats'} at {lever.about}: {seats + size:,} instead of {seats:,}"


def _help(_: Scenario, lever: Lever, size: int) -> str:
    hours = help_hours(lever, size)
    by_day: dict[date, list[str]] = {}
    for day, stretch in hours:
        by_day.setdefault(day, []).append(f"{_clock(stretch.start)}-{_clock(stretch.end)}")
    times = {" and ".join(each) for each in by_day.values()}
    if len(by_day) > MOST_DAYS_NAMED and len(times) == 1:
        days = f"{min(times)} on {len(by_day)} days, {short_day_text(min(by_day))} to {short_day_text(max(by_day))}"
    else:
        days = listed(f"{short_day_text(day)} {' and '.join(each)}" for day, each in by_day.items())
    mondays = sorted({day - timedelta(days=day.weekday()) for day in by_day})
    week = f" in the week of {day_text(mondays[0])}" if len(mondays) == 1 else ""
    return f"{_length(size * QUARTER_MINUTES)} more help from {lever.about}{week}: {days}"


def _indoors(_: Scenario, lever: Lever, size: int) -> str:
    days = listed(day_text(day) for day in hired_days(lever, size))
    on = "" if size == 1 else f" on {count_text(size, 'day')}"
    return f"a hired roof for {lever.about}{on}: {days}"


def _earlier(scenario: Scenario, lever: Lever, size: int) -> str:
    day = scenario.gear[lever.about].arrives or scenario.season.from_
    return f"{lever.about} fetched {_days(size)} earlier: {_instead(day - timedelta(days=size), day)}"


def _later(scenario: Scenario, lever: Lever, size: int) -> str:
    day = due_day(scenario, lever)
    new = _instead(day + timedelta(days=size), day)
    if not lever.about:
        return f"a season {_days(size)} longer: until {new}"
    return f"{lever.about} {'done' if lever.job else 'ready'} {_days(size)} later: by {new}"


def _optional(scenario: Scenario, lever: Lever, _: int) -> str:
    if lever.job:
        return f"{lever.about}: should instead of {scenario.jobs[lever.about].importance.value}, so it may be left out"
    fit = "it fits" if len(lever.steps) == 1 else "they fit"
    return f"{listed(lever.steps)} of {lever.about} optional: done only where {fit} in"


def _fewer(scenario: Scenario, lever: Lever, size: int) -> str:
    count = scenario.gear[lever.about].count
    return f"{size:,} of {lever.about} given up: {count - size:,} instead of {count:,}"


_WORDS: Mapping[Kind, Callable[[Scenario, Lever, int], str]] = {
    Kind.SPACE: _space,
    Kind.SEATS: _seats,
    Kind.HELP: _help,
    Kind.INDOORS: _indoors,
    Kind.EARLIER: _earlier,
    Kind.LATER: _later,
    Kind.OPTIONAL: _optional,
    Kind.FEWER: _fewer,
}


def _days(number: int) -> str:
    return count_text(number, "day")


def _instead(new: date, old: date) -> str:
    return f"{day_text(new)} instead of {day_text(old)}"


def _clock(at: time) -> str:
    return f"{at:%H:%M}"


def _length(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return " ".join([*([f"{hours} h"] if hours else []), *([f"{rest} min"] if rest else [])])


def _under_a_roof(scenario: Scenario, found: Found) -> Iterator[str]:
    """Cautions of the work that would be done indoors, each once."""
    changes = [change for remedy in found.remedies for change in remedy.changes]
    needs = {change.lever.about for change in changes if change.lever.kind is Kind.INDOORS}
    rows = [row for row in _work(scenario) if _need(scenario, row.step) in needs]
    if not rows:
        return
    painted = any(scenario.tasks[row.step].paint for row in rows if row.step in scenario.tasks)
    lines = [paragraph(_PAINT_UNDER_A_ROOF)] if painted else []
    for word, sentence in care_of(scenario, rows):
        if word in _UNDER_A_ROOF:
            lines.append(paragraph(clean(sentence)))
    if lines:
        yield "\n".join(lines)


def _need(scenario: Scenario, work: str) -> str | None:
    entry = scenario.tasks.get(work) or scenario.jobs.get(work) or scenario.rounds.get(work)
    return entry.weather if entry else None


def _work(scenario: Scenario) -> Iterator[Row]:
    """Every kind of work on every lot, as a row of no day, for its cautions."""
    names = [(name, step) for name, lot in scenario.gear.items() for step in lot.steps]
    names += [(name, name) for name in (*scenario.jobs, *scenario.rounds)]
    for lot, step in names:
        yield Row(scenario.season.from_, time(), time(), ("one", "another"), lot, step, 0)
