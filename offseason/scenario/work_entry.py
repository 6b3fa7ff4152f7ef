"""What a keeper writes of the work of a winter: tasks done on gear, one-off jobs, rounds that come back."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from offseason.scenario.choices import Drying, Importance
from offseason.scenario.entry import Entry, Hands, Minutes, Name, SomeMinutes, Worth, said
from offseason.scenario.typed import Day, Every, Flag, Lasting, Seconds, Share, Wait

_IMPORTANCE = "must be done, should be done, or could be done where it fits"
_WORTH = "how much it is worth where not all fits in; 1 unless written"
_HANDS = "people it takes together; 1 unless written"
_CAUTION = "dangers to show beside the work: a word such as 'hot wax', or your own sentence"
_WEATHER = "weather it needs: a name under weather: needs or windows, or a kind known here such as painting with latex"


class Then(Entry):
    """What follows the work itself: waiting or drying, and where the piece rests until the next step takes it.

    ``wait`` is a length of time or ``freezer stay``; ``dries`` lets the trade rules give the wait.
    """

    wait: Annotated[Wait | None, said("time to wait, or 'freezer stay'", "24 h", "freezer stay")] = None
    dries: Annotated[Drying | None, said("what dries; the time is worked out from it", "latex")] = None
    in_: Annotated[Name | None, said("place where the piece rests afterwards", "freezer", alias="in")] = None
    on: Annotated[Name | None, said("the same as in; write one of the two", "drying rack")] = None

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
    weather: Annotated[Name | None, said(_WEATHER, "painting")] = None
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
    weather: Annotated[Name | None, said(_WEATHER, "dry")] = None
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
    weather: Annotated[Name | None, said(_WEATHER, "dry")] = None
    importance: Annotated[Importance, said(_IMPORTANCE, "should")] = Importance.MUST
    worth: Annotated[Worth, said(_WORTH, 3)] = 1
    caution: Annotated[tuple[Name, ...], said(_CAUTION, "[lifting]")] = ()
