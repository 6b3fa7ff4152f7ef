"""From a scenario and the weather files beside it to the scenario with its weather and moth season filled in."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from offseason.scenario.hours import fit_on, season_days
from offseason.scenario.model import Scenario
from offseason.scenario.nearest import listed
from offseason.scenario.words import Days, Hours
from offseason.weather.beside import apart_said
from offseason.weather.join import joined
from offseason.weather.outlook import Outlook
from offseason.weather.read import read_weather_file
from offseason.weather.records import Daily, Record, SeveralStationsError, WeatherFileError
from offseason.weather.winters import winters_of


def settle(scenario: Scenario, folder: Path) -> tuple[Scenario, Outlook | None]:
    """The scenario with its weather worked out from the files it names, which lie in ``folder``, and that weather.

    Without files: the scenario as it is, and None. Errors: WeatherFileError for a file that cannot be used, and for a
    past winter asked for that is not there.
    """
    forecast, history, notes = records_of(scenario, folder)
    if forecast is None and history is None:
        return scenario, None
    outlook = replace(winters_of(scenario, forecast, history).outlook(), notes=notes)
    return settled(scenario, outlook), outlook


def settled(scenario: Scenario, outlook: Outlook) -> Scenario:
    """The scenario with hours fit for every day of the season, and the moth season where it was left out.

    Hours written by hand win on the days they name.
    """
    judged = {need: _with_own(scenario, need, days) for need, days in outlook.windows.items()}
    weather = scenario.weather.model_copy(update={"windows": {**scenario.weather.windows, **judged}})
    moths = scenario.moths if scenario.moths is not None else outlook.moths
    return scenario.model_copy(update={"weather": weather, "moths": moths})


def _with_own(scenario: Scenario, need: str, days: Mapping[date, tuple[Hours, ...]]) -> dict[Days, tuple[Hours, ...]]:
    own = scenario.weather.windows.get(need, {})
    found = {}
    for day in season_days(scenario.season.from_, scenario.season.until):
        by_hand = any(day in named for named in own)
        found[Days(day, day)] = tuple(fit_on(own, day)) if by_hand else days.get(day, ())
    return found


def records_of(scenario: Scenario, folder: Path) -> tuple[Record | None, Record | None, tuple[str, ...]]:
    """Forecast and history of a scenario from the files in ``folder``, None where it names none, and notes on them.

    Errors: WeatherFileError, naming the file.
    """
    zone = scenario.season.timezone
    forecast, on_forecast = _read(scenario.weather.forecast, folder, zone, "forecast")
    history, on_history = _read(scenario.weather.history, folder, zone, "history")
    notes = (*on_forecast, *on_history)
    if forecast is not None and history is not None:
        apart = apart_said(forecast, history, scenario.weather.forecast, scenario.weather.history)
        notes = (*notes, apart) if apart else notes
    return forecast, history, notes


def _read(names: Sequence[str], folder: Path, timezone: str | None, key: str) -> tuple[Record | None, tuple[str, ...]]:
    _refuse_twice(names, folder, key)
    records: list[Record] = []
    notes: list[str] = []
    for name in names:
        path = folder / name
        if not path.exists():
            raise WeatherFileError(
                f"{name}: this file is not there; put it beside the scenario, or correct weather: {key}: in it"
            )
        if path.is_dir():
            raise WeatherFileError(f"{name}: this is a folder; name the weather files in it under weather: {key}:")
        try:
            reading = read_weather_file(path, timezone=timezone)
        except SeveralStationsError as error:
            remedy = f"keep the lines of one in a file of its own, and name that under weather: {key}:"
            raise WeatherFileError(f"{error.found}; {remedy}") from None
        records.append(reading.record)
        notes += [
            f"{name}, row {note.row}: {note.text}" if note.row else f"{name}: {note.text}" for note in reading.notes
        ]
    if not records:
        return None, ()
    _refuse_mixed(names, records, key)
    record, of_all = joined(records)
    return record, (*notes, *of_all)


def _refuse_twice(names: Sequence[str], folder: Path, key: str) -> None:
    paths = [os.path.normpath(folder / name) for name in names]
    for place, path in enumerate(paths):
        if path in paths[:place]:
            raise WeatherFileError(f"{names[place]}: this file is named twice under weather: {key}:; name it once")


def _refuse_mixed(names: Sequence[str], records: Sequence[Record], key: str) -> None:
    by_day = [name for name, record in zip(names, records, strict=True) if isinstance(record, Daily)]
    by_hour = [name for name, record in zip(names, records, strict=True) if not isinstance(record, Daily)]
    if by_day and by_hour:
        hours, days = (f"{listed(files)} {'is' if len(files) == 1 else 'are'}" for files in (by_hour, by_day))
        text = f"{hours} by the hour, but {days} by the day; name files of one kind under weather: {key}:"
        raise WeatherFileError(text)
