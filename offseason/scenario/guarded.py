"""Comb that never comes to rest where moths cannot get at it, however early the work is done: no plan can help it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from offseason.scenario.comb import comb_findings
from offseason.scenario.draft import Draft, Finding
from offseason.scenario.lots import LotStep, is_stage, kind_of, steps_of
from offseason.scenario.model import Foulbrood, GearEntry
from offseason.scenario.yaml_tree import Path
from offseason.trade.moths import ARRESTED_CELSIUS, treat_by

THAWING_S = 24 * 3_600
_COLD = f"rest them at {ARRESTED_CELSIUS:g} °C or colder"


@dataclass
class _Walk:
    """What has happened to comb on its way: the steps that killed, closed and opened it again, for the wording.

    ``last``: the step after which it rests last. ``left_open``: where it lay open after its moths were killed.
    ``for_some``: a step that only some have, where it would protect all. ``opened``: one that opens what was closed.
    """

    safe: bool
    last: LotStep | None = None
    killed: LotStep | None = None
    closed: LotStep | None = None
    left_open: LotStep | None = None
    for_some: LotStep | None = None
    opened: LotStep | None = None


def guard_findings(draft: Draft) -> Iterator[Finding]:
    """Every lot of comb that must be protected and is not where it rests last."""
    # Where a step does not do to comb what it should, that is told; what follows from it is not.
    told = {finding.path[:2] for finding in comb_findings(draft)}
    for name, lot in draft.gear.items():
        if told.intersection([("gear", name), *(("tasks", step) for step in lot.steps)]):
            continue
        if not draft.sound("gear", name) or kind_of(lot) != "comb" or lot.foulbrood is Foulbrood.SUSPECTED:
            continue
        steps = steps_of(draft, lot)
        if steps is None or not _asked(draft, lot) or not _places_known(draft, lot, steps):
            continue
        walk = _walk(draft, lot, steps)
        if walk.opened is not None and walk.closed is not None:
            yield _opened_for_some(name, walk.opened, walk.closed)
        elif not walk.safe:
            yield _unguarded(name, walk)


def _asked(draft: Draft, lot: GearEntry) -> bool:
    """Whether comb is here still when it has to be protected: on its treat-by day, or as the plan ends."""
    if draft.moths is None or draft.season is None:
        return False
    place = draft.places.get(lot.rests or "")
    arrives = lot.arrives or draft.season.from_
    try:
        day = treat_by(
            arrives,
            draft.moths.season_starts,
            draft.moths.season_ends,
            lot.comb.value if lot.comb else None,
            lot.webbing_seen,
            place.celsius.highest if place and place.celsius else None,
            mean_celsius=place.celsius.mean if place and place.celsius else None,
        )
    except ValueError:
        return False
    first = min(max(day, arrives), draft.season.until)
    return draft.season.until - draft.season.from_ >= timedelta(0) and first <= (lot.ready_by or draft.season.until)


def _places_known(draft: Draft, lot: GearEntry, steps: list[LotStep]) -> bool:
    named = (lot.rests, *(step.task.then.rests for step in steps))
    return all(place is None or draft.sound("places", place) for place in named)


def _walk(draft: Draft, lot: GearEntry, steps: list[LotStep]) -> _Walk:
    """Cold kills and leaves no lasting protection: comb stays clean only if it is closed next, or kept cold."""
    place = lot.rests
    walk = _Walk(_cold(draft, place))
    clean = treated = by_seal = False
    for n, step in enumerate(steps):
        if not is_stage(steps, n):  # what only some combs have protects the others from nothing
            if step.task.kills or step.task.seals or step.task.protects == "season":
                walk.for_some = step
            elif by_seal and not step.task.uses_up:
                walk.opened = walk.opened or step
            continue
        clean = clean or step.task.kills
        walk.killed = step if step.task.kills else walk.killed
        treated = treated or step.task.protects == "season"
        if step.task.seals and clean:
            walk.closed = step
        place = step.task.then.rests or place
        kept = (step.task.seals and clean) or (clean and _closed_while_thawing(steps, n))
        unclosed = bool(step.task.uses_up or treated or step.task.protects or _cold(draft, place))
        safe, by_seal = kept or unclosed, kept and not unclosed
        walk.safe, walk.last = safe, step
        if clean and not safe:
            walk.left_open, clean = step, False
    return walk


def _cold(draft: Draft, name: str | None) -> bool:
    place = draft.places.get(name or "")
    return place is not None and place.celsius is not None and place.celsius.highest <= ARRESTED_CELSIUS


def _closed_while_thawing(steps: list[LotStep], n: int) -> bool:
    if n + 1 == len(steps) or not is_stage(steps, n + 1):
        return False
    task = steps[n + 1].task
    return task.seals and task.within is not None and task.within <= THAWING_S


def _opened_for_some(name: str, opened: LotStep, closed: LotStep) -> Finding:
    closes = f"'{closed.name[:60]}'"
    text = f"'{opened.name[:60]}' opens some of '{name[:60]}' again, which {closes} closed; put it before {closes}"
    return Finding(("gear", name, "steps", opened.index), text)


def _unguarded(name: str, walk: _Walk) -> Finding:
    lot, last = f"'{name[:60]}'", walk.last
    if walk.for_some is not None and walk.closed is None:
        some = f"'{walk.for_some.name[:60]}'"
        text = (
            f"only some of {lot} are sure to have {some}, and nothing protects the others from moths; let all have it "
        )
        text += "(importance: must, no share, not optional), or make two lots"
        return Finding(("gear", name, "steps", walk.for_some.index), text)
    if last is None:
        text = f"nothing protects {lot} from moths; add steps that freeze and seal them, or {_COLD}"
        return Finding(("gear", name), text, on_key=True)
    path: Path = ("gear", name, "steps", last.index)
    after = f"'{last.name[:60]}'"
    if last.task.seals and walk.left_open is not None:
        open_after = f"'{walk.left_open.name[:60]}'"
        text = (
            f"{after} does not protect {lot}: after {open_after} they lie open, and moths get at them again; "
            f"put {after} right after it with within: 24 h"
        )
    elif walk.closed is not None:
        text = f"nothing protects {lot} after {after}, which opens what '{walk.closed.name[:60]}' closed; "
        text += f"put it before '{walk.closed.name[:60]}', or {_COLD}"
    elif walk.killed is not None:
        kills = f"'{walk.killed.name[:60]}' kills moths and does not keep new ones out"
        text = f"nothing protects {lot} after {after}: {kills}; add a step that seals, or {_COLD}"
    else:
        text = f"nothing protects {lot} from moths after {after}; add steps that freeze and seal them, or {_COLD}"
    return Finding(path, text)
