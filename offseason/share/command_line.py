"""The words of the command line: commands, options, and a sentence for each mistake in them."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, NoReturn

from offseason import __version__
from offseason.scenario.nearest import nearest, offer
from offseason.scenario.words import parse_date
from offseason.share.exit_codes import EXIT_CODES, FILE_WRONG

Command = Callable[[argparse.Namespace], Any]

_EXAMPLES = {"FILE": "winter.yaml", "PLAN": "winter.plan.yaml", "COMMAND": "plan winter.yaml"}


class Parser(argparse.ArgumentParser):
    """Tells of a mistake in one sentence, with the nearest word that would do."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(epilog=EXIT_CODES, formatter_class=argparse.RawDescriptionHelpFormatter, **settings)
        self.by_command: dict[str, Parser] = {}

    def parse_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As in argparse; what is left over is told by the command it was written after."""
        words = sys.argv[1:] if args is None else list(args)
        if words and words[0].startswith("-") and not any(o.startswith(words[0]) for o in self._option_string_actions):
            self.error(f"unrecognized arguments: {words[0]}")
        found, rest = self.parse_known_args(words, namespace)
        if rest:
            self.by_command.get(getattr(found, "name", ""), self).error(f"unrecognized arguments: {' '.join(rest)}")
        return found

    def error(self, message: str) -> NoReturn:
        """Ends with exit code 2 and one sentence."""
        told = " ".join(self._sentence(message).split())
        told = told if told.endswith((".", "?")) else f"{told}."
        self.exit(FILE_WRONG, f"{self.prog}: {told} ('{self.prog} --help' shows what can be written.)\n")

    def _sentence(self, message: str) -> str:
        if found := re.match(r"unrecognized arguments: (\S+)", message):
            word, _, _ = found[1].partition("=")
            if not word.startswith("-"):
                return f"'{word}' is one word too many here."
            close = nearest(word, self._option_string_actions)
            return f"there is no option {word} here{f'; did you mean {close}?' if close else '.'}"
        if found := re.match(
            r"argument (\S+): invalid choice: ['\"](.*?)['\"] \(choose from (.*)\)", message, re.DOTALL
        ):
            where, word, rest = found.groups()
            known = [one.strip(" '") for one in rest.split(",")]
            if where == "COMMAND":
                return f"there is no command '{word[:60]}'; {offer(word, known, what='the commands are')}"
            return f"{where}: '{word[:60]}' cannot be chosen; {offer(word, known, what='there are')}"
        if found := re.match(r"the following arguments are required: (\w+)", message):
            example = _EXAMPLES.get(found[1], "")
            return f"{found[1]} is missing; write it as in '{self.prog} {example}'."
        if found := re.match(r"argument (\S+): expected one argument", message):
            option = found[1].split("/")[0]
            return f"a word is missing after {option}; one that begins with a dash is written {option}=WORD."
        return message.removeprefix("argument ")


def command_line(commands: Mapping[str, Command]) -> Parser:
    """The commands and their options; each of ``commands``, by name, is what its words are handed to."""
    top = Parser(
        prog="offseason",
        description="Plans a beekeeper's winter of workshop work, day by day, so that every promise is kept.",
    )
    top.add_argument("--version", action="version", version=f"offseason {__version__}")
    subs = top.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=Parser)

    def command(name: str, help_: str) -> Parser:
        sub = subs.add_parser(name, help=help_, description=help_[0].upper() + help_[1:] + ".")
        sub.set_defaults(command=commands[name], name=name)
        top.by_command[name] = sub
        return sub

    start = command("start", "write a commented scenario to begin with")
    start.add_argument("file", metavar="FILE", type=Path, nargs="?", default=Path("winter.yaml"), help="winter.yaml")
    start.add_argument("--year", type=_year, default=_this_year(), help="year in which the winter begins (this year)")

    check = command("check", "hold hours of work against hours of help, before any planning")
    check.add_argument("file", metavar="FILE", type=Path, help="a scenario, such as winter.yaml")

    weather = command("weather", "show which hours are fit for which work, and why the others are not")
    weather.add_argument("file", metavar="FILE", type=Path, help="a weather record (CSV), or a scenario: its winter")
    weather.add_argument(
        "--need", metavar="NAME", action="append", help="show this kind of work only; may be written several times"
    )
    weather.add_argument(
        "--scenario", metavar="SCENARIO", type=Path, help="whose work it is for; its time zone counts too"
    )
    weather.add_argument("--timezone", metavar="ZONE", help="clock on the wall, such as CET; else by UTC")
    weather.add_argument("--station", metavar="ID", help="the station, where a GHCN-Daily file holds several")
    weather.add_argument("--from", dest="first", metavar="DAY", type=_date, help="first day to show, as in 2026-10-17")
    weather.add_argument("--until", dest="last", metavar="DAY", type=_date, help="last day to show")
    weather.add_argument(
        "--picture", metavar="OUT.svg", type=Path, help="draw the hours too; only a picture of ours is written over"
    )

    plan = command("plan", "plan the winter, audit the plan, write it, and say what it comes to")
    plan.add_argument("file", metavar="FILE", type=Path, help="a scenario, such as winter.yaml")
    plan.add_argument(
        "--to",
        metavar="PLAN",
        type=Path,
        help="where the plan goes (winter.plan.yaml beside the scenario); a plan there is kept as PLAN.before",
    )
    plan.add_argument("--seconds", type=_seconds, default=60.0, help="longest time to search (60)")
    plan.add_argument("--workers", type=_at_least(1), default=2, help="searches side by side (2); 1 is repeatable")
    plan.add_argument("--seed", type=_at_least(0), default=0, help="another number searches in another order (0)")
    plan.add_argument("--quiet", action="store_true", help="do not show how the search is going")

    show = command("show", "print a plan by day, by person or by lot, or its supplies")
    show.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    show.add_argument(
        "--by",
        choices=("day", "person", "lot", "supplies"),
        default="day",
        help="how to order the work (day); supplies: what to order by when",
    )
    show.add_argument("--from", dest="first", metavar="DATE", type=_date, help="first day to show, as in 2026-10-17")
    show.add_argument("--until", dest="last", metavar="DATE", type=_date, help="last day to show")
    show.add_argument("--week", metavar="DATE", type=_date, help="show the week, Monday to Sunday, around this day")
    show.add_argument(
        "--who",
        metavar="NAME",
        help="show the work of this person only; a name that begins with a dash is written --who=NAME",
    )
    show.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")

    judge = command("audit", "name every promise a plan breaks, also one changed by hand")
    judge.add_argument("plan", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml")
    judge.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")

    rehearse = command("rehearse", "replay a plan through each past winter of its records, re-planned every Monday")
    rehearse.add_argument(
        "file", metavar="PLAN", type=Path, help="a plan, such as winter.plan.yaml, or the scenario it lies beside"
    )
    rehearse.add_argument("--scenario", metavar="FILE", type=Path, help="the scenario, if it is not beside the plan")
    rehearse.add_argument(
        "--vary",
        metavar="PERCENT",
        type=_percent,
        default=0.0,
        help="labour up to so much longer or shorter (0), as in 20",
    )
    rehearse.add_argument("--seed", type=_at_least(0), default=0, help="another number draws other labour (0)")
    rehearse.add_argument(
        "--forecast-days", metavar="DAYS", type=_days, default=3, help="days ahead for which a forecast is trusted (3)"
    )
    rehearse.add_argument("--workers", type=_at_least(1), help="winters side by side (one for each core)")
    rehearse.add_argument(
        "--picture", metavar="OUT.svg", type=Path, help="draw the spread; only a picture of ours is written over"
    )
    rehearse.add_argument("--quiet", action="store_true", help="do not show how far it is")
    return top


def _this_year() -> int:
    return datetime.now(UTC).astimezone().year


def _date(text: str) -> date:
    try:
        return parse_date(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _year(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1900 <= int(text) <= 9000):
        raise argparse.ArgumentTypeError(f"'{text}' is not a year; write four digits, as in 2026")
    return int(text)


def _seconds(text: str) -> float:
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0 < seconds < float("inf"):
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of seconds above 0")
    return seconds


def _days(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 4 and int(text) <= 366):
        raise argparse.ArgumentTypeError(f"'{text}' is not a whole number of days from 0 to 366")
    return int(text)


def _percent(text: str) -> float:
    try:
        percent = float(text.removesuffix("%"))
    except ValueError:
        percent = -1.0
    if not 0 <= percent <= 90:
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of per cent from 0 to 90")
    return percent


def _at_least(least: int) -> Callable[[str], int]:
    def parse(text: str) -> int:
        if not (text.isascii() and text.isdigit() and len(text) < 12 and least <= int(text) <= 2**31 - 1):
            raise argparse.ArgumentTypeError(f"'{text}' is not a whole number from {least} up")
        return int(text)

    return parse
