"""What may be written behind an option; a mistake is told in a sentence."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from offseason.scenario.words import parse_date


def this_year() -> int:
    """The year it is."""
    return datetime.now(UTC).astimezone().year


def day(text: str) -> date:
    """A day as in 2026-10-17."""
    try:
        return parse_date(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def year(text: str) -> int:
    """Four digits."""
    if not (text.isascii() and text.isdigit() and 1900 <= int(text) <= 9000):
        raise argparse.ArgumentTypeError(f"'{text}' is not a year; write four digits, as in 2026")
    return int(text)


def seconds(text: str) -> float:
    """More than 0."""
    try:
        seconds = float(text)
    except ValueError:
        seconds = 0.0
    if not 0 < seconds < float("inf"):
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of seconds above 0")
    return seconds


def days(text: str) -> int:
    """From 0 to 366."""
    if not (text.isascii() and text.isdigit() and len(text) < 4 and int(text) <= 366):
        raise argparse.ArgumentTypeError(f"'{text}' is not a whole number of days from 0 to 366")
    return int(text)


def percent(text: str) -> float:
    """From 0 to 90, with or without the sign."""
    try:
        percent = float(text.removesuffix("%"))
    except ValueError:
        percent = -1.0
    if not 0 <= percent <= 90:
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of per cent from 0 to 90")
    return percent


def at_least(least: int) -> Callable[[str], int]:
    """Whole numbers from ``least`` up."""

    def parse(text: str) -> int:
        if not (text.isascii() and text.isdigit() and len(text) < 12 and least <= int(text) <= 2**31 - 1):
            raise argparse.ArgumentTypeError(f"'{text}' is not a whole number from {least} up")
        return int(text)

    return parse


def folder(text: str) -> Path:
    """The name of a folder; an empty one, as from a variable of the shell that is not set, is a mistake."""
    if not text.strip():
        raise argparse.ArgumentTypeError("no folder is named; for the one you are in write .")
    return Path(text)


def minutes_before(text: str) -> int:
    """From 0 to 10080, a week."""
    if not (text.isascii() and text.isdigit() and len(text) < 6 and int(text) <= 10_080):
        raise argparse.ArgumentTypeError(f"'{text}' is not a whole number of minutes from 0 to 10080, a week")
    return int(text)
