"""What a keeper writes of one winter, as frozen data: season, crew, places, work, gear, supplies, prices, weather.

These classes say what each entry means and its unit. They check one value at a time; what must hold between
entries (names, dates, orders) is checked in ``offseason.scenario.cross``. Descriptions and examples of the fields are
what a keeper reads in messages and in an editor.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from offseason.scenario.choices import Climate, CombClass, Drying, Foulbrood, Importance, Preference
from offseason.scenario.entry import Count, Entry, Name, PerCent, said
from offseason.scenario.prices_entry import NewEntry, PricesEntry
from offseason.scenario.typed import (
    Day,
    DaySpan,
    Flag,
    HoursList,
    LeadTime,
    Space,
    Temperature,
    Weekdays,
)
from offseason.scenario.weather_entry import NeedEntry, WeatherEntry
from offseason.scenario.work_entry import JobEntry, RoundEntry, TaskEntry, Then

__all__ = [
    "Climate", "CombClass", "Drying", "Entry", "Foulbrood", "GearEntry", "HelperEntry", "Importance", "JobEntry",
    "Moths", "NeedEntry", "NewEntry", "PlaceEntry", "Preference", "PricesEntry", "RoundEntry", "Scenario", "Season",
    "SupplyEntry", "TaskEntry", "Then", "WeatherEntry",
]  # fmt: skip


class Season(Entry):
    """The winter that is planned: from the first to the last day of work, both included."""

    name: Annotated[Name, said("what you call this winter", "Winter at the yard")] = "Winter"
    from_: Annotated[Day, said("first day of work", "2026-10-05", alias="from")]
    until: Annotated[Day, said("last day of work", "2027-04-09")]
    timezone: Annotated[
        Name | None, said("name of the time zone, for clock changes; left out: no clock changes", "CET")
    ] = None
    climate: Annotated[
        Climate, said("how hard the weather is on paint: repainted every 3, 4 or 5 years", "moderate")
    ] = Climate.MODERATE

    @property
    def days(self) -> int:
        """Days from the first to the last of work, both included; 0 or less where they are the wrong way round."""
        return (self.until - self.from_).days + 1


class Moths(Entry):
    """When wax moths fly here. ``season_ends`` is the end of last season, left out when already past."""

    season_starts: Annotated[Day, said("first day of the next wax moth season", "2027-04-20")]
    season_ends: Annotated[
        Day | None, said("end of the last moth season, where it is not over when gear comes in", "2026-10-10")
    ] = None


class HelperEntry(Entry):
    """A person: the hours they come, the days they do not, what they can do (left out: everything)."""

    works: Annotated[dict[Weekdays, HoursList], said("hours on each weekday", "{mon-fri: 09:00-12:00}")] = Field(
        default_factory=dict
    )
    also: Annotated[dict[DaySpan, HoursList], said("hours on single days besides", "{2026-11-14: 09:00-12:00}")] = (
        Field(default_factory=dict)
    )
    away: Annotated[tuple[DaySpan, ...], said("days they do not come", "[2026-12-21..2027-01-03]")] = ()
    can: Annotated[
        tuple[Name, ...] | None, said("tasks, jobs and rounds they can do; left out: all", "[scrape, mend]")
    ] = None
    cannot: Annotated[tuple[Name, ...], said("tasks, jobs and rounds they cannot do", "[first coat]")] = ()


class PlaceEntry(Entry):
    """A place to work at (``seats``) or to leave gear in (``holds``), or both.

    ``whole_loads``: a new load goes in only once the last is out (left out: true where it is -7 °C or colder).
    ``sheltered``: out of sun and rain (left out: true unless ``open_air``).
    """

    seats: Annotated[
        Annotated[int, Field(strict=True, ge=1, le=1000)] | None, said("people who can work there at once", 2)
    ] = None
    holds: Annotated[Space | None, said("space for gear: pieces, combs or boxes", "60 combs", 40)] = None
    open_air: Annotated[Flag, said("true where it is outside", True)] = False
    sheltered: Annotated[
        Flag | None, said("true where it is out of sun and rain; left out: true unless in the open air", True)
    ] = None
    celsius: Annotated[
        Temperature | None, said("temperature through the winter in °C, one or coldest..warmest", -18, "4..12")
    ] = None
    outdoors_plus_k: Annotated[
        Annotated[float, Field(strict=True, ge=-30, le=40)] | None,
        said("kelvin it is warmer than outdoors, day by day; for a place whose celsius changes with the weather", 2),
    ] = None
    humidity_percent: Annotated[PerCent | None, said("relative humidity in per cent", 70)] = None
    whole_loads: Annotated[
        Flag | None,
        said("true where a new load goes in only once the last is out; left out: true at -7 °C or colder", True),
    ] = None


class GearEntry(Entry):
    """A lot of equal pieces: how many, where they rest on arrival, and the steps each goes through.

    ``piece`` is a word of the catalogue (``offseason.trade.sizes``) or any other name with ``kind`` given.
    ``last_painted``: a year, ``never`` or ``unknown``. ``spaces``: comb spaces one piece takes.
    """

    piece: Annotated[Name, said("what one piece is, a word of the catalogue or your own", "langstroth deep box")]
    kind: Annotated[
        Name | None,
        said("for a piece of your own: woodenware, comb, foundation, frames or tools", "woodenware"),
    ] = None
    count: Annotated[Count, said("how many pieces", 64)]
    arrives: Annotated[
        Day | None, said("day it comes in; the first day of the season unless written", "2026-10-12")
    ] = None
    rests: Annotated[Name | None, said("place where it rests when it comes in", "shed")] = None
    steps: Annotated[tuple[Name, ...], said("tasks each piece goes through, in order", "[scrape, mend]")] = ()
    ready_by: Annotated[
        Day | None, said("day by which all must-work on it is done; the last day unless written", "2027-03-20")
    ] = None
    last_painted: Annotated[int | str | None, said("year it was last painted, 'never' or 'unknown'", 2022)] = None
    comb: Annotated[CombClass | None, said("what the comb holds", "dry")] = None
    webbing_seen: Annotated[Flag, said("true where webbing or frass of moths is already seen", True)] = False
    foulbrood: Annotated[Foulbrood, said("what is known of foulbrood", "none known", "suspected")] = Foulbrood.NONE
    wall_area_m2: Annotated[
        Annotated[float, Field(strict=True, gt=0, le=100)] | None, said("paintable outside of one piece in m²", 0.45)
    ] = None
    spaces: Annotated[
        Annotated[int, Field(strict=True, ge=1, le=1000)] | None, said("comb spaces one piece takes in a store", 10)
    ] = None
    optional: Annotated[
        tuple[Name, ...], said("steps that are only done where they fit in, for this lot", "[scrape]")
    ] = ()


class SupplyEntry(Entry):
    """Something the winter uses up or that is bought for it: how long it takes to come, what of it is in hand.

    Its name is a paint of the tasks ("latex paint", "latex primer", "oil paint"), a name under ``uses:``, a
    ``treatment:``, or a lot of gear that is bought.
    """

    lead_time: Annotated[
        LeadTime | None, said("time from ordering to having it in hand; 7 d unless written", "14 d")
    ] = None
    in_hand: Annotated[
        Annotated[float, Field(strict=True, ge=0, le=10_000_000)],
        said("how much is there already: litres of paint, else as many as are counted in the plan's list", 400),
    ] = 0
    m2_per_litre: Annotated[
        Annotated[float, Field(strict=True, ge=0.5, le=50)] | None,
        said("m² that one litre of the paint covers, from its tin; 9 unless written", 9),
    ] = None


class Scenario(Entry):
    """One winter of one yard, as written by its keeper."""

    season: Annotated[
        Season,
        said(
            "the winter: its name, its first and last day of work, its climate", "{from: 2026-10-05, until: 2027-04-09}"
        ),
    ]
    moths: Annotated[
        Moths | None, said("when wax moths fly; left out: worked out from past winters", "{season_starts: 2027-04-20}")
    ] = None
    crew: Annotated[
        Annotated[dict[Name, HelperEntry], Field(min_length=1)],
        said("the people who help, by name", "{Ines: {works: {sat: 09:00-12:00}}}"),
    ]
    places: Annotated[dict[Name, PlaceEntry], said("where work is done and gear rests", "{bench: {seats: 2}}")] = Field(
        default_factory=dict
    )
    tasks: Annotated[
        dict[Name, TaskEntry], said("kinds of work, as done here", "{scrape: {minutes_each: 6, at: bench}}")
    ] = Field(default_factory=dict)
    gear: Annotated[
        dict[Name, GearEntry],
        said(
            "lots of gear, each of equal pieces, and the steps they go through",
            "{supers: {piece: national super, count: 40, steps: [scrape]}}",
        ),
    ] = Field(default_factory=dict)
    jobs: Annotated[dict[Name, JobEntry], said("jobs that are done once", "{rebuild the rack: {hours: 6}}")] = Field(
        default_factory=dict
    )
    rounds: Annotated[
        dict[Name, RoundEntry], said("work that comes back", "{look at combs: {every: 14 d, minutes: 20}}")
    ] = Field(default_factory=dict)
    supplies: Annotated[
        dict[Name, SupplyEntry],
        said("how long what is used up or bought takes to come, and what is in hand", "{nails: {lead_time: 14 d}}"),
    ] = Field(default_factory=dict)
    prices: Annotated[
        PricesEntry, said("what help, room, time and gear cost, to weigh remedies by", "{hour: 15, seat: 40}")
    ] = PricesEntry()
    weather: Annotated[
        WeatherEntry, said("files of weather, what work needs of it, hours fit by hand", "{forecast: forecast.csv}")
    ] = WeatherEntry()
    prefer: Annotated[
        Preference, said("what you like best among good plans: done early, few days or even weeks", "done early")
    ] = Preference.EARLY
