"""Places whose temperature follows the weather outdoors, and rounds that come as a store warms."""

from __future__ import annotations

from collections.abc import Iterator

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.fit import has_records
from offseason.scenario.model import PlaceEntry, RoundEntry, WeatherEntry
from offseason.scenario.words import AS_THE_STORE_WARMS
from offseason.scenario.yaml_tree import Path
from offseason.trade.moths import INACTIVE_CELSIUS, inspection_days


def follows_outdoors(weather: WeatherEntry, place: PlaceEntry) -> bool:
    """Whether a place is as warm as records of the weather make it: in the open air, or so much warmer than that."""
    outside = place.outdoors_plus_k is not None or place.open_air
    return place.celsius is None and outside and has_records(weather)


def unknown_celsius(name: str, place: PlaceEntry) -> str:
    """Sentence for a place that wants a known temperature and has none: why not, and what instead."""
    if place.outdoors_plus_k is None:
        return f"the temperature of '{name[:60]}' is not known; add celsius: to that place"
    return (
        f"the temperature of '{name[:60]}' changes with the weather; choose a place with celsius:, "
        "or write celsius: there in place of outdoors_plus_k:"
    )


def outdoor_findings(draft: Draft) -> Iterator[Finding]:
    """Places with nothing to follow or with two temperatures, and rounds that cannot tell how warm a store is."""
    for name, place in draft.places.items():
        if place.outdoors_plus_k is None:
            continue
        path: Path = ("places", name, "outdoors_plus_k")
        if place.celsius is not None:
            text = "'celsius' says how warm it is already; keep it or 'outdoors_plus_k'"
            yield Finding(path, text, on_key=True)
        elif draft.readable("weather") and not has_records(draft.weather):
            text = "there is no weather to follow; give weather: history, or write celsius: in place of this"
            yield Finding(path, text, on_key=True)
    for name, inspection in draft.rounds.items():
        if inspection.every == AS_THE_STORE_WARMS and draft.sound("rounds", name):
            yield from _as_the_store_warms(draft, name, inspection)


def _as_the_store_warms(draft: Draft, name: str, inspection: RoundEntry) -> Iterator[Finding]:
    path: Path = ("rounds", name)
    store = inspection.looks_at
    if store is None:
        text = f"'{AS_THE_STORE_WARMS}' wants to know which store; add looks_at: and the name of that place"
        yield Finding((*path, "every"), text)
        return
    place = draft.places.get(store)
    if place is None or not draft.sound("places", store):
        return
    if place.celsius is not None:
        if inspection_days(place.celsius.highest) is None:
            text = (
                f"'{name[:60]}' is never due: '{store[:60]}' stays at {place.celsius.highest:g} °C or colder, and "
                f"up to {INACTIVE_CELSIUS:g} °C moths are inactive; write how often, as in 30 d, or delete this round"
            )
            yield Finding((*path, "every"), text)
    elif place.outdoors_plus_k is None and not place.open_air:
        text = f"how warm '{store[:60]}' is, is not known; add celsius: or outdoors_plus_k: to that place"
        yield Finding((*path, "looks_at"), text)
    elif place.outdoors_plus_k is None and draft.readable("weather") and not has_records(draft.weather):
        text = f"'{store[:60]}' is as warm as outdoors, and there is no weather to follow; give weather: history"
        yield Finding((*path, "looks_at"), text)
