"""Winters that contradict themselves for a known reason: what is written, and the lines of it that cannot all be true.

Every statement stands on a line of its own, so that a test can take it out of the text.
"""

from __future__ import annotations

from dataclasses import dataclass

YARD = """\
season:
  from: 2026-10-05
  until: 2027-04-09
crew:
  Ines: {works: {every day: 09:00-17:00}}
places:
  bench: {seats: 2}
  rack: {holds: 40, celsius: 10, humidity_percent: 60}
  freezer: {holds: 200 combs, celsius: -18}
  shed: {holds: 900 combs}
"""


@dataclass(frozen=True)
class Contradicting:
    """A yard with ``text`` added, the ``core`` (lines as written there, without their indent), and what is said."""

    name: str
    text: str
    core: tuple[str, ...]
    says: str
    changed: tuple[str, str] = ("", "")

    @property
    def scenario(self) -> str:
        return YARD.replace(*self.changed, 1) + self.text


SCRAPE = """\
tasks:
  scrape:
    minutes_each: 6
    at: bench
"""
COAT = """\
  coat:
    minutes_each: 5
    then:
      wait: 20 d
  put away:
    minutes_each: 1
"""
BOXES = """\
gear:
  boxes:
    piece: langstroth deep box
    count: 4
    rests: shed
"""
COMBS = """\
gear:
  combs:
    piece: medium comb
    comb: brood
    count: 20
    rests: shed
"""
FREEZE = """\
  freeze:
    minutes_each: 0.5
    kills: true
    then:
      wait: freezer stay
      in: freezer
  seal:
    minutes_each: 0.5
    seals: true
    then: {in: shed}
"""

