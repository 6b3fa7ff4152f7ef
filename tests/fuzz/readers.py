"""The readers of files, each from bytes: what they give, and the error by which each says in a sentence why not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from offseason.plan.parse import PlanFileError, parse_plan
from offseason.plan.progress.log import LogFileError, parse_log
from offseason.remedy.file import RemediesFileError, parse_remedies
from offseason.scenario.problems import ScenarioError
from offseason.scenario.read import parse_scenario
from offseason.weather.read import read_weather_file
from offseason.weather.records import WeatherFileError

REFUSALS = (ScenarioError, PlanFileError, LogFileError, WeatherFileError, RemediesFileError)
READERS = ("scenario", "plan", "log", "weather", "remedies")

_ERRORS: dict[str, type[Exception]] = dict(zip(READERS, REFUSALS, strict=True))


def refusal(reader: str, data: bytes, folder: Path) -> str | None:
    """Why ``reader`` refuses ``data``, in its own words; None where it reads it. Any other error comes through.

    ``folder``: where a file may be written, for the reader that takes only files.
    """
    try:
        _read(reader, data, folder)
    except _ERRORS[reader] as error:
        said = str(error)
        if not said.strip() or "Traceback" in said:
            raise AssertionError(f"no sentence for a keeper: {said!r}") from error
        return said
    return None


def _read(reader: str, data: bytes, folder: Path) -> Any:
    parsers: dict[str, Callable[[bytes, str], Any]] = {
        "scenario": parse_scenario,
        "plan": parse_plan,
        "log": parse_log,
        "remedies": parse_remedies,
    }
    if reader != "weather":
        return parsers[reader](data, "given")
    path = folder / "given.csv"
    path.write_bytes(data)
    return read_weather_file(path, timezone="CET")  # a clock that changes: more can go wrong
