"""Handouts made by hand: a small winter, one whose names are hostile, and one as large as the commercial yard."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from hashlib import sha256
from pathlib import Path

from offseason.plan.document import Row
from offseason.plan.progress.record_line import record_line
from offseason.scenario.read import read_scenario
from offseason.share.handout import Changed, ChangeLine, Deadline, HandedOut, Handout
from offseason.trade.cautions import CAUTIONS, LAST_WORD

ROOT = Path(__file__).parents[3]
FIRST, SECOND, THIRD = date(2026, 10, 17), date(2026, 10, 24), date(2026, 11, 7)
SVG = """<?xml version="1.0" encoding="UTF-8"?>
<!-- a picture by offseason -->
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1100 120" width="1100" height="120" role="img" \
aria-labelledby="glance-title"><title id="glance-title">The winter</title>\
<rect width="1100" height="120" fill="#fff"/><text x="20" y="40" fill="#000">Oct</text></svg>
"""


def row(day: date, begins: str, ends: str, who: tuple[str, ...], step: str, pieces: int, lot: str, **more) -> Row:
    """One piece of work by the clock."""
    return Row(day, time.fromisoformat(begins), time.fromisoformat(ends), who, lot, step, pieces, **more)


def handed(one: Row, *cautions: str) -> HandedOut:
    """The row as it is handed out."""
    key = repr((one.day, one.start, one.who, one.lot, one.step))
    return HandedOut(
        sha256(key.encode("utf-8", "surrogatepass")).hexdigest()[:10],
        one,
        datetime.combine(one.day, one.start),
        datetime.combine(one.day, one.end),
        cautions,
        record_line(one),
    )


def made_of(entries: tuple[HandedOut, ...], name: str = "Winter at Dunlin Carr", **more) -> Handout:
    """A handout with these entries and all that can be read off them."""
    words = dict.fromkeys(word for one in entries for word in one.cautions)
    parts = {
        "name": name,
        "first": date(2026, 10, 5),
        "last": date(2027, 3, 28),
        "timezone": None,
        "made": datetime(2026, 10, 1, 8, tzinfo=UTC),
        "since": None,
        "entries": entries,
        "people": tuple(dict.fromkeys(who for one in entries for who in one.row.who)),
        "lots": tuple(dict.fromkeys(one.row.lot for one in entries)),
        "care": tuple((word, CAUTIONS.get(word, "Take care.")) for word in words),
        "last_word": LAST_WORD,
        "deadlines": (Deadline(date(2027, 4, 20), "Moths fly again: all comb is safe by then", None),),
        "left": (),
        "weather": (),
        "changes": None,
        "winter_id": "0123456789",
    }
    return Handout(**{**parts, **more})


@cache
def small() -> Handout:
    """Three Saturdays of three people: work for one and for two, a job, lines that say the same, one thing done."""
    both = ("Maren", "Joss")
    return made_of(
        (
            handed(row(FIRST, "09:00", "10:40", ("Maren",), "sort out", 200, "super combs", done=True)),
            handed(row(FIRST, "09:00", "10:00", ("Joss",), "scrape", 12, "deep boxes, old paint"), "lead", "dust"),
            handed(row(FIRST, "10:40", "11:30", ("Maren",), "sort out", 100, "super combs", at="bench")),
            handed(row(FIRST, "11:30", "12:20", ("Maren",), "sort out", 100, "super combs", at="bench")),
            handed(row(SECOND, "09:00", "11:00", both, "press the cappings", 1, "press the cappings"), "hot wax"),
            handed(row(SECOND, "11:00", "12:00", ("Joss",), "clean the extractor", 4, "clean the extractor")),
            handed(row(THIRD, "09:00", "09:30", ("Wilhelmina",), "first coat", 5, "deep boxes, sound", at="rack")),
        ),
        left=("5 deep boxes, old paint: first coat is never done.",),
        weather=("Painting hours are those of an average year.",),
        changes=Changed(
            datetime(2026, 9, 28, 8, tzinfo=UTC),
            (ChangeLine(FIRST, "Joss", "scrape 12, not 10: one box more"), ChangeLine(SECOND, "Maren", "comes too")),
        ),
    )


HOSTILE = (
    "<script>document.title='run'</script>",
    "</style><script>document.title='run'</script>",
    '"><img src=x onerror="document.title=\'run\'">',
    "=cmd()|' /C calc'!A0",
    "../../x",
    "two\r\nlines",
    "\u202egnirts eht nrut\u202c",
    "n" * 300,
    "🐝 Zoë & ’Ole",
    "' onfocus='document.title=1' x='",
    "--><!--</textarea></script>",
    "&lt;b&gt; {{1+1}} ${1+1}",
)


@cache
def hostile() -> Handout:
    """Every hostile name as a person, a lot, a kind of work, a place and a caution, and in all other words."""
    entries = tuple(
        handed(
            row(FIRST + timedelta(n), "09:00", "10:00", (name,), f"do {name}", 7, f"lot {name}", at=f"at {name}"), name
        )
        for n, name in enumerate(HOSTILE)
    )
    return made_of(
        entries,
        name=HOSTILE[1],
        winter_id=HOSTILE[2],
        last_word=HOSTILE[0],
        left=HOSTILE,
        weather=HOSTILE,
        deadlines=tuple(Deadline(FIRST, f"by {name}", f"of {name}") for name in HOSTILE),
        changes=Changed(datetime(2026, 9, 1, tzinfo=UTC), tuple(ChangeLine(FIRST, n, f"w {n}") for n in HOSTILE)),
    )


@cache
def yard() -> Handout:
    """As many entries on as many days as a plan of the commercial yard has, of its people, lots and kinds of work."""
    scenario = read_scenario(ROOT / "scenarios/commercial.yaml")
    people, work = tuple(scenario.crew), [(lot, step) for lot, gear in scenario.gear.items() for step in gear.steps]
    begin = scenario.season.from_
    entries = []
    for number in range(2_924):
        day, turn = divmod(number, 34)
        lot, step = work[(day * 7 + turn // 3) % len(work)]
        person = turn % len(people)
        minutes = 450 + 25 * (turn // len(people))
        begins, ends = (f"{m // 60:02}:{m % 60:02}" for m in (minutes, minutes + 25))
        who = (people[person], people[(person + 1) % len(people)]) if number % 97 == 0 else (people[person],)
        more = {"at": "long bench"} if turn % 2 else {}
        one = row(begin + timedelta(day + 2 * (day // 5)), begins, ends, who, step, 1 + turn, lot, **more)
        entries.append(handed(one, *(("lead", "dust") if turn % 2 else ("lifting",) if turn % 3 else ())))
    return made_of(tuple(entries), scenario.season.name, first=begin, last=scenario.season.until, people=people)
