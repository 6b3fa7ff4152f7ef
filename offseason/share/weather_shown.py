"""From a weather record, or a scenario and the files it names, to what the table and the picture show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

import numpy as np

from offseason.scenario.hours import fit_on, season_days
from offseason.scenario.model import Scenario
from offseason.scenario.read import read_scenario
from offseason.scenario.words import Days, Hours
from offseason.share.fit_days import HOURS, NOT_BY_HAND, FitDays
from offseason.share.terminal.weather import read_text
from offseason.trade.fitness import NEEDS, Limits
from offseason.weather.judge import Reason, Reasons
from offseason.weather.needs import needs_of
from offseason.weather.read import read_weather_file
from offseason.weather.records import Daily, Reading, WeatherFileError
from offseason.weather.wall import wall_of
from offseason.weather.winter import records_of, settled
from offseason.weather.winters import winters_of

MINUTES = 60
SCENARIO_ENDINGS = (".yaml", ".yml")


def shown_of_file(
    file: Path, scenario: Path | None, *, timezone: str | None, station: str | None
) -> tuple[FitDays, tuple[str, ...]]:
    """All the weather in ``file``, a record or a scenario, and what to say of it.

    Of a record: for what the ``scenario`` asks of the weather, by its clock unless ``timezone`` names another; without
    it for every kind of work known. Errors: WeatherFileError, ScenarioError.
    """
    if file.suffix.lower() in SCENARIO_ENDINGS:
        needless = {"--scenario": scenario, "--timezone": timezone, "--station": station}
        for option, value in needless.items():
            if value is not None:
                raise WeatherFileError(f"{file} is a scenario and says itself what weather it is; leave out {option}.")
        return _not_nothing(file, *shown_of_scenario(file.name, read_scenario(file), file.parent))
    asking = read_scenario(scenario) if scenario else None
    zone = timezone or (asking.season.timezone if asking else None)
    reading = read_weather_file(file, timezone=zone, station=station)
    shown = shown_of_record(file.name, reading, needs_of(asking) if asking else NEEDS, zone)
    return _not_nothing(scenario or file, shown, tuple(read_text(file.name, reading, zone)))


def _not_nothing(file: Path, shown: FitDays, said: tuple[str, ...]) -> tuple[FitDays, tuple[str, ...]]:
    if not shown.reasons:
        raise WeatherFileError(
            f"{file}: no work in it asks for weather that could be shown; write needs: or windows: under weather:, "
            f"or at a task a kind of weather known here: {', '.join(NEEDS)}."
        )
    return shown, said


def shown_of_record(title: str, reading: Reading, needs: Mapping[str, Limits], timezone: str | None) -> FitDays:
    """The whole of a record, judged for these needs."""
    wall = wall_of(reading.record, needs, timezone)
    return FitDays(title, wall.first, wall.reasons, whole_days=isinstance(reading.record, Daily))


def shown_of_scenario(title: str, scenario: Scenario, folder: Path) -> tuple[FitDays, tuple[str, ...]]:
    """The season as it is planned with: windows by hand, then the forecast, then a past winter; and what to say of it.

    ``folder`` holds the weather files the scenario names. Errors: WeatherFileError. No need is shown where there is no
    weather at all.
    """
    forecast, history, notes = records_of(scenario, folder)
    judged: Mapping[str, Reasons] = {}
    said: tuple[str, ...] = ()
    planned = scenario
    if forecast is not None or history is not None:
        winters = winters_of(scenario, forecast, history)
        outlook = winters.outlook()
        planned, said = settled(scenario, outlook), outlook.said
        judged = {need: codes[winters.span.season] for need, codes in winters.planned().reasons.items()}
    by_hand = scenario.weather.windows
    if by_hand:
        said = (
            *said,
            "Hours given by hand win on the days they name; an hour of which only a part is given is not fit.",
        )
    days = season_days(scenario.season.from_, scenario.season.until)
    reasons = {
        need: _codes(days, windows, by_hand.get(need, {}), judged.get(need))
        for need, windows in planned.weather.windows.items()
    }
    whole_days = all(isinstance(record, Daily) for record in (forecast, history) if record is not None)
    return FitDays(title, days[0], reasons, whole_days=bool(judged) and whole_days), (*said, *notes)


def _codes(
    days: Sequence[date],
    windows: Mapping[Days, Sequence[Hours]],
    by_hand: Mapping[Days, Sequence[Hours]],
    judged: Reasons | None,
) -> Reasons:
    """Fit where the plan takes it so; else why, by the records, or because the keeper's own hours leave it out."""
    codes = np.full((len(days), HOURS), NOT_BY_HAND, np.int8) if judged is None else judged.copy()
    for row, day in enumerate(days):
        if any(day in named for named in by_hand):
            codes[row] = NOT_BY_HAND
        codes[row, _whole_hours(fit_on(windows, day))] = Reason.FIT
    return codes


def _whole_hours(windows: Sequence[Hours]) -> list[int]:
    minutes = np.zeros(HOURS * MINUTES, np.bool_)
    for hours in windows:
        start, end = (MINUTES * clock.hour + clock.minute for clock in (hours.start, hours.end))
        minutes[start : HOURS * MINUTES if end == HOURS * MINUTES - 1 else end] = True  # 23:59 stands for midnight
    return np.flatnonzero(minutes.reshape(HOURS, MINUTES).all(axis=1)).tolist()
