"""The search: a first plan on the clock, the relaxation to lead a better one, CP-SAT for the rest and for the proof."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

import numpy as np

from offseason.solver.cpsat import Search
from offseason.solver.dispatch import Dispatched, dispatch
from offseason.solver.jobs_alone import jobs_alone
from offseason.solver.manner import Manner
from offseason.solver.model import Model, build, build_with_shortfall
from offseason.solver.relaxation import Relaxation, rounded_up
from offseason.solver.rows import Matrix
from offseason.workload.model import AimReached, Importance, Order, Prefer, Schedule, Work, Workload

FIRST_MANNERS = tuple(
    Manner(optional=optional, caution=caution, full_loads=full)
    for optional in (Importance.COULD, Importance.SHOULD, Importance.MUST)
    for caution, full in ((0.6, 1.0), (0.3, 0.5), (0.9, 0.0))
)
"""Ways to make a first plan, tried in turn until one keeps every promise."""

LED_MANNERS = ((False, 0.0, False), (True, 1.0, False), (True, 0.0, True), (True, 1.0, True))
"""(fill, full_loads, gather) of the dispatches tried along one guide."""

SHARE_OF_TIME = 0.3
"""Part of the time left that an aim before the last may take."""


RELAXATION_SHARE = 0.5
"""Part of the time of the last aim that its relaxation may take."""


ALONE_SHARE = 0.6
"""Part of the time of the first aim that exposed comb, planned alone, may take."""

JOBS_SHARE = 0.8
"""Part of the time left that jobs as intervals may take, where the soonest end is wanted."""


@dataclass(frozen=True)
class Progress:
    """A sign of life: seconds since the start, the aim being worked at, best value, proven bound, gap as a share."""

    seconds: float
    stage: str
    best: float | None = None
    bound: float | None = None
    gap: float | None = None


@dataclass(frozen=True)
class Candidate:
    """A plan that keeps every promise: work on the clock, the point it is in the model, the value of each aim."""

    work: tuple[Work, ...]
    point: np.ndarray
    values: tuple[int, ...]


@dataclass
class Hunt:
    """The state of one solve: the model, the best plan so far, the bounds proven, the clock."""

    model: Model
    matrix: Matrix
    seconds: float
    workers: int
    seed: int
    tell: Callable[[Progress], None]
    began: float = field(default_factory=time.monotonic)
    best: Candidate | None = None
    bounds: dict[int, int] = field(default_factory=dict)
    log: list[str] = field(default_factory=list)

    @classmethod
    def over(cls, model: Model, other: Hunt | None = None, **settings: object) -> Hunt:
        """A hunt over another model, on the same clock if ``other`` is given."""
        if other is not None:
            return cls(
                model, model.counts.rows.matrix(), other.seconds, other.workers, other.seed, other.tell, other.began
            )
        return cls(model, model.counts.rows.matrix(), **settings)  # type: ignore[arg-type]

    def left_s(self) -> float:
        """Seconds left."""
        return self.seconds - (time.monotonic() - self.began)

    def report(self, aim: int | None, stage: str | None = None) -> None:
        """Tell how the aim stands."""
        elapsed = time.monotonic() - self.began
        if aim is None or self.best is None:
            self.tell(Progress(elapsed, stage or "looking for a first plan"))
            return
        reached = self.reached(aim)
        self.tell(Progress(elapsed, stage or reached.aim, reached.reached, reached.bound, reached.gap))

    def reached(self, aim: int) -> AimReached:
        """How an aim stands."""
        entry = self.model.aims[aim]
        best = self.best.values[aim] if self.best else 0
        bound = min(self.bounds.get(aim, entry.least), best)
        return AimReached(entry.name, entry.unit, best * entry.scale, bound * entry.scale)

    def offer(self, made: Dispatched) -> bool:
        """Take a dispatched plan if it keeps every promise and is better, aim by aim, than the best so far."""
        point = self.model.counts.point(list(made.counts))
        if len(self.matrix.broken(point)):
            return False
        values = tuple(aim.expr.value(point) for aim in self.model.aims)
        if self.best is None or values < self.best.values:
            self.best = Candidate(made.work, point, values)
            return True
        return False

    def dispatch_led_by(self, point: np.ndarray) -> None:
        """Offer the plans that dispatching along a point gives, without and with filling idle time."""
        guide = self.model.counts.values(point)
        for fill, full, gather in LED_MANNERS:
            self.offer(dispatch(self.model.counts, Manner(guide=guide, fill=fill, full_loads=full, gather=gather)))


def solve(
    workload: Workload,
    *,
    seconds: float = 60,
    workers: int = 2,
    seed: int = 0,
    on_progress: Callable[[Progress], None] | None = None,
) -> Schedule:
    """Plan a workload within ``seconds`` of wall clock.

    Returns the best plan found, each aim with its proven bound. Where must-work or protection cannot all be met, or no
    such plan was found in time, ``left_undone`` names what is left, and ``proven`` says whether that is certain.
    Ctrl-C ends the search and returns the best so far (``stopped``); before any plan it is raised again.
    """
    hunt = Hunt.over(build(workload), seconds=seconds, workers=workers, seed=seed, tell=on_progress or (lambda _: None))
    stopped = False
    try:
        _first_plan(hunt)
        if hunt.best is None:
            shortfall = _least_shortfall(workload, hunt)
            if shortfall is not None:
                return shortfall
        if workload.prefer is Prefer.SOONEST:
            _soonest(hunt)
        for aim in range(len(hunt.model.aims)):
            _improve(workload, hunt, aim)
    except KeyboardInterrupt:
        if hunt.best is None:
            raise
        stopped = True
    return _schedule(hunt, stopped)


def _schedule(hunt: Hunt, stopped: bool) -> Schedule:
    aims = tuple(hunt.reached(aim) for aim in range(len(hunt.model.aims)))
    must = AimReached("must-do work left", "pieces", 0, 0)
    return Schedule(
        work=hunt.best.work if hunt.best else (),
        aims=(must, *aims),
        proven=all(
            hunt.best is not None and hunt.bounds.get(i, hunt.model.aims[i].least) >= hunt.best.values[i]
            for i in range(len(aims))
        ),
        stopped=stopped,
        seconds=time.monotonic() - hunt.began,
        log=tuple(hunt.log),
    )


def _first_plan(hunt: Hunt) -> None:
    hunt.report(None)
    for manner in FIRST_MANNERS:
        if hunt.offer(dispatch(hunt.model.counts, manner)):
            hunt.log.append(f"first plan after {time.monotonic() - hunt.began:.2f} s")
            hunt.report(len(hunt.model.aims) - 1, "first plan")
            return


def _soonest(hunt: Hunt) -> None:
    """Classical jobs as intervals: a bound on the soonest end, and starts to lead the dispatch."""
    assert hunt.best is not None
    aim = len(hunt.model.aims) - 1
    found = jobs_alone(
        hunt.model.counts,
        latest_s=hunt.best.values[aim],
        seconds=hunt.left_s() * JOBS_SHARE,
        workers=hunt.workers,
        seed=hunt.seed,
    )
    if found.bound is not None:
        hunt.bounds[aim] = found.bound
    if found.guide is not None:
        hunt.offer(dispatch(hunt.model.counts, Manner(guide=found.guide, fill=False, full_loads=0.0)))
    hunt.report(aim)


def _improve(workload: Workload, hunt: Hunt, aim: int) -> None:
    """Bring one aim as far as time allows, earlier aims held."""
    assert hunt.best is not None
    entry = hunt.model.aims[aim]
    hunt.report(aim)
    if hunt.best.values[aim] <= max(entry.least, hunt.bounds.get(aim, entry.least)):
        return
    last = aim == len(hunt.model.aims) - 1
    budget = hunt.left_s() if last else hunt.left_s() * SHARE_OF_TIME
    deadline = time.monotonic() + budget
    if aim == 0:
        _exposed_comb_alone(workload, hunt, deadline)
        if hunt.best.values[aim] <= hunt.bounds.get(aim, entry.least):
            return
    relaxation = _holding(hunt, aim)
    relaxed = relaxation.minimise(entry.expr, (deadline - time.monotonic()) * (RELAXATION_SHARE if last else 1))
    if relaxed.bound is not None and relaxed.point is not None:
        hunt.bounds[aim] = max(relaxed.bound, hunt.bounds.get(aim, relaxed.bound))
        hunt.dispatch_led_by(rounded_up(relaxed.point))
        hunt.log.append(f"{entry.name}: relaxation after {time.monotonic() - hunt.began:.2f} s")
        hunt.report(aim)
        _led_beside_earlier_aims(hunt, aim, deadline)
    if hunt.best.values[aim] > hunt.bounds.get(aim, entry.least):
        _search(workload, hunt, aim, deadline)


def _exposed_comb_alone(workload: Workload, hunt: Hunt, deadline: float) -> None:
    """Plan the exposed comb as if there were no other lots: a smaller winter, whose bound holds for the whole one.

    Its counts then lead the whole dispatch, in which exposed comb comes first.
    """
    exposed = [i for i, lot in enumerate(workload.lots) if lot.open_heat]
    if len(exposed) == len(workload.lots):
        return
    alone = only_lots(workload, exposed)
    model = build(alone)
    other = Hunt.over(Model(model.counts, model.aims[:1]), hunt)
    other.seconds = deadline - hunt.began - (deadline - time.monotonic()) * (1 - ALONE_SHARE)
    _first_plan(other)
    if other.best is None:
        return
    _improve(alone, other, 0)
    hunt.bounds[0] = max(other.bounds.get(0, 0), hunt.bounds.get(0, 0))
    guide = [np.broadcast_to(np.array([[s.pieces] for s in lot.steps]), (len(lot.steps), len(workload.sessions)))
             for lot in workload.lots]
    for at, known in zip(exposed, other.model.counts.values(other.best.point), strict=True):
        guide[at] = known
    for manner in FIRST_MANNERS[:3]:
        hunt.offer(dispatch(hunt.model.counts, replace(manner, guide=guide, fill=False)))
    hunt.report(0)


def only_lots(workload: Workload, kept: list[int]) -> Workload:
    """The same winter with only some of its lots, and the orders among them."""
    place = {lot: at for at, lot in enumerate(kept)}
    orders = tuple(
        Order((place[o.first[0]], o.first[1]), (place[o.then[0]], o.then[1]))
        for o in workload.orders if o.first[0] in place and o.then[0] in place
    )
    return replace(workload, lots=tuple(workload.lots[i] for i in kept), orders=orders)


def _holding(hunt: Hunt, aim: int) -> Relaxation:
    """The relaxation with every earlier aim held at what was reached."""
    relaxation = Relaxation(hunt.model.counts.rows)
    for i in range(aim):
        relaxation.also_at_most(hunt.model.aims[i].expr, hunt.best.values[i] if hunt.best else 0)
    return relaxation


def _led_beside_earlier_aims(hunt: Hunt, aim: int, deadline: float) -> None:
    """Rounding would lose what earlier aims reached: fix the counts they hang on, and relax the rest once more."""
    settled = {v for i in range(aim) for v, coef in hunt.model.aims[i].expr.terms.items() if coef}
    if not settled or hunt.best is None:
        return
    relaxation = _holding(hunt, aim)
    relaxation.fix({v: int(hunt.best.point[v]) for v in settled})
    relaxed = relaxation.minimise(hunt.model.aims[aim].expr, (deadline - time.monotonic()) * RELAXATION_SHARE)
    if relaxed.point is not None:
        hunt.dispatch_led_by(rounded_up(relaxed.point))
        hunt.report(aim)


def _search(workload: Workload, hunt: Hunt, aim: int, deadline: float) -> None:
    """CP-SAT from the best plan so far; what it finds is put on the clock again, sessions that do not fit are cut."""
    model, cuts = hunt.model, dict[int, int]()
    for _ in range(4):
        assert hunt.best is not None
        left = deadline - time.monotonic()
        if left < 0.2:
            return
        search = Search(model.counts.rows)
        for i in range(aim):
            search.also_at_most(model.aims[i].expr, hunt.best.values[i])
        hint = model.counts.point(hunt.model.counts.values(hunt.best.point))
        found = search.minimise(
            model.aims[aim].expr,
            hint=hint,
            seconds=left,
            workers=hunt.workers,
            seed=hunt.seed,
            on_better=_watcher(hunt, aim),
            known_bound=hunt.bounds.get(aim),
        )
        if found.bound is not None and not cuts:
            hunt.bounds[aim] = max(hunt.bounds.get(aim, found.bound), found.bound)
        if found.point is None:
            return
        counts = model.counts.values(found.point)
        value = hunt.model.aims[aim].expr.value(hunt.model.counts.point(counts))
        hunt.dispatch_led_by(found.point)
        hunt.report(aim)
        if hunt.best.values[aim] <= value:
            return
        short = sessions_short(
            workload, counts, dispatch(model.counts, Manner(guide=counts, fill=False, full_loads=0.0))
        )
        if not short:
            return
        for k, short_s in short.items():
            cuts[k] = cuts.get(k, 0) + short_s
        model = build(workload, cuts)


def _watcher(hunt: Hunt, aim: int) -> Callable[[np.ndarray, int, int], None]:
    entry = hunt.model.aims[aim]

    def tell(_point: np.ndarray, value: int, bound: int) -> None:
        least = max(bound, hunt.bounds.get(aim, entry.least))
        gap = (value - least) / abs(value) if value > least else 0.0
        elapsed = time.monotonic() - hunt.began
        hunt.tell(Progress(elapsed, entry.name, value * entry.scale, least * entry.scale, gap))

    return tell


def sessions_short(workload: Workload, wanted: list[np.ndarray], made: Dispatched) -> dict[int, int]:
    """Sessions in which the clock had no room for all the pieces wanted: seconds of work that were left over."""
    short: dict[int, int] = {}
    for lot, entry in enumerate(workload.lots):
        for s, step in enumerate(entry.steps):
            missing = wanted[lot][s] - made.counts[lot][s]
            for k in np.flatnonzero(np.diff(missing, prepend=0) > 0):
                short[int(k)] = short.get(int(k), 0) + int(missing[k]) * step.seconds_each * max(step.hands, 1)
    first = sorted(short)[:5]
    return {k: short[k] for k in first}


def _least_shortfall(workload: Workload, hunt: Hunt) -> Schedule | None:
    """No first plan: search for one, or for the least that must be left. None: a plan was found after all."""
    model = build_with_shortfall(workload)
    other = Hunt.over(model, hunt)
    for manner in FIRST_MANNERS:
        other.offer(dispatch(model.counts, manner))
    other.tell(Progress(time.monotonic() - hunt.began, "looking for a plan in which all fits"))
    relaxed = Relaxation(model.counts.rows).minimise(model.aims[0].expr, max(hunt.left_s() * SHARE_OF_TIME, 0.5))
    if relaxed.point is not None and relaxed.bound is not None:
        other.bounds[0] = relaxed.bound
        _offer_both(hunt, other, relaxed.point, led_by=rounded_up(relaxed.point))
    hint = other.best.point if other.best else None
    if hunt.best is None:
        found = Search(model.counts.rows).minimise(
            model.aims[0].expr,
            hint=hint,
            seconds=max(hunt.left_s() * 0.7, 0.5),
            workers=hunt.workers,
            seed=hunt.seed,
            on_better=_watcher(other, 0),
            known_bound=other.bounds.get(0),
        )
        if found.bound is not None:
            other.bounds[0] = max(found.bound, other.bounds.get(0, 0))
        if found.point is not None:
            _offer_both(hunt, other, found.point, led_by=found.point)
    if hunt.best is not None:
        return None
    return _short_schedule(other)


def _offer_both(hunt: Hunt, other: Hunt, point: np.ndarray, led_by: np.ndarray) -> None:
    guide = other.model.counts.values(led_by)
    for fill, full, gather in LED_MANNERS:
        made = dispatch(hunt.model.counts, Manner(guide=guide, fill=fill, full_loads=full, gather=gather))
        hunt.offer(made)
        other.offer(made)


def _short_schedule(other: Hunt) -> Schedule:
    """The best plan there is when not all fits, with what it leaves."""
    lots = other.model.counts.workload.lots
    left: list[tuple[int, int, int]] = []
    if other.best is not None:
        counts = other.model.counts.values(other.best.point)
        left = [
            (lot, s, step.pieces - int(counts[lot][s, -1]))
            for lot, entry in enumerate(lots)
            for s, step in enumerate(entry.steps)
            if step.importance is Importance.MUST and counts[lot][s, -1] < step.pieces
        ]
    return Schedule(
        work=other.best.work if other.best else (),
        aims=(other.reached(0),),
        left_undone=tuple(left) or tuple(_everything(lots)),
        proven=other.bounds.get(0, 0) > 0,
        seconds=time.monotonic() - other.began,
    )


def _everything(lots: Iterable[object]) -> list[tuple[int, int, int]]:
    return [
        (lot, s, step.pieces)
        for lot, entry in enumerate(lots)
        for s, step in enumerate(entry.steps)  # type: ignore[attr-defined]
        if step.importance is Importance.MUST
    ]
