"""What a keeper writes of the weather: record files, what work needs of it, and hours fit by hand."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from offseason.scenario.entry import Degrees, Entry, HoursAfter, Name, PerCent, said
from offseason.scenario.typed import DaySpan, FileNames, Flag, HoursList, PastYear


class NeedEntry(Entry):
    """What the weather must be like for some work. What is left out is taken from ``like``, else not asked."""

    like: Annotated[
        Name | None, said("the kind of weather it starts from, a word this program knows", "painting with latex")
    ] = None
    at_least_celsius: Annotated[Degrees | None, said("lowest temperature of the air in °C", 10)] = None
    at_most_celsius: Annotated[Degrees | None, said("highest temperature of the air in °C", 32)] = None
    warm_hours_after: Annotated[HoursAfter | None, said("hours afterwards in which it stays at least so warm", 24)] = (
        None
    )
    at_most_humidity_percent: Annotated[PerCent | None, said("highest relative humidity in per cent", 85)] = None
    above_dew_point_k: Annotated[
        Annotated[float, Field(strict=True, ge=0, le=30)] | None,
        said("kelvin the air must be above its dew point", 3),
    ] = None
    no_rain: Annotated[Flag | None, said("true where no rain may fall during the work", True)] = None
    dry_hours_after: Annotated[HoursAfter | None, said("hours afterwards without rain", 24)] = None
    at_most_wind_m_s: Annotated[
        Annotated[float, Field(strict=True, gt=0, le=60)] | None, said("strongest wind in metres a second", 6.7)
    ] = None
    at_most_wood_moisture_percent: Annotated[
        PerCent | None, said("wettest wood, where the records have it, in per cent", 20)
    ] = None


class WeatherEntry(Entry):
    """The weather: files of records, what work needs of it, and hours fit by hand.

    ``forecast`` wins over what past winters (``history``) were like; ``windows`` by hand win over both on the days
    they name. A need that has no records to judge it by is fit only in its ``windows``.
    """

    forecast: Annotated[FileNames, said("file of the forecast, beside this one", "forecast.csv")] = ()
    history: Annotated[
        FileNames, said("files of past winters' weather, beside this one", "records.csv", "[2019.csv, 2020.csv]")
    ] = ()
    beyond_forecast: Annotated[
        PastYear,
        said(
            "past winter to plan with beyond the forecast: poor year (the second-poorest of ten), poorest year, "
            "middle year, or the year its autumn lies in",
            "poor year",
            2021,
        ),
    ] = "poor year"
    needs: Annotated[
        dict[Name, NeedEntry],
        said("what each kind of weather must be like", "{painting: {like: painting with latex}}"),
    ] = Field(default_factory=dict)
    windows: Annotated[
        dict[Name, dict[DaySpan, HoursList]],
        said("for each kind of weather, the hours of each day fit for it", "{painting: {2026-10-17: 10:00-15:00}}"),
    ] = Field(default_factory=dict)
