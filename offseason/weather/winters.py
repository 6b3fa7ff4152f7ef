"""Past winters laid on the one to be planned: the forecast first, beyond it a past winter, and the moth season of all.

A past winter is named by the year its first day lies in; its days are those of this season shifted by whole years.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from offseason.scenario.lots import kind_of
from offseason.scenario.model import Moths, Scenario
from offseason.trade.fitness import Limits
from offseason.weather import said
from offseason.weather.judge import Reason
from offseason.weather.laid import Laid, cut_after, laid, nothing, over, windows
from offseason.weather.needs import asked_for, needs_of
from offseason.weather.outlook import Air, Outlook
from offseason.weather.poor import chosen_year, presence
from offseason.weather.records import Daily, Floats, Record, WeatherFileError
from offseason.weather.season import MothSeason, flights, moth_season
from offseason.weather.span import AIR_DAYS_AFTER, AIR_DAYS_BEFORE, Span, lies_north, shifted, span_of
from offseason.weather.wall import Wall, hours_shown_twice, wall_of

WHOLE_PERCENT = 90
"""A past winter is planned with if the mean temperature of so many of its days is known, and what work asks: ours."""


@dataclass(frozen=True, eq=False)
class Winters:
    """What is known of this winter and of past ones; ``years``: those whole enough to plan with, in order.

    ``forecast`` and ``past`` lie on the days of ``span``. ``fit_hours``: for each year to plan with the hours fit, over
    all the kinds of weather work cannot do without, while somebody is here on that day of this season. ``missing``,
    ``lacking``: of winters left out, how many days are missing, or lack what work asks. ``hours_after``: how far each
    need looks beyond the work, in hours. ``twice``: the hour the clock shows twice, on days of the season with one.
    """

    scenario: Scenario
    span: Span
    needs: Mapping[str, Limits]
    forecast: Laid | None
    past: Mapping[int, Laid]
    fit_hours: Mapping[int, float]
    missing: Mapping[int, int]
    lacking: Mapping[int, int]
    hours_after: Mapping[str, int]
    reaches_into_season: bool
    twice: Mapping[date, int]

    @property
    def years(self) -> tuple[int, ...]:
        """Past winters whole enough to plan with, in order."""
        return tuple(self.fit_hours)

    def outlook(self) -> Outlook:
        """The winter to plan with: the days forecast, beyond them the past winter the scenario asks for."""
        season = self._moths(self.forecast, self.years)
        moths = season.moths if season else None
        return self._outlook(self.planned(), moths, self._said(self._year(), season))

    def planned(self) -> Laid:
        """The weather to plan with, on the days of ``span``."""
        return self._beyond(self.forecast, self._year())

    def as_it_was(self, year: int) -> Outlook:
        """The whole season with the weather of that past winter, and the moths of its own spring.

        Days that are forecast for this winter are as forecast. Where that spring is not seen to warm up, moths fly as
        in the plan. Errors: ValueError for a year not in ``years``.
        """
        weather = self._of(year)
        moths = self._moths_or_planned(self.forecast, (year,))
        sentence = f"Weather as it was in the winter of {self.span.winter(year)}."
        return self._outlook(weather, moths, (sentence,))

    def as_known(self, year: int, day: date, forecast_days: int) -> Outlook:
        """What a keeper would have known on ``day`` (of this season) had this winter been as the one of ``year``.

        That winter's weather up to so many days after ``day``, as if forecast without fault; beyond it the kind of past
        winter the scenario asks for among the other years (the poor year, where it asks for ``year`` itself); unknown
        where there are none. Errors: ValueError for a year not in ``years``.
        """
        last = self.span.at(day) + forecast_days
        known = cut_after(self._of(year), last, self.hours_after)
        known = known if self.forecast is None else over(self.forecast, known, self.hours_after)
        others = {other: hours for other, hours in self.fit_hours.items() if other != year}
        asked = self.scenario.weather.beyond_forecast
        beyond = chosen_year("poor year" if asked == year else asked, others)
        moths = self._moths_or_planned(known, tuple(others))
        sentence = (
            f"Weather up to {said.day_text(self.span.day(last))} as it was in the winter of {self.span.winter(year)}"
        )
        if beyond is not None:
            sentence += f", beyond it as in the winter of {self.span.winter(beyond)}"
        return self._outlook(self._beyond(known, beyond), moths, (f"{sentence}.",))

    def _year(self) -> int | None:
        """The past winter the scenario asks for beyond the forecast."""
        return chosen_year(self.scenario.weather.beyond_forecast, self.fit_hours)

    def _of(self, year: int) -> Laid:
        if year not in self.past:
            have = said.listed([self.span.winter(known) for known in self.past], "winters") if self.past else "none"
            raise ValueError(f"The winter of {self.span.winter(year)} is not whole in the records; there are: {have}.")
        return self._beyond(self.forecast, year)

    def _beyond(self, known: Laid | None, year: int | None) -> Laid:
        past = nothing(len(self.span), self.needs) if year is None else self.past[year]
        return past if known is None else over(known, past, self.hours_after)

    def _moths(self, known: Laid | None, years: tuple[int, ...]) -> MothSeason | None:
        """The moth season of these years, each with what is known put in; None where none is to be worked out."""
        if self.scenario.moths is not None or not any(kind_of(lot) == "comb" for lot in self.scenario.gear.values()):
            return None
        means = [self.past[year].mean_celsius for year in years] or [np.full(len(self.span), np.nan)]
        daily_means: Floats = np.array(means)
        if known is not None:
            daily_means = np.where(np.isnan(known.mean_celsius), daily_means, known.mean_celsius)
        return moth_season(flights(daily_means, self.span), self.span)

    def _moths_or_planned(self, known: Laid | None, years: tuple[int, ...]) -> Moths | None:
        """The moths of these years; where these have none, those the plan was made with."""
        found = self._moths(known, years)
        if found is not None and found.moths is None:
            found = self._moths(self.forecast, self.years)
        return found.moths if found else None

    def _outlook(self, weather: Laid, moths: Moths | None, sentences: tuple[str, ...]) -> Outlook:
        first = self.span.season_first - timedelta(days=AIR_DAYS_BEFORE)
        days = slice(self.span.at(first), self.span.at(self.span.season_last) + AIR_DAYS_AFTER + 1)
        air = Air(first, weather.celsius[days], weather.humidity_percent[days], weather.mean_celsius[days])
        return Outlook(windows(weather, self.span, self.twice), air, moths, sentences)

    def _said(self, year: int | None, season: MothSeason | None) -> tuple[str, ...]:
        weather, span = self.scenario.weather, self.span
        found: list[str | None] = []
        known: list[date] = []
        if self.forecast is not None:
            rows = self.forecast.known[span.season]
            known = [day for day, is_known in zip(span.season_days(), rows, strict=True) if is_known]
            looks_ahead = any(self.hours_after.values())
            found.append(said.forecast_said(weather.forecast, span, known, looks_ahead=looks_ahead))
        if len(known) < len(span.season_days()):
            asked = [need for need in asked_for(self.scenario) if need in self.needs]
            if year is None:
                found.append(said.unknown_said(weather.history, beyond=bool(known)))
            else:
                which = weather.beyond_forecast
                fit = self.fit_hours
                found.append(said.past_said(weather.history, span, year, which, fit, asked, beyond=bool(known)))
        found.append(said.left_out_said(self.missing, self.lacking, span))
        if self.reaches_into_season:
            found.append(said.this_winter_said(weather.history, span))
        if season is not None:
            found.append(said.moths_said(season, (*weather.forecast, *weather.history), span))
        return tuple(sentence for sentence in found if sentence)


def winters_of(scenario: Scenario, forecast: Record | None, history: Record | None) -> Winters:
    """Forecast and past winters of a scenario, each record judged once and laid on the days of this winter.

    A winter counts as past if the whole of it lies before the first day of the season.
    Errors: WeatherFileError where the scenario asks for a past winter that is not whole in the history.
    """
    needs = needs_of(scenario)
    zone = scenario.season.timezone
    ahead = None if forecast is None else wall_of(forecast, needs, zone)
    behind = None if history is None else wall_of(history, needs, zone)
    climate = behind or ahead
    means, first = (climate.air.mean_celsius, climate.first) if climate else (np.empty(0), scenario.season.from_)
    span = span_of(scenario.season, northern=lies_north(means, first, scenario.season))
    past, missing = _past_winters(behind, span) if behind else ({}, {})
    asked = [need for need in asked_for(scenario) if need in needs]
    unjudged = _unjudged(past, span, asked)
    counted = _fit_hours(scenario, span, asked)
    winters = Winters(
        scenario=scenario,
        span=span,
        needs=needs,
        forecast=None if ahead is None else laid(ahead, span.ordinals()),
        past=past,
        fit_hours={year: counted(weather) for year, weather in past.items() if year not in unjudged},
        missing=missing,
        lacking=unjudged,
        hours_after={need: _hours_after(limits, daily=isinstance(history, Daily)) for need, limits in needs.items()},
        reaches_into_season=behind is not None and behind.air.last >= span.season_first,
        twice=hours_shown_twice(span.season_days(), zone),
    )
    _check_year_asked_for(winters)
    return winters


def _past_winters(history: Wall, span: Span) -> tuple[dict[int, Laid], dict[int, int]]:
    """Past winters whole enough, by year, and the missing days of the others of which anything is known."""
    past: dict[int, Laid] = {}
    missing: dict[int, int] = {}
    this = span.season_first.year
    for year in range(history.first.year - 1, this):
        if shifted(span.season_last, year - this) >= span.season_first:
            continue
        weather = laid(history, span.ordinals(year - this))
        known = ~np.isnan(weather.mean_celsius[span.season])
        if 100 * known.sum() >= WHOLE_PERCENT * len(known):
            past[year] = weather
        elif known.any():
            missing[year] = int((~known).sum())
    return past, missing


def _unjudged(past: Mapping[int, Laid], span: Span, needs: Sequence[str]) -> dict[int, int]:
    """Winters that too often lack what work asks for, such as rain, and on how many days; none where all do.

    Such a winter would pass for a poor one though nobody knows how it was.
    """
    found = {}
    for year, weather in past.items():
        unknown = [(weather.reasons[need][span.season] == Reason.UNKNOWN).all(axis=1) for need in needs]
        days = int(np.any(unknown, axis=0).sum()) if unknown else 0
        if 100 * days > (100 - WHOLE_PERCENT) * len(span.season_days()):
            found[year] = days
    return found if len(found) < len(past) else {}


def _fit_hours(scenario: Scenario, span: Span, needs: list[str]) -> Callable[[Laid], float]:
    here = presence(scenario, span)

    def hours(weather: Laid) -> float:
        return sum(float(here[weather.reasons[need][span.season] == Reason.FIT].sum()) for need in needs)

    return hours


def _hours_after(limits: Limits, *, daily: bool) -> int:
    warm = 0 if limits.at_least_celsius is None else limits.warm_hours_after
    hours = max(warm, limits.dry_hours_after)
    return -(-hours // 24) * 24 if daily else hours


def _check_year_asked_for(winters: Winters) -> None:
    weather, asked = winters.scenario.weather, winters.scenario.weather.beyond_forecast
    if not isinstance(asked, int) or asked in winters.fit_hours:
        return
    if not weather.history:
        raise WeatherFileError(f"beyond_forecast: {asked} asks for a past winter; name its file under history: as well")
    files, winter = said.listed(weather.history), winters.span.winter(asked)
    why = f"is not in {files}"
    days = len(winters.span.season_days())
    if asked in winters.missing:
        why = f"is not whole in {files}: {winters.missing[asked]} of its {days} days are missing"
    if asked in winters.lacking:
        why = f"in {files} lacks what work asks of the weather on {winters.lacking[asked]} of its {days} days"
    have = said.listed([winters.span.winter(year) for year in winters.years], "winters")
    instead = f"write the year one of these began in: {have}" if winters.years else "write poor year"
    raise WeatherFileError(f"beyond_forecast: the winter of {winter} {why}; {instead}")
