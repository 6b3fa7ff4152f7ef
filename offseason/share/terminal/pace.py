"""The pace of the work so far, and whether the winter still fits at it, for reading."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from offseason.plan.progress.likelihood import Deadline, Likelihood
from offseason.plan.progress.pace import ENOUGH_ENTRIES, Pace, Unused
from offseason.scenario.nearest import listed
from offseason.share.terminal.layout import clean, count_text, day_text, hours_text, paragraph, table
from offseason.workload.balance import Balance

MOST_DEADLINES = 8
_HOW = (
    "Minutes for one piece: the middle row of those that tell minutes (the median), so that a single typing mistake "
    "does not move it. In half of the rows it took between the two numbers under 'mostly'."
)


def pace_text(
    learnt: Sequence[Pace],
    left_out: Mapping[Unused, int],
    jobs: Sequence[str],
    remarks: Sequence[str] = (),
    by_lot: Sequence[Sequence[Pace]] = (),
) -> str:
    """The paces as a table, then what was not learnt from. ``jobs``: names whose pieces are parts of a job.

    ``by_lot``: paces of lots that are planned with one number and take another time each.
    """
    parts = [remarks_of(remarks)] if remarks else []
    if learnt:
        rows = [(p.name, _minutes(p.planned_minutes_each), *_learnt(p)) for p in learnt]
        headers = ("Work", "planned", "here", "mostly", "from", "difference")
        parts += [table(rows, headers, numbers=(1, 2), wrap=(0,)), paragraph(_HOW)]
    else:
        parts.append(paragraph("No row of the log tells minutes that a pace could be learnt from."))
    parts += [_by_lot(of_lots) for of_lots in by_lot]
    if any(p.step in jobs for p in learnt):
        parts.append(paragraph("A piece of a job is an equal part of it, a quarter of an hour as planned."))
    if left_out:
        told = listed(f"{count_text(n, 'row')} {why.value}" for why, n in left_out.items())
        parts.append(paragraph(f"Not learnt from: {told}."))
    return "\n\n".join(parts)


def _by_lot(of_lots: Sequence[Pace]) -> str:
    each = listed(f"{p.lot} {_minutes(p.median_minutes_each)} ({count_text(p.entries, 'row')})" for p in of_lots)
    return paragraph(
        clean(
            f"'{of_lots[0].step}' takes another time by lot: {each}. In the scenario one number stands for all of "
            "them; where that matters, give each of these lots a task of its own there."
        )
    )


def remarks_of(remarks: Sequence[str]) -> str:
    """What is to be said of the log itself."""
    return "\n".join(paragraph(remark) for remark in remarks)


def likelihood_text(found: Likelihood, learnt: Sequence[Pace]) -> str:
    """What adding up says of the rest of the winter, with the deadlines as a table."""
    return "\n\n".join(part for part in _likelihood(found, learnt) if part)


def _minutes(minutes: float) -> str:
    return f"{minutes:,.1f}".removesuffix(".0") if minutes >= 1 else f"{minutes:.2g}"


def _learnt(pace: Pace) -> tuple[str, str, str, str]:
    mostly = f"{_minutes(pace.quick)}-{_minutes(pace.slow)}" if pace.entries > 1 else "-"
    share = f"{100 * (pace.ratio - 1):+.0f} %"
    said = "too few to say" if not pace.enough else "as planned" if not pace.differs else share
    return _minutes(pace.median_minutes_each), mostly, count_text(pace.entries, "row"), said


def _likelihood(found: Likelihood, learnt: Sequence[Pace]) -> Iterator[str]:
    known = any(pace.enough for pace in learnt)
    if found.asked:
        took = f"; at the pace so far it takes {hours_text(found.took)}{_too_much(found)}" if known else ""
        yield paragraph(
            f"The plan{_anew(found)} had {hours_text(found.asked)} of work before {day_text(found.first)}{took}. "
            f"{hours_text(found.offered)} of help were offered in these days."
        )
    if found.overdue:
        yield paragraph(
            f"{hours_text(found.overdue)} of work that must be done are late: their day is past. They are counted "
            "to the last day below."
        )
    if found.missed:
        rounds = listed(f"{name} ({found.missed.count(name)})" for name in dict.fromkeys(found.missed))
        yield paragraph(f"Not in the log, and their days are past: {rounds}.")
    tight = found.tightest
    if tight is None:
        yield paragraph("Apart from rounds, no work that must be done is left.")
        return
    yield _table(found.deadlines, known=known)
    yield "\n".join(paragraph(sentence) for sentence in _verdict(found, tight, known=known))


def _anew(found: Likelihood) -> str:
    return f" made anew on {day_text(found.since)}" if found.since else ""


def _too_much(found: Likelihood) -> str:
    return ", more than there was help" if found.took > found.offered + 0.05 else ""


def _table(deadlines: Sequence[Deadline], *, known: bool) -> str:
    tight = sorted(deadlines, key=lambda d: d.spare_hours / max(d.hours, 0.1))[:MOST_DEADLINES]
    rows = [
        (
            day_text(d.day),
            f"{d.planned_hours:,.1f}",
            f"{d.hours:,.1f}" if known else "-",
            f"{d.help_hours:,.1f}",
            f"{d.spare_hours:,.1f} h spare" if d.spare_hours >= -0.05 else f"{-d.spare_hours:,.1f} h short",
        )
        for d in sorted(tight, key=lambda d: d.day)
    ]
    headers = ("Must be done by", "as planned", "at the pace", "help left", "")
    more = len(deadlines) - len(rows)
    left_out = f"\n{paragraph(f'The {more} others have more to spare.', 2, ' ')}" if more else ""
    return table(rows, headers, numbers=(1, 2, 3)) + left_out


def _verdict(found: Likelihood, tight: Deadline, *, known: bool) -> Iterator[str]:
    pace = "At the pace so far" if known else "As planned"
    needs = (
        f"{pace} the must-work needs {hours_text(tight.hours)} by {day_text(tight.day)}; "
        f"{hours_text(tight.help_hours)} of help are left until then"
    )
    short = list(_short(found.balance))
    if tight.spare_hours < -0.05:
        yield f"{needs}: it will not fit, {hours_text(-tight.spare_hours)} are missing."
    else:
        last = found.deadlines[-1]
        but = "; but it will not fit otherwise:" if short else "."
        if last.day != tight.day:
            but = f"; by {day_text(last.day)} there are {hours_text(last.spare_hours)}{but}"
        yield f"{needs}: {'there are' if short else 'it fits with'} {hours_text(tight.spare_hours)} to spare{but}"
    yield from short
    if not known:
        yield f"No pace is known yet: it wants {ENOUGH_ENTRIES} rows with minutes of one kind of work."
    yield (
        "This is an estimate by adding up hours, without setting up, order, places and weather; it is not a plan. "
        "Whether it fits together, only planning anew can show."
    )


def _short(balance: Balance) -> Iterator[str]:
    for w in balance.weather:
        if w.must_hours > w.fit_hours + 0.05:
            yield (
                f"Weather for {w.need}: {hours_text(w.must_hours)} of must-work for {hours_text(w.fit_hours)} fit for "
                "it while somebody is here."
            )
    for p in balance.places:
        if p.must_hours > p.open_hours + 0.05:
            yield f"Seats at {p.place}: {hours_text(p.must_hours)} of must-work for {hours_text(p.open_hours)} open."
    for s in balance.skills:
        if s.must_hours > s.help_hours + 0.05:
            who = listed(s.helpers) or "nobody"
            yield f"{listed(s.kinds)}: {hours_text(s.must_hours)}, but {hours_text(s.help_hours)} of help by {who}."
