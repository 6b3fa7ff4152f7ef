"""Room to spare in a plan that works, for reading: last starts, days in hand, what is full, what one more is worth."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import TextIO

from offseason.plan.reading import CombSafety
from offseason.remedy.spare import Gain, OneMore, Spare, Use, Week
from offseason.scenario.model import Scenario
from offseason.share.terminal.layout import (
    clean,
    count_text,
    day_text,
    hours_text,
    paragraph,
    percent_text,
    short_day_text,
    table,
)
from offseason.share.terminal.progress import ProgressLine, Searching

NEXT_FROM = 0.5
"""The second fullest of a week is named where it is at least as full as this. Ours."""

STARTS = (
    "Each day stands alone: the latest on which the first piece of this step can be done so that all that must be done "
    "still is, with all other work planned anew around it and what is optional given up for it if need be. Days: from "
    "the planned to the latest. Not everything can be late at once. Rounds are left out: they have days of their own."
)
OPEN = (
    "'latest' with an 'or up to' beside it: a plan was found that begins it on the first day; up to the second one it "
    "was neither found nor ruled out in this time, and it is proven that none begins it after that."
)
EDGES = (
    "Latest and proven are meant of plans that carry no piece of a lot over a change of people or weather, as all "
    "plans of offseason are."
)
WORTHS = (
    "The winter was planned once as it is and once with each of these; each search was given {each} s and the same "
    "seed. Each stands alone: two together may be worth more or less. A number is what is proven by both searches; "
    "where what they could not settle is larger than what they found, no difference could be proved."
)
FULLEST = (
    "Hours of people, seats and fit weather: what the plan uses of the week's. Space: how full the place is at its "
    "fullest moment."
)
GAINS = {
    "comb exposed to moths": "comb in the open: {} comb degree-days less",
    "optional work left": "optional work: {} pieces by worth more",
    "work done early": "an hour of work waits {} days less on average",
    "days called": "{} helper-days fewer",
    "busiest week": "the busiest week: {} h less",
}
"""What less of an aim means to a keeper, by the name of the aim."""


LEAST_SHOWN = 0.01
"""Smaller gains are not told in figures. Ours."""


class StageLine(ProgressLine):
    """The progress line of a search that has many small questions: only how long it has run, and what is asked now."""

    def __init__(self, stream: TextIO, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(stream, clock)
        self._last_stage = ""

    def __call__(self, at: Searching) -> None:
        """Show this question."""
        text = f"{at.seconds:.0f} s · {clean(at.stage)}"
        now = self._clock()
        if self._terminal:
            self._write(f"\r{text[:79]:<79}")
            self._open = True
        elif at.stage != self._last_stage and (self._last_written is None or now - self._last_written >= 5):
            self._write(text + "\n")
            self._last_written, self._last_stage = now, at.stage


def spare_text(scenario: Scenario, spare: Spare) -> str:
    """The whole report on a plan that keeps every promise."""
    season = scenario.season
    parts = [
        paragraph(f"{clean(season.name)}: room to spare, {day_text(season.from_)} to {day_text(season.until)}"),
        paragraph("Stopped early: what follows is what was known by then.") if spare.stopped else "",
        _starts(spare),
        _combs(scenario, spare.combs),
        _weeks(spare.weeks),
        _worths(spare),
    ]
    return "\n\n".join(part for part in parts if part)


def _starts(spare: Spare) -> str:
    if not spare.starts:
        return ""
    open_ = any(not one.proven for one in spare.starts)
    rows = [
        (
            one.lot,
            "" if one.step == one.lot else one.step,
            short_day_text(one.begins),
            short_day_text(one.last),
            *([("" if one.proven else short_day_text(one.not_after))] if open_ else []),
            f"{one.days}{'' if one.proven else '+'}",
        )
        for one in spare.starts
    ]
    headers = ("Lot or job", "step", "planned", "latest", *(["or up to"] if open_ else []), "days")
    said = [paragraph(STARTS), *([paragraph(OPEN)] if open_ else []), *([paragraph(EDGES)] if spare.edges else [])]
    return "\n".join(
        ["How late can each step begin?", table(rows, headers, numbers=(len(headers) - 1,), wrap=(0, 1)), *said]
    )


def _combs(scenario: Scenario, combs: Sequence[CombSafety]) -> str:
    if not combs:
        return ""
    rows = [
        (
            one.lot,
            f"{one.combs:,}",
            short_day_text(one.since) if one.since else "as it came",
            short_day_text(one.treat_by) if one.treat_by else "-",
            "-" if one.days_in_hand is None else f"{one.days_in_hand}",
        )
        for one in combs
    ]
    headers = ("Comb", "combs", "all safe on", "must be by", "days in hand")
    starts = scenario.moths.season_starts if scenario.moths else None
    last = max((one.since for one in combs if one.since is not None), default=None)
    return "\n".join(
        [
            "When is the comb safe from moths?",
            table(rows, headers, numbers=(1, 4), wrap=(0,)),
            *_before_moths(last, starts),
        ]
    )


def _before_moths(last: date | None, starts: date | None) -> Iterator[str]:
    if last is not None and starts is not None and starts > last:
        days = count_text((starts - last).days, "day")
        yield paragraph(f"From the day the last comb is safe it is {days} to the moth season on {day_text(starts)}.")


def _weeks(weeks: Sequence[Week]) -> str:
    if not weeks:
        return ""
    rows = []
    for week in weeks:
        fullest, following = [*week.uses, None, None][:2]
        rows.append(
            (
                short_day_text(week.monday),
                hours_text(week.hours),
                _use(fullest) if fullest else "-",
                _use(following) if following and following.share >= NEXT_FROM else "",
            )
        )
    headers = ("Week from", "work", "fullest", "next")
    return "\n".join(
        ["What is fullest in each week?", table(rows, headers, numbers=(1,), wrap=(2, 3)), paragraph(FULLEST)]
    )


def _use(use: Use) -> str:
    named = {
        "person": f"{use.name}'s hours",
        "place": f"seats at {use.name}",
        "weather": f"hours fit for {use.name}",
        "space": f"space in {use.name}",
    }[use.what]
    return f"{named} {percent_text(use.share)}"


def _worths(spare: Spare) -> str:
    if spare.worths is None:
        return ""
    if not spare.worths:
        return (
            ""
            if spare.stopped
            else paragraph("One more of what? No seat, space or hour is used so far that it holds back.")
        )
    rows = [(_one_more(one), _worth(one)) for one in spare.worths]
    said = paragraph(WORTHS.format(each=f"{spare.each_s:.1f}")) if spare.each_s else ""
    text = table(rows, ("One more", "is worth"), wrap=(0, 1))
    return "\n".join(["What is one more worth?", text, *([said] if said else [])])


def _one_more(one: OneMore) -> str:
    if one.what == "person":
        week = f"in the week from {short_day_text(one.week)}" if one.week else ""
        when = f" ({short_day_text(one.day)} {one.hour})" if one.day else ""
        return f"hour of {one.name} {week}{when}"
    return f"seat at {one.name}" if one.what == "place" else f"ten spaces in {one.name}"


def _worth(one: OneMore) -> str:
    if one.by_itself:
        return f"nothing: {one.by_itself}"
    if not one.compared:
        return "not known: in this time the winter was not planned both with it and without it"
    sure = [gain for gain in one.gains if gain.certain]
    if sure:
        return "; ".join(_said(gain, _between(gain)) for gain in sure)
    if one.to_the_end and all(gain.nothing for gain in one.gains):
        return "nothing: proven"
    open_ = [gain for gain in one.gains if not gain.nothing and not gain.whole]
    if not open_:
        return "no difference that could be proved"
    return (
        f"no difference that could be proved ({'; '.join(_said(gain, f'at most {_up(gain.most)}') for gain in open_)})"
    )


def _between(gain: Gain) -> str:
    """``0.3 to 0.7``; one number where both searches came to their end."""
    if math.isclose(gain.sure, gain.most, rel_tol=1e-6):
        return _number(gain.sure) if gain.sure >= LEAST_SHOWN else f"less than {LEAST_SHOWN}"
    low = _down(gain.sure)
    return f"{low} to {_up(gain.most)}" if low != "0" else f"up to {_up(gain.most)}"


def _said(gain: Gain, amount: str) -> str:
    return GAINS.get(gain.aim, f"{gain.aim}: {{}} {gain.unit} less").format(amount)


def _up(value: float) -> str:
    """Rounded so that what is said holds: a number that is not exceeded."""
    factor = 10 ** _decimals(value)
    return _number(math.ceil(value * factor - 1e-6) / factor)


def _down(value: float) -> str:
    """Rounded the other way: a number that is reached."""
    factor = 10 ** _decimals(value)
    return _number(math.floor(value * factor + 1e-6) / factor)


def _decimals(value: float) -> int:
    return 0 if value >= 100 else 1 if value >= 10 else 2


def _number(value: float) -> str:
    text = f"{value:,.2f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
