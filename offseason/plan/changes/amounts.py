"""Why there is more or less to do of a lot and step than the old plan had."""

from __future__ import annotations

from offseason.plan.changes.direct import gone
from offseason.plan.changes.entries import totals_of
from offseason.plan.changes.model import Cause, Change, Kind, Reason, Side
from offseason.plan.changes.overdue import Progress
from offseason.workload.model import Importance, Step


def less(old: Side, new: Side, change: Change, progress: Progress) -> Reason | None:
    """Why there is less to do than the old plan had; of what is left over from days that are over, why it fell away."""
    work = change.key[2:]
    if change.kind not in (Kind.DROPPED, Kind.FEWER):
        return None
    if new.scenario is not None and (told := gone(new.scenario, *work)):
        return Reason(Cause.GONE, told)
    if progress.ahead(work) and not change.overdue:
        return progress.why_less(work)
    asked, had = _asked(new, work), totals_of(old.plan.rows)[work]
    if asked is None or asked >= had or (asked and _renewed(new, work)):
        return None
    return Reason(Cause.GEAR, f"only {asked:,} to do now, not {had:,}" if asked else "no longer asked for")


def more(old: Side, new: Side, change: Change, progress: Progress) -> Reason | None:
    """Why there is more to do than the old plan had, or the same again."""
    work = change.key[2:]
    if change.kind not in (Kind.NEW, Kind.MORE):
        return None
    if again := progress.why_again(work):
        return again
    had, has = (totals_of(side.plan.rows)[work] for side in (old, new))
    asked, was_asked = _asked(new, work), _asked(old, work)
    if has <= had or (asked is not None and has > asked):
        return None
    return _left_before(old, work, had, has) or _newly_asked(new, work, had, has, was_asked)


def _left_before(old: Side, work: tuple[str, str], had: int, has: int) -> Reason | None:
    left = _was_left(old, work)
    if not left:
        return None
    if has - had <= left:
        return Reason(Cause.POSSIBLE_NOW, "was left before and fits now")
    return Reason(Cause.ASKED, f"{has:,} to do now, not {had + left:,}, of which {left:,} were left")


def _newly_asked(new: Side, work: tuple[str, str], had: int, has: int, was_asked: int | None) -> Reason:
    asked = _asked(new, work)
    if was_asked == 0:
        return Reason(Cause.ASKED, "new in the scenario")
    if had == 0 and was_asked is None:
        return Reason(Cause.ASKED, "not in the old plan")
    if asked == was_asked and asked is not None:
        return Reason(Cause.FIT, f"asked for before too; the old plan had {had:,} of {asked:,}")
    if was_asked is None and not _is_must(new, work):
        return Reason(Cause.FIT, f"the old plan had {had:,} of {asked:,}" if asked else f"the old plan had {had:,}")
    return Reason(Cause.ASKED, f"{has:,} to do now, not {had:,}")


def _was_left(old: Side, work: tuple[str, str]) -> int:
    """Pieces that the old plan says it never does."""
    return sum(one.pieces for one in old.plan.left if (one.lot, one.step, one.how) == (*work, "undone"))


def _steps(side: Side, work: tuple[str, str]) -> list[Step]:
    if side.workload is None:
        return []
    lots = (lot for lot in side.workload.lots if lot.stated == work[0])
    return [step for lot in lots for step in lot.steps if step.task == work[1]]


def _asked(side: Side, work: tuple[str, str]) -> int | None:
    """Pieces the winter asks for, renewing a treatment aside; None where it is not known."""
    if side.workload is None:
        return None
    return sum(step.pieces for step in _steps(side, work) if step.worth != 0)


def _renewed(side: Side, work: tuple[str, str]) -> bool:
    """Whether a plan may have more of it than is asked for."""
    return any(step.worth == 0 for step in _steps(side, work))


def _is_must(side: Side, work: tuple[str, str]) -> bool:
    return any(step.importance is Importance.MUST for step in _steps(side, work))
