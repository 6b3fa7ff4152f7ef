"""Weather that work needs: described somewhere, asking what can be, and with hours or records to judge it by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import PurePosixPath, PureWindowsPath

from offseason.scenario.draft import Draft, Finding
from offseason.scenario.model import NeedEntry, WeatherEntry
from offseason.scenario.nearest import listed, nearest
from offseason.scenario.yaml_tree import Path
from offseason.trade.fitness import NEEDS, Limits

_NEEDS: Path = ("weather", "needs")
_FILES = ("forecast", "history")
_WORK = ("tasks", "jobs", "rounds")
_ASKING = ("weather", "likes_weather")


def has_records(weather: WeatherEntry) -> bool:
    """Whether there are files of weather, forecast or past, to judge needs by."""
    return bool(weather.forecast or weather.history)


def judged_by_records(weather: WeatherEntry, need: str) -> bool:
    """Whether the hours fit for a need come from records; else only from the windows written by hand."""
    return has_records(weather) and (need in weather.needs or need in NEEDS)


def limits_of(name: str, need: NeedEntry) -> Limits:
    """What a need asks: what is written, over the limits of ``like`` or of the known word that is its own name."""
    start = NEEDS.get(name if need.like is None else need.like, Limits())
    written = {field.name: getattr(need, field.name) for field in fields(Limits)}
    return replace(start, **{key: value for key, value in written.items() if value is not None})


def fit_findings(draft: Draft) -> Iterator[Finding]:
    """Needs that nothing describes or judges, needs that ask what cannot be, and files that are not beside this one."""
    if draft.readable("weather"):
        for path, need in _used(draft):
            yield from _judged(draft.weather, path, need)
    yield from _asked_by_nobody(draft)
    for name, entry in draft.weather.needs.items():
        yield from _asks(name, entry)
    yield from _files(draft)
    beyond = draft.tree.at(("weather", "beyond_forecast"))
    if beyond and beyond.data is not None and draft.readable("weather") and not draft.weather.history:
        text = "there are no past winters to choose from; give files of them under history:, or delete this"
        yield Finding(("weather", "beyond_forecast"), text, on_key=True)


def _used(draft: Draft) -> Iterator[tuple[Path, str]]:
    for section in _WORK:
        for name, entry in getattr(draft, section).items():
            for key in _ASKING:
                need = getattr(entry, key, None)
                if need is not None:
                    yield (section, name, key), need


def _asked_by_nobody(draft: Draft) -> Iterator[Finding]:
    """Names under needs and windows that no work asks for: as a rule mistyped, so that what they say is lost."""
    if not all(draft.readable(section) for section in ("weather", *_WORK)) or _asking_is_mistaken(draft):
        return
    used = list(dict.fromkeys(need for _, need in _used(draft)))
    for key in ("needs", "windows"):
        written = getattr(draft.weather, key)
        free = [need for need in used if need not in written]
        for name in written:
            if name in used or any(nearest(need, written) == name for need in free if not _known(draft.weather, need)):
                continue  # where the work itself names what is not known, it is told there
            close = nearest(name, free)
            told = f"did you mean '{close}'?" if close else "delete it, or write weather: and this name in that work"
            text = f"no task, job or round asks for the weather '{name[:60]}'; {told}"
            yield Finding(("weather", key, name), text, on_key=True)


def _asking_is_mistaken(draft: Draft) -> bool:
    """Whether some work could not be read where it says what weather it asks for."""
    if any(section in _WORK and nearest(key, _ASKING) for section, _, key in draft.mistaken):
        return True
    return any(name not in getattr(draft, section) for section in _WORK for name in draft.names(section))


def _known(weather: WeatherEntry, need: str) -> bool:
    return need in weather.windows or judged_by_records(weather, need)


def _judged(weather: WeatherEntry, path: Path, need: str) -> Iterator[Finding]:
    own = [*weather.windows, *weather.needs]
    if _known(weather, need):
        return
    shown, close = f"'{need[:60]}'", nearest(need, own)
    if need in weather.needs or need in NEEDS:
        text = (
            f"nothing tells when the weather is fit for {shown}; "
            "give its hours under weather: windows, or a forecast or history file"
        )
    elif has_records(weather):
        text = f"{shown} is not described under weather:; {_meant(need, close)}"
    elif close:
        text = f"no hours for {shown} stand under weather: windows; did you mean '{close}'?"
    else:
        text = (
            f"no hours for {shown} stand under weather: windows; add {need[:60]}: and its days and hours there, "
            "or describe it under weather: needs and give a forecast or history file"
        )
    yield Finding(path, text)


def _meant(need: str, close: str | None) -> str:
    # 'painting' alone could be any of the kinds of painting.
    longer = [word for word in NEEDS if word.startswith(f"{need.strip().casefold()} ")]
    words = [close] if close else longer or [word for word in [nearest(need, NEEDS)] if word]
    if words:
        quoted = listed([f"'{word}'" for word in words], "or")
        return f"did you mean {quoted}?"
    return f"say there, under needs:, what it asks, or write {listed(NEEDS, 'or')}"


def _asks(name: str, need: NeedEntry) -> Iterator[Finding]:
    path: Path = (*_NEEDS, name)
    if need.like is not None and need.like not in NEEDS:
        close = nearest(need.like, NEEDS)
        told = f"did you mean '{close}'?" if close else f"write {listed(NEEDS, 'or')}"
        text = f"'{need.like[:60]}' is not a kind of weather known here; {told}"
        yield Finding((*path, "like"), text)
        return
    limits = limits_of(name, need)
    if limits == Limits():
        text = (
            f"'{name[:60]}' asks nothing of the weather; add a limit such as no_rain: true, "
            f"or like: {listed(NEEDS, 'or')}"
        )
        yield Finding(path, text, on_key=True)
    low, high = limits.at_least_celsius, limits.at_most_celsius
    if low is not None and high is not None and low > high:
        yield _nothing_between(path, need, low, high, need.like or name)
    if limits.warm_hours_after and low is None:
        text = "how warm it must stay is not said; add at_least_celsius: to this need"
        yield Finding((*path, "warm_hours_after"), text, on_key=True)


def _nothing_between(path: Path, need: NeedEntry, low: float, high: float, start: str) -> Finding:
    text = f"no air is at least {low:g} °C and at most {high:g} °C at once"
    if need.at_least_celsius is None:
        return Finding((*path, "at_most_celsius"), f"{text}, and the first is from '{start}'; write both limits here")
    if need.at_most_celsius is None:
        return Finding((*path, "at_least_celsius"), f"{text}, and the second is from '{start}'; write both limits here")
    return Finding((*path, "at_least_celsius"), f"{text}; exchange them")


def _files(draft: Draft) -> Iterator[Finding]:
    """A scenario and its weather travel as one folder: names lead to files beside it, or in folders beside it."""
    for key in _FILES:
        path: Path = ("weather", key)
        node = draft.tree.at(path)
        several = node is not None and isinstance(node.data, list)
        for n, name in enumerate(getattr(draft.weather, key)):
            windows = PureWindowsPath(name)
            away = PurePosixPath(name).is_absolute() or windows.drive or windows.root or ".." in windows.parts
            if away:
                text = (
                    f"'{name[:60]}' is not beside this file; copy it into the same folder, and write only its name, "
                    f"as in {key}: {_last(windows)}"
                )
                yield Finding((*path, n) if several else path, text)


def _last(name: PureWindowsPath) -> str:
    return name.name if name.name not in ("", "..") else "records.csv"
