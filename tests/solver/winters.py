"""What the small winters of these tests are made of: days of the workshop, people, boxes, combs."""

from __future__ import annotations

from datetime import date, timedelta

from offseason.workload.model import Helper, Importance, Lot, Place, Prefer, Session, Stay, Step, Workload

MINUTE, HOUR, DAY = 60, 3_600, 86_400
FIRST = date(2026, 10, 5)
INES, TOMAS, NOOR = Helper("Ines"), Helper("Tomás, the younger"), Helper("Noor")
OPTIONAL, WISHED = Importance.COULD, Importance.SHOULD


def session(day: int, starts_h: float = 9, hours: float = 3, *, who: tuple[int, ...] = (0,), fit: str = "") -> Session:
    """A stretch of work on a day counted from 0; ``fit`` names the weather, in words set apart by spaces."""
    starts_s = round(day * DAY + starts_h * HOUR)
    fit_for = frozenset(fit.split())
    return Session(FIRST + timedelta(days=day), starts_s, starts_s + round(hours * HOUR), tuple(who), fit_for)


def mornings(days: int, hours: float = 1, *, who: tuple[int, ...] = (0,), fine: tuple[int, ...] = ()) -> list[Session]:
    """One session each day; on the ``fine`` days the weather is fit for painting."""
    return [session(d, hours=hours, who=who, fit="painting" if d in fine else "") for d in range(days)]


def lot(name: str, count: int, *steps: Step, **rest: object) -> Lot:
    """A lot the keeper calls by its own name."""
    return Lot(name, name, count, steps, **rest)  # type: ignore[arg-type]


def step(task: str, pieces: int, minutes: float, **rest: object) -> Step:
    """A step of so many minutes for each piece."""
    return Step(task, pieces, round(minutes * MINUTE), **rest)  # type: ignore[arg-type]


def winter(
    sessions: list[Session],
    *lots: Lot,
    helpers: tuple[Helper, ...] = (INES,),
    places: tuple[Place, ...] = (),
    prefer: Prefer = Prefer.EARLY,
    orders: tuple[object, ...] = (),
) -> Workload:
    """A winter that ends with the last of its days."""
    until_s = (sessions[-1].ends_s // DAY + 1) * DAY
    return Workload(tuple(sessions), helpers, places, lots, orders, prefer, until_s)  # type: ignore[arg-type]


def staying(place: int, spaces: int = 1) -> tuple[Stay, ...]:
    """At rest in a place until the next step takes it out."""
    return (Stay(place, spaces),)