WINTERS = (
    Contradicting(
        "cure longer than what is left",
        SCRAPE + COAT + BOXES + "    arrives: 2027-03-01\n    ready_by: 2027-03-10\n"
        "    steps:\n      - scrape\n      - coat\n      - put away\n",
        ("arrives: 2027-03-01", "ready_by: 2027-03-10", "- coat", "- put away", "wait: 20 d"),
        "'put away' of 'boxes' cannot be done before Sun 21 Mar 2027, and must be by Wed 10 Mar 2027",
    ),
    Contradicting(
        "cure longer than what is left of the season",
        SCRAPE + COAT + BOXES + "    arrives: 2027-04-01\n    steps:\n      - coat\n      - put away\n",
        ("until: 2027-04-09", "arrives: 2027-04-01", "- coat", "- put away", "wait: 20 d"),
        "'put away' of 'boxes' cannot be done before Wed 21 Apr 2027, and must be by Fri 9 Apr 2027",
    ),
    Contradicting(
        "cure longer than what is left since the season began",
        SCRAPE + COAT + BOXES + "    ready_by: 2026-10-20\n    steps:\n      - coat\n      - put away\n",
        ("from: 2026-10-05", "ready_by: 2026-10-20", "- coat", "- put away", "wait: 20 d"),
        "'put away' of 'boxes' cannot be done before Sun 25 Oct 2026, and must be by Tue 20 Oct 2026",
    ),
    Contradicting(
        "cure longer than the season, whenever the gear comes in",
        SCRAPE + COAT.replace("20 d", "300 d") + BOXES + "    arrives: 2026-11-02\n"
        "    steps:\n      - coat\n      - put away\n",
        ("until: 2027-04-09", "- coat", "- put away", "wait: 300 d"),
        "'put away' of 'boxes' cannot be done before Sun 29 Aug 2027, and must be by Fri 9 Apr 2027",
    ),
    Contradicting(
        "two coats dry one after the other",  # 6 d and 4 d do fit one by one
        "tasks:\n  first coat:\n    minutes_each: 5\n    then:\n      wait: 6 d\n  second coat:\n    minutes_each: 5\n"
        "    then:\n      wait: 100 h\n  put away:\n    minutes_each: 1\n"
        + BOXES
        + "    arrives: 2027-03-01\n    ready_by: 2027-03-10\n"
        "    steps:\n      - first coat\n      - second coat\n      - put away\n",
        (
            "arrives: 2027-03-01",
            "ready_by: 2027-03-10",
            "- first coat",
            "- second coat",
            "- put away",
            "wait: 6 d",
            "wait: 100 h",
        ),
        "'put away' of 'boxes' cannot be done before Thu 11 Mar 2027, and must be by Wed 10 Mar 2027",
    ),
    Contradicting(
        "paint that dries longer than what is left",  # oil: 24 h (see docs/trade.md), from the morning it comes in
        "tasks:\n  coat:\n    minutes_each: 5\n    then:\n      dries: oil\n      on: rack\n  put away:\n"
        "    minutes_each: 1\n" + BOXES + "    arrives: 2027-03-01\n    ready_by: 2027-03-01\n"
        "    steps:\n      - coat\n      - put away\n",
        ("arrives: 2027-03-01", "ready_by: 2027-03-01", "- coat", "- put away", "dries: oil"),
        "cannot be done before Wed 3 Mar 2027, and must be by Mon 1 Mar 2027",
    ),
    Contradicting(
        "a freezer stay longer than what is left",
        "tasks:\n" + FREEZE + COMBS + "    arrives: 2027-03-01\n    ready_by: 2027-03-01\n"
        "    steps:\n      - freeze\n      - seal\n",
        ("arrives: 2027-03-01", "ready_by: 2027-03-01", "- freeze", "- seal", "wait: freezer stay"),
        "'seal' of 'combs' cannot be done before Wed 3 Mar 2027",
    ),
    Contradicting(
        "a time allowed that is used up by the step between",
        "tasks:\n  scrape:\n    minutes_each: 6\n  glue:\n    minutes_each: 2\n    then:\n      wait: 24 h\n  coat:\n"
        "    minutes_each: 5\n    needs:\n      - scrape\n    within: 20 h\n"
        + BOXES
        + "    steps:\n      - scrape\n      - glue\n      - coat\n",
        ("- glue", "- coat", "wait: 24 h", "within: 20 h"),
        "'coat' of 'boxes' cannot come within 20 h",
    ),
    Contradicting(
        "waits that add up to more than the time allowed",  # 80 h, and either alone would leave room
        "tasks:\n  strip:\n    minutes_each: 6\n    then:\n      wait: 40 h\n  glue:\n    minutes_each: 2\n    then:\n"
        "      wait: 40 h\n  coat:\n    minutes_each: 5\n    needs:\n      - strip\n    within: 72 h\n"
        + BOXES
        + "    steps:\n      - strip\n      - glue\n      - coat\n",
        ("- strip", "- glue", "- coat", "- strip", "wait: 40 h", "wait: 40 h", "within: 72 h"),
        "'coat' of 'boxes' cannot come within 3 days",
    ),
    Contradicting(
        "a job due before the one it waits for may begin",
        "jobs:\n  build stands:\n    hours: 2\n    from: 2027-02-01\n  level the ground:\n    hours: 1\n"
        "    by: 2027-01-10\n    after:\n      - build stands\n",
        ("from: 2027-02-01", "by: 2027-01-10", "- build stands"),
        "'level the ground' cannot be done before Mon 1 Feb 2027, and must be by Sun 10 Jan 2027",
    ),
    Contradicting(
        "a job due before the gear it waits for comes in",
        SCRAPE + BOXES + "    arrives: 2027-02-01\n    steps:\n      - scrape\n"
        "jobs:\n  sell boxes:\n    hours: 1\n    by: 2027-01-10\n    after:\n      - boxes\n",
        ("arrives: 2027-02-01", "by: 2027-01-10", "- boxes", "- scrape"),
        "'sell boxes' cannot be done before Mon 1 Feb 2027, and must be by Sun 10 Jan 2027",
    ),
    Contradicting(
        "gear to be ready before the job it waits for may begin",
        SCRAPE + BOXES + "    ready_by: 2026-12-01\n    steps:\n      - scrape\n"
        "jobs:\n  build a bench:\n    hours: 4\n    from: 2027-01-04\n    before:\n      - scrape\n",
        ("from: 2027-01-04", "ready_by: 2026-12-01", "- scrape", "- scrape"),
        "'scrape' of 'boxes' cannot be done before Mon 4 Jan 2027, and must be by Tue 1 Dec 2026",
    ),
    Contradicting(
        "one lot that waits for another by way of a job",
        "tasks:\n  scrape:\n    minutes_each: 6\n  melt:\n    minutes_each: 3\n"
        "gear:\n  boxes:\n    piece: langstroth deep box\n    count: 4\n    ready_by: 2027-01-10\n    steps:\n"
        "      - scrape\n"
        "  frames:\n    piece: deep frame\n    count: 9\n    arrives: 2027-02-01\n    steps:\n      - melt\n"
        "jobs:\n  clean the bench:\n    hours: 1\n    after:\n      - frames\n    before:\n      - boxes\n",
        ("ready_by: 2027-01-10", "- scrape", "arrives: 2027-02-01", "- melt", "- frames", "- boxes"),
        "'scrape' of 'boxes' cannot be done before Mon 1 Feb 2027, and must be by Sun 10 Jan 2027",
    ),
    Contradicting(
        "a coat that must follow soon and waits for a late job",
        "tasks:\n  scrape:\n    minutes_each: 6\n  coat:\n    minutes_each: 5\n    within: 14 d\n"
        + BOXES
        + "    steps:\n      - scrape\n      - coat\n"
        "jobs:\n  sweep up:\n    hours: 1\n    by: 2026-10-31\n    after:\n      - scrape\n"
        "  mix paint:\n    hours: 1\n    from: 2026-12-01\n    before:\n      - coat\n",
        (
            "within: 14 d",
            "- scrape",
            "- coat",
            "by: 2026-10-31",
            "- scrape",
            "from: 2026-12-01",
            "- coat",
        ),
        "'sweep up' cannot be done before Tue 17 Nov 2026, and must be by Sat 31 Oct 2026",
    ),
    Contradicting(
        "comb that waits longer than it may lie open in the moth season",  # 7 days from the day it came in
        "tasks:\n  air:\n    minutes_each: 1\n    then:\n      wait: 30 d\n"
        + FREEZE
        + COMBS.replace("brood", "dry")
        + "    steps:\n      - air\n      - freeze\n      - seal\n"
        "moths:\n  season_starts: 2027-05-01\n  season_ends: 2026-10-20\n",
        ("season_ends: 2026-10-20", "wait: 30 d", "- air", "- freeze"),
        "and its comb must be safe from moths by Mon 12 Oct 2026",
        changed=("shed: {holds: 900 combs}", "shed: {holds: 900 combs, celsius: 16}"),
    ),
    Contradicting(
        "comb with webbing in it that is to wait before it is frozen",
        "tasks:\n  air:\n    minutes_each: 1\n    then:\n      wait: 3 d\n"
        + FREEZE
        + COMBS.replace("brood", "dry")
        + "    arrives: 2026-12-01\n    webbing_seen: true\n    steps:\n      - air\n      - freeze\n      - seal\n"
        "moths:\n  season_starts: 2027-05-01\n",
        ("webbing_seen: true", "wait: 3 d", "- air", "- freeze"),
        "its comb must be safe from moths by Tue 1 Dec 2026",
    ),
    Contradicting(
        "comb not to be frozen before moths fly",
        "tasks:\n" + FREEZE + COMBS + "    steps:\n      - freeze\n      - seal\n"
        "moths:\n  season_starts: 2027-03-10\n"
        "jobs:\n  mend the freezer:\n    hours: 2\n    from: 2027-03-20\n    before:\n      - freeze\n",
        ("season_starts: 2027-03-10", "from: 2027-03-20", "- freeze", "- freeze"),
        "its comb must be safe from moths by Tue 9 Mar 2027",
    ),
)
