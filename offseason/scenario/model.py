"""What a keeper writes of one winter, as frozen data: season, moths, crew, places, tasks, gear, jobs, rounds, weather.

These classes say what each entry means and its unit. They check one value at a time; what must hold between
entries (names, dates, orders) is checked in ``offseason.scenario.cross``. Descriptions and examples of the fields are
what a keeper reads in messages and in an editor.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from offseason.scenario.choices import Climate, CombClass, Drying, Foulbrood, Importance, Preference
from offseason.scenario.entry import Count, Entry, Hands, Minutes, Name, PerCent, SomeMinutes, Worth, said
from offseason.scenario.typed import (
    Day,
    DaySpan,
    Every,
    Flag,
    HoursList,
    Lasting,
    LeadTime,
    Seconds,
    Share,
    Space,
    Temperature,
    Wait,
    Weekdays,
)
from offseason.scenario.weather_entry import NeedEntry, WeatherEntry

__all__ = [
    "Climate", "CombClass", "Drying", "Entry", "Foulbrood", "GearEntry", "HelperEntry", "Importance", "JobEntry",
    "Moths", "NeedEntry", "PlaceEntry", "Preference", "RoundEntry", "Scenario", "Season", "SupplyEntry",
    "TaskEntry", "Then", "WeatherEntry",
]  # fmt: skip

_IMPORTANCE = "must be done, should be done, or could be done where it fits"
_WORTH = "how much it is worth where not all fits in; 1 unless written"
_HANDS = "people it takes together; 1 unless written"
_CAUTION = "dangers to show beside the work: a word such as 'hot wax', or your own sentence"


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


class Then(Entry):
    """What follows the work itself: waiting or drying, and where the piece rests until the next step takes it.

    ``wait`` is a length of time or ``freezer stay``; ``dries`` lets the trade rules give the wait.
    """

    wait: Annotated[Wait | None, said("time to wait, or 'freezer stay'", "24 h", "freezer stay")] = None
    dries: Annotated[Drying | None, said("what dries; the time is worked out from it", "latex")] = None
    in_: Annotated[Name | None, said("place where the piece rests afterwards", "freezer", alias="in")] = None
    on: Annotated[Name | None, said("place where the piece rests afterwards", "drying rack")] = None

    @property
    def rests(self) -> str | None:
        """Name of the place the piece rests in afterwards; None: where it was."""
        return self.in_ or self.on


class TaskEntry(Entry):
    """A kind of work as done here. Times are minutes of one person, or of ``hands`` people together.

    ``share``: part of the pieces that need it. ``needs``: steps that must have been done to a piece first.
    ``within``: longest time from the step it follows to this one. ``kills``: moths of all stages die (cold or heat).
    ``uses_up``: the pieces are gone afterwards. ``seals``: closes the comb moth-tight.
    ``protects``: a treatment that protects for that long.
    ``paint``: done only where painting is due. ``uses``: supplies for each piece.
    """

    minutes_each: Annotated[SomeMinutes, said("minutes for one piece", 6)]
    setup_minutes: Annotated[Minutes, said("minutes to set up, once each time it is begun", 20)] = 0
    at: Annotated[Name | None, said("place where it is done", "bench")] = None
    share: Annotated[Share, said("part of the pieces that need it; all unless written", "20%")] = 1.0
    hands: Annotated[Hands, said(_HANDS, 2)] = 1
    weather: Annotated[Name | None, said("weather it needs, a name under weather: windows", "painting")] = None
    likes_weather: Annotated[
        Name | None, said("weather in which it goes better, and is done where nothing is lost", "scraping in the cold")
    ] = None
    importance: Annotated[Importance, said(_IMPORTANCE, "should")] = Importance.MUST
    worth: Annotated[Worth, said(_WORTH, 3)] = 1
    needs: Annotated[tuple[Name, ...], said("steps a piece must have been through first", "[freeze]")] = ()
    then: Annotated[Then, said("what follows: waiting, drying, a resting place", "{dries: latex, on: rack}")] = Then()
    within: Annotated[Seconds | None, said("longest time since the step before", "14 d")] = None
    kills: Annotated[Flag, said("true where it kills moths of all stages, by cold or heat", True)] = False
    uses_up: Annotated[Flag, said("true where the pieces are gone afterwards, such as comb melted down", True)] = False
    seals: Annotated[Flag, said("true where it closes the comb moth-tight", True)] = False
    protects: Annotated[Lasting | None, said("how long a treatment protects comb, or 'season'", "season", "28 d")] = (
        None
    )
    treatment: Annotated[Name | None, said("active ingredient of a treatment", "acetic acid 80 %")] = None
    authorised: Annotated[Flag, said("true once you know the treatment is authorised where you live", True)] = False
    paint: Annotated[Drying | None, said("kind of paint; the task is done only where painting is due", "latex")] = None
    uses: Annotated[
        dict[Name, Annotated[float, Field(strict=True, gt=0, le=1_000_000)]],
        said("supplies for one piece, with the unit in the name", "{nails: 10}"),
    ] = Field(default_factory=dict)
    caution: Annotated[tuple[Name, ...], said(_CAUTION, "[dust]")] = ()


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


class JobEntry(Entry):
    """A one-off job. Divisible jobs may be spread over days in quarter-hours; others are done in one go.

    ``before`` and ``after`` name tasks, gear or other jobs.
    """

    hours: Annotated[Annotated[float, Field(strict=True, gt=0, le=2000)], said("hours of work", 6)]
    divisible: Annotated[Flag, said("false where it must be done in one go", False)] = True
    from_: Annotated[Day | None, said("first day it can be done", "2026-11-02", alias="from")] = None
    by: Annotated[Day | None, said("last day it can be done", "2026-10-31")] = None
    at: Annotated[Name | None, said("place where it is done", "bench")] = None
    hands: Annotated[Hands, said(_HANDS, 2)] = 1
    weather: Annotated[Name | None, said("weather it needs, a name under weather: windows", "dry")] = None
    importance: Annotated[Importance, said(_IMPORTANCE, "should")] = Importance.MUST
    worth: Annotated[Worth, said(_WORTH, 3)] = 1
    before: Annotated[tuple[Name, ...], said("tasks, gear or jobs that wait for it", "[first coat]")] = ()
    after: Annotated[tuple[Name, ...], said("tasks, gear or jobs it waits for", "[scrape]")] = ()
    caution: Annotated[tuple[Name, ...], said(_CAUTION, "[lifting]")] = ()


class RoundEntry(Entry):
    """Work that comes back: once in each stretch of ``every``, from ``from`` until ``until``.

    ``looks_at`` names the place whose stored comb is inspected.
    """

    every: Annotated[
        Every,
        said(
            "once in each stretch of this length, in whole days; or 'as the store warms': every 14 days while moths "
            "are active in the place it looks at, every 30 while they are only arrested, never while it is cold",
            "14 d",
            "as the store warms",
        ),
    ]
    minutes: Annotated[Annotated[float, Field(strict=True, gt=0, le=100_000)], said("minutes it takes", 20)]
    from_: Annotated[Day | None, said("first day", "2026-11-01", alias="from")] = None
    until: Annotated[Day | None, said("last day", "2027-03-31")] = None
    at: Annotated[Name | None, said("place where it is done", "loft")] = None
    looks_at: Annotated[Name | None, said("place whose stored comb is looked at", "loft")] = None
    hands: Annotated[Hands, said(_HANDS, 2)] = 1
    weather: Annotated[Name | None, said("weather it needs, a name under weather: windows", "dry")] = None
    importance: Annotated[Importance, said(_IMPORTANCE, "should")] = Importance.MUST
    worth: Annotated[Worth, said(_WORTH, 3)] = 1
    caution: Annotated[tuple[Name, ...], said(_CAUTION, "[lifting]")] = ()


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

    season: Annotated[Season, said("first and last day of work", "{from: 2026-10-05, until: 2027-04-09}")]
    moths: Annotated[Moths | None, said("wax moth season", "{season_starts: 2027-04-20}")] = None
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
        said("lots of gear and their steps", "{supers: {piece: national super, count: 40, steps: [scrape]}}"),
    ] = Field(default_factory=dict)
    jobs: Annotated[dict[Name, JobEntry], said("one-off jobs", "{rebuild the rack: {hours: 6}}")] = Field(
        default_factory=dict
    )
    rounds: Annotated[
        dict[Name, RoundEntry], said("work that comes back", "{look at combs: {every: 14 d, minutes: 20}}")
    ] = Field(default_factory=dict)
    supplies: Annotated[
        dict[Name, SupplyEntry],
        said("how long what is used up or bought takes to come, and what is in hand", "{nails: {lead_time: 14 d}}"),
    ] = Field(default_factory=dict)
    weather: Annotated[WeatherEntry, said("hours fit for work that needs weather", "{windows: {}}")] = WeatherEntry()
    prefer: Annotated[
        Preference, said("what you like best among good plans: done early, few days or even weeks", "done early")
    ] = Preference.EARLY
