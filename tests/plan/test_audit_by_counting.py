"""The audit against the plainest reading of its promises: every piece followed one by one, minute by minute."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from offseason.plan.audit import audit
from offseason.plan.document import Plan, Row
from tests.plan.winters import winter

DAY = date(2026, 10, 5)
COUNT = 6
STEPS = ("one", "two", "three")


@st.composite
def winters(draw) -> tuple[str, list[dict[str, int]]]:
    """A winter of one lot and three steps with random waits, shares and rooms, as text and as plain numbers."""
    tasks, facts = [], []
    for name in STEPS:
        share, each, wait = draw(st.sampled_from([100, 50])), draw(st.integers(1, 3)), draw(st.integers(0, 6))
        must, needed = draw(st.booleans()), draw(st.booleans())
        needs = f", needs: [{', '.join(STEPS[: STEPS.index(name)])}]" if needed and name != "one" else ""
        importance = "must" if must else "should"
        then = f"then: {{wait: {wait} min}}"
        tasks.append(f"  {name}: {{minutes_each: {each}, share: {share}%, importance: {importance}, {then}{needs}}}")
        facts.append({"pieces": COUNT * share // 100, "each": each, "wait": wait, "must": must, "needed": bool(needs)})
    text = "\n".join(
        [
            "season: {from: 2026-10-05, until: 2026-10-09}",
            "crew: {Ines: {works: {every day: 00:00-23:59}}}",
            "tasks:",
            *tasks,
            f"gear: {{boxes: {{piece: bucket, count: {COUNT}, steps: [one, two, three]}}}}",
        ]
    )
    return text, facts


@st.composite
def plans(draw, facts: list[dict[str, int]]) -> tuple[list[Row], list[list[tuple[int, int]]]]:
    """Rows at random minutes, and for each step the (begin, end) of its pieces in minutes of the day."""
    rows, pieces = [], []
    for name, fact in zip(STEPS, facts, strict=True):
        left, done = fact["pieces"], []
        for _ in range(draw(st.integers(0, 3))):
            many, start = draw(st.integers(0, left)), draw(st.integers(0, 40))
            if many:
                left -= many
                rows.append(_row(name, start, many, fact["each"]))
                done += [(start + i * fact["each"], start + (i + 1) * fact["each"]) for i in range(many)]
        pieces.append(sorted(done))
    return rows, pieces


def _row(step: str, start: int, many: int, each: int) -> Row:
    begins = datetime.combine(DAY, time(9)) + timedelta(minutes=start)
    return Row(DAY, begins.time(), (begins + timedelta(minutes=many * each)).time(), ("Ines",), "boxes", step, many)


def _keeps_order(facts: list[dict[str, int]], pieces: list[list[tuple[int, int]]]) -> bool:
    """Whether at the begin of every piece enough pieces of the steps before it are through and have waited."""
    for t in range(3):
        reached = False
        for s in range(t - 1, -1, -1):
            skippable = not facts[s]["must"] and not facts[t]["needed"]
            if not reached or facts[t]["needed"]:
                slack = max(0, facts[t]["pieces"] - facts[s]["pieces"])
                slack += facts[s]["pieces"] - len(pieces[s]) if skippable else 0
                for number, (begin, _) in enumerate(pieces[t], 1):
                    through = sum(end + facts[s]["wait"] <= begin for _, end in pieces[s])
                    if through < number - slack:
                        return False
            reached = reached or (facts[s]["pieces"] == COUNT and not skippable)
        if not _pieces_suffice(facts, pieces, t):
            return False
    return True


def _pieces_suffice(facts: list[dict[str, int]], pieces: list[list[tuple[int, int]]], t: int) -> bool:
    """Whether in every minute there are pieces for all that is begun at step t and still in the steps it may pass."""
    by_all = [s for s in range(t) if facts[s]["pieces"] == COUNT and (facts[s]["must"] or facts[t]["needed"])]
    for minute in range(100):
        through = [sum(end + fact["wait"] <= minute for _, end in of) for of, fact in zip(pieces, facts, strict=True)]
        begun = [sum(begin <= minute for begin, _ in of) for of in pieces]
        there = through[by_all[-1]] if by_all else COUNT
        passed = range(by_all[-1] + 1 if by_all else 0, t)
        if passed and begun[t] + sum(begun[s] - through[s] for s in passed) > there:
            return False
    return True


@given(st.data())
@settings(max_examples=150, deadline=None)
def test_order_and_waiting_agree_with_counting_pieces_one_by_one(data):
    text, facts = data.draw(winters())
    rows, pieces = data.draw(plans(facts))
    found = {str(b.promise) for b in audit(winter(text), _plan(rows))}
    assert bool(found & {"order", "waiting"}) is not _keeps_order(facts, pieces)


STORES = """
season: {from: 2026-10-05, until: 2026-10-09}
crew: {Ines: {works: {every day: 00:00-23:59}}}
places: {rack: {holds: HELD}, freezer: {holds: 6, whole_loads: true}}
tasks:
  put up: {minutes_each: 2, then: {on: rack}}
  put in: {minutes_each: 1, then: {in: freezer}}
  take out: {minutes_each: 1}
gear: {boxes: {piece: bucket, count: 6, steps: [put up, put in, take out]}}
""".replace("take out: {minutes_each: 1}", "take out: {minutes_each: 1, then: {on: rack}}")


@given(st.data(), st.integers(1, 6))
@settings(max_examples=150, deadline=None)
def test_space_agrees_with_counting_what_is_in_the_rack_every_minute(data, held):
    facts = [{"pieces": COUNT, "each": each} for each in (2, 1, 1)]
    rows, pieces = data.draw(plans(facts))
    names = dict(zip(STEPS, ("put up", "put in", "take out"), strict=True))
    renamed = [Row(r.day, r.start, r.end, r.who, r.lot, names[r.step], r.pieces) for r in rows]
    found = {str(b.promise) for b in audit(winter(STORES.replace("HELD", str(held))), _plan(renamed))}

    def in_rack(minute: int) -> int:
        up, into, out = pieces
        came = sum(end <= minute for _, end in up) + sum(end <= minute for _, end in out)
        return came - sum(begin <= minute for begin, _ in into)

    assert ("space" in found) is any(in_rack(minute) > held for minute in range(120))


def _plan(rows: list[Row]) -> Plan:
    return Plan("w.yaml", "0" * 64, datetime(2026, 10, 1, tzinfo=UTC), "", False, (), tuple(rows))
