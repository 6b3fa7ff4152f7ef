"""From a scenario and the weather files beside it to the scenario with its weather and moth season filled in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from offseason.scenario.hours import fit_on, season_days
from offseason.scenario.model import Scenario
from offseason.scenario.words import Days, Hours
from offseason.weather.join import joined
from offseason.weather.outlook import Outlook
from offseason.weather.read import read_weather_file
from offseason.weather.records import Record, WeatherFileError
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
    return forecast, history, (*on_forecast, *on_history)


def _read(names: Sequence[str], folder: Path, timezone: str | None, key: str) -> tuple[Record | None, tuple[str, ...]]:
    records: list[Record] = []
    notes: list[str] = []
    for name in names:
        path = folder / name
        if not path.exists():
            raise WeatherFileError(
                f"{name}: this file is not there; put it beside the scenario, or correct weather: {key}: in it"
            )
        reading = read_weather_file(path, timezone=timezone)
        records.append(reading.record)
        notes += [
            f"{name}, row {note.row}: {note.text}" if note.row else f"{name}: {note.text}" for note in reading.notes
        ]
    if not records:
        return None, ()
    record, of_all = joined(records)
    return record, (*notes, *of_all)
