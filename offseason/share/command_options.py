"""What may be written after each command: words and options, with what they mean."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path

from offseason.share.option_values import at_least, day, days, folder, minutes_before, percent, seconds, this_year, year

Words = argparse.ArgumentParser


def _a_scenario(words: Words, said: str = "a scenario, such as winter.yaml") -> None:
    words.add_argument("file", metavar="FILE", type=Path, help=said)


def _a_plan(words: Words, said: str = "a plan, such as winter.plan.yaml") -> None:
    words.add_argument("plan", metavar="PLAN", type=Path, help=said)


def _its_scenario(words: Words) -> None:
    words.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, where it is not beside the plan")


def _its_log(words: Words) -> None:
    words.add_argument("--log", metavar="FILE", type=Path, help="the log, where it is not beside the plan")


def _days_shown(words: Words) -> None:
    words.add_argument("--from", dest="first", metavar="DAY", type=day, help="first day to show, as in 2026-10-17")
    words.add_argument("--until", dest="last", metavar="DAY", type=day, help="last day to show")


def _how_searched(words: Words, *, workers: str = "searches side by side; else 2") -> None:
    words.add_argument("--workers", metavar="N", type=at_least(1), default=2, help=workers)
    words.add_argument(
        "--seed",
        metavar="N",
        type=at_least(0),
        default=0,
        help="another number searches in another order; else 0",
    )
    _quiet(words)


def _quiet(words: Words) -> None:
    words.add_argument("--quiet", action="store_true", help="do not show how far it is")


def _picture(words: Words, said: str) -> None:
    words.add_argument(
        "--picture", metavar="OUT.svg", type=Path, help=f"{said}; a file that is no picture of offseason is left alone"
    )


def _start(words: Words) -> None:
    words.add_argument(
        "file",
        metavar="FILE",
        type=Path,
        nargs="?",
        default=Path("winter.yaml"),
        help="what to call it; else winter.yaml. A file that is there already is left alone",
    )
    words.add_argument(
        "--year", metavar="YEAR", type=year, default=this_year(), help="year in which the winter begins; else this year"
    )


def _check(words: Words) -> None:
    _a_scenario(words)


def _weather(words: Words) -> None:
    _a_scenario(words, "a forecast or a record of weather (CSV); or a scenario, for the weather of its winter")
    words.add_argument(
        "--need",
        metavar="NAME",
        action="append",
        help="show this kind of work only, such as painting; may be written several times",
    )
    _days_shown(words)
    words.add_argument(
        "--scenario", metavar="FILE", type=Path, help="the scenario whose work it is for; its time zone counts too"
    )
    words.add_argument(
        "--timezone", metavar="ZONE", help="the clock on your wall, such as CET; else that of the scenario, or UTC"
    )
    words.add_argument("--station", metavar="ID", help="which station, where a GHCN-Daily file holds several")
    _picture(words, "draw the hours too, into this file")


def _plan(words: Words) -> None:
    _a_scenario(words)
    words.add_argument(
        "--to",
        metavar="PLAN",
        type=Path,
        help="where the plan goes; else winter.plan.yaml beside winter.yaml. A plan there is kept as PLAN.before",
    )
    limit = words.add_mutually_exclusive_group()
    limit.add_argument(
        "--seconds",
        metavar="N",
        type=seconds,
        default=60.0,
        help="search no longer than so many seconds; else 60. How far that gets hangs on the computer, so another "
        "time the plan may be another",
    )
    limit.add_argument(
        "--effort",
        metavar="N",
        type=at_least(1),
        help="search this much, in place of --seconds: the same scenario, N and version of offseason give the same "
        "plan on any computer, however busy. 60 takes about a minute on two cores. (What would mend a winter that does "
        "not fit is looked for by the clock all the same.)",
    )
    _how_searched(words, workers="searches side by side; else 2. With --effort the plan is the same with any number")


def _show(words: Words) -> None:
    _a_plan(words)
    words.add_argument(
        "--by",
        metavar="ORDER",
        choices=("day", "person", "lot", "supplies"),
        default="day",
        help="day, person or lot: how to order the work; supplies: what to buy, and by when; else day",
    )
    words.add_argument("--week", metavar="DAY", type=day, help="show the week, Monday to Sunday, around this day")
    _days_shown(words)
    words.add_argument(
        "--who",
        metavar="NAME",
        help="show the work of this person only; a name that begins with a dash is written --who=NAME",
    )
    _its_scenario(words)


def _audit(words: Words) -> None:
    _a_plan(words)
    _its_scenario(words)


def _record(words: Words) -> None:
    _a_plan(words)
    words.add_argument(
        "words",
        metavar="WORDS",
        nargs="*",
        help="who did what to how many of which lot, and how long it took, in any order. Besides: until 15:30; on "
        "2026-10-14, on yesterday; and a note in quotes",
    )
    words.add_argument(
        "--from",
        dest="from_",
        metavar="FILE",
        action="append",
        type=Path,
        help="read such lines from a file (with - for FILE: from what is typed in), or take over another log; may be "
        "written several times",
    )
    words.add_argument("--keep-good", action="store_true", help="record the good lines where others are wrong")
    words.add_argument("--today", metavar="DAY", type=day, help="the day it was done, unless the line says; else today")
    _its_scenario(words)


def _replan(words: Words) -> None:
    _a_plan(words, "the plan so far, such as winter.plan.yaml")
    words.add_argument("--today", metavar="DAY", type=day, help="the day from which to plan; else today")
    words.add_argument(
        "--settle", metavar="DAY", type=day, help="what is promised for days before it moves only if it must"
    )
    words.add_argument(
        "--to", metavar="FILE", type=Path, help="where the plan goes; else in place of the old, kept as PLAN.before"
    )
    words.add_argument(
        "--seconds", metavar="N", type=seconds, default=12.0, help="search no longer than so many seconds; else 12"
    )
    _how_searched(words)
    _its_log(words)
    _its_scenario(words)


def _changes(words: Words) -> None:
    words.add_argument(
        "old",
        metavar="OLD",
        type=Path,
        help="the plan before. Where NEW is not written: the new plan, and the one before is OLD.before",
    )
    words.add_argument("new", metavar="NEW", type=Path, nargs="?", help="the new plan")
    words.add_argument("--who", metavar="NAME", help="what changes for this person only")
    _days_shown(words)
    words.add_argument(
        "--scenario", metavar="FILE", type=Path, help="the scenario, where it is not beside the new plan"
    )


def _share(words: Words) -> None:
    _a_plan(words)
    words.add_argument(
        "--to",
        metavar="FOLDER",
        type=folder,
        required=True,
        help="where the files go; always the same folder, so that it can be said what changed",
    )
    words.add_argument(
        "--alarm",
        metavar="MINUTES",
        type=minutes_before,
        help="have the calendars remind so long before each stretch of work; else they do not remind",
    )
    _its_scenario(words)


def _rehearse(words: Words) -> None:
    words.add_argument(
        "file", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml, or the scenario beside it"
    )
    words.add_argument(
        "--vary",
        metavar="PERCENT",
        type=percent,
        default=0.0,
        help="let the work take up to so much longer or shorter, as in 20; else 0",
    )
    words.add_argument(
        "--seed", metavar="N", type=at_least(0), default=0, help="another number draws other lengths of work; else 0"
    )
    words.add_argument(
        "--forecast-days",
        metavar="DAYS",
        type=days,
        default=3,
        help="how many days ahead a forecast is trusted; else 3",
    )
    words.add_argument(
        "--workers", metavar="N", type=at_least(1), help="winters side by side; else one for each core of the computer"
    )
    _picture(words, "draw how the winters end, into this file")
    _quiet(words)
    _its_scenario(words)


def _pace(words: Words) -> None:
    _a_plan(words)
    words.add_argument(
        "--use", action="store_true", help="write the minutes learnt into the scenario, which is kept as FILE.before"
    )
    words.add_argument("--today", metavar="DAY", type=day, help="count the hours left from this day on; else today")
    _its_log(words)
    _its_scenario(words)


def _remedies(words: Words) -> None:
    _a_scenario(words, "a scenario that does not fit, such as winter.yaml")
    words.add_argument(
        "--apply",
        metavar="N",
        type=at_least(1),
        help="write a new scenario with the remedy of this number, as last found; nothing is searched",
    )
    words.add_argument(
        "--to", metavar="NEW", type=Path, help="what to call it; else winter.remedy-N.yaml; never a file that is there"
    )
    words.add_argument(
        "--seconds", metavar="N", type=seconds, default=60.0, help="search no longer than so many seconds; else 60"
    )
    _how_searched(words)


def _worth(words: Words) -> None:
    _a_scenario(words, "a scenario in which prices: stand, such as winter.yaml")


def _spare(words: Words) -> None:
    _a_plan(words, "a plan that works, such as winter.plan.yaml")
    words.add_argument("--lot", metavar="NAME", help="only how late the steps of this lot or job can begin")
    words.add_argument("--step", metavar="NAME", help="only how late this step can begin")
    words.add_argument(
        "--seconds",
        metavar="N",
        type=seconds,
        help="search no longer than so many seconds; else 12, or 70 for a large winter",
    )
    _how_searched(words, workers="searches side by side; else 2. With 1 the answer is the same each time")
    _its_scenario(words)


def _carry_over(words: Words) -> None:
    _a_plan(words)
    words.add_argument(
        "--to",
        metavar="FILE",
        type=Path,
        required=True,
        help="what to call the new scenario; never a file that is there",
    )
    words.add_argument(
        "--season-from", metavar="DAY", type=day, help="first day of work; else the same day, a year later"
    )
    words.add_argument(
        "--learnt", action="store_true", help="with the minutes learnt from the log, as offseason pace tells them"
    )
    _its_log(words)
    _its_scenario(words)


OPTIONS: Mapping[str, Callable[[Words], None]] = {
    "start": _start,
    "check": _check,
    "weather": _weather,
    "plan": _plan,
    "show": _show,
    "audit": _audit,
    "record": _record,
    "replan": _replan,
    "changes": _changes,
    "share": _share,
    "rehearse": _rehearse,
    "pace": _pace,
    "remedies": _remedies,
    "worth": _worth,
    "spare": _spare,
    "carry-over": _carry_over,
}
"""What adds them, by command."""
