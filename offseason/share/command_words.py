"""The commands, each with its words and options."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from offseason.share.option_values import at_least, day, days, folder, minutes_before, percent, seconds, this_year, year

Words = argparse.ArgumentParser


@dataclass(frozen=True)
class CommandWords:
    """A command by name, what it is for, and what adds its words. ``free_words``: words may stand among options."""

    name: str
    help: str
    add_to: Callable[[Words], None]
    free_words: bool = False


def _start(words: Words) -> None:
    words.add_argument("file", metavar="FILE", type=Path, nargs="?", default=Path("winter.yaml"), help="winter.yaml")
    words.add_argument("--year", type=year, default=this_year(), help="year in which the winter begins (this year)")


def _check(words: Words) -> None:
    words.add_argument("file", metavar="FILE", type=Path, help="a scenario, such as winter.yaml")


def _weather(words: Words) -> None:
    words.add_argument("file", metavar="FILE", type=Path, help="a weather record (CSV), or a scenario: its winter")
    words.add_argument(
        "--need", metavar="NAME", action="append", help="show this kind of work only; may be written several times"
    )
    words.add_argument(
        "--scenario", metavar="SCENARIO", type=Path, help="whose work it is for; its time zone counts too"
    )
    words.add_argument("--timezone", metavar="ZONE", help="clock on the wall, such as CET; else by UTC")
    words.add_argument("--station", metavar="ID", help="the station, where a GHCN-Daily file holds several")
    words.add_argument("--from", dest="first", metavar="DAY", type=day, help="first day to show, as in 2026-10-17")
    words.add_argument("--until", dest="last", metavar="DAY", type=day, help="last day to show")
    words.add_argument(
        "--picture", metavar="OUT.svg", type=Path, help="draw the hours too; only a picture of ours is written over"
    )


def _search(words: Words, *, by_effort: bool = False) -> None:
    """How long and how to search; ``by_effort``: or how much, in place of how long."""
    limit = words.add_mutually_exclusive_group() if by_effort else words
    limit.add_argument(
        "--seconds",
        type=seconds,
        default=60.0,
        help="longest time to search, by the clock on the wall, so another time the plan may be another (60)",
    )
    if by_effort:
        limit.add_argument(
            "--effort",
            metavar="N",
            type=at_least(1),
            help="search by work done in place of --seconds: the same scenario, version and N give the same plan on "
            "any machine, however busy; 60 takes about a minute on two cores (what would mend a winter that does not "
            "fit is looked for by the clock all the same)",
        )
    words.add_argument(
        "--workers",
        type=at_least(1),
        default=2,
        help="searches side by side (2)" + ("; a plan by --effort is the same with any number" if by_effort else ""),
    )
    words.add_argument("--seed", type=at_least(0), default=0, help="another number searches in another order (0)")
    words.add_argument("--quiet", action="store_true", help="do not show how the search is going")


def _plan(words: Words) -> None:
    words.add_argument("file", metavar="FILE", type=Path, help="a scenario, such as winter.yaml")
    words.add_argument(
        "--to",
        metavar="PLAN",
        type=Path,
        help="where the plan goes (winter.words.yaml beside the scenario); a plan there is kept as PLAN.before",
    )
    _search(words, by_effort=True)


def _remedies(words: Words) -> None:
    words.add_argument("file", metavar="FILE", type=Path, help="a scenario that does not fit, such as winter.yaml")
    words.add_argument(
        "--apply",
        metavar="N",
        type=at_least(1),
        help="write a new scenario with the remedy of this number, as last found",
    )
    words.add_argument(
        "--to", metavar="NEW", type=Path, help="the new scenario (winter.remedy-N.yaml); never an old file"
    )
    _search(words)


def _show(words: Words) -> None:
    words.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    words.add_argument(
        "--by",
        choices=("day", "person", "lot", "supplies"),
        default="day",
        help="how to order the work (day); supplies: what to order by when",
    )
    words.add_argument("--from", dest="first", metavar="DATE", type=day, help="first day to show, as in 2026-10-17")
    words.add_argument("--until", dest="last", metavar="DATE", type=day, help="last day to show")
    words.add_argument("--week", metavar="DATE", type=day, help="show the week, Monday to Sunday, around this day")
    words.add_argument(
        "--who",
        metavar="NAME",
        help="show the work of this person only; a name that begins with a dash is written --who=NAME",
    )
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")


def _audit(words: Words) -> None:
    words.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")


def _replan(words: Words) -> None:
    words.add_argument("plan", metavar="PLAN", type=Path, help="the plan so far, such as winter.plan.yaml")
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")
    words.add_argument(
        "--log", metavar="FILE", type=Path, help="the log of what was done, if it is not beside the plan"
    )
    words.add_argument("--today", metavar="DAY", type=day, help="the day from which to plan (today)")
    words.add_argument(
        "--settle", metavar="DAY", type=day, help="what is promised for days before it moves only if it must"
    )
    words.add_argument("--to", metavar="FILE", type=Path, help="where to write the plan (in place of the old one)")
    words.add_argument("--seconds", type=seconds, default=12.0, help="stop after so long by the clock on the wall (12)")
    words.add_argument("--workers", type=at_least(1), default=2, help="searches side by side (2)")
    words.add_argument("--seed", type=at_least(0), default=0, help="another number tries another way (0)")
    words.add_argument("--quiet", action="store_true", help="do not show how far it is")


def _changes(words: Words) -> None:
    words.add_argument(
        "old", metavar="OLD", type=Path, help="the plan so far; written alone, it is compared with OLD.before"
    )
    words.add_argument("new", metavar="NEW", type=Path, nargs="?", help="the new plan")
    words.add_argument("--who", metavar="NAME", help="what changes for this person only")
    words.add_argument("--from", dest="first", metavar="DATE", type=day, help="first day to show, as in 2026-10-17")
    words.add_argument("--until", dest="last", metavar="DATE", type=day, help="last day to show")
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the new plan")


def _share(words: Words) -> None:
    words.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    words.add_argument(
        "--to",
        metavar="FOLDER",
        type=folder,
        required=True,
        help="where the files go; always the same folder, so that it can be said what changed",
    )
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")
    words.add_argument(
        "--alarm",
        metavar="MINUTES",
        type=minutes_before,
        help="have the calendars remind so long before each stretch of work (they do not)",
    )


def _rehearse(words: Words) -> None:
    words.add_argument(
        "file", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml, or the scenario it lies beside"
    )
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")
    words.add_argument(
        "--vary",
        metavar="PERCENT",
        type=percent,
        default=0.0,
        help="labour up to so much longer or shorter (0), as in 20",
    )
    words.add_argument("--seed", type=at_least(0), default=0, help="another number draws other labour (0)")
    words.add_argument(
        "--forecast-days", metavar="DAYS", type=days, default=3, help="days ahead for which a forecast is trusted (3)"
    )
    words.add_argument("--workers", type=at_least(1), help="winters side by side (one for each core)")
    words.add_argument(
        "--picture", metavar="OUT.svg", type=Path, help="draw the spread; only a picture of ours is written over"
    )
    words.add_argument("--quiet", action="store_true", help="do not show how far it is")


def _record(words: Words) -> None:
    words.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    words.add_argument(
        "words",
        metavar="WORDS",
        nargs="*",
        help="who did what to how many of which lot, and how long it took, in any order, as in: Maren freeze 80 super "
        "combs 25 min; besides: until 15:30, on 2026-10-14, on yesterday, and a note in quotes",
    )
    words.add_argument(
        "--from",
        dest="from_",
        metavar="FILE",
        action="append",
        type=Path,
        help="read such lines from a file (- for what is typed in), or take over another log; may be repeated",
    )
    words.add_argument("--keep-good", action="store_true", help="record the good lines where others are wrong")
    words.add_argument("--today", metavar="DAY", type=day, help="the day it was done, unless the line says (today)")
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")


def _pace(words: Words) -> None:
    _plan_and_log(words)
    words.add_argument(
        "--use", action="store_true", help="write the minutes learnt into the scenario, which is kept as FILE.before"
    )
    words.add_argument("--today", metavar="DAY", type=day, help="hours are counted from this day on (today)")


def _worth(words: Words) -> None:
    words.add_argument("file", metavar="FILE", type=Path, help="a scenario with prices:, such as winter.yaml")


def _spare(words: Words) -> None:
    words.add_argument("plan", metavar="PLAN", type=Path, help="a plan that works, such as winter.plan.yaml")
    words.add_argument("--lot", metavar="NAME", help="only how late the steps of this lot or job can begin")
    words.add_argument("--step", metavar="NAME", help="only how late this step can begin")
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")
    words.add_argument("--seconds", type=seconds, help="longest time to search (12; 70 for a large winter)")
    words.add_argument("--workers", type=at_least(1), default=2, help="searches side by side (2); 1 is repeatable")
    words.add_argument("--seed", type=at_least(0), default=0, help="another number searches in another order (0)")
    words.add_argument("--quiet", action="store_true", help="do not show how far it is")


def _carry_over(words: Words) -> None:
    _plan_and_log(words)
    words.add_argument("--to", metavar="FILE", type=Path, required=True, help="the new scenario; never an old file")
    words.add_argument("--season-from", metavar="DAY", type=day, help="first day of work (the same day, a year later)")
    words.add_argument(
        "--learnt", action="store_true", help="with the minutes learnt from the log (see offseason pace)"
    )


def _plan_and_log(command: Words) -> None:
    command.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    command.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")
    command.add_argument("--log", metavar="FILE", type=Path, help="the log of what was done, if not beside the plan")


COMMANDS = (
    CommandWords("start", "write a commented scenario to begin with", _start),
    CommandWords("check", "hold hours of work against hours of help, before any planning", _check),
    CommandWords("weather", "show which hours are fit for which work, and why the others are not", _weather),
    CommandWords("plan", "plan the winter, audit the plan, write it, and say what it comes to", _plan),
    CommandWords("show", "print a plan by day, by person or by lot, or its supplies", _show),
    CommandWords("audit", "name every promise a plan breaks, also one changed by hand", _audit),
    CommandWords("record", "add to the log beside a plan what was done, in one short line", _record, free_words=True),
    CommandWords("replan", "plan the rest of a winter anew from what is done, moving as little as can be", _replan),
    CommandWords("changes", "say what a new plan changes for whom, and why", _changes),
    CommandWords("share", "write the plan for helpers: a page, calendars, a table, texts and a picture", _share),
    CommandWords("rehearse", "replay a plan through each past winter, re-planned every Monday", _rehearse),
    CommandWords("pace", "learn from the log how long the work takes here, and whether the winter fits at it", _pace),
    CommandWords("remedies", "where a winter does not fit: the cheapest ways to mend it, each proved", _remedies),
    CommandWords("worth", "hold the work on each lot against its price new, or comb against honey", _worth),
    CommandWords("spare", "say how late each step could begin, what is fullest, and what one more is worth", _spare),
    CommandWords("carry-over", "write next winter's scenario out of this winter's and its log", _carry_over),
)
"""In the order in which the help tells of them."""
